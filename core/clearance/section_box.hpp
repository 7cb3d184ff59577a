// The cross-section as clearance takes it: a rectangle with rounded edges.
//
// Axes as those of a section (stock/section.hpp) about the centreline: inward is the depth, toward the inside of the
// bend; shafts the way along the shafts. Where they point along the part: rolling/pose.hpp. The points of the section
// are those within `rounding_mm` of a rectangle, whose middle may lie off the centreline:
//   round stock                 no edges, the rounding is its radius
//   rectangular tube, flat bar  its faces, the rounding its outside corner
//   anything else               the box around its outline, sharp: more than the section, never less. That box is what
//                               is proved to keep away; what lies between legs of an angle is not known to clear.
#pragma once

#include <Eigen/Core>
#include <array>
#include <coilwright/stock/section.hpp>

namespace coilwright {

struct SectionBox {
  Eigen::Vector2d middle_mm = Eigen::Vector2d::Zero();      // inward, along the shafts
  Eigen::Vector2d half_edges_mm = Eigen::Vector2d::Zero();  // both 0, or both > 0
  double rounding_mm = 0.0;
  double turned_rad = 0.0;  // how the bar lies in the rolls: about the centreline, from inward toward the shafts

  static SectionBox round(double radius_mm) { return {{0.0, 0.0}, {0.0, 0.0}, radius_mm, 0.0}; }
  // That holds a section.
  static SectionBox of(const Section& section);

  [[nodiscard]] bool has_edges() const { return half_edges_mm.x() > 0.0; }
  // Of the rectangle, as it lies: its middle, half its edges as vectors, its corners (-, -), (-, +), (+, -), (+, +).
  [[nodiscard]] Eigen::Vector2d middle() const;
  [[nodiscard]] Eigen::Matrix2d edges() const;
  [[nodiscard]] std::array<Eigen::Vector2d, 4> corners() const;
  // How far the section reaches from the centreline in a direction, whose length counts; and at the most.
  [[nodiscard]] double reach_along_mm(const Eigen::Vector2d& direction) const;
  [[nodiscard]] double reach_mm() const;
};

}  // namespace coilwright
