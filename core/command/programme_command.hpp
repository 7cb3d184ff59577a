// `coilwright programme`: the settings of the machine by fed length.
#pragma once

#include <coilwright/command/job_options.hpp>

namespace coilwright {

int run_programme(const CommandLine& line);

}  // namespace coilwright
