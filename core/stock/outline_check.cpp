// Which outlines are refused.
#include <algorithm>
#include <cmath>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/stock/outline.hpp>
#include <numbers>

namespace coilwright {
namespace {

using Point = std::array<double, 2>;
constexpr double largest_mm = 10000.0;
// The closed forms of an arc hold r^4 against r^4: at 1/400 of rise they still keep nine digits of the section's.
constexpr double flattest = 0.005;

// Rounding of a coordinate, relative to the size of the outline: what counts as the same point.
constexpr double same_point = 1e-9;

std::string said(double x, double y) { return "(" + number_text(x, 2) + ", " + number_text(y, 2) + ") mm"; }

// Points on both the carriers of two sides.
std::vector<Point> meetings(const OutlineSide& a, const OutlineSide& b) {
  std::vector<Point> points;
  if (a.straight() && b.straight()) {
    const double ax = a.to_x_mm - a.from.x_mm, ay = a.to_y_mm - a.from.y_mm;
    const double bx = b.to_x_mm - b.from.x_mm, by = b.to_y_mm - b.from.y_mm;
    const double cross = ax * by - ay * bx;
    if (std::abs(cross) <= same_point * std::hypot(ax, ay) * std::hypot(bx, by)) {
      // Parallel: they meet, if at all, in an end of one of them.
      return {{a.from.x_mm, a.from.y_mm}, {a.to_x_mm, a.to_y_mm}, {b.from.x_mm, b.from.y_mm}, {b.to_x_mm, b.to_y_mm}};
    }
    const double t = ((b.from.x_mm - a.from.x_mm) * by - (b.from.y_mm - a.from.y_mm) * bx) / cross;
    return {{a.from.x_mm + t * ax, a.from.y_mm + t * ay}};
  }
  if (a.straight()) {
    const OutlineSide::Arc c = b.arc();
    const double length = a.length_mm();
    const double ux = (a.to_x_mm - a.from.x_mm) / length, uy = (a.to_y_mm - a.from.y_mm) / length;
    const double along = (c.x_mm - a.from.x_mm) * ux + (c.y_mm - a.from.y_mm) * uy;
    const double off = (c.x_mm - a.from.x_mm) * uy - (c.y_mm - a.from.y_mm) * ux;
    if (std::abs(off) > c.radius_mm * (1.0 + same_point)) return {};
    const double half = std::sqrt(std::max(0.0, (c.radius_mm - off) * (c.radius_mm + off)));
    for (const double t : {along - half, along + half}) points.push_back({a.from.x_mm + t * ux, a.from.y_mm + t * uy});
    return points;
  }
  if (b.straight()) return meetings(b, a);
  const OutlineSide::Arc p = a.arc(), q = b.arc();
  const double dx = q.x_mm - p.x_mm, dy = q.y_mm - p.y_mm, apart = std::hypot(dx, dy);
  if (apart <= same_point * (p.radius_mm + q.radius_mm)) {
    // The same circle, or none in common: as with parallels.
    if (std::abs(p.radius_mm - q.radius_mm) > same_point * p.radius_mm) return {};
    return {{a.from.x_mm, a.from.y_mm}, {a.to_x_mm, a.to_y_mm}, {b.from.x_mm, b.from.y_mm}, {b.to_x_mm, b.to_y_mm}};
  }
  const double along = 0.5 * (apart + (p.radius_mm - q.radius_mm) * (p.radius_mm + q.radius_mm) / apart);
  if (std::abs(along) > p.radius_mm * (1.0 + same_point)) return {};
  const double half = std::sqrt(std::max(0.0, (p.radius_mm - along) * (p.radius_mm + along)));
  for (const double h : {-half, half})
    points.push_back({p.x_mm + (along * dx - h * dy) / apart, p.y_mm + (along * dy + h * dx) / apart});
  return points;
}

bool on_side(const OutlineSide& s, const Point& p, double near) {
  if (s.straight()) {
    const double dx = s.to_x_mm - s.from.x_mm, dy = s.to_y_mm - s.from.y_mm, length = s.length_mm();
    const double along = ((p[0] - s.from.x_mm) * dx + (p[1] - s.from.y_mm) * dy) / length;
    const double off = ((p[0] - s.from.x_mm) * dy - (p[1] - s.from.y_mm) * dx) / length;
    return std::abs(off) <= near && along >= -near && along <= length + near;
  }
  if (std::hypot(p[0] - s.from.x_mm, p[1] - s.from.y_mm) <= near) return true;
  if (std::hypot(p[0] - s.to_x_mm, p[1] - s.to_y_mm) <= near) return true;
  const OutlineSide::Arc a = s.arc();
  return std::abs(std::hypot(p[0] - a.x_mm, p[1] - a.y_mm) - a.radius_mm) <= near &&
         a.passes(std::atan2(p[1] - a.y_mm, p[0] - a.x_mm));
}

bool is_end(const OutlineSide& s, const Point& p, double near) {
  return std::hypot(p[0] - s.from.x_mm, p[1] - s.from.y_mm) <= near ||
         std::hypot(p[0] - s.to_x_mm, p[1] - s.to_y_mm) <= near;
}

// Turns of a loop round a point that does not lie on it, by the angles its chords and arcs subtend.
bool encloses(const OutlineLoop& loop, const Point& p) {
  double turned = 0.0;
  for (const OutlineSide& s : sides_of(loop)) {
    const auto angle = [&](double x, double y) { return std::atan2(y - p[1], x - p[0]); };
    const int parts = s.straight() ? 1 : 64;  // an arc in pieces, each seen under less than half a turn
    double before = angle(s.from.x_mm, s.from.y_mm);
    for (int i = 1; i <= parts; ++i) {
      double x = s.to_x_mm, y = s.to_y_mm;
      if (i < parts) {
        const OutlineSide::Arc a = s.arc();
        const double at = a.start_rad + a.turn_rad * i / parts;
        x = a.x_mm + a.radius_mm * std::cos(at), y = a.y_mm + a.radius_mm * std::sin(at);
      }
      const double next = angle(x, y);
      turned += std::remainder(next - before, 2.0 * std::numbers::pi);
      before = next;
    }
  }
  return std::abs(turned) > std::numbers::pi;
}

OutlineLoop reversed(const OutlineLoop& loop) {
  OutlineLoop back;
  for (std::size_t i = loop.size(); i-- > 0;)
    back.push_back({loop[i].x_mm, loop[i].y_mm, -loop[(i + loop.size() - 1) % loop.size()].bulge});
  return back;
}

std::string loop_name(std::size_t i) { return i == 0 ? "The outline" : "Hole " + std::to_string(i) + " of the outline"; }

// Empty, or what is wrong with one loop's numbers.
std::string fault_in_numbers(const OutlineLoop& loop, const std::string& name) {
  bool arcs = false;
  for (const OutlinePoint& p : loop) {
    if (!std::isfinite(p.x_mm) || !std::isfinite(p.y_mm) || !std::isfinite(p.bulge))
      return name + " has a number that is not finite.";
    if (std::abs(p.x_mm) > largest_mm || std::abs(p.y_mm) > largest_mm)
      return name + " has a point beyond 10 m, which no section is.";
    if (p.bulge != 0.0 && std::abs(p.bulge) < flattest)
      return name + " has an arc that is all but straight, rising less than 1/400 of its chord: make it straight.";
    if (std::abs(p.bulge) > 1e3) return name + " has an arc that is all but a full circle: make it of two halves.";
    arcs = arcs || p.bulge != 0.0;
  }
  if (loop.size() < (arcs ? 2u : 3u)) return name + " needs at least 3 points, or 2 with an arc.";
  return {};
}

}  // namespace

Result<Outline> Outline::from(std::vector<OutlineLoop> loops, std::string_view about) {
  const std::string key(about);
  if (loops.empty()) return refuse(key, "The outline has no points.");
  Findings faults;
  for (std::size_t i = 0; i < loops.size(); ++i)
    if (std::string text = fault_in_numbers(loops[i], loop_name(i)); !text.empty())
      faults.push_back({Level::fault, key, std::move(text), std::nullopt});
  if (!faults.empty()) return refuse(std::move(faults));

  double size = 0.0;
  for (const OutlinePoint& p : loops.front())
    size = std::max({size, std::abs(p.x_mm - loops.front().front().x_mm), std::abs(p.y_mm - loops.front().front().y_mm)});
  const double near = same_point * size;
  struct Numbered {
    OutlineSide side;
    std::size_t loop, index, of;
  };
  std::vector<Numbered> all;
  for (std::size_t l = 0; l < loops.size(); ++l) {
    const std::vector<OutlineSide> sides = sides_of(loops[l]);
    for (std::size_t i = 0; i < sides.size(); ++i) {
      const OutlineSide& s = sides[i];
      if (std::hypot(s.to_x_mm - s.from.x_mm, s.to_y_mm - s.from.y_mm) <= near)
        return refuse(key, loop_name(l) + " has the same point twice in a row, " + said(s.from.x_mm, s.from.y_mm) + ".");
      all.push_back({s, l, i, sides.size()});
    }
  }
  for (std::size_t i = 0; i < all.size(); ++i)
    for (std::size_t j = i + 1; j < all.size(); ++j) {
      const bool neighbours = all[i].loop == all[j].loop && (all[j].index == all[i].index + 1 ||
                                                             all[j].index + 1 == all[i].index + all[i].of);
      for (const Point& p : meetings(all[i].side, all[j].side)) {
        if (!on_side(all[i].side, p, near) || !on_side(all[j].side, p, near)) continue;
        if (neighbours && is_end(all[i].side, p, 10.0 * near) && is_end(all[j].side, p, 10.0 * near)) continue;
        return refuse(key, (all[i].loop == all[j].loop ? loop_name(all[i].loop) + " crosses or touches itself"
                                                       : loop_name(all[j].loop) + " crosses or touches another loop") +
                               " at " + said(p[0], p[1]) +
                               ". A loop goes once around the material, without crossing, and a hole lies wholly inside.");
      }
    }
  for (std::size_t l = 0; l < loops.size(); ++l) {
    const double area = moments_of({loops[l]}).area_mm2;
    if (!(std::abs(area) > near * near)) return refuse(key, loop_name(l) + " encloses no area.");
    if ((area > 0.0) != (l == 0)) loops[l] = reversed(loops[l]);
  }
  for (std::size_t l = 1; l < loops.size(); ++l) {
    const Point p{loops[l].front().x_mm, loops[l].front().y_mm};
    if (!encloses(loops.front(), p))
      return refuse(key, loop_name(l) + " lies outside the first loop, which is the outside of the section.");
    for (std::size_t other = 1; other < loops.size(); ++other)
      if (other != l && encloses(loops[other], p))
        return refuse(key, loop_name(l) + " lies in another hole, where there is no material.");
  }
  return Outline(std::move(loops));
}

}  // namespace coilwright
