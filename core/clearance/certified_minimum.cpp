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
// So many bodies are kept together while a piece is long.
constexpr std::uint32_t few_bodies = 8;

// Orders a heap with the least lower bound on top.
constexpr auto later = [](const auto& a, const auto& b) { return a.lower > b.lower; };

void require_section(const SectionBox& section) {
  require((section.half_edges_mm.array() == 0.0).all() || (section.half_edges_mm.array() > 0.0).all(),
          "a section has two edges or none");
}

}  // namespace

CertifiedMinimum::CertifiedMinimum(double tolerance_mm) : tolerance_(tolerance_mm) {
  require(tolerance_mm > 0.0 && std::isfinite(tolerance_mm), "a certified search needs a tolerance");
}

SurfaceDistance CertifiedMinimum::look_at(const View& view, const Candidate& candidate, const Eigen::Vector3d& point,
                                          double ahead, double s, double w) {
  const bool of_mesh = names_mesh(candidate.body);
  SurfaceDistance found = of_mesh ? around_.meshes[candidate.body & ~mesh_mark].distance(candidate.piece, point)
                                  : around_.convex[candidate.body].distance(point);
  // The boxes of a mesh have no inside.
  if (of_mesh && (view.corners > 1 || view.course_corners > 0)) found.distance_mm = std::max(0.0, found.distance_mm);
  ++evaluations_;
  const bool met = !of_mesh || candidate.piece.kind == MeshDistance::Piece::Kind::triangle;
  if (met && found.distance_mm < best_.upper_mm && (view.exists || s != view.box.s || w != view.box.w)) {
    best_.upper_mm = found.distance_mm;
    best_.meeting = Meeting{view.index, candidate.body, view.lag, ahead, point, found.direction, found.distance_mm};
    met_at_ = {s, w};
  }
  return found;
}

SurfaceDistance CertifiedMinimum::look(const View& view, const Candidate& candidate, double ahead) {
  return look_at(view, candidate, view.start.c.p + ahead * view.start.c.d1, ahead, view.box.s, view.box.w);
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
    remember(candidate, found, view.start.c.p + ahead * view.start.c.d1);
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
  View view;  // most of it belongs to corners that a centreline does not have
  view.course = nullptr;
  view.patch = nullptr;
  view.corners = view.course_corners = 0;
  view.index = part.course;
  view.box = part.box;
  view.lag = part.box.w;
  view.half = part.box.half_w;
  view.exists = true;
  if (patches_.empty()) {
    const Course& course = courses_[part.course];
    view.course = &course;
    view.start = course.stretch.at(view.lag);
    view.end = course.straight_mm > 0.0 ? course.stretch.ahead(view.start, course.straight_mm) : view.start;
    if (course.section.has_edges()) view_of_section(view);
    view.reach_mm = reach_of(view);
    return view;
  }
  view.patch = &patches_[part.course];
  view_of_patch(view);
  view.reach_mm = reach_of(view);
  return view;
}

void CertifiedMinimum::add(Part part, std::span<const Candidate> candidates) {
  if (!patches_.empty()) {
    const FedPatch& patch = patches_[part.course].patch;
    if (patch.feasible(part.box) == FedPatch::Feasible::none) return;
    if (patch.wound(part.box)) return add_wound(part, candidates);
  }
  add(part, candidates, view_of(part));
}

double CertifiedMinimum::known_without_looking(const View& view, const Candidate& candidate) const {
  double known = -unlimited;
  if (!names_mesh(candidate.body)) {
    const ConvexBody::Ball& ball = around_.convex[candidate.body].ball();
    known = away_from(view, ball.centre) - ball.radius_mm;
    if (known >= best_.upper_mm) return known;
  }
  if (candidate.level == -unlimited) return known;
  if (view.patch != nullptr || view.course_corners > 0)
    return std::max(known, lower_of_section(view, candidate.level + candidate.direction.dot(view.box_of_section.centre),
                                            candidate.direction));
  const double at_start = candidate.level + candidate.direction.dot(view.start.c.p);
  return std::max(known, lower(view, {at_start, candidate.direction.dot(view.start.c.d1), 0.0, candidate.direction}));
}

void CertifiedMinimum::remember(Candidate& candidate, const SurfaceDistance& found, const Eigen::Vector3d& of) {
  candidate.direction = found.direction;
  candidate.level = found.distance_mm - found.direction.dot(of);
}

double CertifiedMinimum::away_from(const View& view, const Eigen::Vector3d& point) {
  const SearchBox& box = view.box_of_section;
  if (view.patch != nullptr)
    return (box.centre - point).norm() - view.reach_mm - (view.corners > 1 ? view.patch->half_edges.norm() : 0.0);
  // A point of a section moves as a mean of its corners does.
  const bool thick = view.course_corners > 0;
  const double straight = view.course->straight_mm;
  Eigen::Vector3d between = point - (thick ? Eigen::Vector3d(box.centre - box.axes[2]) : view.start.c.p);
  if (straight > 0.0)
    between -= std::clamp(between.dot(view.start.c.d1) / view.start.c.d1.squaredNorm(), 0.0, straight) * view.start.c.d1;
  const double away = view.course->stretch.least_away(point, view.lag, view.half, straight);
  if (!thick) return std::max(between.norm() - view.reach_mm, away);
  const double half_diagonal = std::sqrt(box.axes[0].squaredNorm() + box.axes[1].squaredNorm());
  return std::max(between.norm() - view.reach_mm - half_diagonal, away - view.course->section.reach_mm());
}

void CertifiedMinimum::push(const Part& part) {
  heap_.push_back(part);
  std::push_heap(heap_.begin(), heap_.end(), later);
}

void CertifiedMinimum::add_wound(Part part, std::span<const Candidate> candidates) {
  const PatchCourse& course = patches_[part.course];
  const double thick = course.section().reach_mm();
  part.lower = unlimited;
  part.first = static_cast<std::uint32_t>(candidates_.size());
  part.count = 0;
  part.cut_s = false;
  mesh_candidates_.clear();
  for (const Candidate& candidate : candidates) {
    double lower = candidate.lower;
    if (lower < best_.upper_mm - tolerance_) {
      const ConvexBody::Ball ball = names_mesh(candidate.body) ? around_.meshes[candidate.body & ~mesh_mark].ball()
                                                               : around_.convex[candidate.body].ball();
      lower = std::max(lower, course.patch.least_away(part.box, ball.centre) - ball.radius_mm - thick - rounding_);
    }
    if (lower >= best_.upper_mm - tolerance_) {
      dropped_ = std::min(dropped_, lower);
      continue;
    }
    Candidate known = candidate;
    known.lower = lower;
    if (names_mesh(candidate.body)) {
      mesh_candidates_.push_back(known);
      continue;
    }
    part.lower = std::min(part.lower, lower);
    candidates_.push_back(known);
    ++part.count;
  }
  push_with_meshes(part);
}

void CertifiedMinimum::push_with_meshes(const Part& part) {
  if (part.count > 0) push(part);
  for (const Candidate& candidate : mesh_candidates_) {
    candidates_.push_back(candidate);
    push({candidate.lower, part.box, static_cast<std::uint32_t>(candidates_.size() - 1), 1, part.course, part.cut_s});
  }
}

void CertifiedMinimum::add(Part part, std::span<const Candidate> candidates, const View& view) {
  part.lower = unlimited;
  part.first = static_cast<std::uint32_t>(candidates_.size());
  part.count = 0;
  mesh_candidates_.clear();
  for (const Candidate& before : candidates) {
    double known = before.lower;
    if (known < best_.upper_mm - tolerance_) known = std::max(known, known_without_looking(view, before) - rounding_);
    if (known >= best_.upper_mm - tolerance_) {
      dropped_ = std::min(dropped_, known);
      continue;
    }
    Candidate candidate = before;
    double found;
    Eigen::Vector3d against = Eigen::Vector3d::Zero();
    if (view.patch != nullptr) {
      found = lower_over_patch(view, candidate, against);
      if (found < part.lower) part.cut_s = cuts_s(view, against);
    } else if (view.course_corners > 0) {
      found = lower_over_section(view, candidate, 0.5 * view.start.second_bound_per_mm * view.half * view.half);
    } else if (view.course->straight_mm > 0.0) {
      found = lower_along_straight(view, candidate);
    } else {
      const SurfaceDistance at = look(view, candidate, 0.0);
      remember(candidate, at, view.start.c.p);
      found = lower(view, {at.distance_mm, 0.0, 0.0, at.direction});
    }
    // A mesh has no depth.
    if (names_mesh(candidate.body) || around_.inside == Scenery::Inside::none) found = std::max(found, rounding_);
    candidate.lower = std::max(known, found - rounding_);
    if (candidate.lower >= best_.upper_mm - tolerance_) {
      dropped_ = std::min(dropped_, candidate.lower);
    } else if (names_mesh(candidate.body)) {
      mesh_candidates_.push_back(candidate);
    } else {
      part.lower = std::min(part.lower, candidate.lower);
      candidates_.push_back(candidate);
      ++part.count;
    }
  }
  push_with_meshes(part);
}

void CertifiedMinimum::start(std::uint32_t index) {
  const bool stretches = patches_.empty();
  const std::span<const std::uint32_t> bodies = stretches ? courses_[index].bodies : patches_[index].bodies;
  if (bodies.empty()) return;
  Part whole{-unlimited, {}, 0, 0, index, false};
  if (stretches) {
    const Stretch& stretch = courses_[index].stretch;
    whole.box = {0.0, 0.0, 0.5 * (stretch.from_mm() + stretch.to_mm()), 0.5 * (stretch.to_mm() - stretch.from_mm())};
  } else {
    whole.box = patches_[index].patch.whole();
  }
  whole_.clear();
  for (const std::uint32_t body : bodies) {
    whole_.push_back({body, -unlimited, stretches ? courses_[index].straight_mm : 0.0});
    if (stretches && courses_[index].straight_mm > 0.0) whole_.back().offset.z() = 1.0;  // the tip swings farthest
    if (!names_mesh(body) || !(best_.upper_mm > 0.0)) continue;
    // A course that keeps off the surface lies inside or outside with all of its points.
    Meeting meeting{index, body, whole.box.w, 0.0, {}, Eigen::Vector3d::UnitX(), 0.0};
    if (stretches) {
      meeting.point = courses_[index].stretch.at(whole.box.w).c.p;
    } else {
      const FedPatch& patch = patches_[index].patch;
      const auto [s, w] = patch.nearest_feasible(whole.box);
      meeting.point = patch.point(s, w, Eigen::Vector2d::Zero());
      met_at_ = {s, w};
    }
    ++evaluations_;
    if (!around_.meshes[body & ~mesh_mark].inside(meeting.point)) continue;
    best_.upper_mm = 0.0;
    best_.meeting = meeting;
  }
  add(whole, whole_);
}

void CertifiedMinimum::divide(const Part& part) {
  const Candidate first = candidates_[part.first];
  if (names_mesh(first.body) && first.piece.kind == MeshDistance::Piece::Kind::box) {
    const MeshDistance& mesh = around_.meshes[first.body & ~mesh_mark];
    const View view = view_of(part);
    if (mesh.half_diagonal_mm(first.piece) > view.reach_mm || view.reach_mm < short_reach_mm) {
      const MeshDistance::Parts parts = mesh.parts_of(first.piece);
      for (std::uint32_t i = 0; i < parts.count; ++i) {
        Candidate candidate = first;
        candidate.piece = parts.piece[i];
        add(part, std::span(&candidate, 1), view);
      }
      return;
    }
  }
  const auto begin = candidates_.begin() + part.first;
  auto end = begin + part.count;
  if (part.count > few_bodies && !patches_.empty() && patches_[part.course].patch.wound(part.box)) {
    // What is known to be too far by now goes; of the rest the nearest bodies first: what is met there may set the others
    // aside.
    const auto gone = std::partition(begin, end, [&](const Candidate& c) { return c.lower < best_.upper_mm - tolerance_; });
    for (auto candidate = gone; candidate != end; ++candidate) dropped_ = std::min(dropped_, candidate->lower);
    end = gone;
    if (end - begin > few_bodies) {
      const auto middle = begin + few_bodies;
      std::nth_element(begin, middle, end, [](const Candidate& x, const Candidate& y) { return x.lower < y.lower; });
      Part nearer = part, farther = part;
      nearer.count = few_bodies;
      farther.first += few_bodies;
      farther.count = static_cast<std::uint32_t>(end - middle);
      farther.lower = middle->lower;
      push(nearer);
      push(farther);
      return;
    }
  }
  // A copy: the list grows while it is read.
  halved_.assign(begin, end);
  for (const double side : {-0.5, 0.5}) {
    Part half{0.0, part.box, 0, 0, part.course, false};
    (part.cut_s ? half.box.half_s : half.box.half_w) *= 0.5;
    (part.cut_s ? half.box.s : half.box.w) += side * (part.cut_s ? part.box.half_s : part.box.half_w);
    add(half, halved_);
  }
}

LeastDistance CertifiedMinimum::find(std::span<const Course> courses, Scenery around, double cutoff_mm) {
  for (const Course& course : courses) require_section(course.section);
  courses_ = courses;
  patches_ = {};
  around_ = around;
  best_ = {};
  best_.upper_mm = cutoff_mm;
  return search();
}

LeastDistance CertifiedMinimum::find(std::span<const PatchCourse> courses, Scenery around, double cutoff_mm) {
  for (const PatchCourse& course : courses)
    require_section(course.section());
  courses_ = {};
  patches_ = courses;
  around_ = around;
  best_ = {};
  best_.upper_mm = cutoff_mm;
  return search();
}

LeastDistance CertifiedMinimum::search() {
  candidates_.clear();
  heap_.clear();
  dropped_ = unlimited;
  double extent = 0.0;
  const auto with = [&](double size, std::span<const std::uint32_t> bodies) {
    extent = std::max(extent, size);
    for (const std::uint32_t body : bodies)
      extent = std::max(extent, names_mesh(body) ? around_.meshes[body & ~mesh_mark].extent_mm()
                                                 : around_.convex[body].extent_mm());
  };
  for (const Course& course : courses_) with(course.stretch.extent_mm() + 2.0 * course.straight_mm + (course.section.has_edges() ? course.section.reach_mm() : 0.0), course.bodies);
  for (const PatchCourse& course : patches_) with(course.patch.extent_mm() + course.section().reach_mm(), course.bodies);
  rounding_ = rounding_bound_mm(extent);
  for (std::uint32_t i = 0; i < courses_.size() + patches_.size(); ++i) start(i);
  while (!heap_.empty() && heap_.front().lower < best_.upper_mm - tolerance_) {
    std::pop_heap(heap_.begin(), heap_.end(), later);
    const Part top = heap_.back();
    heap_.pop_back();
    divide(top);
  }
  LeastDistance result = best_;
  if (result.meeting && !patches_.empty()) {
    const auto [s, w] = met_at_;
    const FedPatch& patch = patches_[result.meeting->course].patch;
    result.meeting->fed_mm = patch.fed_mm(s, w);
    result.meeting->along_mm = patch.along_mm(s, w);
    result.meeting->lag_mm = result.meeting->fed_mm - result.meeting->along_mm;
  }
  result.lower_mm = std::min(dropped_, best_.upper_mm);
  if (!heap_.empty()) result.lower_mm = std::min(result.lower_mm, heap_.front().lower);
  return result;
}

}  // namespace coilwright
