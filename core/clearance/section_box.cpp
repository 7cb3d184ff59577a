#include <algorithm>
#include <cmath>
#include <coilwright/clearance/section_box.hpp>

namespace coilwright {
namespace {

Eigen::Matrix2d turn_by(double angle) {
  Eigen::Matrix2d turn;
  turn << std::cos(angle), -std::sin(angle), std::sin(angle), std::cos(angle);
  return turn;
}

}  // namespace

SectionBox SectionBox::of(const Section& section) {
  if (section.round()) return round(0.5 * section.outside_diameter().mm());
  const Outline::Extent depth = section.outline().depth_mm(), shafts = section.outline().along_shafts_mm();
  SectionBox box;
  box.middle_mm = {0.5 * (depth.highest + depth.lowest), 0.5 * (shafts.highest + shafts.lowest)};
  box.half_edges_mm = {0.5 * (depth.highest - depth.lowest), 0.5 * (shafts.highest - shafts.lowest)};
  // A smaller rounding holds more; a rectangle keeps some edge of its own.
  constexpr double most_of_edge = 0.99;
  if (const auto* tube = std::get_if<RectangularTube>(&section.kind()))
    box.rounding_mm = std::min(tube->outside_radius().mm(), most_of_edge * box.half_edges_mm.minCoeff());
  box.half_edges_mm.array() -= box.rounding_mm;
  return box;
}

Eigen::Vector2d SectionBox::middle() const { return turned_rad == 0.0 ? middle_mm : Eigen::Vector2d(turn_by(turned_rad) * middle_mm); }

Eigen::Matrix2d SectionBox::edges() const {
  const Eigen::Matrix2d edges = half_edges_mm.asDiagonal();
  return turned_rad == 0.0 ? edges : Eigen::Matrix2d(turn_by(turned_rad) * edges);
}

std::array<Eigen::Vector2d, 4> SectionBox::corners() const {
  const Eigen::Vector2d m = middle();
  const Eigen::Matrix2d e = edges();
  const Eigen::Vector2d x = e.col(0), y = e.col(1);
  return {m - x - y, m - x + y, m + x - y, m + x + y};
}

double SectionBox::reach_along_mm(const Eigen::Vector2d& direction) const {
  return direction.dot(middle()) + (direction.transpose() * edges()).cwiseAbs().sum() + rounding_mm * direction.norm();
}

double SectionBox::reach_mm() const {
  double most = 0.0;
  for (const Eigen::Vector2d& corner : corners()) most = std::max(most, corner.norm());
  return most + rounding_mm;
}

}  // namespace coilwright
