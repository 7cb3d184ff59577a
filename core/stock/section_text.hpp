// Stock that is not round, as people write it: measures with one unit for all, then how it lies in the rolls.
//
//   square     "50x50x3 mm", "SHS 50x50x3", "EN 10219 50x50x3", "2x2x1/8 in", "HSS2X2X1/8" (nominal wall)
//   rectangle  "60x40x3 mm hard way", "60x40x3 mm easy way", also with RHS, EN 10219, EN 10210, HSS in front
//   flat       "50x10 mm easy way", "2 x 3/8 in hard way"
//   angle      "50x50x5 mm leg in", "L50x50x5 leg out"; unequal: "75x50x6 mm, 75 mm leg in", "long leg out"
//   channel    "UPE 80 flanges in", "UPN 100 hard way"; height x flange width x web x flange: "80x50x4x7 mm flanges out"
//   tee        "50x50x6 mm stem in"; height x flange width x thickness, or x stem x flange
//   beam       "80x46x3.8x5.2 mm hard way": height x flange width x web x flange
// A tabulated size brings its rounding; measures without a name are taken with sharp corners, except those of
// square and rectangular tube, which follow `corners`.
#pragma once

#include <coilwright/stock/stock_text.hpp>

namespace coilwright {

struct CornerRule {
  Corners corners = Corners::cold_formed;
  Length outside = {};  // for Corners::given
};
// "cold-formed", "hot-finished", or the outside radius as a length.
Result<CornerRule> read_corner_rule(std::string_view text, std::string_view about, std::optional<LengthUnit> bare = std::nullopt);

enum class SectionWord { square, rectangle, flat, angle, channel, tee, beam };

// As read_tube; findings are about `about`. `corners` empty: cold-formed, or what a standard in the text says.
Result<StockText> read_section(SectionWord word, std::string_view text, std::string_view about,
                               std::optional<LengthUnit> bare = std::nullopt,
                               const std::optional<CornerRule>& corners = std::nullopt);

}  // namespace coilwright
