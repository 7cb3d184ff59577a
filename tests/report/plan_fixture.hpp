// Plans made by hand, so that the reports can be tested without the computation behind them, but for what the
// machine can do, which is planned: it has too many numbers that belong together. The numbers
// are plausible, not computed: nothing here is a reference value for rolling or lift.
#pragma once

#include <coilwright/plan/plan.hpp>
#include <coilwright/stock/stock.hpp>

namespace plan_fixture {

// A rail as the trade makes it: one pass, outboard roll, scales on the machine, clears.
coilwright::Plan rail(coilwright::Hand hand = coilwright::Hand::right_screw);

// Of the built-in machine with a cylinder of 14 kN, too weak for the narrowest of its four spacings. Its sentences are
// in the units asked for.
coilwright::Capability capability(coilwright::Show show);

// No rolling, no lift, no pose, no clearance: what is left when the machine cannot do it at all.
coilwright::Plan without_answer();

}  // namespace plan_fixture
