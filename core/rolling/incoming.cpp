#include <algorithm>
#include <cmath>
#include <coilwright/rolling/incoming.hpp>
#include <numbers>

namespace coilwright {
namespace {

using Eigen::AngleAxisd;
using Eigen::Isometry3d;
using Eigen::Vector3d;

// Takes the start of a helix, moved on by an azimuth along itself.
Isometry3d screwed_on(const Helix& helix, double theta) {
  const Vector3d axis(0.0, helix.plan_radius().mm(), 0.0);
  Isometry3d X = Isometry3d::Identity();
  X.translate(axis + helix.rise_per_radian_mm() * theta * Vector3d::UnitZ());
  X.rotate(AngleAxisd(theta, Vector3d::UnitZ()));
  X.translate(-axis);
  return X;
}

}  // namespace

PosedPart incoming_bent(const PosedPart& rolling, const Helix& before) {
  // Walked against the feed, what bent to the left bends to the right.
  std::vector<PosedPart::Station> spans;
  for (const PosedPart::Station& s : rolling.spans())
    spans.push_back({-s.lag_mm, s.direction_rad + std::numbers::pi, -s.curvature_per_mm, s.p});
  std::reverse(spans.begin(), spans.end());
  const PosedPart::Station& entry = spans.back();
  const double alpha = std::atan2(before.rise_per_radian_mm(), before.plan_radius().mm());
  Isometry3d X = Isometry3d::Identity();
  X.translate(Vector3d(entry.p.x(), entry.p.y(), 0.0));
  // Along the tangent there, turned about it so that the bend lies on the side of the centre roll, the tangent level.
  X.rotate(AngleAxisd(entry.direction_rad, Vector3d::UnitZ()));
  X.rotate(AngleAxisd(std::numbers::pi, Vector3d::UnitX()));
  X.rotate(AngleAxisd(alpha, Vector3d::UnitY()));
  const Isometry3d X_FC = X * screwed_on(before, entry.lag_mm / before.arc_per_radian_mm()).inverse();
  PosedPart::Spec spec{before, std::move(spans), {}, entry.lag_mm, X_FC, X_FC, 0.0, 0.0};
  spec.upright_lag_mm = spec.outboard_lag_mm;
  return PosedPart(std::move(spec));
}

EntryContact EntryContact::of(const PosedPart& rolling) {
  const PosedPart::Station& entry = rolling.spans().front();
  EntryContact contact;
  contact.X_FE.translate(Vector3d(entry.p.x(), entry.p.y(), 0.0));
  contact.X_FE.rotate(AngleAxisd(entry.direction_rad, Vector3d::UnitZ()));
  contact.X_FE.rotate(AngleAxisd(std::numbers::pi, Vector3d::UnitY()));
  contact.span_in_mm = -entry.lag_mm;
  return contact;
}

EntryContact EntryContact::of_straight(double span_in_mm, double y_mm) {
  EntryContact contact;
  contact.X_FE.translate(Vector3d(-span_in_mm, y_mm, 0.0));
  contact.X_FE.rotate(AngleAxisd(std::numbers::pi, Vector3d::UnitY()));
  contact.span_in_mm = span_in_mm;
  return contact;
}

}  // namespace coilwright
