#include "brute_force.hpp"

#include <array>
#include <limits>
#include <queue>

namespace coilwright::bench {

Enclosure least_by_halving(const Surface& s, const std::function<double(const Eigen::Vector3d&)>& value,
                           double within) {
  struct Cell {
    double low, v, half_v, w, half_w;
    bool operator<(const Cell& other) const { return low > other.low; }
  };
  std::priority_queue<Cell> cells;
  double high = std::numeric_limits<double>::infinity();
  const auto add = [&](double v, double half_v, double w, double half_w) {
    const double here = value(s.at(v, w));
    high = std::min(high, here);
    cells.push({here - s.speed_v * half_v - s.speed_w * half_w, v, half_v, w, half_w});
  };
  add(0.5 * (s.from_v + s.to_v), 0.5 * (s.to_v - s.from_v), 0.5 * (s.from_w + s.to_w), 0.5 * (s.to_w - s.from_w));
  while (cells.top().low < high - within) {
    const Cell c = cells.top();
    cells.pop();
    if (s.speed_v * c.half_v >= s.speed_w * c.half_w) {
      add(c.v - 0.5 * c.half_v, 0.5 * c.half_v, c.w, c.half_w);
      add(c.v + 0.5 * c.half_v, 0.5 * c.half_v, c.w, c.half_w);
    } else {
      add(c.v, c.half_v, c.w - 0.5 * c.half_w, 0.5 * c.half_w);
      add(c.v, c.half_v, c.w + 0.5 * c.half_w, 0.5 * c.half_w);
    }
  }
  return {std::min(high, cells.top().low), high};
}

std::vector<Surface> surfaces_of(const ClearanceScene& scene, Piece piece) {
  const PosedPart& part = *scene.part;
  const double entry = -part.span_in_mm(), exit = part.span_out_mm();
  std::pair<double, double> lags;
  switch (piece) {
    case Piece::stock: lags = {entry - scene.stock_mm, entry}; break;
    case Piece::spans: lags = {entry, exit}; break;
    case Piece::coil: lags = {exit, scene.coil_to_mm}; break;
    case Piece::lead_arc: lags = {std::max(exit, scene.coil_to_mm), scene.rolled_mm}; break;
    case Piece::front_end: lags = {exit, scene.rolled_mm}; break;
  }
  const double ahead = piece == Piece::front_end ? scene.front_end_mm : 0.0;
  const double coil = std::max(exit, part.outboard_lag_mm());
  const std::array<std::pair<Stage, std::pair<double, double>>, 4> stages{{{Stage::stock, {-1e9, entry}},
                                                                           {Stage::spans, {entry, exit}},
                                                                           {Stage::arc, {exit, coil}},
                                                                           {Stage::coil, {coil, 1e9}}}};
  std::vector<Surface> surfaces;
  for (const auto& [stage, range] : stages) {
    const double from = std::max(lags.first, range.first), to = std::min(lags.second, range.second);
    if (from >= to) continue;
    // A unit tangent turns no faster than 1.2 times the curvature's bound while |X'| > 0.9, and |X'| < 1.1.
    const double turning = 1.2 * std::max(part.spans_second_bound_per_mm(), part.arc_second_bound_per_mm());
    surfaces.push_back({[&part, stage = stage](double lag, double l) -> Eigen::Vector3d {
                          const CurvePoint c = part.at(stage, lag);
                          return c.p + l * c.d1.normalized();
                        },
                        from, to, 0.0, ahead, 1.1 + ahead * turning, 1.0});
  }
  return surfaces;
}

Enclosure least_to_bodies(const ClearanceScene& scene, Piece piece, const std::vector<Shape>& shapes, double within) {
  const std::vector<ConvexBody> bodies(shapes.begin(), shapes.end());
  Enclosure least{std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
  const auto distance = [&](const Eigen::Vector3d& p) {
    double nearest = std::numeric_limits<double>::infinity();
    for (const ConvexBody& body : bodies) nearest = std::min(nearest, body.distance(p).distance_mm);
    return nearest - scene.tube_radius_mm;
  };
  for (const Surface& surface : surfaces_of(scene, piece)) {
    const Enclosure one = least_by_halving(surface, distance, within);
    least = {std::min(least.low, one.low), std::min(least.high, one.high)};
  }
  return least;
}

}  // namespace coilwright::bench
