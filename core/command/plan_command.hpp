// `coilwright plan`: everything about one job.
#pragma once

#include <coilwright/command/job_options.hpp>

namespace coilwright {

int run_plan(const CommandLine& line);

}  // namespace coilwright
