#include <algorithm>
#include <cmath>
#include <coilwright/clearance/certified_minimum.hpp>
#include <coilwright/clearance/sweep.hpp>
#include <coilwright/quantity/require.hpp>
#include <limits>
#include <vector>

namespace coilwright {
namespace {

constexpr double unlimited = std::numeric_limits<double>::infinity();

// What of a section reaches farthest: its corners; without edges the centreline.
std::vector<std::optional<Eigen::Vector2d>> corners_of(const SectionBox& section) {
  if (!section.has_edges()) return {std::nullopt};
  const auto corners = section.corners();
  return {corners.begin(), corners.end()};
}

BoundedPoint point_of(const Stretch& stretch, double lag, double straight, const std::optional<Eigen::Vector2d>& corner) {
  if (corner) return stretch.at(lag, {*corner, straight});
  const BoundedPoint m = stretch.at(lag);
  return straight > 0.0 ? stretch.ahead(m, straight) : m;
}

// Upper bound over |w - w0| <= half of a convex function with slope at most 1. Up to the third derivative
// the curve is a parabola, which lies in the triangle of its Bezier points; or it lies within the second
// derivative's remainder of its tangent. A convex function is greatest at a corner.
template <class Function>
double greatest(const Function& function, const BoundedPoint& m, double half, double reach) {
  const Eigen::Vector3d step = half * m.c.d1;
  double bound = std::min(function(m.c.p) + reach,
                          std::max(function(m.c.p - step), function(m.c.p + step)) +
                              0.5 * m.second_bound_per_mm * half * half);
  if (m.third_bound_per_mm2 < unlimited) {
    const Eigen::Vector3d bend = 0.5 * half * half * m.c.d2;
    bound = std::min(bound, std::max({function(m.c.p - step + bend), function(m.c.p + step + bend),
                                      function(m.c.p - bend)}) +
                                m.third_bound_per_mm2 * half * half * half / 6.0 + 0.5 * m.loose_per_mm * half * half);
  }
  return bound;
}

// The greatest value of a convex function with slope at most 1 over all courses; over a straight it stands
// at one of its ends.
template <class Function>
double greatest_over(const Function& function, std::span<const SweptCourse> courses, double tolerance) {
  struct Piece {
    double upper, middle, half, straight;
    const Stretch* stretch;
    std::optional<Eigen::Vector2d> corner;  // of the section; none: the centreline
  };
  const auto lesser = [](const Piece& a, const Piece& b) { return a.upper < b.upper; };
  std::vector<Piece> heap;
  double best = -unlimited, dropped = -unlimited, extent = 0.0;
  for (const SweptCourse& course : courses)
    extent = std::max(extent, course.stretch.extent_mm() + course.straight_mm + course.section.reach_mm());
  const auto add = [&](Piece piece) {
    const BoundedPoint m = point_of(*piece.stretch, piece.middle, piece.straight, piece.corner);
    best = std::max(best, function(m.c.p));
    piece.upper = std::min(piece.upper, greatest(function, m, piece.half, piece.stretch->reach(m, piece.half)));
    if (piece.upper <= best + tolerance) {
      dropped = std::max(dropped, piece.upper);
      return;
    }
    heap.push_back(piece);
    std::push_heap(heap.begin(), heap.end(), lesser);
  };
  const auto add_whole = [&](const Stretch& stretch, double straight, std::optional<Eigen::Vector2d> corner) {
    add({unlimited, 0.5 * (stretch.from_mm() + stretch.to_mm()), 0.5 * (stretch.to_mm() - stretch.from_mm()),
         straight, &stretch, corner});
  };
  for (const SweptCourse& course : courses)
    for (const auto& corner : corners_of(course.section)) {
      add_whole(course.stretch, 0.0, corner);
      if (course.straight_mm > 0.0) add_whole(course.stretch, course.straight_mm, corner);
    }
  while (!heap.empty() && heap.front().upper > best + tolerance) {
    std::pop_heap(heap.begin(), heap.end(), lesser);
    const Piece top = heap.back();
    heap.pop_back();
    const double half = 0.5 * top.half;
    add({top.upper, top.middle - half, half, top.straight, top.stretch, top.corner});
    add({top.upper, top.middle + half, half, top.straight, top.stretch, top.corner});
  }
  double upper = std::max(best, dropped);
  if (!heap.empty()) upper = std::max(upper, heap.front().upper);
  return upper + rounding_bound_mm(extent);
}

}  // namespace

double largest_plan_distance_mm(std::span<const SweptCourse> courses, double tolerance_mm) {
  require(!courses.empty() && tolerance_mm > 0.0, "a sweep needs courses and a tolerance");
  return greatest_over([](const Eigen::Vector3d& p) { return std::hypot(p.x(), p.y()); }, courses, tolerance_mm);
}

double highest_mm(std::span<const SweptCourse> courses, double tolerance_mm) {
  require(!courses.empty() && tolerance_mm > 0.0, "a sweep needs courses and a tolerance");
  return greatest_over([](const Eigen::Vector3d& p) { return p.z(); }, courses, tolerance_mm);
}

std::optional<double> first_lag_above(const SweptCourse& course, double z_mm, double tolerance_mm) {
  require(tolerance_mm > 0.0, "a search needs a tolerance");
  // Halves not yet looked at, the earliest on top: the first piece that cannot be proved to stay below.
  struct Piece {
    double from, to;
  };
  const Stretch& stretch = course.stretch;
  std::vector<Piece> left{{stretch.from_mm(), stretch.to_mm()}};
  const double rounding = rounding_bound_mm(stretch.extent_mm() + course.straight_mm + std::abs(z_mm) + course.section.reach_mm());
  const auto corners = corners_of(course.section);
  // Along a straight the height is greatest at one of its ends.
  const auto highest_of = [&](const BoundedPoint& m, double half) {
    return m.c.p.z() + rounding - stretch.least_rise(m, -Eigen::Vector3d::UnitZ(), half);
  };
  while (!left.empty()) {
    const auto [from, to] = left.back();
    left.pop_back();
    const double middle = 0.5 * (from + to), half = 0.5 * (to - from);
    double upper = -unlimited;
    for (const auto& corner : corners)
      for (const double straight : {0.0, course.straight_mm})
        upper = std::max(upper, highest_of(point_of(stretch, middle, straight, corner), half));
    if (upper <= z_mm) continue;
    if (half <= 0.5 * tolerance_mm) return from;
    left.push_back({middle, to});
    left.push_back({from, middle});
  }
  return std::nullopt;
}

}  // namespace coilwright
