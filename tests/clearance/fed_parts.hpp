// Parts of several segments for the tests of their clearance, made from a seed.
#pragma once

#include <coilwright/clearance/certified_minimum.hpp>
#include <coilwright/clearance/fed_part.hpp>

#include "bench.hpp"

namespace coilwright::bench {

// Segments that continue each other, each turned about the tangent at its start by `roll_rad`, all held by the
// machine in the same way: the tangent at the bend point toward -x, the inside toward +y.
inline FedPart chained(const std::vector<SegmentShape>& shapes, const std::vector<double>& rolls_rad = {},
                       const Eigen::Isometry3d& X_FB = Eigen::Isometry3d(
                           Eigen::AngleAxisd(std::numbers::pi, Eigen::Vector3d::UnitY()))) {
  std::vector<FedSegment> segments;
  Eigen::Isometry3d X = Eigen::Isometry3d::Identity();
  for (std::size_t i = 0; i < shapes.size(); ++i) {
    if (i < rolls_rad.size()) X = X * Eigen::AngleAxisd(rolls_rad[i], Eigen::Vector3d::UnitX());
    segments.push_back({shapes[i], X, X_FB});
    X = X * frame_along(shapes[i], length_mm(shapes[i]));
  }
  return FedPart(segments);
}

inline ScrewSegment helix_segment(double plan_radius, double pitch, double length) {
  const Helix helix(Length::mm(plan_radius), Length::mm(pitch), Hand::right_screw);
  return {helix.curvature().per_mm(), helix.torsion().per_mm(), length};
}

// A point of the part as it stands at a fed length, from nothing but its frames.
inline Eigen::Vector3d standing(const FedPart& part, double fed, double along) {
  const auto segment_at = [&](double u) {
    std::size_t i = 0;
    while (i + 1 < part.segments().size() && part.starts_mm()[i + 1] < u) ++i;
    return i;
  };
  const auto frame = [&](double u) {
    const std::size_t i = segment_at(u);
    return Eigen::Isometry3d(part.segments()[i].X_PS * frame_along(part.segments()[i].shape, u - part.starts_mm()[i]));
  };
  return part.segments()[segment_at(fed)].X_FB * (frame(fed).inverse() * frame(along).translation());
}

// Everything from `lag_from_mm` behind the bend point on, at all fed lengths.
inline std::vector<PatchCourse> courses_of(const FedPart& part, std::span<const std::uint32_t> bodies,
                                           const Eigen::Vector2d& half_edges = Eigen::Vector2d::Zero(),
                                           double lag_from_mm = 0.0) {
  std::vector<PatchCourse> courses;
  for (const FedPatch& patch : part.patches(0.0, part.length_mm(), lag_from_mm)) courses.push_back({patch, bodies, half_edges});
  return courses;
}

// Solids around a part, none nearer than the tube and 3 mm at any fed length: boxes, cylinders and frusta in turn.
inline std::vector<Shape> shapes_around(const FedPart& part, std::uint64_t seed, std::size_t count, double size_mm,
                                        double clear_mm, const Eigen::Vector2d& half_edges = Eigen::Vector2d::Zero()) {
  Dice dice(seed);
  std::vector<Shape> shapes;
  const std::vector<std::uint32_t> one{0};
  const std::vector<PatchCourse> courses = courses_of(part, one, half_edges);
  while (shapes.size() < count) {
    const Eigen::Vector3d centre = dice.within(size_mm);
    const Shape shape = random_shape(dice, centre, static_cast<int>(shapes.size()) % 3);
    const std::vector<ConvexBody> body{ConvexBody(shape)};
    if (!CertifiedMinimum(0.5).find(courses, Scenery{body}, clear_mm).meeting) shapes.push_back(shape);
  }
  return shapes;
}
inline std::vector<ConvexBody> solids_around(const FedPart& part, std::uint64_t seed, std::size_t count, double size_mm,
                                             double clear_mm, const Eigen::Vector2d& half_edges = Eigen::Vector2d::Zero()) {
  const std::vector<Shape> shapes = shapes_around(part, seed, count, size_mm, clear_mm, half_edges);
  return {shapes.begin(), shapes.end()};
}

// Evaluations to certify every solid alone, and the least of all at once.
struct Counts {
  std::size_t each = 0, overall = 0;
};
inline Counts count(const FedPart& part, const std::vector<ConvexBody>& solids,
                    const Eigen::Vector2d& half_edges = Eigen::Vector2d::Zero()) {
  constexpr double tolerance = 0.01;
  std::vector<std::uint32_t> indices;
  for (std::uint32_t i = 0; i < solids.size(); ++i) indices.push_back(i);
  CertifiedMinimum each(tolerance), overall(tolerance);
  for (std::size_t i = 0; i < solids.size(); ++i)
    each.find(courses_of(part, std::span(indices).subspan(i, 1), half_edges), Scenery{solids});
  overall.find(courses_of(part, indices, half_edges), Scenery{solids});
  return {each.evaluations(), overall.evaluations()};
}

}  // namespace coilwright::bench
