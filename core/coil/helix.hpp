// The centreline of a helix as a curve.
//
// Frame C: origin at the start point, x along the plan direction of travel there, y toward the coil's
// axis, z along the axis. A right-hand screw climbs to +z:
//     H(theta) = (R sin theta, R (1 - cos theta), c theta),   c = pitch / 2 pi.
// A left-hand screw is its mirror image in y (the axis lies on the other side).
// Lengths in mm, angles in rad, curvature and torsion in 1/mm.
#pragma once

#include <Eigen/Core>
#include <coilwright/coil/direction.hpp>
#include <coilwright/quantity/quantity.hpp>

namespace coilwright {

// A place on a curve: position in mm, and unit tangent, normal and binormal.
struct CurveFrame {
  Eigen::Vector3d point, tangent, normal, binormal;
};

class Helix {
 public:
  // plan_radius > 0, pitch >= 0 (0 is a ring), both finite.
  Helix(Length plan_radius, Length pitch, Hand hand);

  [[nodiscard]] Length plan_radius() const { return Length::mm(radius_mm_); }  // R, square to the axis
  [[nodiscard]] Length pitch() const { return Length::mm(pitch_mm_); }
  [[nodiscard]] Hand hand() const { return hand_; }
  [[nodiscard]] double rise_per_radian_mm() const { return c_mm_; }   // c
  [[nodiscard]] double arc_per_radian_mm() const { return rho_mm_; }  // rho = sqrt(R^2 + c^2)
  [[nodiscard]] Angle slope() const;                                  // atan(c / R)
  [[nodiscard]] Curvature curvature() const;                          // R / rho^2, never negative
  [[nodiscard]] Curvature torsion() const;                            // c / rho^2; negative for a left hand

  // Three radii, each with what it is for:
  //   plan_radius()            what the drawing shows, seen along the axis;
  //   flat_then_pull_radius()  R / cos(slope): roll the bar flat to this, then pull it to pitch;
  //   bend_radius()            R / cos^2(slope) = rho^2 / R: what the machine rolls when the pitch is
  //                            rolled in, and what a gauge on the rail reads.
  [[nodiscard]] Length flat_then_pull_radius() const;
  [[nodiscard]] Length bend_radius() const;

  // At azimuth theta (any sign), in frame C. Derivatives are by arc length: unit tangent, unit normal
  // (toward the axis), unit binormal t x n.
  struct Place {
    Eigen::Vector3d point, tangent, normal;
  };
  [[nodiscard]] Place place_C(double theta) const;
  [[nodiscard]] Eigen::Vector3d point_C(double theta) const;
  [[nodiscard]] Eigen::Vector3d tangent_C(double theta) const;
  [[nodiscard]] Eigen::Vector3d normal_C(double theta) const;
  [[nodiscard]] Eigen::Vector3d binormal_C(double theta) const;
  [[nodiscard]] double theta_at(Length along) const { return along.mm() / rho_mm_; }
  // All of them at a length along the centreline from the start point (any sign).
  [[nodiscard]] CurveFrame frame_C(Length along) const;

 private:
  double radius_mm_, pitch_mm_, c_mm_, rho_mm_;
  Hand hand_;
  double side_;  // +1 right-hand screw, -1 left-hand
};

}  // namespace coilwright
