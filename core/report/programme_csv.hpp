// A roll programme for a spreadsheet.
#pragma once

#include <coilwright/plan/programme.hpp>
#include <string>

namespace coilwright {

// One row a step, comma-separated with a point in numbers, units in the names of the columns; millimetres, and inches
// beside them where they are shown. Readings are those of the machine's own scales, where the job tells them, with the
// frame's give. Behind the steps, with the kind "reached", the radius computed to be left where settings change, place
// by place. Values that do not exist are empty: the lift without an outboard roll, the bend radius of a straight.
std::string programme_csv(const PlannedProgramme& planned, const Job& job);

}  // namespace coilwright
