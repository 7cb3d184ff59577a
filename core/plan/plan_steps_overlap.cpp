// A solid that stands where a roll turns: measured wrongly, or not of this machine.
#include <algorithm>
#include <array>
#include <cmath>
#include <coilwright/clearance/mesh_distance.hpp>
#include <coilwright/clearance/shape_distance.hpp>
#include <coilwright/plan/plan_steps.hpp>
#include <numbers>

namespace coilwright::plan_steps {
namespace {

using Eigen::Vector3d;

// What a roll runs through just under its surface; a shaft stands farther in. A cap that touches a face is not met.
constexpr double under_surface = 0.98;
constexpr std::array heights{0.05, 0.35, 0.65, 0.95};
constexpr int around = 48;
// Less than this is how well solids are measured (judgement).
constexpr double measured_to_mm = 1.0;

std::vector<Vector3d> skin(const Vector3d& from, const Vector3d& to, double from_radius, double to_radius) {
  const Vector3d axis = (to - from).normalized();
  const Vector3d side = axis.unitOrthogonal(), up = axis.cross(side);
  std::vector<Vector3d> points;
  for (const double h : heights)
    for (int i = 0; i < around; ++i) {
      const double angle = 2.0 * std::numbers::pi * i / around, radius = under_surface * std::lerp(from_radius, to_radius, h);
      points.push_back(from + h * (to - from) + radius * (std::cos(angle) * side + std::sin(angle) * up));
    }
  return points;
}

std::vector<Vector3d> skin_of(const Shape& shape) {
  if (const auto* c = std::get_if<Cylinder>(&shape)) return skin(c->from, c->to, c->radius_mm, c->radius_mm);
  if (const auto* f = std::get_if<Frustum>(&shape)) return skin(f->from, f->to, f->from_radius_mm, f->to_radius_mm);
  return {};
}

// Whether a solid is met there.
bool meets(const Shape& solid, const std::vector<Vector3d>& points) {
  if (const auto* mesh = std::get_if<MeshBody>(&solid)) {
    const MeshDistance body(*mesh);
    return std::any_of(points.begin(), points.end(), [&](const Vector3d& p) { return body.inside(p); });
  }
  const ConvexBody body(solid);
  return std::any_of(points.begin(), points.end(), [&](const Vector3d& p) { return body.distance(p).distance_mm < -measured_to_mm; });
}

}  // namespace

void check_solids(Plan& plan) {
  Remarks say(plan);
  for (const Obstacle& roll : plan.scene) {
    if (!roll.contact_lag_mm || roll.name == "outboard roll") continue;
    std::vector<Vector3d> points;
    for (const Shape& body : roll.bodies)
      for (const Vector3d& p : skin_of(body)) points.push_back(p);
    for (const Obstacle& solid : plan.scene) {
      if (solid.contact_lag_mm || std::none_of(solid.bodies.begin(), solid.bodies.end(), [&](const Shape& s) { return meets(s, points); }))
        continue;
      say.caution("machine.solid", "The solid \"" + solid.name + "\" stands where the " + roll.name +
                                       " turns, with the machine at this setting: check its measures, its unit and what it rides on. "
                                       "What is said of its clearance cannot be right.");
    }
  }
}

}  // namespace coilwright::plan_steps
