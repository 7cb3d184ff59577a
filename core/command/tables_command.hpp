// `coilwright tables`: the materials, sizes and machines it knows.
#pragma once

#include <coilwright/command/job_options.hpp>

namespace coilwright {

int run_tables(const CommandLine& line);

}  // namespace coilwright
