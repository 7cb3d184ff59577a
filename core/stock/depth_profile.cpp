#include <algorithm>
#include <cmath>
#include <coilwright/stock/depth_profile.hpp>
#include <numbers>

namespace coilwright {
namespace {

// Where two breaks count as one, and what two halves may differ by: roundings of the outline's points.
constexpr double rounding = 1e-11;

// A stretch of a side on which the depth only rises or only falls.
struct Piece {
  double low, high;
  double sign;  // +1 where the loop goes up
  // x = x0 + x1 y, or with a radius x = x0 + x1 sqrt(r^2 - (y - y_c)^2), x1 = +-1
  double x0, x1;
  double arc_y = 0.0, radius = 0.0;
};

void add_pieces(std::vector<Piece>& pieces, const OutlineSide& side, double cx, double cy) {
  const double x = side.from.x_mm - cx, y = side.from.y_mm - cy, to_x = side.to_x_mm - cx, to_y = side.to_y_mm - cy;
  if (side.straight()) {
    if (y == to_y) return;
    const double slope = (to_x - x) / (to_y - y);
    pieces.push_back({std::min(y, to_y), std::max(y, to_y), to_y > y ? 1.0 : -1.0, x - slope * y, slope});
    return;
  }
  constexpr double half_turn = std::numbers::pi;
  const OutlineSide::Arc arc = side.arc();
  const double centre_x = arc.x_mm - cx, centre_y = arc.y_mm - cy, way = arc.turn_rad > 0.0 ? 1.0 : -1.0;
  // Split where the tangent is level: at directions pi / 2 + n pi from the centre.
  const double end = arc.start_rad + arc.turn_rad;
  std::vector<double> cuts{arc.start_rad};
  const double low = std::min(arc.start_rad, end), high = std::max(arc.start_rad, end);
  for (double n = std::ceil((low - 0.5 * half_turn) / half_turn); 0.5 * half_turn + n * half_turn < high; ++n)
    if (const double cut = 0.5 * half_turn + n * half_turn; cut > low + 1e-12 && cut < high - 1e-12) cuts.push_back(cut);
  if (way < 0.0) std::sort(cuts.begin() + 1, cuts.end(), std::greater<>());
  cuts.push_back(end);
  double from = y;
  for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
    const bool last = i + 2 == cuts.size();
    const double to = last ? to_y : centre_y + arc.radius_mm * (std::sin(cuts[i + 1]) > 0.0 ? 1.0 : -1.0);
    const double half = std::cos(0.5 * (cuts[i] + cuts[i + 1])) > 0.0 ? 1.0 : -1.0;
    if (from != to)
      pieces.push_back({std::min(from, to), std::max(from, to), to > from ? 1.0 : -1.0, centre_x, half, centre_y, arc.radius_mm});
    from = to;
  }
}

// int q du, int u q du, int u^2 q du with q = sqrt(r^2 - u^2).
struct ArcPrimitives {
  double j0, j1, j2;
};
ArcPrimitives arc_primitives(double r, double u) {
  u = std::clamp(u, -r, r);
  const double q = std::sqrt((r - u) * (r + u)), turn = std::atan2(u, q);  // asin loses half the digits near its ends
  return {0.5 * (u * q + r * r * turn), -q * q * q / 3.0, u * (2.0 * u * u - r * r) * q / 8.0 + r * r * r * r * turn / 8.0};
}

double half_chord(double r, double u) { return std::sqrt(std::max(0.0, (r - u) * (r + u))); }

}  // namespace

DepthProfile::DepthProfile(const Outline& outline) {
  fill_slabs(outline);
  total_ = below(highest());
  side_total_ = side_below(highest());
  even_ = find_even();
  // The axis that halves the area: it rises with depth, so halving the interval cannot miss.
  double low = lowest(), high = highest();
  for (int i = 0; i < 200 && high - low > 1e-15 * (highest() - lowest()); ++i) {
    const double middle = 0.5 * (low + high);
    (below(middle).area < 0.5 * total_.area ? low : high) = middle;
  }
  halving_axis_ = even_ ? 0.0 : 0.5 * (low + high);
  const Integrals half = below(halving_axis_);
  plastic_modulus_ = (total_.first - 2.0 * half.first) - halving_axis_ * (total_.area - 2.0 * half.area);
}

void DepthProfile::fill_slabs(const Outline& outline) {
  const AreaMoments& m = outline.moments();
  std::vector<Piece> pieces;
  for (const OutlineLoop& loop : outline.loops())
    for (const OutlineSide& side : sides_of(loop)) add_pieces(pieces, side, m.x_mm, m.y_mm);
  std::vector<double> ends;
  for (const Piece& p : pieces) ends.push_back(p.low), ends.push_back(p.high);
  std::sort(ends.begin(), ends.end());
  const double same = rounding * (ends.back() - ends.front());
  for (const double end : ends)
    if (breaks_.empty() || end - breaks_.back() > same) breaks_.push_back(end);

  Integrals sum;
  SideIntegrals side_sum;
  for (std::size_t i = 0; i + 1 < breaks_.size(); ++i) {
    Slab slab;
    for (const Piece& p : pieces) {
      if (p.low > breaks_[i] + same || p.high < breaks_[i + 1] - same) continue;
      if (p.radius == 0.0) {
        slab.b0 += p.sign * p.x0, slab.b1 += p.sign * p.x1;
        slab.s0 += 0.5 * p.sign * p.x0 * p.x0, slab.s1 += p.sign * p.x0 * p.x1, slab.s2 += 0.5 * p.sign * p.x1 * p.x1;
        continue;
      }
      slab.b0 += p.sign * p.x0;
      // x^2 / 2 = (x_c^2 + r^2 - (y - y_c)^2) / 2 +- x_c q
      slab.s0 += 0.5 * p.sign * (p.x0 * p.x0 + (p.radius - p.arc_y) * (p.radius + p.arc_y));
      slab.s1 += p.sign * p.arc_y, slab.s2 -= 0.5 * p.sign;
      auto same_circle = std::find_if(slab.arcs.begin(), slab.arcs.end(), [&](const Arc& a) {
        return std::abs(a.y - p.arc_y) <= same && std::abs(a.radius - p.radius) <= same;
      });
      if (same_circle == slab.arcs.end()) same_circle = slab.arcs.insert(same_circle, {p.arc_y, p.radius, 0.0, 0.0});
      same_circle->breadth += p.sign * p.x1;
      same_circle->side += p.sign * p.x1 * p.x0;
    }
    const Integrals at = primitive(slab, breaks_[i]);
    const SideIntegrals side_at = side_primitive(slab, breaks_[i]);
    slab.constant = {sum.area - at.area, sum.first - at.first, sum.second - at.second};
    slab.side_constant = {side_sum.first - side_at.first, side_sum.product - side_at.product};
    sum = primitive(slab, breaks_[i + 1]);
    side_sum = side_primitive(slab, breaks_[i + 1]);
    slabs_.push_back(std::move(slab));
  }
}

DepthProfile::Integrals DepthProfile::primitive(const Slab& s, double y) {
  const double y2 = y * y, y3 = y2 * y;
  Integrals r{s.constant.area + s.b0 * y + s.b1 * y2 / 2.0, s.constant.first + s.b0 * y2 / 2.0 + s.b1 * y3 / 3.0,
              s.constant.second + s.b0 * y3 / 3.0 + s.b1 * y2 * y2 / 4.0};
  for (const Arc& a : s.arcs) {
    const auto [j0, j1, j2] = arc_primitives(a.radius, y - a.y);
    r.area += a.breadth * j0;
    r.first += a.breadth * (j1 + a.y * j0);
    r.second += a.breadth * (j2 + a.y * (2.0 * j1 + a.y * j0));
  }
  return r;
}

DepthProfile::SideIntegrals DepthProfile::side_primitive(const Slab& s, double y) {
  const double y2 = y * y, y3 = y2 * y;
  SideIntegrals r{s.side_constant.first + s.s0 * y + s.s1 * y2 / 2.0 + s.s2 * y3 / 3.0,
                  s.side_constant.product + s.s0 * y2 / 2.0 + s.s1 * y3 / 3.0 + s.s2 * y2 * y2 / 4.0};
  for (const Arc& a : s.arcs) {
    const auto [j0, j1, j2] = arc_primitives(a.radius, y - a.y);
    r.first += a.side * j0;
    r.product += a.side * (j1 + a.y * j0);
  }
  return r;
}

const DepthProfile::Slab& DepthProfile::slab_at(double y) const {
  const auto above = std::upper_bound(breaks_.begin() + 1, breaks_.end() - 1, y);
  return slabs_[static_cast<std::size_t>(above - breaks_.begin()) - 1];
}

DepthProfile::Integrals DepthProfile::below(double y) const {
  y = std::clamp(y, lowest(), highest());
  return primitive(slab_at(y), y);
}

DepthProfile::SideIntegrals DepthProfile::side_below(double y) const {
  y = std::clamp(y, lowest(), highest());
  return side_primitive(slab_at(y), y);
}

double DepthProfile::breadth(double y) const {
  const Slab& s = slab_at(y);
  double b = s.b0 + s.b1 * y;
  for (const Arc& a : s.arcs) b += a.breadth * half_chord(a.radius, y - a.y);
  return b;
}

double DepthProfile::side_moment(double y) const {
  const Slab& s = slab_at(y);
  double m = s.s0 + (s.s1 + s.s2 * y) * y;
  for (const Arc& a : s.arcs) m += a.side * half_chord(a.radius, y - a.y);
  return m;
}

bool DepthProfile::find_even() const {
  // The closed forms are of low degree: agreeing at five depths of each slab is agreeing everywhere.
  const double height = highest() - lowest();
  for (std::size_t i = 0; i + 1 < breaks_.size(); ++i)
    for (const double part : {0.0, 0.13, 0.37, 0.61, 0.89}) {
      const double y = breaks_[i] + part * (breaks_[i + 1] - breaks_[i]);
      const Integrals here = below(y), mirrored = below(-y);
      if (std::abs(here.area + mirrored.area - total_.area) > rounding * total_.area) return false;
      if (std::abs(here.first - mirrored.first) > rounding * total_.area * height) return false;
    }
  return std::abs(lowest() + highest()) <= rounding * height;
}

}  // namespace coilwright
