#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/quadrature.hpp>
#include <coilwright/rolling/twist_law.hpp>

namespace coilwright {
namespace {

// The loading curve beyond first yield at Gauss points, for integrals over it. Full panels are kept from one end to the
// next: only the last one, up to where the curve is loaded, changes while that is sought.
class LoadingCurve {
 public:
  struct Point {
    double k, moment, stiffness, weight;  // of dk
  };
  LoadingCurve(const MomentCurvature& law, double loaded) : law_(law) { load_to(loaded); }

  void load_to(double loaded) {
    // At kinks, and never farther apart than keeps the 20-point rule at rounding level on such a law.
    constexpr double greatest_growth = 2.5;
    const std::vector<double>& kinks = law_.kinks();
    while (!starts_.empty() && starts_.back().k >= loaded) {
      points_.resize(starts_.back().points);
      starts_.pop_back();
    }
    if (starts_.empty()) starts_.push_back({law_.first_yield_curvature(), 0});
    points_.resize(starts_.back().points);
    while (starts_.back().k < loaded) {
      const double from = starts_.back().k;
      double to = greatest_growth * from;
      for (const double kink : kinks)
        if (kink > from) to = std::min(to, kink);
      add_panel(from, std::min(to, loaded));
      if (to >= loaded) return;
      starts_.push_back({to, points_.size()});
    }
  }
  [[nodiscard]] const std::vector<Point>& points() const { return points_; }

 private:
  void add_panel(double from, double to) {
    const double width = to - from;
    for (const auto& [u, weight] : gauss_20()) {
      // The curve leaves first yield, and a kink, like a square root.
      const double k = from + width * u * u;
      const MomentCurvature::State at = law_.state(k);
      points_.push_back({k, at.moment, at.stiffness, width * 2.0 * u * weight});
    }
  }
  struct Start {
    double k;
    std::size_t points;  // before it
  };
  const MomentCurvature& law_;
  std::vector<Start> starts_;
  std::vector<Point> points_;
};

// With curvature as the variable: a / Y^2 int kappa M dM.
double entry_rotation(const MomentCurvature& law, const LoadingCurve& curve, double half_spacing_mm, double end_moment) {
  const double elastic_end = std::min(end_moment, law.first_yield_moment());
  double sum = elastic_end * elastic_end * elastic_end / (3.0 * law.bending_stiffness());
  if (end_moment > law.first_yield_moment())
    for (const LoadingCurve::Point& p : curve.points()) sum += p.k * p.moment * p.stiffness * p.weight;
  return half_spacing_mm * sum / (end_moment * end_moment);
}

}  // namespace

TwistDemand twist_demand(const MomentCurvature& law, double kappa, double tau, double half_spacing_mm) {
  require(kappa > 0.0 && tau >= 0.0, "a part that curves, and a torsion that is not negative");
  const double mu2 = law.yield_torque_factor();
  const double mu = std::sqrt(mu2);
  const double lambda = tau / kappa, stretch = std::sqrt(1.0 + lambda * lambda / mu2);
  const double proportionally_loaded = law.loaded(kappa * stretch);
  TwistDemand d{};
  d.torque_factor = mu2;
  d.pure_moment = law.moment(law.loaded(kappa));
  const double proportional_end = law.moment(proportionally_loaded);
  d.moment = proportional_end / stretch;
  d.proportional_torque = d.moment * lambda / mu2;
  d.torque_needed = d.proportional_torque;
  d.end_moment = proportional_end;
  double T = d.proportional_torque, loaded = proportionally_loaded;
  LoadingCurve curve(law, loaded);
  const auto proportional = [&] {
    curve.load_to(proportionally_loaded);
    d.entry_rotation = entry_rotation(law, curve, half_spacing_mm, d.end_moment);
    return d;
  };
  if (tau == 0.0) return proportional();

  // Newton on (T, loaded curvature at q) from the proportional estimate. Where the torque is held at the most that first
  // yield carries, only q is sought; if there even that torque twists too little, no torque does.
  const double most = law.first_yield_moment() / mu * (1.0 - 1e-9);
  constexpr double converged = 1e-13;
  T = std::min(T, most);
  for (int i = 0; i < 50; ++i) {
    double bent = 0, bent_T = 0, twisted = 0, twisted_T = 0;
    curve.load_to(loaded);
    // Over plastic curvature, dk_plastic = (1 - D / EI) dk: without a root at every point.
    for (const LoadingCurve::Point& p : curve.points()) {
      const double Y = p.moment, dk = (1.0 - p.stiffness / law.bending_stiffness()) * p.weight;
      const double flow = mu2 / Y * dk, share = mu2 * T * T / (Y * Y);
      const double root = std::sqrt(1.0 - share);
      bent += root * dk;
      bent_T -= T / (Y * root) * flow;
      twisted += T * flow;
      twisted_T += flow;
    }
    const MomentCurvature::State end = law.state(loaded);
    const double Y = end.moment, rate = 1.0 - end.stiffness / law.bending_stiffness();
    const double bent_k = std::sqrt(1.0 - mu2 * T * T / (Y * Y)) * rate, twisted_k = mu2 * T / Y * rate;
    const double r1 = bent - kappa, r2 = twisted - tau;
    if (std::abs(r1) <= converged * kappa && std::abs(r2) <= converged * std::max(tau, kappa)) {
      d.torque_needed = T;
      d.end_moment = Y;
      d.moment = std::sqrt(Y * Y - mu2 * T * T);
      d.entry_rotation = entry_rotation(law, curve, half_spacing_mm, Y);
      return d;
    }
    const double det = bent_T * twisted_k - bent_k * twisted_T;
    const double next_T = std::clamp(T - (r1 * twisted_k - bent_k * r2) / det, 0.0, most);
    double next = loaded - (bent_T * r2 - r1 * twisted_T) / det;
    if (T == most && next_T == most) {
      constexpr double bent_enough = 1e-9;
      if (std::abs(r1) <= bent_enough * kappa && r2 < -bent_enough * tau) break;
      next = loaded - r1 / bent_k;
    }
    T = next_T;
    loaded = std::max(next, law.first_yield_curvature() * (1.0 + 1e-9));
  }
  // The torque would exceed what first yield carries: the constant-torque path does not exist, the
  // proportional one does and is kept.
  return proportional();
}

}  // namespace coilwright
