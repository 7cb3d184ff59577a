// A smooth row of numbers over an interval as polynomials, proved by asking between the points that made them.
//
// Met at Chebyshev points (Trefethen, Approximation Theory and Approximation Practice, 2013, chapters 2 to 8), of the variable
// or, where the row begins like a square root, of the root of what is beyond the lower end.
#pragma once

#include <Eigen/Core>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <optional>

namespace coilwright {

// Row: an Eigen array of one column.
template <class Row>
class ChebyshevPanel {
 public:
  enum class Begins { smoothly, like_a_root };

  // `row`(x) gives std::optional<Row>, all of one size. None: somewhere it has no answer, or the polynomials miss it between
  // the points by more than `share` of the largest value on the panel (of `least`, where that is more).
  template <class Function>
  static std::optional<ChebyshevPanel> fitted(const Function& row, double from, double to, Begins begins, double share,
                                              const Row& least) {
    constexpr double pi = std::numbers::pi;
    const auto n = static_cast<double>(terms);
    const bool rooted = begins == Begins::like_a_root;
    const auto x_at = [&](double t) {
      const double u = 0.5 * (1.0 + t);
      return from + (to - from) * (rooted ? u * u : u);
    };
    std::array<Row, terms> values, cosines;
    Row largest = least;
    for (std::size_t i = 0; i < terms; ++i) {
      std::optional<Row> value = row(x_at(std::cos(pi * (static_cast<double>(i) + 0.5) / n)));
      if (!value || value->size() != least.size()) return std::nullopt;
      values[i] = *std::move(value);
      largest = largest.max(values[i].abs());
    }
    const Row nothing = Row::Zero(least.size());
    for (std::size_t k = 0; k < terms; ++k) {
      cosines[k] = nothing;
      for (std::size_t i = 0; i < terms; ++i)
        cosines[k] += values[i] * std::cos(pi * static_cast<double>(k) * (static_cast<double>(i) + 0.5) / n);
      cosines[k] *= (k == 0 ? 1.0 : 2.0) / n;
    }
    // Chebyshev polynomials in powers: T(k) = 2 t T(k-1) - T(k-2).
    ChebyshevPanel panel;
    panel.rooted_ = rooted;
    panel.origin_ = rooted ? from : 0.5 * (from + to);
    panel.scale_ = (rooted ? 1.0 : 2.0) / (to - from);
    panel.powers_.fill(nothing);
    std::array<double, terms> before{}, here{};
    before[0] = 1.0;
    here[1] = 1.0;
    panel.powers_[0] += cosines[0];
    for (std::size_t k = 1; k < terms; ++k) {
      for (std::size_t power = 0; power < terms; ++power) panel.powers_[power] += here[power] * cosines[k];
      std::array<double, terms> next{};
      for (std::size_t power = 0; power < terms; ++power)
        next[power] = (power > 0 ? 2.0 * here[power - 1] : 0.0) - before[power];
      before = here;
      here = next;
    }
    // Between the points, where an interpolant is farthest off, and at both ends.
    for (std::size_t i = 0; i <= terms; ++i) {
      const double t = std::cos(pi * static_cast<double>(i) / n);
      const std::optional<Row> value = row(x_at(t));
      if (!value || value->size() != least.size()) return std::nullopt;
      if (!((panel.of(t) - *value).abs() <= share * largest).all()) return std::nullopt;
    }
    return panel;
  }

  [[nodiscard]] Row at(double x) const {
    const double part = (x - origin_) * scale_;
    return of(rooted_ ? 2.0 * std::sqrt(part) - 1.0 : part);
  }

 private:
  static constexpr std::size_t terms = 16;

  [[nodiscard]] Row of(double t) const {
    const double t2 = t * t;
    Row even = powers_[terms - 2], odd = powers_[terms - 1];
    for (std::size_t k = terms - 2; k > 0; k -= 2) {
      even = even * t2 + powers_[k - 2];
      odd = odd * t2 + powers_[k - 1];
    }
    return Row(even + t * odd);
  }

  bool rooted_ = false;
  double origin_ = 0.0, scale_ = 0.0;
  std::array<Row, terms> powers_;  // of t in -1 .. 1
};

}  // namespace coilwright
