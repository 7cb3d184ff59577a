// The free arc from the bend point to the outboard roll, as an elastic helix.
//
// Base frame (t, n, b) at the bend point, before any lean: the helix that leaves along t,
//     u = R sin theta cos alpha + c theta sin alpha   (along t)
//     v = R (1 - cos theta)                           (along n)
//     w = c cos alpha (theta - sin theta)             (along b, up)
// clamped at theta = 0, loaded by vertical forces at the exit roll (theta1, force V) and at the outboard
// roll (Phi, force F). Castigliano on the helix itself: a flat arc would be up to 20 % too stiff for
// handrails. Units mm, N, rad.
#pragma once

#include <Eigen/Core>
#include <coilwright/coil/helix.hpp>
#include <coilwright/rolling/pose.hpp>
#include <vector>

namespace coilwright {

class RaisedArc {
 public:
  // 0 < exit_theta < roll_theta; stiffnesses > 0.
  RaisedArc(const Helix& helix, double bending_stiffness, double torsion_stiffness, double exit_theta,
            double roll_theta);

  [[nodiscard]] const Eigen::Vector3d& exit_point() const { return exit_point_; }  // (u, v, w)(theta1)
  [[nodiscard]] const Eigen::Vector3d& roll_point() const { return roll_point_; }  // (u, v, w)(Phi)
  [[nodiscard]] double exit_theta() const { return theta1_; }
  [[nodiscard]] double roll_theta() const { return Phi_; }
  // Vertical displacement at one place by a unit vertical force at another, mm/N.
  [[nodiscard]] double C11() const { return c11_; }  // exit by exit
  [[nodiscard]] double C12() const { return by_exit_force_.z(); }  // either by the other
  [[nodiscard]] double C22() const { return by_roll_force_.z(); }  // roll by roll

  [[nodiscard]] Eigen::Vector3d point(double theta) const;
  [[nodiscard]] Eigen::Vector3d tangent(double theta) const;
  [[nodiscard]] Eigen::Vector3d normal(double theta) const;

  // Displacement and rotation of the whole arc under F and V.
  struct Field {
    std::vector<PosedPart::Node> nodes;  // from theta 0 to Phi, by length, with theta1 among them
    Eigen::Vector3d roll_displacement, roll_rotation;
    double second_bound_per_mm;   // proved bound of |u''|
    double third_bound_per_mm2;   // of |u'''|
  };
  [[nodiscard]] Field under(double F, double V) const;
  // The displacement of the roll point alone.
  [[nodiscard]] Eigen::Vector3d roll_displacement(double F, double V) const { return F * by_roll_force_ + V * by_exit_force_; }

 private:
  struct Place {
    Eigen::Vector3d point, tangent;
  };
  [[nodiscard]] Place place(double theta) const;
  // At a point of the arc.
  [[nodiscard]] Eigen::Vector3d moment(const Eigen::Vector3d& r, double F, double V) const;
  // Rate of rotation by length under a moment where the tangent is t: B m, B = (1 - t t') / EI + t t' / GJ.
  [[nodiscard]] Eigen::Vector3d rotation_rate(const Eigen::Vector3d& t, const Eigen::Vector3d& m) const;

  Helix helix_;
  double EI_, GJ_, theta1_, Phi_, sin_alpha_, cos_alpha_;
  Eigen::Vector3d exit_point_, roll_point_;
  double c11_;
  Eigen::Vector3d by_exit_force_, by_roll_force_;  // what the roll point moves under a unit force there
};

}  // namespace coilwright
