#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <viewer/scene/closeup.hpp>
#include <vtkCamera.h>

namespace coilwright::view {
namespace {

using Eigen::Vector3d;

constexpr double eye_distance_mm = 4000.0;

// Share of the way to the eye on which nothing stands, nearer things counting more.
double sight(const GrowingPart& part, const PartRings& rings, const Vector3d& from, const Vector3d& back, double start_mm) {
  constexpr int steps = 40;
  int free = 0;
  for (int i = 0; i < steps; ++i) {
    const double x = start_mm * std::pow(eye_distance_mm / start_mm, (i + 0.5) / steps);
    if (part.to_anything(from + x * back, rings) > 0.0) ++free;
  }
  return static_cast<double>(free) / steps;
}

}  // namespace

std::optional<Closeup> closeup_of(const Subject& subject, const GrowingPart& part, const Vector3d& back) {
  if (!subject.nearest) return std::nullopt;
  const Vector3d a = placed(subject, subject.nearest->on_part), b = placed(subject, subject.nearest->on_other);
  const double gap = std::max(0.0, subject.nearest->distance_mm);
  const Vector3d centre = placed(subject, subject.nearest->place());
  std::optional<double> moment;
  if (subject.nearest->gone_later() || subject.growth) moment = subject.nearest->fed_length_mm;
  const PartRings rings = part.at_fed_length(moment.value_or(subject.rolled_mm));
  const double half = std::max(1.6 * gap, 5.0 * subject.tube_radius_mm);
  // Square to the line between the points where there is one.
  const bool apart = gap > 0.0 && (b - a).norm() > 0.0;
  const Vector3d across = apart ? Vector3d((b - a).normalized()) : Vector3d(Vector3d::Zero());

  Closeup best{moment, centre, back, Vector3d::UnitZ(), half};
  double most = -INFINITY;
  for (const double rise : {0.15, 0.5, 0.9, 1.25})
    for (int k = 0; k < 24; ++k) {
      const double turn = 2.0 * std::numbers::pi * k / 24.0;
      Vector3d d(std::cos(rise) * std::cos(turn), std::cos(rise) * std::sin(turn), std::sin(rise));
      d -= d.dot(across) * across;
      if (d.norm() < 0.3) continue;
      d.normalize();
      const double worth = sight(part, rings, centre, d, 0.5 * half) + 0.25 * d.dot(back) + 0.1 * d.z();
      if (worth > most) {
        most = worth;
        best.back = d;
      }
    }
  const Vector3d right = Vector3d::UnitZ().cross(best.back);
  best.up = right.norm() > 1e-3 ? Vector3d(best.back.cross(right.normalized())) : Vector3d(Vector3d::UnitY());
  return best;
}

void aim(vtkCamera* camera, const Closeup& closeup) {
  const Vector3d eye = closeup.centre + eye_distance_mm * closeup.back;
  camera->ParallelProjectionOn();
  camera->SetParallelScale(closeup.half_height_mm);
  camera->SetPosition(eye.data());
  camera->SetFocalPoint(closeup.centre.data());
  camera->SetViewUp(closeup.up.data());
}

}  // namespace coilwright::view
