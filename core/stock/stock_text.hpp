// Round stock as people write it.
//
// Tube: outside diameter x wall ("42.4x2.6 mm", "1.66 x 0.140 in", one unit may serve both), with the wall
// as a Birmingham gauge ("1-1/4 in x 14 BWG"), pipe by its nominal size ("NPS 1-1/4 Sch 40", "NPS 1 1/4 STD",
// "DN 32 Sch 10S"), a tabulated size by its standard ("EN 10219 42.4x2.5", "EN 10210 …", "EN 10220 …",
// "HSS1.900X0.145"). Bar: its diameter ("25 mm", "1 in").
#pragma once

#include <coilwright/quantity/finding.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/stock/section.hpp>
#include <optional>
#include <string>
#include <string_view>

namespace coilwright {

struct StockText {
  Section section;
  std::string designation;  // as asked for, without spaces at the ends
  std::string size_source;  // the table a size was looked up in; empty when dimensions were given
  // A question where the same words also name a pipe of another diameter ("1-1/4 in x 0.140 in"); the text
  // is taken as it stands.
  Findings doubts;
};
using RoundStockText = StockText;

// `about` names the value in the findings; their place gives the column. `bare` says how numbers without
// any unit are read; refused without it. A size that is not tabulated is refused with the nearest ones.
Result<RoundStockText> read_tube(std::string_view text, std::string_view about,
                                 std::optional<LengthUnit> bare = std::nullopt);
Result<RoundStockText> read_bar(std::string_view text, std::string_view about,
                                std::optional<LengthUnit> bare = std::nullopt);

}  // namespace coilwright
