// A roll programme for a spreadsheet.
#pragma once

#include <coilwright/quantity/length_text.hpp>
#include <coilwright/rolling/roll_programme.hpp>
#include <string>

namespace coilwright {

// One row a step, comma-separated with a point in numbers, units in the names of the columns; millimetres, and inches
// beside them where they are shown. Values that do not exist are empty: the lift without an outboard roll, the bend
// radius of a straight.
std::string programme_csv(const RollProgramme& programme, Show show);

}  // namespace coilwright
