// From the solutions of rolling and lift to the place of the part in the machine.
//
// With Q0 = Ru(eps) Rx(beta) Ru(-alpha) the helix leaves the bend point along the feed, leaning forward by
// alpha (it must: its tangent leaves along the level stock) and sideways by beta; Ru(e) lifts +x toward +z
// by e. The arc up to the outboard roll is sprung by u(theta); beyond it the part moves as a rigid body
// with the displacement d and the rotation Re of the arc at the roll. In plan the curve is turned by delta
// and shifted so that it continues the loaded span at the exit contact P3. Frame F, mm.
#pragma once

#include <coilwright/rolling/lift.hpp>
#include <coilwright/rolling/pose.hpp>
#include <coilwright/rolling/steady_rolling.hpp>

namespace coilwright {

// The finished helix placed behind the exit contact of a pass. `lift` and `arc` come together; null for a
// part that nothing lifts (pitch 0, no outboard roll), which leaves level and upright. The incoming stock lies at
// `stock_slope_rad`.
PosedPart place_part(const Helix& helix, const MomentCurvature& law, const RollGeometry& rolls,
                     const BendHistory& before, const SteadyState& rolling, const RaisedArc* arc,
                     const LiftState* lift, double stock_slope_rad = 0.0);

// The same with the loaded spans (span_stations) of that pass known.
PosedPart place_part(const Helix& helix, std::vector<PosedPart::Station> spans, const SteadyState& rolling, const RaisedArc* arc,
                     const LiftState* lift, double stock_slope_rad = 0.0);

// Where the centreline stands at the outboard roll, without building the whole part, and its tangent there before it is
// sprung.
struct AtOutboardRoll {
  Eigen::Vector3d point, tangent;
};
AtOutboardRoll at_outboard_roll(const Helix& helix, const SteadyState& rolling, const RaisedArc& arc, const LiftState& lift);
// The same at an azimuth from the bend point, upright and not sprung.
AtOutboardRoll at_outboard_roll(const Helix& helix, const SteadyState& rolling, double roll_theta);

}  // namespace coilwright
