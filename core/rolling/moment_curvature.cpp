#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/moment_curvature.hpp>
#include <numbers>

namespace coilwright {
namespace {

constexpr double pi = std::numbers::pi;

// The three integrals of a disc whose elastic core has half depth `core`.
struct DiscIntegrals {
  double core_inertia, plastic_first_moment, plastic_area;
};

DiscIntegrals disc(double r, double core) {
  if (core >= r) return {0.25 * pi * r * r * r * r, 0.0, 0.0};
  const double sine = core / r, cosine = std::sqrt((1.0 - sine) * (1.0 + sine));
  const double f = std::asin(sine);
  return {4.0 * r * r * r * r * (f / 8.0 - std::sin(4.0 * f) / 32.0), 4.0 / 3.0 * r * r * r * cosine * cosine * cosine,
          r * r * (pi - 2.0 * f - std::sin(2.0 * f))};
}

// Newton kept inside a shrinking bracket for a rising function: value(x) < 0 at `low`, >= 0 at `high`.
template <class Function>
double rising_root(double low, double high, Function value_and_slope) {
  double x = high;
  for (int i = 0; i < 200; ++i) {
    const auto [value, slope] = value_and_slope(x);
    (value < 0.0 ? low : high) = x;
    double next = x - value / slope;
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    // Converged to what doubles can tell apart.
    if (next == x || std::abs(next - x) <= 2e-16 * std::abs(x)) return next;
    x = next;
  }
  return x;
}

}  // namespace

MomentCurvature::MomentCurvature(const Section& section, Stress modulus, Stress yield, Stress hardening)
    : E_(modulus.mpa()), fy_(yield.mpa()), blend_(hardening / modulus) {
  require(E_ > 0.0 && fy_ > 0.0 && blend_ >= 0.0 && blend_ < 1.0, "a material with 0 <= hardening < modulus, yield > 0");
  const double outer = 0.5 * section.outside_diameter().mm();
  discs_.push_back({outer, 1.0});
  if (const auto* tube = std::get_if<RoundTube>(&section.kind())) {
    const double bore = outer - tube->wall.mm();
    discs_.push_back({bore, -1.0});
    kinks_.push_back(fy_ / (E_ * bore));
  }
  kappa_y_ = fy_ / (E_ * outer);
  // One source for I: the same discs that give M.
  for (const Disc& d : discs_) EI_ += d.sign * E_ * 0.25 * pi * std::pow(d.radius_mm, 4);
}

double MomentCurvature::moment(double curvature) const {
  if (curvature <= kappa_y_) return EI_ * curvature;
  const double core = fy_ / (E_ * curvature);
  double perfect = 0.0;
  for (const Disc& d : discs_) {
    const DiscIntegrals i = disc(d.radius_mm, core);
    perfect += d.sign * (E_ * curvature * i.core_inertia + fy_ * i.plastic_first_moment);
  }
  return (1.0 - blend_) * perfect + blend_ * EI_ * curvature;
}

double MomentCurvature::stiffness(double curvature) const {
  if (curvature <= kappa_y_) return EI_;
  const double core = fy_ / (E_ * curvature);
  double perfect = 0.0;
  for (const Disc& d : discs_) perfect += d.sign * E_ * disc(d.radius_mm, core).core_inertia;
  return (1.0 - blend_) * perfect + blend_ * EI_;
}

double MomentCurvature::work(double curvature) const {
  if (curvature <= kappa_y_) return 0.5 * EI_ * curvature * curvature;
  const double core = fy_ / (E_ * curvature);
  double perfect = 0.0;
  for (const Disc& d : discs_) {
    const DiscIntegrals i = disc(d.radius_mm, core);
    perfect += d.sign * (0.5 * E_ * curvature * curvature * i.core_inertia + fy_ * curvature * i.plastic_first_moment -
                         0.5 * fy_ * fy_ / E_ * i.plastic_area);
  }
  return (1.0 - blend_) * perfect + 0.5 * blend_ * EI_ * curvature * curvature;
}

double MomentCurvature::loaded(double free_curvature) const {
  require(free_curvature >= 0.0 && std::isfinite(free_curvature), "a free curvature that is finite and not negative");
  if (free_curvature == 0.0) return kappa_y_;
  const auto excess = [&](double k) {
    return std::pair{k - moment(k) / EI_ - free_curvature, 1.0 - stiffness(k) / EI_};
  };
  double high = std::max(2.0 * kappa_y_, free_curvature);
  while (excess(high).first < 0.0) high *= 2.0;
  return rising_root(kappa_y_, high, excess);
}

double MomentCurvature::curvature_at(double moment_n_mm) const {
  require(moment_n_mm >= 0.0, "a moment that is not negative");
  if (moment_n_mm <= first_yield_moment()) return moment_n_mm / EI_;
  const auto excess = [&](double k) { return std::pair{moment(k) - moment_n_mm, stiffness(k)}; };
  double high = 2.0 * kappa_y_;
  for (int i = 0; excess(high).first < 0.0; ++i) {
    require(i < 60, "a moment that the section can carry");
    high *= 2.0;
  }
  return rising_root(kappa_y_, high, excess);
}

std::vector<double> MomentCurvature::panels(double from, double to) const {
  constexpr double greatest_growth = 2.5;  // keeps the 20-point rule at rounding level on this law
  std::vector<double> breaks{from};
  std::vector<double> stops;
  for (const double kink : kinks_)
    if (kink > from && kink < to) stops.push_back(kink);
  std::sort(stops.begin(), stops.end());
  stops.push_back(to);
  for (const double stop : stops) {
    const double start = breaks.back();
    const int parts = std::max(1, static_cast<int>(std::ceil(std::log(stop / start) / std::log(greatest_growth))));
    for (int i = 1; i < parts; ++i) breaks.push_back(start * std::pow(stop / start, static_cast<double>(i) / parts));
    breaks.push_back(stop);
  }
  return breaks;
}

}  // namespace coilwright
