#include <coilwright/rolling/quadrature.hpp>

#include <catch2/catch.hpp>
#include <cmath>

using namespace coilwright;

TEST_CASE("the rules integrate polynomials exactly up to their degree", "[quadrature][published]") {
  // Gauss's theorem: n points are exact to degree 2n - 1 (any text on numerical analysis).
  for (const auto& [rule, degree] : {std::pair{gauss_20(), 39}, {gauss_7(), 13}}) {
    for (int power = 0; power <= degree; ++power) {
      double sum = 0;
      for (const auto& [x, weight] : rule) sum += weight * std::pow(x, power);
      CHECK(sum == Approx(1.0 / (power + 1)).epsilon(1e-13));
    }
    double sum = 0;
    for (const auto& [x, weight] : rule) sum += weight * std::pow(x, 2 * rule.size());
    CHECK(std::abs(sum * (2.0 * static_cast<double>(rule.size()) + 1) - 1) > 1e-15);
  }
}
