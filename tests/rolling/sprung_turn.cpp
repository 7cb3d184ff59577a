#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/sprung_turn.hpp>
#include <coilwright/stock/material.hpp>
#include <numbers>

using namespace coilwright;

namespace {

Stock tube() {
  return {Section::round_tube(Length::mm(42.4), Length::mm(2.6)).value(), find_material("S235").value(), "", "", {}};
}

}  // namespace

TEST_CASE("the lift of a turn at half yield, by sums over the ring", "[sprung][oracle]") {
  // Unit-load integrals by the midpoint rule, stresses looked at everywhere: nothing shared with the closed form.
  const Stock stock = tube();
  const double R = 900.0, EI = stock.material.modulus.mpa() * stock.section.inertia_mm4(),
               GJ = stock.material.shear_modulus().mpa() * 2.0 * stock.section.inertia_mm4();
  for (const double degrees : {20.0, 45.0, 90.0, 135.0, 180.0, 270.0, 360.0}) {
    CAPTURE(degrees);
    const double theta = degrees * std::numbers::pi / 180.0;
    constexpr int pieces = 20000;
    double flexibility = 0.0, stress = 0.0;
    for (int i = 0; i < pieces; ++i) {
      const double u = theta * (i + 0.5) / pieces, bend = R * std::sin(u), twist = R * (1.0 - std::cos(u));
      flexibility += (bend * bend / EI + twist * twist / GJ) * R * theta / pieces;
      const double sigma = bend * 21.2 / stock.section.inertia_mm4(), tau = twist * 21.2 / (2.0 * stock.section.inertia_mm4());
      stress = std::max(stress, std::sqrt(sigma * sigma + 3.0 * tau * tau));
    }
    const double force = 0.5 * stock.material.yield.mpa() / stress;
    const SprungTurn turn = sprung_turn(stock, Length::mm(R), Angle::deg(degrees));
    CHECK(turn.force.newtons() == Approx(force).epsilon(1e-4));
    CHECK(turn.rise.mm() == Approx(force * flexibility).epsilon(1e-4));
  }
  // Beyond a full turn nothing is gained.
  CHECK(sprung_turn(stock, Length::mm(R), Angle::deg(500)).rise.mm() == sprung_turn(stock, Length::mm(R), Angle::deg(360)).rise.mm());
  CHECK_THROWS_AS(sprung_turn(stock, Length::mm(R), Angle()), InternalError);
}
