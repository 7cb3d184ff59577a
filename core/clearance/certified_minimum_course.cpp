// The part of the search that knows courses of a single part: their straights, and what is set aside before a look.
#include <algorithm>
#include <cmath>
#include <coilwright/clearance/certified_minimum.hpp>

namespace coilwright {
namespace {

constexpr double unlimited = std::numeric_limits<double>::infinity();
// A straight is searched until its half-space is this share of the tolerance below the nearest point
// found; the rest of the tolerance is left to the subdivision.
constexpr double straight_share = 0.25;
// Every third look halves what is left of it, so after so many even a straight of 1 km is searched to a
// micrometre.
constexpr int straight_looks = 90;
// Up to so many may be one thing, in one place.
constexpr std::size_t of_one_thing = 24;
// From so many on it is worth asking whether one ball round all of them is too far.
constexpr std::size_t worth_a_ball = 8;

}  // namespace

// A lower bound of the distance over the whole piece, from one half-space. It is linear along the straight,
// so the least stands at one of its ends.
double CertifiedMinimum::lower(const View& view, const Support& support) {
  const Stretch& stretch = view.course->stretch;
  const double at_start = support.at_start + stretch.least_rise(view.start, support.direction, view.half);
  if (view.course->straight_mm == 0.0) return at_start;
  return std::min(at_start, support.at_start + support.slope * view.course->straight_mm +
                                stretch.least_rise(view.end, support.direction, view.half));
}

// Minimises the distance along the straight, which is convex, by cutting planes: two looks, one on each
// side of the least, give two half-spaces; the mix of the two that is level along the straight holds too.
double CertifiedMinimum::lower_along_straight(const View& view, std::uint32_t body, Memory& memory) {
  const double length = view.course->straight_mm;
  // No closer than the piece's own curl allows to be of use.
  const double curl = 0.5 * view.end.second_bound_per_mm * view.half * view.half;
  const double enough = straight_share * std::max(tolerance_, curl);
  std::optional<Support> falling, rising;
  double least = unlimited, ahead = memory.nearest;
  for (int looks = 0;; ++looks) {
    const SurfaceDistance found = look(view, body, memory, ahead);
    if (found.distance_mm < least) {
      least = found.distance_mm;
      memory.nearest = ahead;
    }
    remember(memory, found, view.start.c.p + ahead * view.start.c.d1);
    const double slope = found.direction.dot(view.start.c.d1);
    const Support one{found.distance_mm - slope * ahead, slope, ahead, found.direction};
    const double lower_by_one = lower(view, one);
    if (lower_by_one - rounding_ >= best_.upper_mm - tolerance_) return lower_by_one;
    // One half-space is enough where the distance cannot fall much within the straight.
    if (std::max(slope * ahead, -slope * (length - ahead)) <= enough) return lower_by_one;
    (slope > 0.0 ? rising : falling) = one;
    if (!falling) {
      ahead = 0.0;
    } else if (!rising) {
      ahead = length;
    } else {
      const double share = rising->slope / (rising->slope - falling->slope);
      const double level = share * falling->at_start + (1.0 - share) * rising->at_start;
      if (least - level <= enough || looks >= straight_looks) {
        return lower(view, {level, 0.0, 0.0, share * falling->direction + (1.0 - share) * rising->direction});
      }
      ahead = looks % 3 == 2 ? 0.5 * (falling->nearest + rising->nearest)
                             : (falling->at_start - rising->at_start) / (rising->slope - falling->slope);
    }
  }
}

double CertifiedMinimum::away_from(const View& view, const Eigen::Vector3d& point, double enough_mm) {
  const SearchBox& box = view.box_of_section;
  if (view.patch != nullptr)
    return (box.centre - point).norm() - view.reach_mm - (view.corners > 1 ? view.patch->half_edges.norm() : 0.0);
  // A point of a section moves as a mean of its corners does.
  const bool thick = view.course_corners > 0;
  const double straight = view.course->straight_mm;
  Eigen::Vector3d between = point - (thick ? Eigen::Vector3d(box.centre - box.axes[2]) : view.start.c.p);
  if (straight > 0.0)
    between -= std::clamp(between.dot(view.start.c.d1) / view.start.c.d1.squaredNorm(), 0.0, straight) * view.start.c.d1;
  else if (!thick && view.course->stretch.stage() == Stage::stock)
    return (between - std::clamp(between.dot(view.start.c.d1), -view.half, view.half) * view.start.c.d1).norm();
  const double half_diagonal = thick ? std::sqrt(box.axes[0].squaredNorm() + box.axes[1].squaredNorm()) : 0.0;
  const double off_the_middle = between.norm() - view.reach_mm - half_diagonal;
  if (off_the_middle >= enough_mm) return off_the_middle;
  return std::max(off_the_middle, view.course->stretch.least_away(point, view.lag, view.half, straight) -
                                      (thick ? view.course->section.reach_mm() : 0.0));
}

double CertifiedMinimum::nearest_along(const View& view, std::uint32_t body) const {
  if (view.course->stretch.stage() != Stage::stock || names_mesh(body)) return 0.0;
  const ConvexBody::Ball& ball = around_.convex[body].ball();
  if (!std::isfinite(ball.radius_mm)) return 0.0;
  return std::clamp((ball.centre - view.start.c.p).dot(view.start.c.d1), -view.half, view.half);
}

void CertifiedMinimum::start_course(std::uint32_t index) {
  const Course& course = courses_[index];
  if (course.bodies.empty()) return;
  const Stretch& stretch = course.stretch;
  Part whole{-unlimited, {}, 0, 0, index, false};
  whole.box = {0.0, 0.0, 0.5 * (stretch.from_mm() + stretch.to_mm()), 0.5 * (stretch.to_mm() - stretch.from_mm())};
  const View view = view_of(whole);
  if (course.bodies.size() >= worth_a_ball && course.bodies.size() <= of_one_thing && all_too_far(view, course.bodies)) return;
  Memory nothing_yet;
  nothing_yet.nearest = course.straight_mm;
  if (course.straight_mm > 0.0) nothing_yet.offset.z() = 1.0;  // the tip swings farthest
  const std::uint32_t memory = kept(nothing_yet);
  whole_.clear();
  for (const std::uint32_t body : course.bodies) {
    double lower = -unlimited;
    if (names_mesh(body)) {
      take_inside({index, body, whole.box.w, 0.0, view.start.c.p, Eigen::Vector3d::UnitX(), 0.0}, {});
    } else {
      lower = by_its_ball(view, body) - rounding_;
      if (lower >= best_.upper_mm - tolerance_) {
        dropped_ = std::min(dropped_, lower);
        continue;
      }
    }
    whole_.push_back({lower, body, memory});
  }
  add(whole, whole_, view);
}

bool CertifiedMinimum::all_too_far(const View& view, std::span<const std::uint32_t> bodies) {
  Eigen::Vector3d low = Eigen::Vector3d::Constant(unlimited), high = -low;
  for (const std::uint32_t body : bodies) {
    if (names_mesh(body) || !std::isfinite(around_.convex[body].ball().radius_mm)) return false;
    const Eigen::Vector3d& centre = around_.convex[body].ball().centre;
    low = low.cwiseMin(centre);
    high = high.cwiseMax(centre);
  }
  const Eigen::Vector3d middle = 0.5 * (low + high);
  double radius = 0.0;
  for (const std::uint32_t body : bodies) {
    const ConvexBody::Ball& ball = around_.convex[body].ball();
    radius = std::max(radius, (ball.centre - middle).norm() + ball.radius_mm);
  }
  const double known = away_from(view, middle, best_.upper_mm + radius) - radius - rounding_;
  if (known < best_.upper_mm - tolerance_) return false;
  dropped_ = std::min(dropped_, known);
  return true;
}

}  // namespace coilwright
