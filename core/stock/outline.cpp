#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/stock/outline.hpp>
#include <numbers>

namespace coilwright {
namespace {

constexpr double pi = std::numbers::pi;

// First and second moments about the origin.
struct Sums {
  double area = 0.0, x = 0.0, y = 0.0, xx = 0.0, yy = 0.0, xy = 0.0;
};

// The triangle between the origin and a chord.
void add_chord(Sums& s, double x0, double y0, double x1, double y1) {
  const double cross = x0 * y1 - x1 * y0;
  s.area += cross / 2.0;
  s.x += cross * (x0 + x1) / 6.0;
  s.y += cross * (y0 + y1) / 6.0;
  s.xx += cross * (x0 * x0 + x0 * x1 + x1 * x1) / 12.0;
  s.yy += cross * (y0 * y0 + y0 * y1 + y1 * y1) / 12.0;
  s.xy += cross * (x0 * y1 + 2.0 * x0 * y0 + 2.0 * x1 * y1 + x1 * y0) / 24.0;
}

// The circular segment between an arc and its chord, added where the arc turns left, taken off where right.
// With half the turn a, u along the bisector and v across it, from the centre:
//   A = r^2 (a - sin a cos a), int u = 2 r^3 sin^3 a / 3, int u^2 = r^4 (a + s c - 2 s c^3) / 4,
//   int v^2 = r^4 (a - s c - 2 s^3 c / 3) / 4.
void add_segment(Sums& sums, const OutlineSide::Arc& arc) {
  const double a = 0.5 * std::abs(arc.turn_rad), sign = arc.turn_rad > 0.0 ? 1.0 : -1.0;
  const double s = std::sin(a), c = std::cos(a), r = arc.radius_mm, r4 = r * r * r * r;
  const double area = r * r * (a - s * c), u = 2.0 / 3.0 * r * r * r * s * s * s;
  const double uu = r4 / 4.0 * (a + s * c - 2.0 * s * c * c * c);
  const double vv = r4 / 4.0 * (a - s * c - 2.0 / 3.0 * s * s * s * c);
  const double middle = arc.start_rad + 0.5 * arc.turn_rad, ux = std::cos(middle), uy = std::sin(middle);
  const double x = arc.x_mm, y = arc.y_mm;
  sums.area += sign * area;
  sums.x += sign * (x * area + ux * u);
  sums.y += sign * (y * area + uy * u);
  sums.xx += sign * (x * x * area + 2.0 * x * ux * u + ux * ux * uu + uy * uy * vv);
  sums.yy += sign * (y * y * area + 2.0 * y * uy * u + uy * uy * uu + ux * ux * vv);
  sums.xy += sign * (x * y * area + (x * uy + y * ux) * u + ux * uy * (uu - vv));
}

Sums sums_of(const std::vector<OutlineLoop>& loops, double x, double y) {
  Sums s;
  for (const OutlineLoop& loop : loops)
    for (const OutlineSide& side : sides_of(loop)) {
      add_chord(s, side.from.x_mm - x, side.from.y_mm - y, side.to_x_mm - x, side.to_y_mm - y);
      if (side.straight()) continue;
      OutlineSide::Arc arc = side.arc();
      arc.x_mm -= x, arc.y_mm -= y;
      add_segment(s, arc);
    }
  return s;
}

}  // namespace

AreaMoments moments_of(const std::vector<OutlineLoop>& loops) {
  // Twice: the second moments are then summed about the centroid itself and lose nothing to a far origin.
  const OutlinePoint& near = loops.front().front();
  const Sums first = sums_of(loops, near.x_mm, near.y_mm);
  const double x = near.x_mm + first.x / first.area, y = near.y_mm + first.y / first.area;
  const Sums s = sums_of(loops, x, y);
  return {s.area, x, y, s.yy, s.xx, s.xy};
}

double OutlineSide::length_mm() const {
  if (straight()) return std::hypot(to_x_mm - from.x_mm, to_y_mm - from.y_mm);
  const Arc a = arc();
  return a.radius_mm * std::abs(a.turn_rad);
}

OutlineSide::Arc OutlineSide::arc() const {
  require(!straight(), "an arc");
  const double dx = to_x_mm - from.x_mm, dy = to_y_mm - from.y_mm, b = from.bulge;
  // The centre lies left of the chord's middle by chord (1 - b^2) / (4 b).
  const double off = (1.0 - b * b) / (4.0 * b);
  const double x = 0.5 * (from.x_mm + to_x_mm) - off * dy, y = 0.5 * (from.y_mm + to_y_mm) + off * dx;
  return {x, y, std::hypot(dx, dy) * (1.0 + b * b) / (4.0 * std::abs(b)),
          std::atan2(from.y_mm - y, from.x_mm - x), 4.0 * std::atan(b)};
}

bool OutlineSide::Arc::passes(double direction_rad) const {
  constexpr double rounding = 1e-12;
  double ahead = turn_rad > 0.0 ? direction_rad - start_rad : start_rad - direction_rad;
  ahead -= 2.0 * pi * std::floor(ahead / (2.0 * pi));
  return ahead <= std::abs(turn_rad) + rounding || ahead >= 2.0 * pi - rounding;
}

std::vector<OutlineSide> sides_of(const OutlineLoop& loop) {
  std::vector<OutlineSide> sides;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const OutlinePoint& next = loop[(i + 1) % loop.size()];
    sides.push_back({loop[i], next.x_mm, next.y_mm});
  }
  return sides;
}

OutlineLoop rounded(const std::vector<RoundedCorner>& corners) {
  const std::size_t n = corners.size();
  std::vector<double> cut(n, 0.0), turn(n, 0.0);  // length of side taken by the rounding; turn there
  const auto side = [&](std::size_t i) {
    const RoundedCorner &a = corners[i % n], &b = corners[(i + 1) % n];
    return std::array{b.x_mm - a.x_mm, b.y_mm - a.y_mm, std::hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm)};
  };
  for (std::size_t i = 0; i < n; ++i) {
    const auto in = side(i + n - 1), out = side(i);
    turn[i] = std::atan2(in[0] * out[1] - in[1] * out[0], in[0] * out[0] + in[1] * out[1]);
    cut[i] = corners[i].radius_mm * std::abs(std::tan(0.5 * turn[i]));
  }
  constexpr double rounding = 1e-12;  // of a side: two roundings may just meet
  OutlineLoop loop;
  for (std::size_t i = 0; i < n; ++i) {
    const auto in = side(i + n - 1), out = side(i);
    if (cut[i] + cut[(i + 1) % n] > out[2] * (1.0 + rounding)) return {};
    const RoundedCorner& c = corners[i];
    if (cut[i] == 0.0) {
      loop.push_back({c.x_mm, c.y_mm, 0.0});
      continue;
    }
    loop.push_back({c.x_mm - in[0] / in[2] * cut[i], c.y_mm - in[1] / in[2] * cut[i],
                    std::tan(0.25 * turn[i])});
    loop.push_back({c.x_mm + out[0] / out[2] * cut[i], c.y_mm + out[1] / out[2] * cut[i], 0.0});
  }
  // Roundings that meet leave a side of no length.
  OutlineLoop clean;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const OutlinePoint& next = loop[(i + 1) % loop.size()];
    const double scale = std::abs(next.x_mm) + std::abs(next.y_mm) + 1e-300;
    if (loop[i].bulge == 0.0 &&
        std::hypot(next.x_mm - loop[i].x_mm, next.y_mm - loop[i].y_mm) <= 8.0 * rounding * scale)
      continue;
    clean.push_back(loop[i]);
  }
  return clean;
}

OutlineLoop circle(double x_mm, double y_mm, double radius_mm) {
  return {{x_mm + radius_mm, y_mm, 1.0}, {x_mm - radius_mm, y_mm, 1.0}};
}

Outline::Outline(std::vector<OutlineLoop> loops) : loops_(std::move(loops)), moments_(moments_of(loops_)) {}

double Outline::outside_perimeter_mm() const {
  double sum = 0.0;
  for (const OutlineSide& side : sides_of(loops_.front())) sum += side.length_mm();
  return sum;
}

double Outline::hole_perimeter_mm() const {
  double sum = 0.0;
  for (std::size_t i = 1; i < loops_.size(); ++i)
    for (const OutlineSide& side : sides_of(loops_[i])) sum += side.length_mm();
  return sum;
}

double Outline::outside_area_mm2() const { return moments_of({loops_.front()}).area_mm2; }

Outline::Extent Outline::depth_mm() const {
  Extent e{loops_.front().front().y_mm, loops_.front().front().y_mm};
  for (const OutlineSide& side : sides_of(loops_.front())) {
    e = {std::min(e.lowest, side.from.y_mm), std::max(e.highest, side.from.y_mm)};
    if (side.straight()) continue;
    const OutlineSide::Arc a = side.arc();
    if (a.passes(0.5 * pi)) e.highest = std::max(e.highest, a.y_mm + a.radius_mm);
    if (a.passes(-0.5 * pi)) e.lowest = std::min(e.lowest, a.y_mm - a.radius_mm);
  }
  return e;
}

Outline::Extent Outline::along_shafts_mm() const {
  Extent e{loops_.front().front().x_mm, loops_.front().front().x_mm};
  for (const OutlineSide& side : sides_of(loops_.front())) {
    e = {std::min(e.lowest, side.from.x_mm), std::max(e.highest, side.from.x_mm)};
    if (side.straight()) continue;
    const OutlineSide::Arc a = side.arc();
    if (a.passes(0.0)) e.highest = std::max(e.highest, a.x_mm + a.radius_mm);
    if (a.passes(pi)) e.lowest = std::min(e.lowest, a.x_mm - a.radius_mm);
  }
  return e;
}

double Outline::radius_about_mm(double x_mm, double y_mm) const {
  double radius = 0.0;
  for (const OutlineSide& side : sides_of(loops_.front())) {
    radius = std::max(radius, std::hypot(side.from.x_mm - x_mm, side.from.y_mm - y_mm));
    if (side.straight()) continue;
    // The point of the circle farthest from a point lies beyond its centre.
    const OutlineSide::Arc a = side.arc();
    const double dx = a.x_mm - x_mm, dy = a.y_mm - y_mm;
    if (a.passes(std::atan2(dy, dx))) radius = std::max(radius, std::hypot(dx, dy) + a.radius_mm);
  }
  return radius;
}

Outline Outline::moved(double dx_mm, double dy_mm) const {
  std::vector<OutlineLoop> loops = loops_;
  for (OutlineLoop& loop : loops)
    for (OutlinePoint& p : loop) p.x_mm += dx_mm, p.y_mm += dy_mm;
  return Outline(std::move(loops));
}

std::vector<std::vector<std::array<double, 2>>> Outline::points(double chord_rise_mm) const {
  require(chord_rise_mm > 0.0, "a positive chord rise");
  std::vector<std::vector<std::array<double, 2>>> all;
  for (const OutlineLoop& loop : loops_) {
    auto& list = all.emplace_back();
    for (const OutlineSide& side : sides_of(loop)) {
      list.push_back({side.from.x_mm, side.from.y_mm});
      if (side.straight()) continue;
      const OutlineSide::Arc a = side.arc();
      // Rise of a chord over the angle p: r (1 - cos(p / 2)).
      const double part = 2.0 * std::acos(std::max(0.0, 1.0 - chord_rise_mm / a.radius_mm));
      const int parts = static_cast<int>(std::ceil(std::abs(a.turn_rad) / part));
      for (int i = 1; i < parts; ++i) {
        const double at = a.start_rad + a.turn_rad * i / parts;
        list.push_back({a.x_mm + a.radius_mm * std::cos(at), a.y_mm + a.radius_mm * std::sin(at)});
      }
    }
  }
  return all;
}

}  // namespace coilwright
