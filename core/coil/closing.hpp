// "Make it close": a measure of a segment that is not a number but a condition on the part.
//
// One unknown for each condition. The words, read and judged at the end of the segment they stand in:
//   "to level"            the tangent there is level
//   "to slope"            ... runs at the slope of the next segment that climbs (an easing before a helix)
//   "to parallel"         ... is parallel to the tangent at the start of the part, seen in plan
//   "square"              ... is at right angles to it, seen in plan
//   "to x 500 mm"         the end point has gone 500 mm along the direction in which the part starts
//   "to y 500 mm"         ... 500 mm across it, toward the inside of the first bend
//   "to height 900 mm"    ... 900 mm up from the start
//   "to width 1200 mm"    the centreline so far is 1200 mm wide over all, along the starting direction, in
//   plan "to depth 1200 mm"    ... across it "to meet"             the part's last point is its first. Up to
//   three segments may say so: one must hit the
//                         start by itself, two bring the end point there (a flat part), three also the
//                         tangent, so that the ring closes without a kink.
#pragma once

#include <coilwright/coil/segment_measure.hpp>
#include <coilwright/quantity/finding.hpp>
#include <coilwright/quantity/quantity.hpp>
#include <optional>
#include <string>
#include <string_view>

namespace coilwright {

enum class ClosingWord { level, slope, parallel, square, x, y, height, width, depth, meet };

struct Closing {
  SegmentMeasure of = SegmentMeasure::angle;  // angle, turns or length
  ClosingWord word = ClosingWord::level;
  Length to;  // for the words that take a length
};

// Whether a text is meant as a closing condition and not as a number with a unit.
bool begins_a_closing(std::string_view text);
// `about` names the value in the finding ("segment.2.angle").
Result<Closing> read_closing(std::string_view text, SegmentMeasure of, std::string_view about);
// "to width 1200.0 mm (3'-11 1/4\")"
std::string closing_text(const Closing& closing);

}  // namespace coilwright
