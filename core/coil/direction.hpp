// Which way a coil turns, in words that nobody can misread.
#pragma once

#include <coilwright/quantity/finding.hpp>
#include <string>
#include <string_view>

namespace coilwright {

// A right-hand screw climbs counter-clockwise seen from above; turning it over does not change that.
enum class Hand { right_screw, left_screw };

std::string_view hand_text(Hand hand);    // "right-screw" | "left-screw", as in files and JSON
std::string_view climbs_text(Hand hand);  // "counter-clockwise" | "clockwise", seen from above, going up

// "right-hand screw; climbs counter-clockwise seen from above; going up you turn left".
std::string turning_sentence(Hand hand);
// The same for the rail of a stair: "right-hand screw; climbs counter-clockwise seen from above; going up you turn left;
// a rail on the outside of the stair is at your right hand".
std::string direction_sentence(Hand hand);

// "right-screw", "left-screw". A bare "right" or "left" is refused with the choices spelt out, since a
// right-hand stair is clockwise in one country and counter-clockwise in another.
Result<Hand> read_hand(std::string_view text);
// "clockwise", "counter-clockwise" (also "anticlockwise"), going up, seen from above.
Result<Hand> read_climbs(std::string_view text);

}  // namespace coilwright
