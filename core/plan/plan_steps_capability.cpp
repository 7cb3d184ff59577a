#include <algorithm>
#include <coilwright/plan/plan_steps.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/rolling/capability.hpp>
#include <coilwright/rolling/press_in.hpp>

namespace coilwright {

std::string_view obstruction_text(Obstruction obstruction) {
  switch (obstruction) {
    case Obstruction::slip: return "the rolls slip";
    case Obstruction::centre_roll_force: return "the cylinder is too weak";
    case Obstruction::outer_roll_force: return "an outer roll carries too much";
    case Obstruction::centre_roll_travel: return "the travel ends";
    case Obstruction::rims_meet: return "the rims of the rolls meet";
    case Obstruction::wraps_the_roll: return "the part wraps the centre roll";
    case Obstruction::no_balance: return "three rolls this far apart cannot hold the bend";
  }
  return "";
}

namespace plan_steps {
namespace {

// Of the tightest bend asked for, as the rolls must leave it while they hold it.
double held_bend(const Plan& plan, const RollingSetup& setup) {
  return held_curvature(setup.law, plan.part ? plan.part->part.centreline().greatest_curvature()
                                             : plan.coil.helix().curvature().per_mm());
}

// What is left of the smallest bends when the rolls let go: of an angle not the same.
void let_go(Plan& plan, const RollingSetup& setup) {
  if (side_tendency(plan.job.stock.section).kind != SideTendency::Kind::bows) return;
  const auto released = [&](std::optional<Length>& radius) {
    if (radius) radius = released_radius(setup.law, Length::mm(1.0 / setup.law.loaded(1.0 / radius->mm())));
  };
  for (SmallestBend& bend : plan.rolling.capability.smallest_bends) released(bend.bend_radius);
  for (SpacingEffect& effect : plan.rolling.capability.spacings) released(effect.least_bend_radius);
}

std::string demand_text(const Remarks& say, const Demand& d, const MachineLimits& limits) {
  std::string text = "traction " + number_text(d.traction, 2) + " of " + number_text(limits.friction, 2) + ", force " +
                     say.force(d.centre_roll_force);
  if (limits.centre_roll_force) text += " of " + say.force(*limits.centre_roll_force);
  if (limits.outer_roll_force)
    text += ", on an outer roll " + say.force(d.outer_roll_force) + " of " + say.force(*limits.outer_roll_force);
  text += ", travel " + say.length(d.centre_roll_travel);
  if (limits.centre_roll_travel) text += " of " + say.length(*limits.centre_roll_travel);
  return text;
}

void answer(Plan& plan, const RollingSetup& setup, const MachineLimits& limits, const std::vector<RolledPass>& passes) {
  const Remarks say(plan);
  Capability& capability = plan.rolling.capability;
  const double curvature = held_bend(plan, setup);
  const int n = passes.empty() ? plan.job.passes.value_or(1) : static_cast<int>(passes.size());
  const FlatPasses flat = roll_flat(setup.law, setup.rolls, curvature, n);
  const Demand d = demand_of(flat.passes, setup.rolls, limits);
  const std::optional<Obstruction> stopped = flat.stopped ? flat.stopped : exceeded(d, limits);
  capability.can = !stopped;
  const std::string how = "in " + std::to_string(n) + (n == 1 ? " pass" : " passes");
  capability.answer = !stopped       ? how + ", " + demand_text(say, d, limits)
                      : flat.stopped ? how + " " + std::string(obstruction_text(*stopped))
                                     : how + " " + std::string(obstruction_text(*stopped)) + " (" +
                                           demand_text(say, d, limits) + ")";
}

void spacings(Plan& plan, const RollingSetup& setup, const MachineLimits& limits) {
  Capability& capability = plan.rolling.capability;
  const Rolls& rolls = plan.job.machine.rolls;
  std::vector<Length> wanted = rolls.spacing_positions;
  capability.spacings_are_positions = !wanted.empty();
  if (wanted.empty()) {
    const Length rim = rolls.outer_flange_radius.value_or(rolls.outer_radius + rolls.groove.value_or(Length()) / 2.0);
    for (const double share : {0.75, 1.0, 1.25})
      if (share * rolls.outer_spacing > 2.0 * rim) wanted.push_back(share * rolls.outer_spacing);
  } else if (std::find(wanted.begin(), wanted.end(), rolls.outer_spacing) == wanted.end()) {
    wanted.push_back(rolls.outer_spacing);
  }
  std::sort(wanted.begin(), wanted.end());
  capability.spacings = spacing_effects(setup.law, setup.rolls, limits, held_bend(plan, setup), wanted);
  capability.recommended_spacing =
      recommended_spacing(capability.spacings, plan.job.stock.section.outer_face() + plan.job.stock.section.inner_face());
}

std::string in_passes(int n) { return std::to_string(n) + (n == 1 ? " pass" : " passes"); }

// What is nearest to the bend that cannot be: another number of passes, another spacing, a larger radius.
void instead(Plan& plan, const RollingSetup& setup, const MachineLimits& limits) {
  const Remarks say(plan);
  Capability& capability = plan.rolling.capability;
  if (capability.can) return;
  std::string& text = capability.instead;
  const double curvature = held_bend(plan, setup);
  const PassChoice choice = choose_passes(setup.law, setup.rolls, limits, curvature);
  if (choice.passes && !exceeded(*choice.chosen, limits)) text = in_passes(*choice.passes) + " would do it";
  for (const SpacingEffect& e : capability.spacings) {
    if (e.stopped_by || e.spacing == plan.job.machine.rolls.outer_spacing) continue;
    text += (text.empty() ? "" : "; ") + std::string("at an outer spacing of ") + say.length(e.spacing) + " it goes in " +
            in_passes(*e.passes);
    break;
  }
  const SmallestBend* tightest = nullptr;
  for (const SmallestBend& bend : capability.smallest_bends)
    if (bend.bend_radius && (tightest == nullptr || *bend.bend_radius < *tightest->bend_radius)) tightest = &bend;
  if (tightest != nullptr)
    text += (text.empty() ? "" : "; ") + std::string("as it stands, the smallest bend radius is ") +
            say.length(*tightest->bend_radius, 0) + " in " + in_passes(tightest->passes);
  if (text.empty()) text = "no radius and no spacing that was tried would do: this stock is too heavy for this machine";
}

void pressing_in(Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes) {
  Remarks say(plan);
  const std::optional<Force> cylinder = plan.job.machine.limits.centre_roll_force;
  Force most;
  for (std::size_t i = 0; i < passes.size(); ++i) {
    PassPlan& pass = plan.rolling.passes[i];
    const auto pressed = press_in(setup.law, setup.rolls, passes[i].before, pass.travel.mm());
    if (!pressed) continue;
    pass.press_in_force = Force::newtons(pressed->centre_force_n);
    if (pressed->kink_free_curvature > 0.0) pass.press_in_radius = Length::mm(1.0 / pressed->kink_free_curvature);
    most = std::max(most, *pass.press_in_force);
  }
  if (cylinder && most > *cylinder)
    say.caution("machine.limits.centre_roll_force",
                "Pressing the whole travel in at a standstill takes " + say.force(most) + ", the cylinder gives " +
                    say.force(*cylinder) + ". Press in while feeding, or in steps.");
}

}  // namespace

void plan_capability(Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes) {
  const MachineLimits limits = MachineLimits::of(plan.job.machine);
  answer(plan, setup, limits, passes);
  const double near = held_bend(plan, setup);
  plan.rolling.capability.smallest_bends = smallest_bends(setup.law, setup.rolls, limits, near);
  spacings(plan, setup, limits);
  let_go(plan, setup);
  instead(plan, setup, limits);
  pressing_in(plan, setup, passes);
}

}  // namespace plan_steps
}  // namespace coilwright
