#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/pull_to_pitch.hpp>
#include <numbers>

namespace coilwright {

PullToPitch pull_to_pitch(const Stock& stock, const Helix& helix) {
  require(helix.pitch().mm() > 0.0, "only a helix is pulled to pitch");
  const Section& section = stock.section;
  const double shear_yield = stock.material.yield.mpa() / std::sqrt(3.0);
  const double radius = helix.plan_radius().mm();
  const double stiffness = stock.torsion_stiffness_n_mm2();
  const double plastic_torque = section.plastic_torsion_modulus_mm3() * shear_yield;
  // The first yield of a thin wall or of a round bar, by the torque over the outer radius; other sections yield
  // first somewhere between that and the plastic torque.
  const double first_yield_torque = std::min(
      plastic_torque, section.torsion_constant_mm4() * shear_yield / (0.5 * section.outside_diameter().mm()));
  // One turn has 2 pi R of bar; a twist of theta per length is a pitch of 2 pi R^2 theta.
  const double pitch_per_torque = 2.0 * std::numbers::pi * radius * radius / stiffness;
  return {helix.flat_then_pull_radius(), Force::newtons(plastic_torque / radius),
          Length::mm(pitch_per_torque * plastic_torque), Length::mm(pitch_per_torque * first_yield_torque)};
}

}  // namespace coilwright
