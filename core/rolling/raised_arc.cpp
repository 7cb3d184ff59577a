#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/quadrature.hpp>
#include <coilwright/rolling/raised_arc.hpp>

namespace coilwright {

using Eigen::Vector3d;

namespace {

// The integral of what changes along the arc no faster than four times the azimuth: 20 points take 3.5 rad to far
// below rounding, 7 points half a radian (the error of Gauss's rule, h^(2n+1) (n!)^4 / ((2n+1) (2n)!^3) times the
// derivative of order 2n).
template <class Function>
void over(double from, double to, Function function) {
  const double span = to - from;
  constexpr double few_points_take_rad = 0.5, many_points_take_rad = 3.5;
  const auto rule = span <= few_points_take_rad ? gauss_7() : gauss_20();
  const int parts = std::max(1, static_cast<int>(std::ceil(span / many_points_take_rad)));
  for (int part = 0; part < parts; ++part)
    for (const auto& [x, weight] : rule) function(from + span * ((part + x) / parts), weight * span / parts);
}

}  // namespace

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
      by_exit_force_(Vector3d::Zero()),
      by_roll_force_(Vector3d::Zero()) {
  require(0.0 < exit_theta && exit_theta < roll_theta, "the outboard roll stands beyond the exit roll");
  require(bending_stiffness > 0.0 && torsion_stiffness > 0.0, "stock that has stiffness");
  // Both stretches, before and behind the exit roll; the unit-load moments are smooth on each.
  const double rho = helix.arc_per_radian_mm();
  over(0.0, theta1_, [&](double theta, double weight) {
    const auto [r, t] = place(theta);
    const Vector3d to_roll = roll_point_ - r, m1 = (exit_point_ - r).cross(Vector3d::UnitZ());
    const Vector3d turn1 = rotation_rate(t, m1) * (rho * weight);
    const Vector3d turn2 = rotation_rate(t, to_roll.cross(Vector3d::UnitZ())) * (rho * weight);
    c11_ += m1.dot(turn1);
    by_exit_force_ += turn1.cross(to_roll);
    by_roll_force_ += turn2.cross(to_roll);
  });
  over(theta1_, Phi_, [&](double theta, double weight) {
    const auto [r, t] = place(theta);
    const Vector3d to_roll = roll_point_ - r;
    by_roll_force_ += rotation_rate(t, to_roll.cross(Vector3d::UnitZ())).cross(to_roll) * (rho * weight);
  });
}

RaisedArc::Place RaisedArc::place(double theta) const {
  const double R = helix_.plan_radius().mm(), c = helix_.rise_per_radian_mm();
  const double half = std::sin(0.5 * theta), sine = 2.0 * half * std::cos(0.5 * theta), rise = 2.0 * half * half;
  // theta - sin theta loses its digits near zero.
  const double excess = std::abs(theta) < 0.1
                            ? theta * theta * theta / 6.0 *
                                  (1.0 - theta * theta / 20.0 * (1.0 - theta * theta / 42.0 * (1.0 - theta * theta / 72.0)))
                            : theta - sine;
  return {{R * sine * cos_alpha_ + c * theta * sin_alpha_, R * rise, c * cos_alpha_ * excess},
          {cos_alpha_ * cos_alpha_ * (1.0 - rise) + sin_alpha_ * sin_alpha_, cos_alpha_ * sine, sin_alpha_ * cos_alpha_ * rise}};
}

Vector3d RaisedArc::point(double theta) const { return place(theta).point; }

Vector3d RaisedArc::tangent(double theta) const { return place(theta).tangent; }

Vector3d RaisedArc::normal(double theta) const {
  return {-std::sin(theta) * cos_alpha_, std::cos(theta), std::sin(theta) * sin_alpha_};
}

Vector3d RaisedArc::moment(const Vector3d& r, double F, double V) const {
  return F * (roll_point_ - r).cross(Vector3d::UnitZ()) + V * (exit_point_ - r).cross(Vector3d::UnitZ());
}

Vector3d RaisedArc::rotation_rate(const Vector3d& t, const Vector3d& m) const {
  return m / EI_ + t * t.dot(m) * (1.0 / GJ_ - 1.0 / EI_);
}

RaisedArc::Field RaisedArc::under(double F, double V) const {
  const double rho = helix_.arc_per_radian_mm(), kappa = helix_.curvature().per_mm(), tau = helix_.torsion().per_mm();
  constexpr int parts_before = 4, parts_beyond = 16;
  Field field{};
  Vector3d u = Vector3d::Zero(), rotation = Vector3d::Zero();
  double largest_rotation = 0.0;
  const auto store = [&](double theta, const Place& at, double exit_force) {
    const Vector3d rate = rotation_rate(at.tangent, moment(at.point, F, exit_force));
    field.nodes.push_back(
        {rho * theta, u, rotation.cross(at.tangent), rate.cross(at.tangent) + kappa * rotation.cross(normal(theta)), rotation, rate});
  };
  field.nodes.reserve(parts_before + parts_beyond + 1);
  Place start = place(0.0);
  store(0.0, start, V);
  for (int part = 0; part < parts_before + parts_beyond; ++part) {
    const bool before_exit = part < parts_before;
    const double exit_force = before_exit ? V : 0.0;
    const double span = before_exit ? theta1_ / parts_before : (Phi_ - theta1_) / parts_beyond;
    const double from = before_exit ? part * span : theta1_ + (part - parts_before) * span;
    const Place end = place(from + span);
    u += rotation.cross(end.point - start.point);
    for (const auto& [x, weight] : gauss_7()) {
      const auto [r, t] = place(from + span * x);
      const Vector3d turn = rotation_rate(t, moment(r, F, exit_force)) * (rho * span * weight);
      u += turn.cross(end.point - r);
      rotation += turn;
      largest_rotation += turn.norm();
    }
    store(from + span, end, exit_force);
    start = end;
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
