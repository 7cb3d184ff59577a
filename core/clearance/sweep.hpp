// How far and how high the growing part reaches: proved upper bounds.
#pragma once

#include <coilwright/clearance/section_box.hpp>
#include <coilwright/clearance/stretch.hpp>
#include <optional>
#include <span>

namespace coilwright {

// A stretch of the part, or with a straight the surface that a straight end sweeps ahead of it.
struct SweptCourse {
  Stretch stretch;
  double straight_mm = 0.0;
  SectionBox section{};  // with edges: its rectangle instead of the centreline
};

// The largest distance of the centreline from the z axis of F, and its largest z: upper bounds, at most
// `tolerance_mm` above the truth. At least one course.
double largest_plan_distance_mm(std::span<const SweptCourse> courses, double tolerance_mm);
double highest_mm(std::span<const SweptCourse> courses, double tolerance_mm);

// The lag at which the stretch, or a straight end ahead of it, first rises above a height, at most
// `tolerance_mm` too early; none when both stay below. One that passes below by no more than rounding counts
// as rising above.
std::optional<double> first_lag_above(const SweptCourse& course, double z_mm, double tolerance_mm);

}  // namespace coilwright
