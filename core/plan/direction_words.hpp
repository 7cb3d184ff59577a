// Which way the part of a plan turns, in whole words.
#pragma once

#include <coilwright/plan/plan.hpp>
#include <string>

namespace coilwright {

// Whether the job describes the rail of a stair: it has a stair, or its name speaks of a rail or a stair, or it is a single
// coil that climbs like a stair, between 20 and 50 degrees (judgement).
bool rail_of_stair(const Plan& plan);

// direction_sentence of a rail, turning_sentence of any other part (coil/direction.hpp).
std::string direction_words(const Plan& plan);

}  // namespace coilwright
