// Plans made by hand, so that the reports can be tested without the computation behind them. The numbers
// are plausible, not computed: nothing here is a reference value for rolling or lift.
#pragma once

#include <coilwright/plan/plan.hpp>
#include <coilwright/stock/stock.hpp>

namespace plan_fixture {

// A rail as the trade makes it: one pass, outboard roll, scales on the machine, clears.
coilwright::Plan rail(coilwright::Hand hand = coilwright::Hand::right_screw);

// No rolling, no lift, no pose, no clearance: what is left when the machine cannot do it at all.
coilwright::Plan without_answer();

}  // namespace plan_fixture
