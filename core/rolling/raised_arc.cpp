#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/quadrature.hpp>
#include <coilwright/rolling/raised_arc.hpp>

namespace coilwright {

using Eigen::Vector3d;

RaisedArc::RaisedArc(const Helix& helix, double bending_stiffness, double torsion_stiffness, double exit_theta,
                     double roll_theta)
    : helix_(helix),
      EI_(bending_stiffness),
      GJ_(torsion_stiffness),
      theta1_(exit_theta),
      Phi_(roll_theta),
      sin_alpha_(helix.rise_per_radian_mm() / helix.arc_per_radian_mm()),
      cos_alpha_(helix.plan_radius().mm() / helix.arc_per_radian_mm()),
      exit_point_(point(exit_theta)),
      roll_point_(point(roll_theta)),
      c11_(0),
      c12_(0),
      c22_(0) {
  require(0.0 < exit_theta && exit_theta < roll_theta, "the outboard roll stands beyond the exit roll");
  require(bending_stiffness > 0.0 && torsion_stiffness > 0.0, "stock that has stiffness");
  // Both stretches, before and behind the exit roll; the unit-load moments are smooth on each.
  const double rho = helix.arc_per_radian_mm();
  const auto flexibility = [&](const Vector3d& ma, const Vector3d& mb, const Vector3d& t) {
    const double twist = ma.dot(t) * mb.dot(t);
    return (ma.dot(mb) - twist) / EI_ + twist / GJ_;
  };
  constexpr int parts = 4;
  for (int part = 0; part < 2 * parts; ++part) {
    const bool before_exit = part < parts;
    const double from = before_exit ? 0.0 : theta1_, span = (before_exit ? theta1_ : Phi_ - theta1_) / parts;
    for (const auto& [x, weight] : gauss_20()) {
      const double theta = from + span * ((part % parts) + x);
      const Vector3d r = point(theta), t = tangent(theta), up = Vector3d::UnitZ();
      const Vector3d m2 = (roll_point_ - r).cross(up);
      const double ds = rho * span * weight;
      c22_ += flexibility(m2, m2, t) * ds;
      if (!before_exit) continue;
      const Vector3d m1 = (exit_point_ - r).cross(up);
      c11_ += flexibility(m1, m1, t) * ds;
      c12_ += flexibility(m1, m2, t) * ds;
    }
  }
}

Vector3d RaisedArc::point(double theta) const {
  const double R = helix_.plan_radius().mm(), c = helix_.rise_per_radian_mm(), half = std::sin(0.5 * theta);
  // theta - sin theta loses its digits near zero.
  const double excess = std::abs(theta) < 0.1
                            ? theta * theta * theta / 6.0 *
                                  (1.0 - theta * theta / 20.0 * (1.0 - theta * theta / 42.0 * (1.0 - theta * theta / 72.0)))
                            : theta - std::sin(theta);
  return {R * std::sin(theta) * cos_alpha_ + c * theta * sin_alpha_, 2.0 * R * half * half, c * cos_alpha_ * excess};
}

Vector3d RaisedArc::tangent(double theta) const {
  const double cosine = std::cos(theta), half = std::sin(0.5 * theta);
  return {cos_alpha_ * cos_alpha_ * cosine + sin_alpha_ * sin_alpha_, cos_alpha_ * std::sin(theta),
          sin_alpha_ * cos_alpha_ * 2.0 * half * half};
}

Vector3d RaisedArc::normal(double theta) const {
  return {-std::sin(theta) * cos_alpha_, std::cos(theta), std::sin(theta) * sin_alpha_};
}

Vector3d RaisedArc::moment(double theta, double F, double V) const {
  const Vector3d r = point(theta), up = Vector3d::UnitZ();
  return F * (roll_point_ - r).cross(up) + V * (exit_point_ - r).cross(up);
}

Vector3d RaisedArc::rotation_rate(double theta, const Vector3d& m) const {
  const Vector3d t = tangent(theta);
  return m / EI_ + t * t.dot(m) * (1.0 / GJ_ - 1.0 / EI_);
}

Vector3d RaisedArc::roll_displacement(double F, double V) const {
  Vector3d u = Vector3d::Zero();
  for (const bool before_exit : {true, false}) {
    const double from = before_exit ? 0.0 : theta1_, span = before_exit ? theta1_ : Phi_ - theta1_;
    for (const auto& [x, weight] : gauss_20()) {
      const double theta = from + span * x;
      const Vector3d turn = rotation_rate(theta, moment(theta, F, before_exit ? V : 0.0));
      u += turn.cross(roll_point_ - point(theta)) * (helix_.arc_per_radian_mm() * span * weight);
    }
  }
  return u;
}

RaisedArc::Field RaisedArc::under(double F, double V) const {
  const double rho = helix_.arc_per_radian_mm(), kappa = helix_.curvature().per_mm(), tau = helix_.torsion().per_mm();
  constexpr int parts_before = 4, parts_beyond = 16;
  Field field{};
  Vector3d u = Vector3d::Zero(), rotation = Vector3d::Zero();
  double largest_rotation = 0.0;
  const auto store = [&](double theta, double exit_force) {
    const Vector3d t = tangent(theta);
    field.nodes.push_back({rho * theta, u, rotation.cross(t),
                           rotation_rate(theta, moment(theta, F, exit_force)).cross(t) + kappa * rotation.cross(normal(theta))});
  };
  store(0.0, V);
  for (int part = 0; part < parts_before + parts_beyond; ++part) {
    const bool before_exit = part < parts_before;
    const double exit_force = before_exit ? V : 0.0;
    const double span = before_exit ? theta1_ / parts_before : (Phi_ - theta1_) / parts_beyond;
    const double from = before_exit ? part * span : theta1_ + (part - parts_before) * span;
    const Vector3d r_to = point(from + span);
    u += rotation.cross(r_to - point(from));
    for (const auto& [x, weight] : gauss_7()) {
      const double theta = from + span * x;
      const Vector3d turn = rotation_rate(theta, moment(theta, F, exit_force)) * (rho * span * weight);
      u += turn.cross(r_to - point(theta));
      rotation += turn;
      largest_rotation += turn.norm();
    }
    store(from + span, exit_force);
  }
  field.roll_displacement = u;
  field.roll_rotation = rotation;
  // |m| <= |F| D2 + |V| D1 with the largest distances to the loads along the arc, at most its length.
  const double flexible = std::max(1.0 / EI_, 1.0 / GJ_);
  const double largest_moment = std::abs(F) * rho * Phi_ + std::abs(V) * rho * theta1_;
  const double turning = flexible * largest_moment;
  const double turning_change = flexible * (std::abs(F) + std::abs(V)) +
                                2.0 * kappa * std::abs(1.0 / GJ_ - 1.0 / EI_) * largest_moment;
  // The quadrature of the total turning gets a percent of reserve; the crude bound holds in any case.
  // u' = w x t, u'' = w' x t + w x kappa n, u''' = w'' x t + 2 w' x kappa n + w x kappa (tau b - kappa t).
  const double whole_rotation = std::min(1.01 * largest_rotation, turning * rho * Phi_);
  field.second_bound_per_mm = turning + whole_rotation * kappa;
  field.third_bound_per_mm2 = turning_change + 2.0 * turning * kappa + whole_rotation * kappa * std::hypot(kappa, tau);
  return field;
}

}  // namespace coilwright
