#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/capability.hpp>

namespace coilwright {
namespace {

Length rim(Length radius, const std::optional<Length>& flange, const std::optional<Length>& groove) {
  return flange.value_or(radius + groove.value_or(Length()) / 2.0);
}

// How far the worst of the demands is above its limit, as a share of it; -1: it takes nothing.
double excess(const Demand& demand, const MachineLimits& limits) {
  double worst = demand.traction / limits.friction;
  const auto count = [&](double share) { worst = std::max(worst, share); };
  if (limits.centre_roll_force) count(demand.centre_roll_force / *limits.centre_roll_force);
  if (limits.outer_roll_force) count(demand.outer_roll_force / *limits.outer_roll_force);
  if (limits.centre_roll_travel) count(demand.centre_roll_travel / *limits.centre_roll_travel);
  count(limits.rims_meet / demand.axis_distance);
  return worst - 1.0;
}

// What a bend of some free curvature meets.
struct Met {
  std::optional<Obstruction> stopped;
  std::optional<double> excess;  // none: there is no state to take anything
};

Met met(const MomentCurvature& law, const RollGeometry& rolls, const MachineLimits& limits, double free_curvature,
        int passes) {
  const FlatPasses flat = roll_flat(law, rolls, free_curvature, passes);
  if (flat.stopped) return {flat.stopped, std::nullopt};
  const Demand demand = demand_of(flat.passes, rolls, limits);
  const double above = excess(demand, limits);
  // Without friction the share of it that is needed is no number to search by.
  return {exceeded(demand, limits), std::isfinite(above) ? std::optional(above) : std::nullopt};
}

}  // namespace

MachineLimits MachineLimits::of(const Machine& machine) {
  const Rolls& r = machine.rolls;
  MachineLimits limits{r.friction, machine.limits.centre_roll_force, machine.limits.centre_roll_travel, std::nullopt,
                       rim(r.outer_radius, r.outer_flange_radius, r.groove) +
                           rim(r.centre_radius, r.centre_flange_radius, r.groove),
                       machine.limits.outer_roll_force};
  if (r.frame_stiffness_kn_per_mm) limits.frame_stiffness_n_per_mm = 1000.0 * *r.frame_stiffness_kn_per_mm;
  return limits;
}

Demand demand_of(std::span<const SteadyState> passes, const RollGeometry& rolls, const MachineLimits& limits) {
  Demand d;
  for (const SteadyState& s : passes) {
    const double give = limits.frame_stiffness_n_per_mm ? s.centre_force_n / *limits.frame_stiffness_n_per_mm : 0.0;
    d.traction = std::max(d.traction, s.traction());
    d.centre_roll_force = std::max(d.centre_roll_force, Force::newtons(s.centre_force_n));
    d.outer_roll_force = std::max(d.outer_roll_force, Force::newtons(std::max(s.entry_force_n, s.exit_force_n)));
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
  if (limits.outer_roll_force && demand.outer_roll_force > *limits.outer_roll_force)
    return Obstruction::outer_roll_force;
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
  return choose_passes([&](int passes) { return roll_flat(law, rolls, free_curvature, passes); }, rolls, limits);
}

PassChoice choose_passes(const std::function<FlatPasses(int passes)>& rolled, const RollGeometry& rolls, const MachineLimits& limits) {
  PassChoice choice;
  for (int n = 1; n <= most_passes_planned; ++n) {
    FlatPasses flat = rolled(n);
    if (n == 1) choice.flat = flat;
    if (flat.stopped) break;  // the last pass is what fails, whatever comes before it
    const Demand d = demand_of(flat.passes, rolls, limits);
    if (n == 1) choice.one = d;
    const std::optional<Obstruction> stopped = exceeded(d, limits);
    if (stopped == Obstruction::slip || stopped == Obstruction::centre_roll_force || stopped == Obstruction::outer_roll_force)
      continue;
    choice.passes = n;
    choice.chosen = d;
    choice.flat = std::move(flat);
    break;
  }
  return choice;
}

SmallestBend smallest_bend(const MomentCurvature& law, const RollGeometry& rolls, const MachineLimits& limits,
                           int passes, std::optional<double> near) {
  // From a bend so slight that only a limit of the machine can stop it to one that lies on the centre roll.
  const double inner = rolls.centre_radius_mm + rolls.inner_face_mm;
  double low = std::log(1e-3 * law.first_yield_curvature()), high = -std::log(inner);
  if (low > high) low = high - 1.0;
  Met at_low = met(law, rolls, limits, std::exp(low), passes);
  if (at_low.stopped) return {passes, std::nullopt, *at_low.stopped};
  Met at_high{Obstruction::wraps_the_roll, std::nullopt};  // the tightest end lies on the roll
  constexpr double share = 1e-3;
  const auto try_at = [&](double x) {
    const Met here = met(law, rolls, limits, std::exp(x), passes);
    if (here.stopped) high = x, at_high = here;
    else low = x, at_low = here;
  };
  // Close in on it from where it is guessed, in steps that double.
  if (near && std::log(*near) > low && std::log(*near) < high) {
    double x = std::log(*near);
    try_at(x);
    const double way = at_high.stopped && high == x ? -1.0 : 1.0;
    for (double step = 0.1; (way > 0.0 ? low == x : high == x); step *= 2.0) {
      x += way * step;
      if (!(x > low && x < high)) break;
      try_at(x);
    }
  }
  // The chord aims at where the worst demand meets its limit (an end that stays weighs half, as in
  // rising_root_between); half the tolerance is kept from either end, so that a good aim closes the bracket.
  double weight_low = 1.0, weight_high = 1.0;
  while (high - low > share) {
    double x = 0.5 * (low + high);
    if (at_low.excess && at_high.excess && *at_low.excess < 0.0 && *at_high.excess > 0.0) {
      const double below = weight_low * *at_low.excess, above = weight_high * *at_high.excess;
      x = std::clamp(low - below * (high - low) / (above - below), low + 0.5 * share, high - 0.5 * share);
    }
    const double before = low;
    try_at(x);
    const bool rose = low != before;
    weight_low = rose ? 1.0 : 0.5 * weight_low;
    weight_high = rose ? 0.5 * weight_high : 1.0;
  }
  return {passes, Length::mm(std::exp(-low)), *at_high.stopped};
}

std::vector<SmallestBend> smallest_bends(const MomentCurvature& law, const RollGeometry& rolls,
                                         const MachineLimits& limits, std::optional<double> near) {
  constexpr int most = 6;
  constexpr double worth_it = 0.98;
  std::vector<SmallestBend> bends;
  for (int n = 1; n <= most; ++n) {
    const SmallestBend bend = smallest_bend(law, rolls, limits, n, near);
    if (!bends.empty() && (!bend.bend_radius || (bends.back().bend_radius &&
                                                 *bend.bend_radius > worth_it * *bends.back().bend_radius)))
      break;
    bends.push_back(bend);
    if (bend.bend_radius) near = 1.0 / bend.bend_radius->mm();
  }
  return bends;
}

std::vector<SpacingEffect> spacing_effects(const MomentCurvature& law, const RollGeometry& rolls,
                                           const MachineLimits& limits, double free_curvature,
                                           const std::vector<Length>& spacings) {
  std::vector<SpacingEffect> effects;
  double near = free_curvature;
  for (const Length spacing : spacings) {
    RollGeometry there = rolls;
    there.half_spacing_mm = 0.5 * spacing.mm();
    const PassChoice choice = choose_passes(law, there, limits, free_curvature);
    SpacingEffect effect{spacing, choice.passes, choice.passes ? choice.chosen : choice.one, {}, {}, {}};
    const FlatPasses flat = roll_flat(law, there, free_curvature, choice.passes.value_or(1));
    effect.stopped_by = flat.stopped ? flat.stopped : exceeded(*effect.demand, limits);
    for (const SteadyState& s : flat.passes)
      effect.flat_ends = std::max(effect.flat_ends.value_or(Length()), Length::mm(s.span_in_mm + s.span_out_mm));
    effect.least_bend_radius = smallest_bend(law, there, limits, choice.passes.value_or(1), near).bend_radius;
    if (effect.least_bend_radius) near = 1.0 / effect.least_bend_radius->mm();
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
