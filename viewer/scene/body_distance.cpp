#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <viewer/scene/body_distance.hpp>

namespace coilwright::view {
namespace {

using Eigen::Vector2d;
using Eigen::Vector3d;

// In the half plane through the axis a body of revolution is a quadrilateral with one side on the axis.
double to_revolved(const Vector3d& from, const Vector3d& to, double from_radius, double to_radius, const Vector3d& p) {
  const Vector3d along = to - from;
  const double length = along.norm();
  const double h = (p - from).dot(along) / length;
  const double r = (p - from - h / length * along).norm();
  const Vector2d q(r, h);
  const std::array<Vector2d, 4> outline{Vector2d(0, 0), Vector2d(from_radius, 0), Vector2d(to_radius, length),
                                        Vector2d(0, length)};
  double least = INFINITY;
  for (std::size_t i = 0; i < 3; ++i) {
    const Vector2d a = outline[i], d = outline[i + 1] - a;
    const double x = d.squaredNorm() > 0.0 ? std::clamp((q - a).dot(d) / d.squaredNorm(), 0.0, 1.0) : 0.0;
    least = std::min(least, (q - a - x * d).norm());
  }
  const bool inside = h >= 0.0 && h <= length && r <= from_radius + (to_radius - from_radius) * h / length;
  return inside ? -least : least;
}

double to_box(const Box& box, const Vector3d& p) {
  const Vector3d half = 0.5 * (box.max - box.min);
  const Vector3d local = Eigen::AngleAxisd(-box.turned_rad, Vector3d::UnitZ()) * (p - 0.5 * (box.min + box.max));
  const Vector3d over = local.cwiseAbs() - half;
  return over.cwiseMax(0.0).norm() + std::min(0.0, over.maxCoeff());
}

}  // namespace

double body_distance_mm(const Shape& body, const Vector3d& p) {
  if (const auto* c = std::get_if<Cylinder>(&body)) return to_revolved(c->from, c->to, c->radius_mm, c->radius_mm, p);
  if (const auto* f = std::get_if<Frustum>(&body))
    return to_revolved(f->from, f->to, f->from_radius_mm, f->to_radius_mm, p);
  if (const auto* b = std::get_if<Box>(&body)) return to_box(*b, p);
  const auto& plane = std::get<HalfSpace>(body);
  return plane.normal.dot(p - plane.point);
}

}  // namespace coilwright::view
