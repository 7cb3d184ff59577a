// `coilwright view` and `coilwright picture`: hand over to the viewer, which needs VTK and may be missing.
#pragma once

#include <string>
#include <vector>

namespace coilwright {

// Looks for coilwright-view beside this program, then on PATH, and becomes it; `arguments` begin with the
// command. Returns only when there is none: an exit code, after saying how to get it.
int run_viewer(const std::vector<std::string>& arguments);

}  // namespace coilwright
