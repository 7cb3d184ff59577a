// The part of the search that knows patches of two parameters and rectangular sections.
#include <algorithm>
#include <cmath>
#include <coilwright/clearance/certified_minimum.hpp>

namespace coilwright {
namespace {

// The section is searched until its half-space is this share of the tolerance, or of what the patch's own curl
// leaves anyway, below the nearest point found.
constexpr double section_share = 0.25;

}  // namespace

void CertifiedMinimum::view_of_patch(View& view) {
  const FedPatch& patch = view.patch->patch;
  const SectionBox section = view.patch->section();
  view.exists = patch.feasible({view.box.s, 0.0, view.box.w, 0.0}) == FedPatch::Feasible::all;
  view.corners = 0;
  SearchBox& box = view.box_of_section;
  box.axes.fill(Eigen::Vector3d::Zero());
  if (!section.has_edges()) {
    view.corner[view.corners++] = patch.at(view.box, Eigen::Vector2d::Zero());
    box.centre = view.corner[0].p;
    return;
  }
  view.corner = patch.at_corners(view.box, section.corners());
  view.corners = 4;
  box.centre = 0.25 * (view.corner[0].p + view.corner[1].p + view.corner[2].p + view.corner[3].p);
  box.axes[0] = 0.5 * (view.corner[2].p - view.corner[0].p);
  box.axes[1] = 0.5 * (view.corner[1].p - view.corner[0].p);
}

void CertifiedMinimum::view_of_section(View& view) {
  const Course& course = *view.course;
  const std::array<Eigen::Vector2d, 4> corners = course.section.corners();
  view.course_corners = 0;
  for (const double ahead : {0.0, course.straight_mm}) {
    if (ahead == 0.0 && view.course_corners > 0) break;
    for (const Eigen::Vector2d& corner : corners)
      view.course_corner[view.course_corners++] = course.stretch.at(view.lag, {corner, ahead});
  }
  const auto p = [&](std::size_t i) -> const Eigen::Vector3d& { return view.course_corner[i].c.p; };
  SearchBox& box = view.box_of_section;
  box.axes = {0.5 * (p(2) - p(0)), 0.5 * (p(1) - p(0)), 0.5 * course.straight_mm * view.start.c.d1};
  box.centre = 0.25 * (p(0) + p(1) + p(2) + p(3)) + box.axes[2];
}

double CertifiedMinimum::reach_of(const View& view) {
  double reach = 0.0;
  if (view.patch != nullptr) {
    for (std::size_t i = 0; i < view.corners; ++i) reach = std::max(reach, view.corner[i].reach_mm);
    return reach;
  }
  for (std::size_t i = 0; i < view.course_corners; ++i)
    reach = std::max(reach, view.course->stretch.reach(view.course_corner[i], view.half));
  if (view.course_corners > 0) return reach;
  reach = view.course->stretch.reach(view.start, view.half);
  if (view.course->straight_mm > 0.0) reach = std::max(reach, view.course->stretch.reach(view.end, view.half));
  return reach;
}

double CertifiedMinimum::least_rise(const View& view, const PatchPoint& corner, const Eigen::Vector3d& g) {
  const double hs = view.box.half_s, hw = view.box.half_w;
  if (hs == 0.0)
    return std::max(least_quadratic(g.dot(corner.w), g.dot(corner.ww), hw) - corner.rest_mm, -corner.reach_mm);
  const double s = g.dot(corner.s), w = g.dot(corner.w), ss = g.dot(corner.ss), sw = g.dot(corner.sw),
               ww = g.dot(corner.ww);
  double rise = least_quadratic_on_box(s, w, ss, sw, ww, hs, hw) - corner.rest_mm;
  // Where part of the box does not exist the slopes count over the rest only.
  if (!view.exists)
    rise = std::max(rise, view.patch->patch.least_linear(view.box, s, w) + least_quadratic(0.0, ss, hs) +
                              least_quadratic(0.0, ww, hw) - std::abs(sw) * hs * hw - corner.rest_mm);
  return std::max(rise, -corner.reach_mm);
}

double CertifiedMinimum::lower_of_patch(const View& view, double at_centre, const Eigen::Vector3d& direction) {
  double lower = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < view.corners; ++i) {
    const PatchPoint& corner = view.corner[i];
    lower = std::min(lower, at_centre + direction.dot(corner.p - view.box_of_section.centre) + least_rise(view, corner, direction));
  }
  return lower;
}

// The direction that costs the bound more. Second-order terms count: where the slope vanishes in one direction, as it
// does at a joint of two segments, a rule by slopes alone would halve the other for ever.
bool CertifiedMinimum::cuts_s(const View& view, const Eigen::Vector3d& g) {
  if (view.box.half_s == 0.0) return false;
  double loss_s = 0.0, loss_w = 0.0;
  for (std::size_t i = 0; i < view.corners; ++i) {
    const PatchPoint& corner = view.corner[i];
    loss_s = std::max(loss_s, corner.rest_s_mm - least_quadratic(g.dot(corner.s), g.dot(corner.ss), view.box.half_s));
    loss_w = std::max(loss_w, corner.rest_w_mm - least_quadratic(g.dot(corner.w), g.dot(corner.ww), view.box.half_w));
  }
  return loss_s > loss_w;
}

double CertifiedMinimum::lower_of_section(const View& view, double at_centre, const Eigen::Vector3d& direction) {
  if (view.patch != nullptr) return lower_of_patch(view, at_centre, direction);
  double lower = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < view.course_corners; ++i) {
    const BoundedPoint& corner = view.course_corner[i];
    lower = std::min(lower, at_centre + direction.dot(corner.c.p - view.box_of_section.centre) +
                                view.course->stretch.least_rise(corner, direction, view.half));
  }
  return lower;
}

double CertifiedMinimum::lower_over_patch(const View& view, std::uint32_t body, Memory& memory, Eigen::Vector3d& against) {
  const PatchCourse& course = *view.patch;
  if (!view.exists) {
    // The middle gives a bound, but is no place of the part: one that is stands in for it.
    const auto [s, w] = course.patch.nearest_feasible(view.box);
    Eigen::Vector2d offset = Eigen::Vector2d::Zero();
    if (view.corners > 1) {
      const SectionBox section = course.section();
      offset = section.middle() + section.edges() * memory.offset.head<2>();
    }
    look_at(view, body, memory, course.patch.point(s, w, offset), 0.0, s, w);
  }
  if (view.corners > 1) {
    const double lower = lower_over_section(view, body, memory, 0.5 * view.corner[0].ww.norm() * view.box.half_w * view.box.half_w);
    against = memory.direction;
    return lower;
  }
  const Eigen::Vector3d& centre = view.box_of_section.centre;
  const SurfaceDistance found = look_at(view, body, memory, centre, 0.0, view.box.s, view.box.w);
  against = found.direction;
  remember(memory, found, centre);
  return lower_of_patch(view, found.distance_mm, found.direction);
}

double CertifiedMinimum::lower_over_section(const View& view, std::uint32_t body, Memory& memory, double curl) {
  const SearchBox& box = view.box_of_section;
  const double half_straight = view.course != nullptr ? 0.5 * view.course->straight_mm : 0.0;
  const auto look = [&](const Eigen::Vector3d& x) {
    return look_at(view, body, memory, box.at(x), half_straight * (1.0 + x.z()), view.box.s, view.box.w);
  };
  const auto bound = [&](const Eigen::Vector3d& direction, double at_centre) {
    return lower_of_section(view, at_centre, direction);
  };
  const auto proved = [&](double most) { return most - rounding_ >= best_.upper_mm - tolerance_; };
  const Depth depth =
      names_mesh(body) || around_.inside == Scenery::Inside::none ? Depth::none : Depth::signed_distance;
  BoxSearch search(box, depth, look, bound, section_share * std::max(tolerance_, curl), proved);
  search.run(memory.offset);
  memory.offset = search.nearest();
  memory.direction = search.direction();
  if (!memory.direction.isZero(0.0)) memory.level = search.level();
  return search.most();
}

}  // namespace coilwright
