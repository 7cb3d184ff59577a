// Lengths as people write them, read and printed.
//
// Reading takes mm, cm, m, in, ft and feet-inch-fraction: "600 mm", "2.7 m", "5'-4 1/2\"", "23-5/8\"",
// "2ft6in", "2 ft 6 in", "1-1/4 in", with typographic marks too (prime, double prime, curly quotes, the
// vulgar fractions, the fraction slash, a no-break or thin space). Numbers are decimal with a point,
// optionally with an exponent; no locale is ever consulted. A bare number is refused unless `bare` says
// how to read it. Refused: nan, inf, overflow ("1e999"), a comma ("600,5"), a zero denominator, inches of
// 12 or more behind feet, a sign in the middle, trailing text. The finding's place gives the column.
#pragma once

#include <coilwright/quantity/finding.hpp>
#include <coilwright/quantity/quantity.hpp>
#include <optional>
#include <string>
#include <string_view>

namespace coilwright {

enum class LengthUnit { mm, inch };  // what a bare number means
enum class Show { mm, inch, both };  // how lengths are printed

// `about` names the value in the finding ("coil.radius").
Result<Length> read_length(std::string_view text, std::string_view about,
                           std::optional<LengthUnit> bare = std::nullopt);

// "7546.3 mm", decimals 0 to 6, never "-0.0".
std::string mm_text(Length length, int decimals = 1);
// "24'-9 1/8\"": nearest 1/denominator inch (a power of two up to 64), reduced; under one foot "9 1/8\"".
std::string feet_inch_text(Length length, int denominator = 16);
// As `show` asks; both: "7546.3 mm (24'-9 1/8\")". Small lengths, where a sixteenth is too coarse
// (decimals >= 2), print decimal inches: "0.42 mm (0.0165 in)".
std::string length_text(Length length, Show show, int decimals = 1);

}  // namespace coilwright
