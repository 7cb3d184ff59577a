#include <algorithm>
#include <cmath>
#include <coilwright/clearance/certified_minimum.hpp>
#include <coilwright/quantity/require.hpp>

namespace coilwright {
namespace {

constexpr double unlimited = std::numeric_limits<double>::infinity();
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

SurfaceDistance CertifiedMinimum::look_at(const View& view, std::uint32_t body, const Memory& memory, const Eigen::Vector3d& point,
                                          double ahead, double s, double w) {
  const bool of_mesh = names_mesh(body);
  SurfaceDistance found = of_mesh ? around_.meshes[body & ~mesh_mark].distance(memory.piece, point)
                                  : around_.convex[body].distance(point);
  // The boxes of a mesh have no inside.
  if (of_mesh && (view.corners > 1 || view.course_corners > 0)) found.distance_mm = std::max(0.0, found.distance_mm);
  ++evaluations_;
  const bool met = !of_mesh || memory.piece.kind == MeshDistance::Piece::Kind::triangle;
  if (met && found.distance_mm < best_.upper_mm && (view.exists || s != view.box.s || w != view.box.w)) {
    best_.upper_mm = found.distance_mm;
    // What lies straight is looked at where it is nearest, told as a lag of its own.
    const bool lies_straight = view.course != nullptr && view.course->stretch.stage() == Stage::stock;
    best_.meeting = Meeting{view.index, body, lies_straight ? view.lag + ahead : view.lag, lies_straight ? 0.0 : ahead,
                            point, found.direction, found.distance_mm};
    met_at_ = {s, w};
  }
  return found;
}

SurfaceDistance CertifiedMinimum::look(const View& view, std::uint32_t body, const Memory& memory, double ahead) {
  return look_at(view, body, memory, view.start.c.p + ahead * view.start.c.d1, ahead, view.box.s, view.box.w);
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
    known = by_its_ball(view, candidate.body);
    if (known >= best_.upper_mm) return known;
  }
  const Memory& memory = memories_[candidate.memory];
  if (memory.level == -unlimited) return known;
  if (view.patch != nullptr || view.course_corners > 0)
    return std::max(known, lower_of_section(view, memory.level + memory.direction.dot(view.box_of_section.centre), memory.direction));
  const double at_start = memory.level + memory.direction.dot(view.start.c.p);
  return std::max(known, lower(view, {at_start, memory.direction.dot(view.start.c.d1), 0.0, memory.direction}));
}

void CertifiedMinimum::remember(Memory& memory, const SurfaceDistance& found, const Eigen::Vector3d& of) {
  memory.direction = found.direction;
  memory.level = found.distance_mm - found.direction.dot(of);
}

std::uint32_t CertifiedMinimum::kept(const Memory& memory) {
  memories_.push_back(memory);
  return static_cast<std::uint32_t>(memories_.size() - 1);
}

void CertifiedMinimum::push(const Part& part) {
  heap_.push_back({part.lower, static_cast<std::uint32_t>(parts_.size())});
  parts_.push_back(part);
  std::push_heap(heap_.begin(), heap_.end(), later);
}

void CertifiedMinimum::add_wound(Part part, std::span<const Candidate> candidates) {
  const PatchCourse& course = patches_[part.course];
  const double thick = course.section().has_edges() ? course.section().reach_mm() : 0.0;
  part.lower = unlimited;
  part.first = static_cast<std::uint32_t>(candidates_.size());
  part.count = 0;
  part.cut_s = false;
  mesh_candidates_.clear();
  for (const Candidate& candidate : candidates) {
    double lower = candidate.lower;
    if (lower < best_.upper_mm - tolerance_) {
      const ConvexBody::Ball& ball = names_mesh(candidate.body) ? around_.meshes[candidate.body & ~mesh_mark].ball()
                                                                : around_.convex[candidate.body].ball();
      lower = std::max(lower, course.patch.least_away(part.box, ball.centre) - ball.radius_mm - thick - rounding_);
    }
    if (lower >= best_.upper_mm - tolerance_) {
      dropped_ = std::min(dropped_, lower);
      continue;
    }
    const Candidate known{lower, candidate.body, candidate.memory};
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
    const std::uint32_t body = before.body;
    Memory memory = memories_[before.memory];
    double found;
    Eigen::Vector3d against = Eigen::Vector3d::Zero();
    if (view.patch != nullptr) {
      found = lower_over_patch(view, body, memory, against);
      if (found < part.lower) part.cut_s = cuts_s(view, against);
    } else if (view.course_corners > 0) {
      found = lower_over_section(view, body, memory, 0.5 * view.start.second_bound_per_mm * view.half * view.half);
    } else if (view.course->straight_mm > 0.0) {
      found = lower_along_straight(view, body, memory);
    } else {
      const double along = nearest_along(view, body);
      const SurfaceDistance at = look(view, body, memory, along);
      remember(memory, at, view.start.c.p + along * view.start.c.d1);
      found = lower(view, {at.distance_mm - along * at.direction.dot(view.start.c.d1), 0.0, 0.0, at.direction});
    }
    // A mesh has no depth.
    if (names_mesh(body) || around_.inside == Scenery::Inside::none) found = std::max(found, rounding_);
    const double lower = std::max(known, found - rounding_);
    if (lower >= best_.upper_mm - tolerance_) {
      dropped_ = std::min(dropped_, lower);
      continue;
    }
    const Candidate candidate{lower, body, kept(memory)};
    if (names_mesh(body)) {
      mesh_candidates_.push_back(candidate);
      continue;
    }
    part.lower = std::min(part.lower, lower);
    candidates_.push_back(candidate);
    ++part.count;
  }
  push_with_meshes(part);
}

void CertifiedMinimum::start_patch(std::uint32_t index) {
  const FedPatch& patch = patches_[index].patch;
  if (patches_[index].bodies.empty()) return;
  const Part whole{-unlimited, patch.whole(), 0, 0, index, false};
  const std::uint32_t memory = kept({});
  whole_.clear();
  for (const std::uint32_t body : patches_[index].bodies) {
    whole_.push_back({-unlimited, body, memory});
    if (!names_mesh(body)) continue;
    const auto [s, w] = patch.nearest_feasible(whole.box);
    take_inside({index, body, w, 0.0, patch.point(s, w, Eigen::Vector2d::Zero()), Eigen::Vector3d::UnitX(), 0.0}, {s, w});
  }
  add(whole, whole_);
}

void CertifiedMinimum::take_inside(const Meeting& meeting, const std::array<double, 2>& at) {
  if (!(best_.upper_mm > 0.0)) return;
  ++evaluations_;
  if (!around_.meshes[meeting.body & ~mesh_mark].inside(meeting.point)) return;
  best_.upper_mm = 0.0;
  best_.meeting = meeting;
  met_at_ = at;
}

double CertifiedMinimum::by_its_ball(const View& view, std::uint32_t body) const {
  const ConvexBody::Ball& ball = around_.convex[body].ball();
  return away_from(view, ball.centre, best_.upper_mm + ball.radius_mm) - ball.radius_mm;
}

void CertifiedMinimum::divide(const Part& part) {
  const Candidate first = candidates_[part.first];
  if (names_mesh(first.body) && memories_[first.memory].piece.kind == MeshDistance::Piece::Kind::box) {
    Memory memory = memories_[first.memory];
    const MeshDistance& mesh = around_.meshes[first.body & ~mesh_mark];
    const View view = view_of(part);
    if (mesh.half_diagonal_mm(memory.piece) > view.reach_mm || view.reach_mm < short_reach_mm) {
      const MeshDistance::Parts parts = mesh.parts_of(memory.piece);
      for (std::uint32_t i = 0; i < parts.count; ++i) {
        memory.piece = parts.piece[i];
        const Candidate candidate{first.lower, first.body, kept(memory)};
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
  // What most searches need, at once.
  constexpr std::size_t usual = 256;
  candidates_.clear();
  candidates_.reserve(4 * usual);
  memories_.clear();
  memories_.reserve(usual);
  parts_.reserve(usual);
  heap_.reserve(usual);
  parts_.clear();
  heap_.clear();
  dropped_ = unlimited;
  double extent = 0.0;
  std::span<const std::uint32_t> before;
  const auto with = [&](double size, std::span<const std::uint32_t> bodies) {
    extent = std::max(extent, size);
    if (bodies.data() == before.data() && bodies.size() == before.size()) return;
    before = bodies;
    for (const std::uint32_t body : bodies)
      extent = std::max(extent, names_mesh(body) ? around_.meshes[body & ~mesh_mark].extent_mm()
                                                 : around_.convex[body].extent_mm());
  };
  for (const Course& course : courses_) with(course.stretch.extent_mm() + 2.0 * course.straight_mm + (course.section.has_edges() ? course.section.reach_mm() : 0.0), course.bodies);
  for (const PatchCourse& course : patches_) with(course.patch.extent_mm() + course.section().reach_mm(), course.bodies);
  rounding_ = rounding_bound_mm(extent);
  for (std::uint32_t i = 0; i < courses_.size(); ++i) start_course(i);
  for (std::uint32_t i = 0; i < patches_.size(); ++i) start_patch(i);
  while (!heap_.empty() && heap_.front().lower < best_.upper_mm - tolerance_) {
    std::pop_heap(heap_.begin(), heap_.end(), later);
    const Part top = parts_[heap_.back().part];
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
