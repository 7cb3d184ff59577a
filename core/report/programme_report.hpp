// A roll programme for a spreadsheet, and as a drawing.
#pragma once

#include <coilwright/plan/programme.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/report/drawing.hpp>
#include <string>

namespace coilwright {

// One row a step, comma-separated with a point in numbers, units in the names of the columns; millimetres, and inches
// beside them where they are shown. Values that do not exist are empty: the lift without an outboard roll, the bend
// radius of a straight.
std::string programme_csv(const RollProgramme& programme, Show show);

// Travel, lift, curvature and feed over fed length, one above the other, every pass a line; joints marked, and where no
// radius is promised. A4 across.
std::string programme_drawing(const PlannedProgramme& planned, const std::string& title, DrawingFormat format, Show show);

}  // namespace coilwright
