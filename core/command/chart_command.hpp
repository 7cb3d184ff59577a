// `coilwright chart`: which diameters and pitches (or turns) this machine can make from this stock.
#pragma once

#include <coilwright/command/job_options.hpp>

namespace coilwright {

CommandForm chart_form();
int run_chart(const CommandLine& line);

}  // namespace coilwright
