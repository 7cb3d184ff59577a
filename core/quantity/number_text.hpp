// Numbers and the other quantities as text, without regard to any locale.
#pragma once

#include <coilwright/quantity/finding.hpp>
#include <coilwright/quantity/quantity.hpp>
#include <string>
#include <string_view>
#include <vector>

namespace coilwright {

// A plain decimal number, the whole text. Refused like lengths are (nan, inf, overflow, comma, rest).
Result<double> read_number(std::string_view text, std::string_view about);
// "90 deg", "90°", "1.57 rad", "1.1 turns". A bare number is refused.
Result<Angle> read_angle(std::string_view text, std::string_view about);
// "60 kN", "500 N", "13.5 kip", "200 lbf".
Result<Force> read_force(std::string_view text, std::string_view about);
// "235 MPa", "36 ksi".
Result<Stress> read_stress(std::string_view text, std::string_view about);

// Fixed decimals, correctly rounded, never "-0"; the value must be finite (a caller's bug otherwise).
std::string number_text(double value, int decimals);

// The known word nearest to a mistyped one (edit distance at most a third of its length); empty if none.
std::string nearest_word(std::string_view word, const std::vector<std::string>& known);

}  // namespace coilwright
