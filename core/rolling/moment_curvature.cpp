#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/moment_curvature.hpp>
#include <coilwright/rolling/quadrature.hpp>
#include <limits>

namespace coilwright {
namespace {

// The table of neutral depths: each curvature this much more than the one before, from first yield on.
constexpr double table_growth = 1.1;
constexpr int table_rows = 96;  // up to 10^4 times first yield

// Newton kept inside a shrinking bracket for a rising function: value(x) < 0 at `low`, >= 0 at `high`.
template <class Function>
double rising_root(double low, double high, double start, Function value_and_slope) {
  // Converged to what doubles can tell apart: the step is nothing, or no longer shrinks where the value is all rounding.
  constexpr double nothing = 2e-16, all_rounding = 1e-14;
  double x = start, step_before = std::numeric_limits<double>::infinity();
  for (int i = 0; i < 200; ++i) {
    const auto [value, slope] = value_and_slope(x);
    const double step = std::abs(value / slope);
    if (step <= nothing * std::abs(x) || (step <= all_rounding * std::abs(x) && step >= 0.5 * step_before)) return x - value / slope;
    step_before = step;
    (value < 0.0 ? low : high) = x;
    double next = x - value / slope;
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    if (next == x) return x;
    x = next;
  }
  return x;
}

}  // namespace

MomentCurvature::MomentCurvature(const Section& section, Stress modulus, Stress yield)
    : section_(section), E_(modulus.mpa()), fy_(yield.mpa()) {
  require(E_ > 0.0 && fy_ > 0.0, "a material with modulus and yield");
  const DepthProfile& p = section.profile();
  EI_ = E_ * p.total().second;  // one source for I: the profile that gives M
  kappa_y_ = fy_ / (E_ * std::max(p.highest(), -p.lowest()));
  const double ratio = section.plastic_modulus_mm3() / section.plastic_torsion_modulus_mm3();
  torque_factor_ = 3.0 * ratio * ratio;  // shear yield fy / sqrt 3
  // Between breaks the side moment is a quadratic and arcs: where it is nothing at three places it is nothing.
  constexpr double rounding = 1e-12;  // of breadth and depth
  const double depth = p.highest() - p.lowest();
  for (std::size_t i = 0; i + 1 < p.breaks().size(); ++i)
    for (const double share : {0.2, 0.5, 0.7}) {
      const double y = std::lerp(p.breaks()[i], p.breaks()[i + 1], share);
      bows_sideways_ = bows_sideways_ || std::abs(p.side_moment(y)) > rounding * p.breadth(y) * depth;
    }
}

MomentCurvature::MomentCurvature(const Section& section, Stress modulus, Stress yield, Stress hardening)
    : MomentCurvature(section, modulus, yield) {
  blend_ = hardening / modulus;
  require(blend_ >= 0.0 && blend_ < 1.0, "a material with 0 <= hardening < modulus");
  prepare();
}

MomentCurvature::MomentCurvature(const Section& section, Stress modulus, Stress yield, const PowerLaw& law)
    : MomentCurvature(section, modulus, yield) {
  require(law.exponent > 0.0 && law.exponent < 1.0 && law.strength > yield, "a power law that rises from yield");
  const double K = law.strength.mpa(), n = law.exponent;
  power_ = Power{K, n, std::pow(fy_ / K, 1.0 / n)};
  prepare();
}

MomentCurvature::MomentCurvature(const Stock& stock)
    : MomentCurvature(stock.material.power_law
                          ? MomentCurvature(stock.section, stock.material.modulus, stock.material.yield, *stock.material.power_law)
                          : MomentCurvature(stock.section, stock.material.modulus, stock.material.yield, stock.material.hardening)) {}

// Where the neutral axis goes, and at which curvatures the edges of the elastic core pass a break.
void MomentCurvature::prepare() {
  const DepthProfile& p = section_.profile();
  if (p.even()) {
    for (const double y : p.breaks())
      if (y > 0.0 && y < p.highest() * (1.0 - 1e-9)) kinks_.push_back(fy_ / (E_ * y));
    std::sort(kinks_.begin(), kinks_.end());
    return;
  }
  neutral_table_.push_back(0.0);
  double k = kappa_y_;
  for (int i = 1; i < table_rows; ++i) {
    const double next = k * table_growth;
    neutral_table_.push_back(neutral_table_.back());  // the start for the next one
    neutral_table_.back() = neutral_depth(next);
    k = next;
  }
  const auto edge = [&](double curvature, double side) { return neutral_depth(curvature) + side * fy_ / (E_ * curvature); };
  k = kappa_y_;
  for (int i = 0; i + 1 < table_rows; ++i, k *= table_growth)
    for (const double side : {-1.0, 1.0})
      for (const double y : p.breaks()) {
        double low = k, high = k * table_growth;
        const bool below = edge(low, side) < y;
        if (below == (edge(high, side) < y)) continue;
        while (high - low > 1e-14 * high) {
          const double middle = 0.5 * (low + high);
          if (middle == low || middle == high) break;
          ((edge(middle, side) < y) == below ? low : high) = middle;
        }
        if (low > kappa_y_ * (1.0 + 1e-9)) kinks_.push_back(0.5 * (low + high));
      }
  std::sort(kinks_.begin(), kinks_.end());
}

double MomentCurvature::guess(double curvature) const {
  const double at = std::log(curvature / kappa_y_) / std::log(table_growth);
  const auto last = static_cast<double>(neutral_table_.size() - 1);
  if (!(at > 0.0)) return neutral_table_.front();
  if (at >= last) return neutral_table_.back();
  const auto i = static_cast<std::size_t>(at);
  const double part = at - static_cast<double>(i);
  return neutral_table_[i] + part * (neutral_table_[i + 1] - neutral_table_[i]);
}

MomentCurvature::Sums MomentCurvature::sums(double k, double n) const {
  const DepthProfile& p = section_.profile();
  const double e = fy_ / (E_ * k);
  const DepthProfile::Integrals& all = p.total();
  const DepthProfile::Integrals low = p.below(n - e), to_high = p.below(n + e);
  const double A = to_high.area - low.area, Q = to_high.first - low.first, I = to_high.second - low.second;
  const double A_above = all.area - to_high.area, Q_above = all.first - to_high.first;
  const double perfect = 1.0 - blend_, b = blend_;
  Sums s{};
  s.N = E_ * k * (Q - n * A);
  s.M = E_ * k * (I - n * Q);
  s.W = 0.5 * E_ * k * k * (I - 2.0 * n * Q + n * n * A);
  s.EA = E_ * A, s.EQ = E_ * Q, s.EI = E_ * I;
  if (power_) {
    add_power(s, k, n);
    return s;
  }
  s.N = perfect * (s.N + fy_ * (A_above - low.area)) + b * E_ * k * (all.first - n * all.area);
  s.M = perfect * (s.M + fy_ * (Q_above - low.first)) + b * E_ * k * (all.second - n * all.first);
  s.W = perfect * (s.W + fy_ * k * (Q_above - n * A_above - low.first + n * low.area) - 0.5 * fy_ * fy_ / E_ * (A_above + low.area)) +
        0.5 * b * E_ * k * k * (all.second - 2.0 * n * all.first + n * n * all.area);
  s.EA = perfect * s.EA + b * E_ * all.area;
  s.EQ = perfect * s.EQ + b * E_ * all.first;
  s.EI = perfect * s.EI + b * E_ * all.second;
  return s;
}

// The plastic parts under a power law. With the plastic strain p as the variable the stress is explicit:
// distance from the neutral axis u = (stress / E + p) / k, du = (H / E + 1) dp / k, H = d stress / dp.
void MomentCurvature::add_power(Sums& s, double k, double n) const {
  const DepthProfile& profile = section_.profile();
  const auto [K, m, e0] = *power_;
  const double E = E_, fy = fy_;
  const auto stress = [&](double plastic) { return K * std::pow(e0 + plastic, m); };
  const auto plastic_at = [&](double strain) {
    // strain = stress / E + p rises in p.
    if (strain <= fy / E) return 0.0;
    return rising_root(0.0, strain, strain - fy / E, [&](double p) {
      return std::pair{stress(p) / E + p - strain, m * stress(p) / (e0 + p) / E + 1.0};
    });
  };
  for (const double side : {-1.0, 1.0}) {
    const double face = side > 0.0 ? profile.highest() - n : n - profile.lowest();
    if (k * face <= fy / E) continue;
    std::vector<double> ends{0.0};
    for (const double y : profile.breaks())
      if (const double u = side * (y - n); k * u > fy / E && u < face) ends.push_back(plastic_at(k * u));
    ends.push_back(plastic_at(k * face));
    std::sort(ends.begin(), ends.end());
    for (std::size_t i = 0; i + 1 < ends.size(); ++i) {
      const double from = ends[i], width = ends[i + 1] - from;
      if (!(width > 0.0)) continue;
      for (const auto& [x, weight] : gauss_20()) {
        // Round edges begin like square roots: t = 3 x^2 - 2 x^3 is flat at both ends.
        const double p = from + width * x * x * (3.0 - 2.0 * x), dp = width * 6.0 * x * (1.0 - x) * weight;
        const double sigma = stress(p), H = m * sigma / (e0 + p), u = (sigma / E + p) / k;
        const double y = n + side * u, area = profile.breadth(y) * (H / E + 1.0) / k * dp;
        const double tangent = H / (1.0 + H / E);
        s.N += side * sigma * area;
        s.M += side * sigma * y * area;
        s.W += (0.5 * sigma * sigma / E + (sigma * (e0 + p) - fy * e0) / (m + 1.0)) * area;
        s.EA += tangent * area, s.EQ += tangent * y * area, s.EI += tangent * y * y * area;
      }
    }
  }
}

double MomentCurvature::neutral_depth(double k) const {
  const DepthProfile& p = section_.profile();
  if (p.even() || k <= kappa_y_) return 0.0;
  // N falls as the axis sinks toward the inner face.
  const double height = p.highest() - p.lowest();
  double low = p.lowest(), high = p.highest(), n = guess(k);
  for (int i = 0; i < 100; ++i) {
    const Sums s = sums(k, n);
    (s.N > 0.0 ? low : high) = n;
    // dN/dn = k (EQ' of the shift) = -k EA, the stress being continuous at the core's edges.
    double next = n + s.N / (k * s.EA);
    if (!(next >= low && next <= high)) next = 0.5 * (low + high);
    const double move = std::abs(next - n);
    n = next;
    // Newton squares the error: after a move of 1e-9 the next one is below rounding.
    if (move <= 1e-9 * height) break;
  }
  return n;
}

MomentCurvature::State MomentCurvature::state(double k) const {
  if (k <= kappa_y_) return {EI_ * k, EI_, 0.5 * EI_ * k * k, 0.0};
  if (table_)
    if (const auto row = table_->at(k)) return {(*row)[0], (*row)[1], (*row)[2], (*row)[3]};
  return asked(k);
}

MomentCurvature MomentCurvature::tabulated(double to_curvature) const {
  MomentCurvature quick = *this;
  std::vector<double> starts{kappa_y_};
  starts.insert(starts.end(), kinks_.begin(), kinks_.end());
  const auto law = [this](double k) {
    const State s = k > kappa_y_ ? asked(k) : state(k);
    return CurvatureTable::Row(s.moment, s.stiffness, s.work, s.neutral_depth);
  };
  quick.table_ = std::make_shared<const CurvatureTable>(law, starts, to_curvature);
  return quick;
}

MomentCurvature::State MomentCurvature::asked(double k) const {
  const DepthProfile& p = section_.profile();
  if (p.even() && !power_) {
    // Mirror images: one edge tells all.
    const double e = fy_ / (E_ * k), perfect = 1.0 - blend_;
    const DepthProfile::Integrals& all = p.total();
    const DepthProfile::Integrals low = p.below(-e);
    const double I = all.second - 2.0 * low.second, Q_plastic = -2.0 * low.first;
    return {perfect * (E_ * k * I + fy_ * Q_plastic) + blend_ * EI_ * k, perfect * E_ * I + blend_ * EI_,
            perfect * (0.5 * E_ * k * k * I + fy_ * k * Q_plastic - fy_ * fy_ / E_ * low.area) + 0.5 * blend_ * EI_ * k * k, 0.0};
  }
  const double n = neutral_depth(k);
  const Sums s = sums(k, n);
  return {s.M, s.EI - s.EQ * s.EQ / s.EA, s.W, n};
}

double MomentCurvature::loaded(double free_curvature) const {
  require(free_curvature >= 0.0 && std::isfinite(free_curvature), "a free curvature that is finite and not negative");
  if (free_curvature == 0.0) return kappa_y_;
  const auto excess = [&](double k) {
    const State s = state(k);
    return std::pair{k - s.moment / EI_ - free_curvature, 1.0 - s.stiffness / EI_};
  };
  double high = std::max(2.0 * kappa_y_, free_curvature);
  while (excess(high).first < 0.0) high *= 2.0;
  return rising_root(kappa_y_, high, high, excess);
}

double MomentCurvature::curvature_at(double moment_n_mm) const {
  require(moment_n_mm >= 0.0, "a moment that is not negative");
  if (moment_n_mm <= first_yield_moment()) return moment_n_mm / EI_;
  const auto excess = [&](double k) {
    const State s = state(k);
    return std::pair{s.moment - moment_n_mm, s.stiffness};
  };
  double high = 2.0 * kappa_y_;
  for (int i = 0; excess(high).first < 0.0; ++i) {
    require(i < 60, "a moment that the section can carry");
    high *= 2.0;
  }
  return rising_root(kappa_y_, high, high, excess);
}

std::vector<double> MomentCurvature::panels(double from, double to) const {
  constexpr double greatest_growth = 2.5;  // keeps the 20-point rule at rounding level on this law
  std::vector<double> breaks{from};
  std::vector<double> stops;
  for (const double kink : kinks_)
    if (kink > from && kink < to) stops.push_back(kink);
  stops.push_back(to);
  for (const double stop : stops) {
    const double start = breaks.back();
    const int parts = std::max(1, static_cast<int>(std::ceil(std::log(stop / start) / std::log(greatest_growth))));
    for (int i = 1; i < parts; ++i) breaks.push_back(start * std::pow(stop / start, static_cast<double>(i) / parts));
    breaks.push_back(stop);
  }
  return breaks;
}

// int stress x dA. The linear law only takes closed integrals, like the moment itself.
double MomentCurvature::side_moment(double k, double n) const {
  const DepthProfile& p = section_.profile();
  const DepthProfile::SideIntegrals& all = p.side_total();
  const double elastic = E_ * k * (all.product - n * all.first);
  if (k <= kappa_y_) return elastic;
  const double e = fy_ / (E_ * k);
  const DepthProfile::SideIntegrals low = p.side_below(n - e), to_high = p.side_below(n + e);
  const double core = E_ * k * (to_high.product - low.product - n * (to_high.first - low.first));
  if (!power_) return (1.0 - blend_) * (core + fy_ * (all.first - to_high.first - low.first)) + blend_ * elastic;
  // As in add_power, over depth: the stress is found by its root at each point.
  double sum = core;
  const auto [K, m, e0] = *power_;
  for (std::size_t i = 0; i + 1 < p.breaks().size(); ++i)
    for (const double side : {-1.0, 1.0}) {
      const double from = side > 0.0 ? std::max(p.breaks()[i], n + e) : p.breaks()[i];
      const double to = side > 0.0 ? p.breaks()[i + 1] : std::min(p.breaks()[i + 1], n - e);
      if (!(to > from)) continue;
      for (const auto& [x, weight] : gauss_20()) {
        const double y = from + (to - from) * x * x * (3.0 - 2.0 * x), dy = (to - from) * 6.0 * x * (1.0 - x) * weight;
        const double strain = k * std::abs(y - n);
        const double plastic = rising_root(0.0, strain, strain - fy_ / E_, [&](double q) {
          const double sigma = K * std::pow(e0 + q, m);
          return std::pair{sigma / E_ + q - strain, m * sigma / (e0 + q) / E_ + 1.0};
        });
        sum += side * K * std::pow(e0 + plastic, m) * p.side_moment(y) * dy;
      }
    }
  return sum;
}

MomentCurvature::Release MomentCurvature::release(double k) const {
  require(k >= 0.0 && std::isfinite(k), "a curvature that is finite and not negative");
  const State s = state(k);
  const double EIy = EI_, EIx = E_ * section_.side_inertia_mm4(), EIxy = E_ * section_.profile().side_total().product;
  const double side = side_moment(k, s.neutral_depth);
  const double determinant = EIy * EIx - EIxy * EIxy;
  // Held, the part has curvature {k, 0}; released it loses what its moments bend it elastically.
  return {(s.moment * EIx - side * EIxy) / determinant, -(side * EIy - s.moment * EIxy) / determinant, s.moment / EIy};
}

}  // namespace coilwright
