// How a section answers bending: moment against curvature, exactly for any outline and linear hardening.
//
// Bernoulli's section (plane stays plane), held sideways, stress a function of the depth only: elastic up to
// yield, then a straight line of slope `hardening` or a power law. With the neutral axis at the depth n and e = fy / (E k)
// the half depth of the elastic core, and A, Q, I the closed integrals of the section below and above its edges
// n - e and n + e (DepthProfile), perfectly plastic stress gives
//     N = E k (Q_core - n A_core) + fy (A_above - A_below)
//     M = E k (I_core - n Q_core) + fy (Q_above - Q_below)
//     W = int M dk = E k^2 (I - 2 n Q + n^2 A)_core / 2 + fy k ((Q - n A)_above - (Q - n A)_below) - fy^2 (A_above + A_below) / (2 E)
// and hardening with b = Et / E blends in linearly: (1 - b) perfect + b elastic. n is 0 (the centroid) for a
// section alike either side of it; otherwise it wanders from the centroid toward the axis that halves the area,
// and is the root of N = 0. dM/dk = E (I - Q^2 / A) of the core, hardening likewise. For a round tube these are
// the elementary forms of the disc. Derived from the elementary theory of plastic bending (as in any text on
// the strength of materials). A power law (Swift, J. Mech. Phys. Solids 1 (1952) 1, cited from memory)
// stress = K (e0 + plastic strain)^n, e0 such that it starts at yield, takes Gauss points in the plastic strain,
// panels broken at the breaks of the section.
//
// Units inside: curvature 1/mm, moment N mm. Curvatures are positive: one way of bending.
#pragma once

#include <cmath>
#include <coilwright/rolling/curvature_table.hpp>
#include <coilwright/stock/stock.hpp>
#include <memory>
#include <optional>
#include <vector>

namespace coilwright {

class MomentCurvature {
 public:
  MomentCurvature(const Section& section, Stress modulus, Stress yield, Stress hardening);
  // Swift's law instead of a straight line: 0 < exponent < 1, strength > yield.
  MomentCurvature(const Section& section, Stress modulus, Stress yield, const PowerLaw& hardening);
  explicit MomentCurvature(const Stock& stock);

  // Virgin loading, curvature >= 0. `state` gives all at the price of one.
  struct State {
    double moment;         // M, N mm
    double stiffness;      // dM/dk, N mm^2
    double work;           // int_0^k M dk, N
    double neutral_depth;  // of the neutral axis from the centroid, positive toward the inner face, mm
  };
  [[nodiscard]] State state(double curvature) const;
  // The same law for many questions: answered from a table up to a curvature (curvature_table.hpp), as the law itself
  // answers to some 1e-14. Building it takes a few hundred questions.
  [[nodiscard]] MomentCurvature tabulated(double to_curvature) const;
  [[nodiscard]] double moment(double curvature) const { return state(curvature).moment; }
  [[nodiscard]] double stiffness(double curvature) const { return state(curvature).stiffness; }
  [[nodiscard]] double work(double curvature) const { return state(curvature).work; }

  // The curvature under load that springs back to `free_curvature` >= 0 when released elastically:
  // the root of k - M(k) / EI = free. At least the first-yield curvature.
  [[nodiscard]] double loaded(double free_curvature) const;
  // The virgin curvature that carries a moment >= 0.
  [[nodiscard]] double curvature_at(double moment) const;

  [[nodiscard]] double bending_stiffness() const { return EI_; }              // E I, N mm^2
  [[nodiscard]] double first_yield_curvature() const { return kappa_y_; }     // fy / (E c), c to the farther face
  [[nodiscard]] double first_yield_moment() const { return EI_ * kappa_y_; }  // My
  // Curvatures above first yield where dM/dk has a kink (a break of the outline begins to yield): panels of
  // quadrature break there.
  [[nodiscard]] const std::vector<double>& kinks() const { return kinks_; }
  // Break points from `from` (at least first yield) to `to`, with the kinks and a growth of at most 2.5
  // from one to the next: the panels of every integral over this law.
  [[nodiscard]] std::vector<double> panels(double from, double to) const;

  // mu^2 = (Mp / Tp)^2 of the section, for bending and twisting together: 12 / pi^2 for anything round.
  [[nodiscard]] double yield_torque_factor() const { return torque_factor_; }

  // Whether it would bow sideways, bent in its plane, if nothing held it: the stock lies more to one side of that plane.
  [[nodiscard]] bool bows_sideways() const { return bows_sideways_; }
  // A section whose plane of bending is no principal plane (an angle) is kept from bending sideways by the
  // rolls; when they let go the sideways moment bends it, and takes part of the springback in the plane with it:
  // {change in plane, sideways} = (E I matrix)^-1 {M, M_side}.
  struct Release {
    double in_plane;   // loss of curvature in the plane, 1/mm: M / EI for a section without product of inertia
    double sideways;   // curvature the part has sideways afterwards, 1/mm; positive: bows toward +x
    double held_loss;  // M / EI: the loss while still held sideways
    // Height of the sideways bow over a chord.
    [[nodiscard]] double bow_mm(double chord_mm) const { return std::abs(sideways) * chord_mm * chord_mm / 8.0; }
  };
  [[nodiscard]] Release release(double curvature) const;

 private:
  struct Sums {  // over the section at a curvature and a neutral depth
    double N, M, W, EA, EQ, EI;  // force, moment, energy; tangent modulus over area, first, second moment
  };
  MomentCurvature(const Section& section, Stress modulus, Stress yield);
  void prepare();
  [[nodiscard]] Sums sums(double curvature, double neutral) const;
  void add_power(Sums& s, double curvature, double neutral) const;
  [[nodiscard]] double side_moment(double curvature, double neutral) const;
  [[nodiscard]] double neutral_depth(double curvature) const;
  [[nodiscard]] double guess(double curvature) const;
  [[nodiscard]] State asked(double curvature) const;

  Section section_;  // shares the section's profile
  std::vector<double> kinks_;
  std::vector<double> neutral_table_;  // at growing curvature, for the start of Newton; empty: even section
  double E_, fy_, blend_ = 0;          // MPa, MPa, Et / E
  struct Power {
    double K, n, e0;
  };
  std::optional<Power> power_;
  double EI_ = 0, kappa_y_ = 0, torque_factor_ = 0;
  bool bows_sideways_ = false;
  std::shared_ptr<const CurvatureTable> table_;  // none: every question is worked out
};

}  // namespace coilwright
