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
// A piece of a course shorter than this is not halved before the box of a mesh that it is compared with: its
// own curl does not show any more, the box's size does.
constexpr double short_reach_mm = 8.0;

// Orders a heap with the least lower bound on top.
constexpr auto later = [](const auto& a, const auto& b) { return a.lower > b.lower; };

}  // namespace

CertifiedMinimum::CertifiedMinimum(double tolerance_mm) : tolerance_(tolerance_mm) {
  require(tolerance_mm > 0.0 && std::isfinite(tolerance_mm), "a certified search needs a tolerance");
}

SurfaceDistance CertifiedMinimum::look(const View& view, const Candidate& candidate, double ahead) {
  const Eigen::Vector3d point = view.start.c.p + ahead * view.start.c.d1;
  const bool of_mesh = names_mesh(candidate.body);
  const SurfaceDistance found = of_mesh
                                    ? around_.meshes[candidate.body & ~mesh_mark].distance(candidate.piece, point)
                                    : around_.convex[candidate.body].distance(point);
  ++evaluations_;
  const bool met = !of_mesh || candidate.piece.kind == MeshDistance::Piece::Kind::triangle;
  if (met && found.distance_mm < best_.upper_mm) {
    best_.upper_mm = found.distance_mm;
    best_.meeting =
        Meeting{view.index, candidate.body, view.lag, ahead, point, found.direction, found.distance_mm};
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
double CertifiedMinimum::lower_along_straight(const View& view, Candidate& candidate) {
  const double length = view.course->straight_mm;
  // No closer than the piece's own curl allows to be of use.
  const double curl = 0.5 * view.end.second_bound_per_mm * view.half * view.half;
  const double enough = straight_share * std::max(tolerance_, curl);
  std::optional<Support> falling, rising;
  double least = unlimited, ahead = candidate.nearest;
  for (int looks = 0;; ++looks) {
    const SurfaceDistance found = look(view, candidate, ahead);
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

CertifiedMinimum::View CertifiedMinimum::view_of(const Part& part) const {
  const Course& course = courses_[part.course];
  View view{&course, part.course, part.middle, part.half, course.stretch.at(part.middle), {}};
  view.end = course.straight_mm > 0.0 ? course.stretch.ahead(view.start, course.straight_mm) : view.start;
  return view;
}

void CertifiedMinimum::add(Part part, std::span<const Candidate> candidates) {
  const View view = view_of(part);
  const auto push = [&](Part whole) {
    heap_.push_back(whole);
    std::push_heap(heap_.begin(), heap_.end(), later);
  };
  part.lower = unlimited;
  part.first = candidates_.size();
  part.count = 0;
  std::vector<Candidate>& of_meshes = mesh_candidates_;
  of_meshes.clear();
  for (Candidate candidate : candidates) {
    if (candidate.lower < best_.upper_mm - tolerance_) {
      double found;
      if (view.course->straight_mm > 0.0) {
        found = lower_along_straight(view, candidate);
      } else {
        const SurfaceDistance at = look(view, candidate, 0.0);
        found = lower(view, {at.distance_mm, 0.0, 0.0, at.direction});
      }
      // A mesh has no depth.
      if (names_mesh(candidate.body)) found = std::max(found, rounding_);
      candidate.lower = std::max(candidate.lower, found - rounding_);
    }
    if (candidate.lower >= best_.upper_mm - tolerance_) {
      dropped_ = std::min(dropped_, candidate.lower);
    } else if (names_mesh(candidate.body)) {
      of_meshes.push_back(candidate);
    } else {
      part.lower = std::min(part.lower, candidate.lower);
      candidates_.push_back(candidate);
      ++part.count;
    }
  }
  if (part.count > 0) push(part);
  for (const Candidate& candidate : of_meshes) {
    candidates_.push_back(candidate);
    push({candidate.lower, part.middle, part.half, candidates_.size() - 1, 1, part.course});
  }
}

void CertifiedMinimum::start(std::uint32_t index) {
  const Course& course = courses_[index];
  if (course.bodies.empty()) return;
  const Stretch& stretch = course.stretch;
  const Part whole{-unlimited, 0.5 * (stretch.from_mm() + stretch.to_mm()), 0.5 * (stretch.to_mm() - stretch.from_mm()),
                   0, 0, index};
  std::vector<Candidate> all;
  for (const std::uint32_t body : course.bodies) {
    all.push_back({body, -unlimited, course.straight_mm});
    if (!names_mesh(body) || !(best_.upper_mm > 0.0)) continue;
    // A course that keeps off the surface lies inside or outside with all of its points.
    const MeshDistance& mesh = around_.meshes[body & ~mesh_mark];
    const BoundedPoint middle = stretch.at(whole.middle);
    ++evaluations_;
    if (!mesh.inside(middle.c.p)) continue;
    best_.upper_mm = 0.0;
    best_.meeting = Meeting{index, body, whole.middle, 0.0, middle.c.p, Eigen::Vector3d::UnitX(), 0.0};
  }
  add(whole, all);
}

void CertifiedMinimum::divide(const Part& part) {
  const Candidate first = candidates_[part.first];
  if (names_mesh(first.body) && first.piece.kind == MeshDistance::Piece::Kind::box) {
    const MeshDistance& mesh = around_.meshes[first.body & ~mesh_mark];
    const View view = view_of(part);
    double reach = view.course->stretch.reach(view.start, part.half);
    if (view.course->straight_mm > 0.0)
      reach = std::max(reach, view.course->stretch.reach(view.end, part.half));
    if (mesh.half_diagonal_mm(first.piece) > reach || reach < short_reach_mm) {
      const MeshDistance::Parts parts = mesh.parts_of(first.piece);
      for (std::uint32_t i = 0; i < parts.count; ++i) {
        Candidate candidate = first;
        candidate.piece = parts.piece[i];
        add(part, std::span(&candidate, 1));
      }
      return;
    }
  }
  const double half = 0.5 * part.half;
  // A copy: the list grows while it is read.
  const std::vector<Candidate> candidates(candidates_.begin() + static_cast<std::ptrdiff_t>(part.first),
                                          candidates_.begin() + static_cast<std::ptrdiff_t>(part.first + part.count));
  add({0.0, part.middle - half, half, 0, 0, part.course}, candidates);
  add({0.0, part.middle + half, half, 0, 0, part.course}, candidates);
}

LeastDistance CertifiedMinimum::find(std::span<const Course> courses, Scenery around, double cutoff_mm) {
  courses_ = courses;
  around_ = around;
  candidates_.clear();
  heap_.clear();
  best_ = {};
  best_.upper_mm = cutoff_mm;
  dropped_ = unlimited;
  double extent = 0.0;
  for (const Course& course : courses) {
    extent = std::max(extent, course.stretch.extent_mm() + 2.0 * course.straight_mm);
    for (const std::uint32_t body : course.bodies)
      extent = std::max(extent, names_mesh(body) ? around.meshes[body & ~mesh_mark].extent_mm()
                                                 : around.convex[body].extent_mm());
  }
  rounding_ = rounding_bound_mm(extent);
  for (std::uint32_t i = 0; i < courses.size(); ++i) start(i);
  while (!heap_.empty() && heap_.front().lower < best_.upper_mm - tolerance_) {
    std::pop_heap(heap_.begin(), heap_.end(), later);
    const Part top = heap_.back();
    heap_.pop_back();
    divide(top);
  }
  LeastDistance result = best_;
  result.lower_mm = std::min(dropped_, best_.upper_mm);
  if (!heap_.empty()) result.lower_mm = std::min(result.lower_mm, heap_.front().lower);
  return result;
}

}  // namespace coilwright
