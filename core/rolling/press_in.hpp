// Pressing the centre roll in at a standstill: what it takes and what it leaves.
//
// Nothing is fed, so nothing is drawn along (no tangential force) and both spans follow the loading curve up
// to the same moment under the centre roll: a symmetric press with one unknown, the roll force. The same rod
// as in steady_rolling.hpp. The peak of curvature under the roll is far sharper than in rolling, where every
// section shares the bend: a kink stays. The roll is met at one point: where the loaded radius falls below
// that of the centre roll and the inner face, the stock lies on the roll instead and the kink is no sharper.
#pragma once

#include <coilwright/rolling/steady_rolling.hpp>
#include <optional>

namespace coilwright {

struct PressedIn {
  double centre_force_n;          // on the centre roll
  double loaded_curvature;        // largest, under the roll
  double kink_free_curvature;     // what is left of it after release: the kink
  double travel_mm;               // as asked
};

// None when the stock would fold round the centre roll before the travel is reached: no forces balance.
std::optional<PressedIn> press_in(const MomentCurvature& law, const RollGeometry& rolls, const BendHistory& before,
                                  double travel_mm);

}  // namespace coilwright
