#include <algorithm>
#include <array>
#include <boost/math/quadrature/gauss.hpp>
#include <coilwright/rolling/quadrature.hpp>

namespace coilwright {
namespace {

// Boost keeps the non-negative half of the symmetric points on [-1, 1].
template <unsigned Points>
std::array<QuadraturePoint, Points> unit_interval() {
  using Rule = boost::math::quadrature::gauss<double, Points>;
  std::array<QuadraturePoint, Points> points{};
  std::size_t filled = 0;
  for (std::size_t i = 0; i < Rule::abscissa().size(); ++i) {
    const double x = Rule::abscissa()[i], weight = 0.5 * Rule::weights()[i];
    points[filled++] = {0.5 * (1.0 + x), weight};
    if (x != 0.0) points[filled++] = {0.5 * (1.0 - x), weight};
  }
  std::sort(points.begin(), points.end(), [](auto a, auto b) { return a.x < b.x; });
  return points;
}

}  // namespace

std::span<const QuadraturePoint> gauss_20() {
  static const auto points = unit_interval<20>();
  return points;
}

std::span<const QuadraturePoint> gauss_7() {
  static const auto points = unit_interval<7>();
  return points;
}

}  // namespace coilwright
