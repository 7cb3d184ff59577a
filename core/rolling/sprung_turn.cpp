#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/sprung_turn.hpp>
#include <numbers>

namespace coilwright {

SprungTurn sprung_turn(const Stock& stock, Length bend_radius, Angle azimuth) {
  require(stock.section.round() && bend_radius.mm() > 0.0 && azimuth.rad() > 0.0, "a sprung turn is round stock, bent, and held somewhere");
  constexpr double share_of_yield = 0.5;
  const double theta = std::min(azimuth.rad(), 2.0 * std::numbers::pi), R = bend_radius.mm();
  const double bent = 0.5 * theta - 0.25 * std::sin(2.0 * theta);
  const double twisted = 1.5 * theta - 2.0 * std::sin(theta) + 0.25 * std::sin(2.0 * theta);
  // sin^2 u + 3/4 (1 - cos u)^2 is greatest where cos u = -3: it rises up to half a turn and falls behind it.
  const double worst = std::min(theta, std::numbers::pi);
  const double stress = std::sqrt(std::pow(std::sin(worst), 2) + 0.75 * std::pow(1.0 - std::cos(worst), 2));
  const double inertia = stock.section.inertia_mm4(), modulus = stock.material.modulus.mpa();
  const double force = share_of_yield * stock.material.yield.mpa() * inertia / (stock.section.outer_face().mm() * R * stress);
  const double rise = force * R * R * R * (bent / (modulus * inertia) + twisted / stock.torsion_stiffness_n_mm2());
  return {Length::mm(rise), Force::newtons(force)};
}

}  // namespace coilwright
