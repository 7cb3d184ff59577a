// The part of the search that knows patches of two parameters and rectangular sections.
#include <algorithm>
#include <cmath>
#include <coilwright/clearance/certified_minimum.hpp>

namespace coilwright {
namespace {

// The section is searched until its half-space is this share of the tolerance, or of what the patch's own curl
// leaves anyway, below the nearest point found.
constexpr double section_share = 0.25;
// Far more than the accelerated steps ever took; a search that ends here still has a valid half-space.
constexpr int section_looks = 200;

}  // namespace

void CertifiedMinimum::view_of_patch(View& view) {
  const FedPatch& patch = view.patch->patch;
  const Eigen::Vector2d half = view.patch->half_edges;
  view.exists = patch.feasible({view.box.s, 0.0, view.box.w, 0.0}) == FedPatch::Feasible::all;
  view.corners = 0;
  if ((half.array() == 0.0).all()) {
    view.corner[view.corners++] = patch.at(view.box, half);
    view.centre = view.corner[0].p;
    view.across = view.up = Eigen::Vector3d::Zero();
    return;
  }
  view.corner = patch.at_corners(view.box, half);
  view.corners = 4;
  view.centre = 0.25 * (view.corner[0].p + view.corner[1].p + view.corner[2].p + view.corner[3].p);
  view.across = 0.5 * (view.corner[2].p - view.corner[0].p);
  view.up = 0.5 * (view.corner[1].p - view.corner[0].p);
}

double CertifiedMinimum::reach_of(const View& view) {
  double reach = 0.0;
  if (view.patch != nullptr) {
    for (std::size_t i = 0; i < view.corners; ++i) reach = std::max(reach, view.corner[i].reach_mm);
    return reach;
  }
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
    lower = std::min(lower, at_centre + direction.dot(corner.p - view.centre) + least_rise(view, corner, direction));
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

double CertifiedMinimum::lower_over_patch(const View& view, Candidate& candidate, Eigen::Vector3d& against) {
  const FedPatch& patch = view.patch->patch;
  if (!view.exists) {
    // The middle gives a bound, but is no place of the part: one that is stands in for it.
    const auto [s, w] = patch.nearest_feasible(view.box);
    const Eigen::Vector2d offset = candidate.offset.cwiseProduct(view.patch->half_edges);
    look_at(view, candidate, patch.point(s, w, offset), 0.0, s, w);
  }
  const auto look_inside = [&](const Eigen::Vector2d& at) {
    return look_at(view, candidate, view.centre + at.x() * view.across + at.y() * view.up, 0.0, view.box.s, view.box.w);
  };
  if (view.corners == 1) {
    const SurfaceDistance found = look_inside(Eigen::Vector2d::Zero());
    against = found.direction;
    candidate.direction = against;
    candidate.level = found.distance_mm - against.dot(view.centre);
    return lower_of_patch(view, found.distance_mm, found.direction);
  }
  // The distance over the section is convex: accelerated steps of the length of the distance itself (to the section's
  // point nearest to the body's nearest point), until the half-space leaves little below them (Y. Nesterov 1983 for
  // the steps; the gap of M. Frank and P. Wolfe 1956 for the end).
  const Eigen::Vector2d half = view.patch->half_edges;
  const double curl = 0.5 * view.corner[0].ww.norm() * view.box.half_w * view.box.half_w;
  const double enough = section_share * std::max(tolerance_, curl);
  Eigen::Vector2d ahead = candidate.offset, at = candidate.offset;  // in half edges, -1 to 1
  double momentum = 1.0, most = -std::numeric_limits<double>::infinity();
  for (int looks = 0;; ++looks) {
    const SurfaceDistance found = look_inside(ahead);
    if (found.distance_mm == 0.0) return 0.0;
    const Eigen::Vector2d slope(found.direction.dot(view.across), found.direction.dot(view.up));
    const double lower = lower_of_patch(view, found.distance_mm - slope.dot(ahead), found.direction);
    if (lower > most) {
      most = lower, against = found.direction;
      candidate.direction = against;
      candidate.level = found.distance_mm - slope.dot(ahead) - against.dot(view.centre);
    }
    const double gap = slope.cwiseAbs().sum() + slope.dot(ahead);
    candidate.offset = ahead;
    if (gap <= enough || looks >= section_looks || most - rounding_ >= best_.upper_mm - tolerance_) return most;
    const Eigen::Vector2d step = found.distance_mm * slope.cwiseQuotient(half.cwiseProduct(half));
    const Eigen::Vector2d next = (ahead - step).cwiseMax(-1.0).cwiseMin(1.0);
    const double grown = 0.5 * (1.0 + std::sqrt(1.0 + 4.0 * momentum * momentum));
    // Back to plain steps when the last one led away.
    if (slope.dot(next - at) > 0.0) momentum = 1.0, ahead = next;
    else ahead = (next + (momentum - 1.0) / grown * (next - at)).cwiseMax(-1.0).cwiseMin(1.0), momentum = grown;
    at = next;
  }
}

}  // namespace coilwright
