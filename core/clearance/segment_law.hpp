// The laws by which segments of a centreline run, in their own parameters: length for a screw, azimuth for a cone.
#pragma once

#include <Eigen/Core>
#include <Eigen/Geometry>
#include <variant>

namespace coilwright {

// Curvature and torsion that do not change: straight (both 0), arc, helix.
struct ScrewSegment {
  double curvature_per_mm, torsion_per_mm;
  double length_mm;
};
// Plan radius that changes evenly with azimuth: a cone, or with no climb a scroll. Right-handed about its axis.
struct ConeSegment {
  double start_radius_mm;   // rho0, positive at both ends
  double taper_mm_per_rad;  // b
  double climb_mm_per_rad;  // c
  double turn_rad;          // > 0
};
using SegmentShape = std::variant<ScrewSegment, ConeSegment>;
double length_mm(const SegmentShape& shape);
// The Frenet frame at a length along it, as seen from the one at its start.
Eigen::Isometry3d frame_along(const SegmentShape& shape, double length_mm);

// A rigid motion at a steady rate: a point X moves with velocity + rate x X.
struct Twist {
  Eigen::Vector3d velocity = Eigen::Vector3d::Zero();
  Eigen::Vector3d rate = Eigen::Vector3d::Zero();
  [[nodiscard]] Eigen::Isometry3d after(double t) const;
  [[nodiscard]] bool still() const { return velocity.isZero(0.0) && rate.isZero(0.0); }
};
// The screw motion by less than half a turn that takes `from` to `to` in `t` > 0, in the coordinates of what moves:
// from * after(t) = to.
Twist twist_between(const Eigen::Isometry3d& from, const Eigen::Isometry3d& to, double t);

// A segment by its parameter: frames as seen from the one at its start.
struct SegmentLaw {
  explicit SegmentLaw(const SegmentShape& shape);
  [[nodiscard]] Eigen::Isometry3d at(double parameter) const;
  [[nodiscard]] Eigen::Isometry3d on_screw(double along_mm) const;  // the same, of a screw
  [[nodiscard]] double length_to(double parameter) const;
  [[nodiscard]] double parameter_at(double length_mm) const;

  bool cone = false;
  double curvature = 0.0, torsion = 0.0, rate = 0.0;               // of a screw
  double axis_t = 0.0, axis_b = 0.0;                               // its axis, (torsion, 0, curvature) / rate
  double rho0 = 0.0, taper = 0.0, climb = 0.0, turn = 0.0;         // of a cone
  Eigen::Matrix3d start = Eigen::Matrix3d::Identity();             // Frenet frame of the cone at its start
};

// The Frenet frame of a cone at a plan radius, in (radial, azimuthal, axial) axes, and its derivative by the radius.
struct ConeFrame {
  Eigen::Matrix3d F, dF;
};
ConeFrame cone_frame(double rho, double taper, double climb);
// Bounds of the frame's first and second derivative by the radius, over radii of at least `least` and at most `most`.
struct ConeBounds {
  double first, second;
};
ConeBounds cone_bounds(double least, double most, double taper, double climb);

}  // namespace coilwright
