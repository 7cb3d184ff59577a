// The measures of a segment: their names, and numbers of them in words.
#pragma once

#include <string>
#include <string_view>

namespace coilwright {

enum class SegmentMeasure {
  radius,        // mm; of an arc in its own plane, of a helix in plan
  diameter,      // mm
  bend_radius,   // mm, of the centreline, as a gauge on the part reads it
  start_radius,  // mm, in plan, where the segment begins as it is fed
  end_radius,    // mm, in plan, where it ends
  pitch,         // mm, rise in one full turn
  turns,         // full turns in plan
  angle,         // rad, the same turn
  rise,          // mm, from end to end along the axis
  slope,         // rad, of the centreline against the level
  length,        // mm, along the centreline
  chord,         // mm, from end to end of the centreline
  chord_rise     // mm, height of the centreline over its chord
};
inline constexpr int segment_measure_count = 13;

std::string_view segment_measure_name(SegmentMeasure measure);  // "chord rise"
std::string segment_measure_key(SegmentMeasure measure);        // "chord_rise", as in a job file
bool measures_an_angle(SegmentMeasure measure);                 // angle and slope
bool measures_a_radius(SegmentMeasure measure);                 // those that are measured to a face
// "800.00 mm (2'-7 1/2")", "90 degrees", "1.1 turns".
std::string segment_value_text(SegmentMeasure measure, double value, int decimals = 2);
// Whether two values agree as Segment::from promises.
bool measures_agree(SegmentMeasure measure, double a, double b);

}  // namespace coilwright
