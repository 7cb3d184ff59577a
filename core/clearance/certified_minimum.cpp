#include <algorithm>
#include <cmath>
#include <coilwright/clearance/certified_minimum.hpp>
#include <coilwright/quantity/require.hpp>

namespace coilwright {
namespace {

constexpr double unlimited = std::numeric_limits<double>::infinity();
// A straight is searched until its half-space is this share of the tolerance below the nearest point
// found; the rest of the tolerance is left to the subdivision.
constexpr double straight_share = 0.25;
// Every third look halves what is left of it, so after so many even a straight of 1 km is searched to a
// micrometre.
constexpr int straight_looks = 90;

// Orders a heap with the least lower bound on top.
constexpr auto later = [](const auto& a, const auto& b) { return a.lower > b.lower; };

}  // namespace

CertifiedMinimum::CertifiedMinimum(double tolerance_mm) : tolerance_(tolerance_mm) {
  require(tolerance_mm > 0.0 && std::isfinite(tolerance_mm), "a certified search needs a tolerance");
}

SurfaceDistance CertifiedMinimum::look(const View& view, const ConvexBody& body, std::uint32_t body_index,
                                       double ahead) {
  const Eigen::Vector3d point = view.start.c.p + ahead * view.start.c.d1;
  const SurfaceDistance found = body.distance(point);
  ++evaluations_;
  if (found.distance_mm < best_.upper_mm) {
    best_.upper_mm = found.distance_mm;
    best_.meeting =
        Meeting{view.index, body_index, view.lag, ahead, point, found.direction, found.distance_mm};
  }
  return found;
}

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
double CertifiedMinimum::lower_along_straight(const View& view, const ConvexBody& body, Candidate& candidate) {
  const double length = view.course->straight_mm;
  // No closer than the piece's own curl allows to be of use.
  const double curl = 0.5 * view.end.second_bound_per_mm * view.half * view.half;
  const double enough = straight_share * std::max(tolerance_, curl);
  std::optional<Support> falling, rising;
  double least = unlimited, ahead = candidate.nearest;
  for (int looks = 0;; ++looks) {
    const SurfaceDistance found = look(view, body, candidate.body, ahead);
    if (found.distance_mm < least) {
      least = found.distance_mm;
      candidate.nearest = ahead;
    }
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

void CertifiedMinimum::add(std::span<const Course> courses, std::span<const ConvexBody> bodies, Part part,
                           const Part* parent) {
  const Course& course = courses[part.course];
  View view{&course, part.course, part.middle, part.half, course.stretch.at(part.middle), {}};
  view.end = course.straight_mm > 0.0 ? course.stretch.ahead(view.start, course.straight_mm) : view.start;
  const std::size_t first = candidates_.size();
  const std::size_t count = parent ? parent->count : course.bodies.size();
  part.lower = unlimited;
  for (std::size_t i = 0; i < count; ++i) {
    Candidate candidate = parent ? candidates_[parent->first + i]
                                 : Candidate{course.bodies[i], -unlimited, course.straight_mm};
    if (candidate.lower < best_.upper_mm - tolerance_) {
      const ConvexBody& body = bodies[candidate.body];
      double found;
      if (course.straight_mm > 0.0) {
        found = lower_along_straight(view, body, candidate);
      } else {
        const SurfaceDistance at = look(view, body, candidate.body, 0.0);
        found = lower(view, {at.distance_mm, 0.0, 0.0, at.direction});
      }
      candidate.lower = std::max(candidate.lower, found - rounding_);
    }
    if (candidate.lower >= best_.upper_mm - tolerance_) {
      dropped_ = std::min(dropped_, candidate.lower);
      continue;
    }
    part.lower = std::min(part.lower, candidate.lower);
    candidates_.push_back(candidate);
  }
  part.first = first;
  part.count = candidates_.size() - first;
  if (part.count == 0) return;
  heap_.push_back(part);
  std::push_heap(heap_.begin(), heap_.end(), later);
}

LeastDistance CertifiedMinimum::find(std::span<const Course> courses, std::span<const ConvexBody> bodies,
                                     double cutoff_mm) {
  candidates_.clear();
  heap_.clear();
  best_ = {};
  best_.upper_mm = cutoff_mm;
  dropped_ = unlimited;
  double extent = 0.0;
  for (const Course& course : courses) {
    extent = std::max(extent, course.stretch.extent_mm() + 2.0 * course.straight_mm);
    for (const std::uint32_t body : course.bodies) extent = std::max(extent, bodies[body].extent_mm());
  }
  rounding_ = rounding_bound_mm(extent);
  for (std::uint32_t i = 0; i < courses.size(); ++i) {
    if (courses[i].bodies.empty()) continue;
    const Stretch& stretch = courses[i].stretch;
    add(courses, bodies,
        {0.0, 0.5 * (stretch.from_mm() + stretch.to_mm()), 0.5 * (stretch.to_mm() - stretch.from_mm()), 0, 0, i},
        nullptr);
  }
  while (!heap_.empty() && heap_.front().lower < best_.upper_mm - tolerance_) {
    std::pop_heap(heap_.begin(), heap_.end(), later);
    const Part top = heap_.back();
    heap_.pop_back();
    const double half = 0.5 * top.half;
    add(courses, bodies, {0.0, top.middle - half, half, 0, 0, top.course}, &top);
    add(courses, bodies, {0.0, top.middle + half, half, 0, 0, top.course}, &top);
  }
  LeastDistance result = best_;
  result.lower_mm = std::min(dropped_, best_.upper_mm);
  if (!heap_.empty()) result.lower_mm = std::min(result.lower_mm, heap_.front().lower);
  return result;
}

}  // namespace coilwright
