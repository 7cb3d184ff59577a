// The lift of one pass with the band around it: what the setter is told.
#pragma once

#include <coilwright/rolling/passes.hpp>
#include <coilwright/rolling/rolling_plan.hpp>
#include <optional>
#include <vector>

namespace coilwright {

struct BandedLift {
  LiftPlan plan;
  std::vector<std::optional<LiftSolution>> corners;  // of the working band, in the order of working_corners
};

// `pass` has a lift.
BandedLift band_lift(const RollingSetup& setup, const RolledPass& pass);

// How far a roll of this radius under the tube moves when the centreline rises by `rise` and then slopes
// by `elevation`: the roll touches lower on a sloping tube, (r + tube radius) (1 / cos - 1).
Length roll_height_for(Length rise, Angle elevation, Length roll_radius, double stock_radius_mm);

// What the outboard roll itself rises at a pass's own lift. The pass has a lift and the setup the roll's radius.
Length roll_rise(const RollingSetup& setup, const RolledPass& pass);

}  // namespace coilwright
