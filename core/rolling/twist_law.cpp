#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/quadrature.hpp>
#include <coilwright/rolling/twist_law.hpp>

namespace coilwright {
namespace {

// Sums f(k) dk_plastic over the loading curve from first yield to `loaded`, where dk_plastic =
// (1 - D / EI) dk: the integrals over plastic curvature without a root at every point.
template <class Function>
void over_plastic_curvature(const MomentCurvature& law, double loaded, Function f) {
  const std::vector<double> breaks = law.panels(law.first_yield_curvature(), loaded);
  for (std::size_t i = 0; i + 1 < breaks.size(); ++i) {
    const double width = breaks[i + 1] - breaks[i];
    for (const auto& [u, weight] : gauss_20()) {
      const double k = breaks[i] + width * u * u;
      const MomentCurvature::State at = law.state(k);
      f(at.moment, (1.0 - at.stiffness / law.bending_stiffness()) * width * 2.0 * u * weight);
    }
  }
}

double entry_rotation(const MomentCurvature& law, double half_spacing_mm, double end_moment) {
  // With curvature as the variable: a / Y^2 int kappa M dM.
  const double elastic_end = std::min(end_moment, law.first_yield_moment());
  const double EI = law.bending_stiffness();
  double sum = elastic_end * elastic_end * elastic_end / (3.0 * EI);
  if (end_moment > law.first_yield_moment()) {
    const std::vector<double> breaks = law.panels(law.first_yield_curvature(), law.curvature_at(end_moment));
    for (std::size_t i = 0; i + 1 < breaks.size(); ++i) {
      const double width = breaks[i + 1] - breaks[i];
      for (const auto& [u, weight] : gauss_20()) {
        const double k = breaks[i] + width * u * u;
        const MomentCurvature::State at = law.state(k);
        sum += k * at.moment * at.stiffness * width * 2.0 * u * weight;
      }
    }
  }
  return half_spacing_mm * sum / (end_moment * end_moment);
}

}  // namespace

TwistDemand twist_demand(const MomentCurvature& law, double kappa, double tau, double half_spacing_mm) {
  require(kappa > 0.0 && tau >= 0.0, "a part that curves, and a torsion that is not negative");
  const double mu2 = law.yield_torque_factor();
  const double mu = std::sqrt(mu2);
  const auto resultant = [&](double plastic) { return law.moment(law.loaded(plastic)); };
  const double lambda = tau / kappa, stretch = std::sqrt(1.0 + lambda * lambda / mu2);
  TwistDemand d{};
  d.torque_factor = mu2;
  d.pure_moment = resultant(kappa);
  const double proportional_end = resultant(kappa * stretch);
  d.moment = proportional_end / stretch;
  d.proportional_torque = d.moment * lambda / mu2;
  d.torque_needed = d.proportional_torque;
  d.end_moment = proportional_end;
  const auto proportional = [&] {
    d.entry_rotation = entry_rotation(law, half_spacing_mm, d.end_moment);
    return d;
  };
  if (tau == 0.0) return proportional();

  // Newton on (T, loaded curvature at q) from the proportional estimate.
  double T = d.proportional_torque, loaded = law.loaded(kappa * stretch);
  const double largest = law.first_yield_moment() / mu;
  constexpr double converged = 1e-13;
  for (int i = 0; i < 50; ++i) {
    T = std::clamp(T, 0.0, largest * (1.0 - 1e-9));
    double bent = 0, bent_T = 0, twisted = 0, twisted_T = 0;
    over_plastic_curvature(law, loaded, [&](double Y, double dk) {
      const double flow = mu2 / Y * dk, share = mu2 * T * T / (Y * Y);
      const double root = std::sqrt(1.0 - share);
      bent += root * dk;
      bent_T -= T / (Y * root) * flow;
      twisted += T * flow;
      twisted_T += flow;
    });
    const double Y = law.moment(loaded), rate = 1.0 - law.stiffness(loaded) / law.bending_stiffness();
    const double bent_k = std::sqrt(1.0 - mu2 * T * T / (Y * Y)) * rate, twisted_k = mu2 * T / Y * rate;
    const double r1 = bent - kappa, r2 = twisted - tau;
    if (std::abs(r1) <= converged * kappa && std::abs(r2) <= converged * std::max(tau, kappa)) {
      d.torque_needed = T;
      d.end_moment = Y;
      d.moment = std::sqrt(Y * Y - mu2 * T * T);
      d.entry_rotation = entry_rotation(law, half_spacing_mm, Y);
      return d;
    }
    const double det = bent_T * twisted_k - bent_k * twisted_T;
    T -= (r1 * twisted_k - bent_k * r2) / det;
    loaded = std::max(loaded - (bent_T * r2 - r1 * twisted_T) / det, law.first_yield_curvature() * (1.0 + 1e-9));
  }
  // The torque would exceed what first yield carries: the constant-torque path does not exist, the
  // proportional one does and is kept.
  return proportional();
}

}  // namespace coilwright
