// The numbers of an arc and of a tapered segment, solved from those that are given. For Segment.
//
//     arc     chord = 2 R sin(angle / 2), chord rise = R (1 - cos(angle / 2)), length = R angle
//     taper   radius growing evenly with the turn, rise likewise; rise = pitch turns, and the length by the
//             exact integral of the spiral (SegmentCurve)
#pragma once

#include <coilwright/coil/segment_measure.hpp>
#include <map>
#include <string>
#include <vector>

namespace coilwright {

using SegmentNumbers = std::map<SegmentMeasure, double>;  // mm, rad, turns; radii to the centreline

struct ArcNumbers {
  double radius_mm, angle_rad;  // angle at most one full turn
};

struct TaperNumbers {
  double start_radius_mm, end_radius_mm, turn_rad, rise_mm;
};

// Either every shape that fits, the one to be preferred first, or why there is none. Neither if the numbers
// do not settle the segment.
template <class Numbers>
struct SegmentShapes {
  std::vector<Numbers> fit;
  std::string impossible;            // whole sentences: which measure, by how much, what would do
  SegmentMeasure about{};            // of `impossible`
  std::vector<SegmentMeasure> used;  // the measures that were enough
};

// All given numbers are positive and finite. Measures that follow from the others are not looked at.
SegmentShapes<ArcNumbers> solve_arc(const SegmentNumbers& given);
// Likewise; rise and pitch may be 0. A scroll gives rise 0.
SegmentShapes<TaperNumbers> solve_taper(const SegmentNumbers& given);

// Every measure of it.
SegmentNumbers arc_measures(const ArcNumbers& arc);
SegmentNumbers taper_measures(const TaperNumbers& taper);
double taper_length_mm(const TaperNumbers& taper);

}  // namespace coilwright
