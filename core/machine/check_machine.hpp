// What is wrong with a machine, and whether its rolls fit the stock.
#pragma once

#include <coilwright/machine/machine.hpp>
#include <coilwright/quantity/finding.hpp>
#include <coilwright/stock/section.hpp>

namespace coilwright {

// Measures that cannot be (rolls that overlap each other, a flange below its groove, a body inside out, …),
// all at once, about the keys of a machine file; empty when the machine can be used.
Findings check_machine(const Machine& machine);

// Rolls fit when OD <= groove <= OD + 1 mm (common practice, no source). A groove that is too narrow is a
// fault: the stock rides on its edges. One that is too wide, and plain rolls under round stock, are cautions.
Findings check_fit(const Rolls& rolls, const Section& section);

}  // namespace coilwright
