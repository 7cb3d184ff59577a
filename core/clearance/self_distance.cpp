#include <algorithm>
#include <cmath>
#include <coilwright/clearance/certified_minimum.hpp>
#include <coilwright/clearance/self_distance.hpp>
#include <coilwright/quantity/require.hpp>
#include <numbers>
#include <vector>

namespace coilwright {
namespace {

constexpr double unlimited = std::numeric_limits<double>::infinity();

struct Patch {
  double lower, distance;
  double v, half_v, w, half_w;
  bool cut_v;  // split v next, otherwise w
  std::size_t course;
};

// Least lower bound on top; of equals the one whose middle is nearer, so that a search that can end (the
// centrelines cross) ends soon.
constexpr auto later = [](const Patch& a, const Patch& b) {
  return a.lower != b.lower ? a.lower > b.lower : a.distance > b.distance;
};

struct Search {
  std::span<const PairCourse> courses;
  double tolerance, rounding;
  LeastPair best;
  double dropped = unlimited;
  std::vector<Patch> heap;

  // The nearest point of the straight ahead of w (or X(w) itself) to X(v).
  struct Pair {
    BoundedPoint near, far;
    double ahead;
    Eigen::Vector3d between;
    double distance;
  };
  static Pair at(const PairCourse& course, double v, double w) {
    Pair pair{course.near.at(v), course.far.at(w), 0.0, {}, 0.0};
    const Eigen::Vector3d off = pair.near.c.p - pair.far.c.p;
    if (course.straight_mm > 0.0)
      pair.ahead = std::clamp(off.dot(pair.far.c.d1) / pair.far.c.d1.squaredNorm(), 0.0, course.straight_mm);
    pair.between = pair.ahead * pair.far.c.d1 - off;
    pair.distance = pair.between.norm();
    return pair;
  }
  void meet(const Pair& pair, double v, double w, double within) {
    ++best.evaluations;
    if (pair.distance >= best.upper_mm) return;
    best.upper_mm = pair.distance;
    best.meeting = PairMeeting{v,
                               w,
                               pair.ahead,
                               pair.near.c.p,
                               pair.far.c.p + pair.ahead * pair.far.c.d1,
                               pair.distance,
                               within};
  }

  void add(Patch patch) {
    const PairCourse& course = courses[patch.course];
    const double lag_short = course.apart_mm - (patch.w - patch.v);  // by how much the middle is too close
    if (lag_short > patch.half_v + patch.half_w) return;
    const Pair middle = at(course, patch.v, patch.w);
    if (lag_short <= 0.0) {
      meet(middle, patch.v, patch.w, patch.half_v + patch.half_w);
    } else {
      const double share = lag_short / (patch.half_v + patch.half_w);
      const double v = patch.v - share * patch.half_v, w = patch.w + share * patch.half_w;
      meet(at(course, v, w), v, w, patch.half_v + patch.half_w);
    }
    const Eigen::Vector3d g =
        middle.distance > 0.0 ? Eigen::Vector3d(middle.between / middle.distance) : Eigen::Vector3d::UnitX();
    const double near_rise = course.near.least_rise(middle.near, -g, patch.half_v);
    double lower = unlimited, far_loss = 0.0;
    for (const double end : {0.0, course.straight_mm}) {
      const BoundedPoint far = end > 0.0 ? course.far.ahead(middle.far, end) : middle.far;
      const double base = middle.distance + (end - middle.ahead) * g.dot(middle.far.c.d1);
      const double rise = course.far.least_rise(far, g, patch.half_w);
      double here = base + rise + near_rise;
      if (lag_short > -(patch.half_v + patch.half_w)) {
        here = std::max(here, base + least_on_cut_patch(g.dot(far.c.d1), -g.dot(middle.near.c.d1), patch, lag_short) -
                                  0.5 * far.second_bound_per_mm * patch.half_w * patch.half_w -
                                  0.5 * middle.near.second_bound_per_mm * patch.half_v * patch.half_v);
      }
      lower = std::min(lower, here);
      far_loss = std::max(far_loss, -rise);
    }
    patch.lower = std::max({patch.lower, lower - rounding, 0.0});
    patch.distance = middle.distance;
    patch.cut_v = -near_rise > far_loss;
    if (patch.lower >= best.upper_mm - tolerance) {
      dropped = std::min(dropped, patch.lower);
      return;
    }
    heap.push_back(patch);
    std::push_heap(heap.begin(), heap.end(), later);
  }

  // The least of a y + b x over |x| <= half_v, |y| <= half_w, y - x >= short: it stands at a corner of
  // what is left of the patch.
  static double least_on_cut_patch(double a, double b, const Patch& patch, double lag_short) {
    double least = unlimited;
    const auto corner = [&](double x, double y) { least = std::min(least, a * y + b * x); };
    for (const double x : {-patch.half_v, patch.half_v}) {
      for (const double y : {-patch.half_w, patch.half_w})
        if (y - x >= lag_short) corner(x, y);
      if (std::abs(x + lag_short) <= patch.half_w) corner(x, x + lag_short);
    }
    for (const double y : {-patch.half_w, patch.half_w})
      if (std::abs(y - lag_short) <= patch.half_v) corner(y - lag_short, y);
    return least == unlimited ? -unlimited : least;  // rounding at a touching corner: no claim
  }
};

}  // namespace

std::optional<TurnToTurn> turn_to_turn(const Helix& helix) {
  const double R = helix.plan_radius().mm(), c = helix.rise_per_radian_mm(), q = (c / R) * (c / R);
  if (q >= 1.0) return std::nullopt;
  // sin f + q f falls to its least where cos f = -q and then rises, convex, to a full turn: Newton from
  // there comes down to the root monotonically, if there is one.
  const double turn = 2.0 * std::numbers::pi, lowest = turn - std::acos(-q);
  if (std::sin(lowest) + q * lowest > 0.0) return std::nullopt;
  double f = turn;
  for (;;) {
    const double next = f - (std::sin(f) + q * f) / (std::cos(f) + q);
    if (!(next < f) || next <= lowest) break;
    f = next;
  }
  return TurnToTurn{f, std::hypot(2.0 * R * std::sin(0.5 * f), c * f)};
}

LeastPair least_pair(std::span<const PairCourse> courses, double tolerance_mm, double cutoff_mm) {
  require(tolerance_mm > 0.0 && std::isfinite(tolerance_mm), "a certified search needs a tolerance");
  Search search{courses, tolerance_mm, 0.0, {}, unlimited, {}};
  search.best.upper_mm = cutoff_mm;
  double extent = 0.0;
  for (const PairCourse& course : courses)
    extent = std::max({extent, course.near.extent_mm(), course.far.extent_mm() + 2.0 * course.straight_mm});
  search.rounding = rounding_bound_mm(extent);
  for (std::size_t i = 0; i < courses.size(); ++i) {
    const Stretch &near = courses[i].near, &far = courses[i].far;
    search.add({-unlimited, 0.0, 0.5 * (near.from_mm() + near.to_mm()), 0.5 * (near.to_mm() - near.from_mm()),
                0.5 * (far.from_mm() + far.to_mm()), 0.5 * (far.to_mm() - far.from_mm()), false, i});
  }
  while (!search.heap.empty() && search.heap.front().lower < search.best.upper_mm - tolerance_mm) {
    std::pop_heap(search.heap.begin(), search.heap.end(), later);
    const Patch top = search.heap.back();
    search.heap.pop_back();
    for (const double side : {-0.5, 0.5}) {
      Patch patch = top;
      (top.cut_v ? patch.half_v : patch.half_w) *= 0.5;
      (top.cut_v ? patch.v : patch.w) += side * (top.cut_v ? top.half_v : top.half_w);
      search.add(patch);
    }
  }
  LeastPair result = search.best;
  result.lower_mm = std::min(search.dropped, result.upper_mm);
  if (!search.heap.empty()) result.lower_mm = std::min(result.lower_mm, search.heap.front().lower);
  return result;
}

}  // namespace coilwright
