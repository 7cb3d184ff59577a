#include <Eigen/Geometry>
#include <cmath>
#include <coilwright/coil/helix.hpp>
#include <coilwright/quantity/require.hpp>
#include <numbers>

namespace coilwright {

Helix::Helix(Length plan_radius, Length pitch, Hand hand)
    : radius_mm_(plan_radius.mm()),
      pitch_mm_(pitch.mm()),
      c_mm_(pitch.mm() / (2.0 * std::numbers::pi)),
      rho_mm_(std::hypot(radius_mm_, c_mm_)),
      hand_(hand),
      side_(hand == Hand::right_screw ? 1.0 : -1.0) {
  require(plan_radius.finite() && pitch.finite() && radius_mm_ > 0.0 && c_mm_ >= 0.0,
          "a helix needs a positive plan radius and a pitch that is not negative");
}

Angle Helix::slope() const {
  return Angle::rad(std::atan2(c_mm_, radius_mm_));
}
Curvature Helix::curvature() const {
  return Curvature::per_mm(radius_mm_ / rho_mm_ / rho_mm_);
}
Curvature Helix::torsion() const {
  return Curvature::per_mm(side_ * c_mm_ / rho_mm_ / rho_mm_);
}
Length Helix::flat_then_pull_radius() const {
  return Length::mm(rho_mm_);
}
Length Helix::bend_radius() const {
  return Length::mm(radius_mm_ + c_mm_ * (c_mm_ / radius_mm_));
}

Helix::Place Helix::place_C(double theta) const {
  const double half_sine = std::sin(0.5 * theta), half_cosine = std::cos(0.5 * theta);
  const double rise = 2.0 * half_sine * half_sine, sine = 2.0 * half_sine * half_cosine, cosine = 1.0 - rise;
  const double level = radius_mm_ / rho_mm_;
  return {{radius_mm_ * sine, side_ * radius_mm_ * rise, c_mm_ * theta},
          {level * cosine, side_ * level * sine, c_mm_ / rho_mm_},
          {-sine, side_ * cosine, 0.0}};
}

Eigen::Vector3d Helix::point_C(double theta) const {
  const double half = std::sin(0.5 * theta);
  return {radius_mm_ * std::sin(theta), side_ * 2.0 * radius_mm_ * half * half, c_mm_ * theta};
}

Eigen::Vector3d Helix::tangent_C(double theta) const {
  return {radius_mm_ / rho_mm_ * std::cos(theta), side_ * radius_mm_ / rho_mm_ * std::sin(theta),
          c_mm_ / rho_mm_};
}

Eigen::Vector3d Helix::normal_C(double theta) const {
  return {-std::sin(theta), side_ * std::cos(theta), 0.0};
}

Eigen::Vector3d Helix::binormal_C(double theta) const {
  return tangent_C(theta).cross(normal_C(theta));
}

CurveFrame Helix::frame_C(Length along) const {
  const double theta = theta_at(along);
  return {point_C(theta), tangent_C(theta), normal_C(theta), binormal_C(theta)};
}

}  // namespace coilwright
