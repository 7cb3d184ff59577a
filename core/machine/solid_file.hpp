// The solids of the tooling envelope as a machine file describes them: [[solid]] tables, in millimetres in
// the machine frame, with the slide at touch and the arm at pass height.
#pragma once

#include <coilwright/machine/keyed_values.hpp>
#include <coilwright/machine/shape.hpp>
#include <map>
#include <string>
#include <vector>

namespace coilwright {

// Understands a list of tables; adds every problem to `faults`, and to `places` where each solid stands
// ("solid.NAME").
// What is to be known of a mesh that can be used (that it is open, …) is added to `remarks`, naming the solid.
std::vector<Solid> read_solids(const DocumentValue& tables, const std::string& about_prefix, Findings& faults,
                               std::map<std::string, Place>& places, std::vector<std::string>& remarks);

// The first list with solids replaced by those of the same name in the second, the others added.
DocumentValue replaced_solids(const DocumentValue& tables, const DocumentValue& later);

}  // namespace coilwright
