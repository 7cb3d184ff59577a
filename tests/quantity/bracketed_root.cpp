#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/quantity/bracketed_root.hpp>

using coilwright::rising_root_between;

TEST_CASE("a rising function's root is found to the last digit", "[root][oracle]") {
  CHECK(rising_root_between(0.0, 2.0, [](double x) { return x * x - 2.0; }) == Approx(std::sqrt(2.0)).epsilon(4e-16));
  CHECK(rising_root_between(0.0, 1.0, [](double x) { return x - std::cos(x); }) ==
        Approx(0.7390851332151607).epsilon(4e-16));  // the fixed point of the cosine, a published constant
  // Flat at its root, and steep at one end only: the chord alone would creep.
  CHECK(rising_root_between(-1.0, 3.0, [](double x) { return std::pow(x - 0.5, 9.0); }) == Approx(0.5).margin(1e-15));
  CHECK(rising_root_between(0.0, 50.0, [](double x) { return std::exp(x) - 3.0; }) == Approx(std::log(3.0)).epsilon(4e-16));
}

TEST_CASE("an end that is already beyond the root is the answer", "[root][property]") {
  CHECK(rising_root_between(1.0, 2.0, [](double x) { return x; }) == 1.0);
  CHECK(rising_root_between(1.0, 2.0, [](double x) { return x - 5.0; }) == 2.0);
}

TEST_CASE("a search takes few looks, also where the chord is a bad guide", "[root][bound]") {
  for (const double steep : {1.0, 20.0, 300.0}) {
    int looks = 0;
    rising_root_between(0.0, -1.0, 1.0, std::expm1(steep) - 1.0, 1e-15, 0.0, [&](double x) {
      ++looks;
      return std::expm1(steep * x) - 1.0;
    });
    // Halving alone takes 50; every third look halves.
    CHECK(looks <= 150);
  }
}
