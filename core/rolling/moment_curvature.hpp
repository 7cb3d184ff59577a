// How a section answers bending: moment against curvature, exactly, for linear hardening.
//
// Bernoulli's section (plane stays plane), stress a function of the depth only, elastic up to yield,
// then a straight line of slope `hardening`. A section is a signed sum of discs, so the closed forms of
// the disc add up: with e = fy / (E k) the half depth of the elastic core,
//     M = E k I_e + fy S_p,   dM/dk = E I_e,   W = int M dk = E k^2 I_e / 2 + fy k S_p - fy^2 A_p / (2 E)
//     disc of radius r, f = asin(e / r):  I_e = 4 r^4 (f / 8 - sin 4f / 32),  S_p = (4/3) r^3 cos^3 f,
//                                         A_p = r^2 (pi - 2 f - sin 2f)
// and hardening with b = Et / E blends in linearly: M = (1 - b) M_perfect + b E I k. Derived from the
// elementary theory of plastic bending (as in any text on the strength of materials).
//
// Units inside: curvature 1/mm, moment N mm. Curvatures are positive: one way of bending.
#pragma once

#include <coilwright/stock/stock.hpp>
#include <vector>

namespace coilwright {

class MomentCurvature {
 public:
  MomentCurvature(const Section& section, Stress modulus, Stress yield, Stress hardening);
  explicit MomentCurvature(const Stock& stock)
      : MomentCurvature(stock.section, stock.material.modulus, stock.material.yield, stock.material.hardening) {}

  // Virgin loading, curvature >= 0.
  [[nodiscard]] double moment(double curvature) const;     // M, N mm
  [[nodiscard]] double stiffness(double curvature) const;  // dM/dk, N mm^2
  [[nodiscard]] double work(double curvature) const;       // int_0^k M dk, N

  // The curvature under load that springs back to `free_curvature` >= 0 when released elastically:
  // the root of k - M(k) / EI = free. At least the first-yield curvature.
  [[nodiscard]] double loaded(double free_curvature) const;
  // The virgin curvature that carries a moment >= 0.
  [[nodiscard]] double curvature_at(double moment) const;

  [[nodiscard]] double bending_stiffness() const { return EI_; }              // E I, N mm^2
  [[nodiscard]] double first_yield_curvature() const { return kappa_y_; }     // fy / (E c)
  [[nodiscard]] double first_yield_moment() const { return EI_ * kappa_y_; }  // My
  // Curvatures above first yield where dM/dk has a kink (a bore begins to yield): panels of quadrature
  // break there.
  [[nodiscard]] const std::vector<double>& kinks() const { return kinks_; }
  // Break points from `from` (at least first yield) to `to`, with the kinks and a growth of at most 2.5
  // from one to the next: the panels of every integral over this law.
  [[nodiscard]] std::vector<double> panels(double from, double to) const;

 private:
  struct Disc {
    double radius_mm, sign;
  };
  std::vector<Disc> discs_;
  std::vector<double> kinks_;
  double E_, fy_, blend_;  // MPa, MPa, Et / E
  double EI_ = 0, kappa_y_ = 0;
};

}  // namespace coilwright
