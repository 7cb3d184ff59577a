#include <cmath>
#include <coilwright/rolling/placement.hpp>

namespace coilwright {
namespace {

using Eigen::AngleAxisd;
using Eigen::Isometry3d;
using Eigen::Matrix3d;
using Eigen::Vector3d;

Matrix3d lifting(double angle) { return AngleAxisd(-angle, Vector3d::UnitY()).toRotationMatrix(); }

struct Base {
  Matrix3d Q0;       // leans the helix
  Matrix3d turn;     // Rz(delta)
  Vector3d t;        // shift in plan
  double delta_rad;
  double exit_theta;
};

Base base_of(const Helix& helix, const SteadyState& rolling, double beta, double slope) {
  Base b{};
  const double alpha = helix.slope().rad();
  b.Q0 = lifting(slope) * AngleAxisd(beta, Vector3d::UnitX()).toRotationMatrix() * lifting(-alpha);
  // The bend point lies a length of span, not half the spacing, behind the exit contact.
  b.exit_theta = rolling.span_out_mm / helix.arc_per_radian_mm();
  const Vector3d leaving = b.Q0 * helix.tangent_C(b.exit_theta);
  b.delta_rad = rolling.exit_direction_rad - std::atan2(leaving.y(), leaving.x());
  b.turn = AngleAxisd(b.delta_rad, Vector3d::UnitZ()).toRotationMatrix();
  const Vector3d there = b.turn * (b.Q0 * helix.point_C(b.exit_theta));
  b.t = {rolling.exit_point.x() - there.x(), rolling.exit_point.y() - there.y(), 0.0};
  return b;
}

Isometry3d isometry(const Matrix3d& rotation, const Vector3d& translation) {
  Isometry3d X = Isometry3d::Identity();
  X.linear() = rotation;
  X.translation() = translation;
  return X;
}

}  // namespace

PosedPart place_part(const Helix& helix, const MomentCurvature& law, const RollGeometry& rolls,
                     const BendHistory& before, const SteadyState& rolling, const RaisedArc* arc,
                     const LiftState* lift, double stock_slope_rad) {
  return place_part(helix, span_stations(law, rolls, before, rolling), rolling, arc, lift, stock_slope_rad);
}

PosedPart place_part(const Helix& helix, std::vector<PosedPart::Station> spans, const SteadyState& rolling, const RaisedArc* arc,
                     const LiftState* lift, double stock_slope_rad) {
  const double beta = lift != nullptr ? lift->side_lean.rad() : 0.0;
  const double slope = lift != nullptr ? lift->slope_rad : 0.0;
  const Base base = base_of(helix, rolling, beta, slope);
  const Isometry3d unsprung = isometry(base.turn * base.Q0, base.t);
  PosedPart::Spec spec{.helix = helix,
                       .spans = std::move(spans),
                       .elastic = {},
                       .outboard_lag_mm = rolling.span_out_mm,
                       .X_FC_unsprung = unsprung,
                       .X_FC = unsprung,
                       .arc_second_bound_per_mm = helix.curvature().per_mm(),
                       .arc_third_bound_per_mm2 =
                           helix.curvature().per_mm() * std::hypot(helix.curvature().per_mm(), helix.torsion().per_mm()),
                       .delta_rad = base.delta_rad,
                       .stock_slope_rad = stock_slope_rad};
  if (arc == nullptr || lift == nullptr) return PosedPart(std::move(spec));

  RaisedArc::Field field = arc->under(lift->outboard_force.newtons(), lift->exit_vertical_force.newtons());
  // The loads are vertical, so the displacement is used as it comes, not turned with the lean.
  for (PosedPart::Node& node : field.nodes)
    node = {node.lag_mm,           base.turn * node.u,      base.turn * node.du,
            base.turn * node.ddu,  base.turn * node.turned, base.turn * node.dturned};
  // The table starts at the last node before the exit contact.
  while (field.nodes.size() > 2 && field.nodes[1].lag_mm <= rolling.span_out_mm) field.nodes.erase(field.nodes.begin());
  spec.elastic = std::move(field.nodes);
  spec.outboard_lag_mm = helix.arc_per_radian_mm() * arc->roll_theta();

  const double turned = field.roll_rotation.norm();
  const Matrix3d Re = turned > 0.0 ? AngleAxisd(turned, field.roll_rotation / turned).toRotationMatrix()
                                   : Matrix3d(Matrix3d::Identity());
  const Vector3d r2 = base.Q0 * helix.point_C(arc->roll_theta());
  spec.X_FC = isometry(base.turn * Re * base.Q0, base.turn * (r2 + field.roll_displacement - Re * r2) + base.t);
  // The interpolated displacement follows the exact one to far better than this reserve.
  constexpr double reserve = 1.02;
  spec.arc_second_bound_per_mm += reserve * field.second_bound_per_mm;
  spec.arc_third_bound_per_mm2 += reserve * field.third_bound_per_mm2;
  return PosedPart(std::move(spec));
}

AtOutboardRoll at_outboard_roll(const Helix& helix, const SteadyState& rolling, const RaisedArc& arc, const LiftState& lift) {
  const Base base = base_of(helix, rolling, lift.side_lean.rad(), lift.slope_rad);
  const Vector3d u = arc.roll_displacement(lift.outboard_force.newtons(), lift.exit_vertical_force.newtons());
  return {base.turn * (base.Q0 * helix.point_C(arc.roll_theta()) + u) + base.t,
          base.turn * (base.Q0 * helix.tangent_C(arc.roll_theta()))};
}

AtOutboardRoll at_outboard_roll(const Helix& helix, const SteadyState& rolling, double roll_theta) {
  const Base base = base_of(helix, rolling, 0.0, 0.0);
  return {base.turn * (base.Q0 * helix.point_C(roll_theta)) + base.t, base.turn * (base.Q0 * helix.tangent_C(roll_theta))};
}

}  // namespace coilwright
