#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/capability.hpp>

namespace coilwright {
namespace {

Length rim(Length radius, const std::optional<Length>& flange, const std::optional<Length>& groove) {
  return flange.value_or(radius + groove.value_or(Length()) / 2.0);
}

// What stops a bend of this free curvature; none: nothing does.
std::optional<Obstruction> stops(const MomentCurvature& law, const RollGeometry& rolls, const MachineLimits& limits,
                                 double free_curvature, int passes) {
  const FlatPasses flat = roll_flat(law, rolls, free_curvature, passes);
  if (flat.stopped) return flat.stopped;
  return exceeded(demand_of(flat.passes, rolls, limits), limits);
}

}  // namespace

MachineLimits MachineLimits::of(const Machine& machine) {
  const Rolls& r = machine.rolls;
  MachineLimits limits{r.friction, machine.limits.centre_roll_force, machine.limits.centre_roll_travel, std::nullopt,
                       rim(r.outer_radius, r.outer_flange_radius, r.groove) +
                           rim(r.centre_radius, r.centre_flange_radius, r.groove)};
  if (r.frame_stiffness_kn_per_mm) limits.frame_stiffness_n_per_mm = 1000.0 * *r.frame_stiffness_kn_per_mm;
  return limits;
}

Demand demand_of(std::span<const SteadyState> passes, const RollGeometry& rolls, const MachineLimits& limits) {
  Demand d;
  for (const SteadyState& s : passes) {
    const double give = limits.frame_stiffness_n_per_mm ? s.centre_force_n / *limits.frame_stiffness_n_per_mm : 0.0;
    d.traction = std::max(d.traction, s.traction());
    d.centre_roll_force = std::max(d.centre_roll_force, Force::newtons(s.centre_force_n));
    d.centre_roll_travel = std::max(d.centre_roll_travel, Length::mm(s.travel_mm + give));
    // Past the line of the outer axes the rims come no closer than there.
    d.axis_distance = std::min(d.axis_distance, Length::mm(std::hypot(rolls.half_spacing_mm,
                                                                      std::max(0.0, rolls.touch_height_mm() - s.travel_mm))));
  }
  return d;
}

std::optional<Obstruction> exceeded(const Demand& demand, const MachineLimits& limits) {
  if (demand.traction > limits.friction) return Obstruction::slip;
  if (limits.centre_roll_force && demand.centre_roll_force > *limits.centre_roll_force)
    return Obstruction::centre_roll_force;
  if (limits.centre_roll_travel && demand.centre_roll_travel > *limits.centre_roll_travel)
    return Obstruction::centre_roll_travel;
  if (demand.axis_distance < limits.rims_meet) return Obstruction::rims_meet;
  return std::nullopt;
}

FlatPasses roll_flat(const MomentCurvature& law, const RollGeometry& rolls, double free_curvature, int passes) {
  require(passes >= 1, "at least one pass");
  FlatPasses flat;
  BendHistory history = virgin(law);
  for (int i = 1; i <= passes; ++i) {
    const RollingOutcome outcome = roll_to_curvature(law, rolls, history, free_curvature * i / passes);
    if (const auto* state = std::get_if<SteadyState>(&outcome)) {
      history = state->after;
      flat.passes.push_back(*state);
      continue;
    }
    flat.stopped = std::holds_alternative<WrapsTheRoll>(outcome) ? Obstruction::wraps_the_roll : Obstruction::no_balance;
    break;
  }
  return flat;
}

PassChoice choose_passes(const MomentCurvature& law, const RollGeometry& rolls, const MachineLimits& limits,
                         double free_curvature) {
  PassChoice choice;
  for (int n = 1; n <= most_passes_planned; ++n) {
    const FlatPasses flat = roll_flat(law, rolls, free_curvature, n);
    if (flat.stopped) break;  // the last pass is what fails, whatever comes before it
    const Demand d = demand_of(flat.passes, rolls, limits);
    if (n == 1) choice.one = d;
    if (d.traction > limits.friction || (limits.centre_roll_force && d.centre_roll_force > *limits.centre_roll_force))
      continue;
    choice.passes = n;
    choice.chosen = d;
    break;
  }
  return choice;
}

SmallestBend smallest_bend(const MomentCurvature& law, const RollGeometry& rolls, const MachineLimits& limits,
                           int passes) {
  // From a bend so slight that only a limit of the machine can stop it to one that lies on the centre roll.
  const double inner = rolls.centre_radius_mm + rolls.inner_face_mm;
  double low = std::log(1e-3 * law.first_yield_curvature()), high = -std::log(inner);
  if (low > high) low = high - 1.0;
  if (const auto stopped = stops(law, rolls, limits, std::exp(low), passes)) return {passes, std::nullopt, *stopped};
  Obstruction stopped_by = Obstruction::wraps_the_roll;  // the tightest end lies on the roll
  constexpr double share = 1e-3;
  while (high - low > share) {
    const double middle = 0.5 * (low + high);
    const auto stopped = stops(law, rolls, limits, std::exp(middle), passes);
    if (stopped) stopped_by = *stopped;
    (stopped ? high : low) = middle;
  }
  return {passes, Length::mm(std::exp(-low)), stopped_by};
}

std::vector<SmallestBend> smallest_bends(const MomentCurvature& law, const RollGeometry& rolls,
                                         const MachineLimits& limits) {
  constexpr int most = 6;
  constexpr double worth_it = 0.98;
  std::vector<SmallestBend> bends;
  for (int n = 1; n <= most; ++n) {
    const SmallestBend bend = smallest_bend(law, rolls, limits, n);
    if (!bends.empty() && (!bend.bend_radius || (bends.back().bend_radius &&
                                                 *bend.bend_radius > worth_it * *bends.back().bend_radius)))
      break;
    bends.push_back(bend);
  }
  return bends;
}

std::vector<SpacingEffect> spacing_effects(const MomentCurvature& law, const RollGeometry& rolls,
                                           const MachineLimits& limits, double free_curvature,
                                           const std::vector<Length>& spacings) {
  std::vector<SpacingEffect> effects;
  for (const Length spacing : spacings) {
    RollGeometry there = rolls;
    there.half_spacing_mm = 0.5 * spacing.mm();
    const PassChoice choice = choose_passes(law, there, limits, free_curvature);
    SpacingEffect effect{spacing, choice.passes, choice.passes ? choice.chosen : choice.one, {}, {}, {}};
    const FlatPasses flat = roll_flat(law, there, free_curvature, choice.passes.value_or(1));
    effect.stopped_by = flat.stopped ? flat.stopped : exceeded(*effect.demand, limits);
    for (const SteadyState& s : flat.passes)
      effect.flat_ends = std::max(effect.flat_ends.value_or(Length()), Length::mm(s.span_in_mm + s.span_out_mm));
    effect.least_bend_radius = smallest_bend(law, there, limits, choice.passes.value_or(1)).bend_radius;
    effects.push_back(effect);
  }
  return effects;
}

std::optional<Length> recommended_spacing(const std::vector<SpacingEffect>& effects, Length stock_depth) {
  const auto fits = [&](const SpacingEffect& e) { return !e.stopped_by && e.spacing >= 6.0 * stock_depth; };
  const auto better = [](const SpacingEffect& a, const SpacingEffect& b) {
    return *a.passes != *b.passes ? *a.passes < *b.passes : a.spacing < b.spacing;
  };
  const SpacingEffect* best = nullptr;
  for (const SpacingEffect& e : effects)
    if (fits(e) && (best == nullptr || better(e, *best))) best = &e;
  return best != nullptr ? std::optional(best->spacing) : std::nullopt;
}

}  // namespace coilwright
