// What a machine can do with a stock: what a bend takes of it against what it has, the fewest passes, and
// the smallest bend radius it reaches.
//
// All of it is rolling in plan: the lift and the clearance of a helix are judged on their own.
#pragma once

#include <coilwright/machine/machine.hpp>
#include <coilwright/rolling/steady_rolling.hpp>
#include <functional>
#include <optional>
#include <span>
#include <vector>

namespace coilwright {

// What the machine has. Limits that are not known do not limit.
struct MachineLimits {
  double friction;
  std::optional<Force> centre_roll_force;
  std::optional<Length> centre_roll_travel;
  std::optional<double> frame_stiffness_n_per_mm;
  Length rims_meet;  // rim radius of an outer roll plus that of the centre roll: their axes come no closer
  std::optional<Force> outer_roll_force = {};

  static MachineLimits of(const Machine& machine);
};

// What passes take: the worst of them.
struct Demand {
  double traction = 0.0;
  Force centre_roll_force;
  Length centre_roll_travel;              // with what the frame gives
  Length axis_distance = Length::mm(1e9); // least, centre roll to outer roll
  Force outer_roll_force;                 // the greater of entry and exit roll
};
Demand demand_of(std::span<const SteadyState> passes, const RollGeometry& rolls, const MachineLimits& limits);

// What stands in the way, in the order in which a machine names it.
enum class Obstruction {
  slip,
  centre_roll_force,
  outer_roll_force,
  centre_roll_travel,
  rims_meet,
  wraps_the_roll,
  no_balance
};
// The first limit that a demand exceeds; none: it can be done.
std::optional<Obstruction> exceeded(const Demand& demand, const MachineLimits& limits);

// Passes of equal steps of free curvature from straight stock; or what stops one of them.
struct FlatPasses {
  std::vector<SteadyState> passes;          // those that have a state, in order
  std::optional<Obstruction> stopped;       // wraps_the_roll or no_balance
};
FlatPasses roll_flat(const MomentCurvature& law, const RollGeometry& rolls, double free_curvature, int passes);

// The fewest passes that stay within friction and roll forces.
struct PassChoice {
  std::optional<int> passes;       // none: no number up to most_passes_planned
  std::optional<Demand> one;       // of a single pass, where it has a state
  std::optional<Demand> chosen;
  FlatPasses flat = {};            // the passes chosen; where none are, of a single pass
};
inline constexpr int most_passes_planned = 12;  // beyond that the material is worked, not planned (judgement)
PassChoice choose_passes(const MomentCurvature& law, const RollGeometry& rolls, const MachineLimits& limits,
                         double free_curvature);
// The same where whoever asks knows how the bend is rolled in so many passes.
PassChoice choose_passes(const std::function<FlatPasses(int passes)>& rolled, const RollGeometry& rolls, const MachineLimits& limits);

// The smallest bend radius within every limit for a number of passes, to 0.1 %, and what stops it there. None
// when not even the slightest bend is within them; `stopped_by` then says what stands in the way.
struct SmallestBend {
  int passes;
  std::optional<Length> bend_radius;
  Obstruction stopped_by;
};
// `near`: a free curvature that may lie near it, to search from; the answer does not depend on it by more than that.
SmallestBend smallest_bend(const MomentCurvature& law, const RollGeometry& rolls, const MachineLimits& limits, int passes,
                           std::optional<double> near = {});
// With 1, 2, 3 ... passes, as long as another pass makes it smaller by more than 2 %; at most six.
std::vector<SmallestBend> smallest_bends(const MomentCurvature& law, const RollGeometry& rolls,
                                         const MachineLimits& limits, std::optional<double> near = {});

// What another outer spacing changes for the same bend.
struct SpacingEffect {
  Length spacing;
  std::optional<int> passes;  // fewest within friction and force
  std::optional<Demand> demand;                // of those, else of one pass; none: it has no state
  std::optional<Obstruction> stopped_by;       // none: it can be done
  std::optional<Length> least_bend_radius;     // with those passes
  std::optional<Length> flat_ends;             // both together
};
std::vector<SpacingEffect> spacing_effects(const MomentCurvature& law, const RollGeometry& rolls,
                                           const MachineLimits& limits, double free_curvature,
                                           const std::vector<Length>& spacings);
// The one to set: of those that can do it in the fewest passes the narrowest, for its short flat ends and low
// traction; but not under three stock depths to a side, where the section is no longer a rod (judgement).
std::optional<Length> recommended_spacing(const std::vector<SpacingEffect>& effects, Length stock_depth);

}  // namespace coilwright
