// Bending and twisting stock together: the moment and torque that give a wanted curvature and
// torsion.
//
// For any round tube or bar the fully plastic torque and moment relate as (Tp / Mp)^2 = pi^2 / 12; with
// yield M^2 + mu^2 T^2 = Y(k)^2, mu^2 = 12 / pi^2, and associated flow the torque of a small twist is
// T = (pi^2 / 12) M tau / kappa (thin-tube result as in Hill and Siebel, Phil. Mag. 42 (1951) 722, cited
// from memory; derivation in DEVELOPERS.md). Y(k) is the pure-bending moment that leaves the plastic
// curvature k. The path used: the torque is constant while a section walks up to the centre roll,
//     int_0^q sqrt(1 - mu^2 T^2 / Y^2) dk = kappa_f,   int_0^q mu^2 T / Y dk = tau_f,
// M = sqrt(Y(q)^2 - mu^2 T^2). Other sections take mu^2 = (Mp / Tp)^2 of their own: one closed wall 2 A_m t, an open one
// the small torque of the sand heap; for them this is an estimate (the walls' warping is left out). Units N mm, 1/mm.
#pragma once

#include <coilwright/rolling/moment_curvature.hpp>

namespace coilwright {

struct TwistDemand {
  double torque_factor;    // mu^2 of the section
  double pure_moment;      // M0 = Y(kappa_f): what bending alone would take
  double moment;           // M with the whole torque
  double torque_needed;    // T, 0 for torsion 0
  double proportional_torque;  // the same for curvature and torsion growing in proportion: an upper estimate
  double end_moment;       // Y(q), the resultant at the bend point
  // Rotation of the tangent at the centre roll against the chord from the entry roll, per unit of the
  // ratio out-of-plane to in-plane moment: psi = a int_0^1 kappa(m Y) m dm, virgin loading up to Y(q).
  double entry_rotation;
};

// kappa > 0, tau >= 0: of the finished part; half spacing of the outer rolls.
TwistDemand twist_demand(const MomentCurvature& law, double kappa, double tau, double half_spacing_mm);

}  // namespace coilwright
