#include <catch2/catch.hpp>
#include <coilwright/rolling/pull_to_pitch.hpp>
#include <cmath>
#include <numbers>

#include "numbers.hpp"

using namespace coilwright;

namespace {

Stock tube(double diameter, double wall, double yield_mpa) {
  Material material = find_material("S235").value();
  material.yield = Stress::mpa(yield_mpa);
  return {Section::round_tube(Length::mm(diameter), Length::mm(wall)).value(), material, "", "", {}};
}

}  // namespace

TEST_CASE("a rail rolled flat and pulled has the radius of a public thread", "[pull][published]") {
  // Engineering-forum thread 89210: plan radius 3 ft, rise 12 ft over 423 degrees: rolled flat at 3.412 ft.
  const double turns = 423.0 / 360.0;
  const Helix helix(Length::feet(3), Length::feet(12.0 / turns), Hand::right_screw);
  CHECK(halves_off(pull_to_pitch(tube(42.4, 2.6, 235), helix).flat_radius.inches() / 12.0, "3.412") <= half_a_digit);
}

TEST_CASE("what a pull springs back is the spring's own rate times its force", "[pull][oracle]") {
  // k = G (D^4 - d^4) / (8 (2R)^3) per turn, the textbook rate of a close-coiled tube spring.
  const Stock stock = tube(42.4, 2.6, 235);
  const Helix helix(Length::mm(900), Length::mm(2400), Hand::right_screw);
  const PullToPitch pull = pull_to_pitch(stock, helix);
  const double rate = stock.material.shear_modulus().mpa() * (std::pow(42.4, 4) - std::pow(37.2, 4)) / (8.0 * std::pow(1800.0, 3));
  CHECK(pull.springs_back.mm() == Approx(pull.most_force.newtons() / rate).epsilon(1e-9));
  // At the first yield of the outer fibre in shear: 2 pi R^2 tau_y / (G r_o).
  const double shear_yield = 235.0 / std::sqrt(3.0);
  CHECK(pull.elastic_pitch.mm() ==
        Approx(2.0 * std::numbers::pi * 900.0 * 900.0 * shear_yield / (stock.material.shear_modulus().mpa() * 21.2)).epsilon(1e-9));
  CHECK(pull.elastic_pitch < pull.springs_back);
}
