#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/curvature_table.hpp>
#include <numbers>

namespace coilwright {

CurvatureTable::Panel CurvatureTable::fitted(const std::function<Row(double)>& law, double from, double to, bool rooted) {
  constexpr double pi = std::numbers::pi;
  const auto n = static_cast<double>(terms);
  const auto curvature_at = [&](double t) {
    const double u = 0.5 * (1.0 + t);
    return from + (to - from) * (rooted ? u * u : u);
  };
  std::array<Row, terms> values, cosines;
  Row largest = Row::Zero();
  for (std::size_t i = 0; i < terms; ++i) {
    values[i] = law(curvature_at(std::cos(pi * (static_cast<double>(i) + 0.5) / n)));
    largest = largest.max(values[i].abs());
  }
  for (std::size_t k = 0; k < terms; ++k) {
    cosines[k] = Row::Zero();
    for (std::size_t i = 0; i < terms; ++i)
      cosines[k] += values[i] * std::cos(pi * static_cast<double>(k) * (static_cast<double>(i) + 0.5) / n);
    cosines[k] *= (k == 0 ? 1.0 : 2.0) / n;
  }
  // Chebyshev polynomials in powers: T(k) = 2 t T(k-1) - T(k-2).
  Panel panel{true, rooted, rooted ? from : 0.5 * (from + to), rooted ? 1.0 / (to - from) : 2.0 / (to - from), {}};
  panel.powers.fill(Row::Zero());
  std::array<double, terms> before{}, here{};
  before[0] = 1.0;
  here[1] = 1.0;
  panel.powers[0] += cosines[0];
  for (std::size_t k = 1; k < terms; ++k) {
    for (std::size_t power = 0; power < terms; ++power) panel.powers[power] += here[power] * cosines[k];
    std::array<double, terms> next{};
    for (std::size_t power = 0; power < terms; ++power)
      next[power] = (power > 0 ? 2.0 * here[power - 1] : 0.0) - before[power];
    before = here;
    here = next;
  }
  // Between the points, where an interpolant is farthest off, and at both ends.
  for (std::size_t i = 0; i <= terms && panel.met; ++i) {
    const double t = std::cos(pi * static_cast<double>(i) / n);
    Row sum = panel.powers[terms - 1];
    for (std::size_t power = terms - 1; power > 0; --power) sum = sum * t + panel.powers[power - 1];
    panel.met = ((sum - law(curvature_at(t))).abs() <= curvature_table_share * largest).all();
  }
  return panel;
}

void CurvatureTable::cover(const std::function<Row(double)>& law, double from, double to, bool rooted, int halvings) {
  Panel panel = fitted(law, from, to, rooted);
  if (panel.met || halvings == 0) {
    ends_.push_back(to);
    panels_.push_back(panel);
    return;
  }
  const double middle = 0.5 * (from + to);
  cover(law, from, middle, rooted, halvings - 1);
  cover(law, middle, to, false, halvings - 1);
}

CurvatureTable::CurvatureTable(const std::function<Row(double)>& law, std::span<const double> starts, double to) {
  require(!starts.empty() && starts.front() > 0.0, "a table begins at first yield");
  constexpr double growth = 2.0;  // of a panel's curvature: few need to be halved
  constexpr int halvings = 5;
  if (!(to > starts.front())) return;
  from_ = starts.front();
  to_ = to;
  for (std::size_t i = 0; i < starts.size() && starts[i] < to; ++i) {
    const double stop = i + 1 < starts.size() ? std::min(starts[i + 1], to) : to;
    double from = starts[i];
    for (bool rooted = true; from < stop; rooted = false) {
      // No sliver at the end of a stretch.
      const double next = growth * from < 0.9 * stop ? growth * from : stop;
      cover(law, from, next, rooted, halvings);
      from = next;
    }
  }
}

}  // namespace coilwright
