#include <algorithm>
#include <coilwright/plan/plan_steps.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/rolling/capability.hpp>

namespace coilwright::plan_steps {
namespace {

std::string passes_text(int n) { return std::to_string(n) + (n == 1 ? " pass" : " passes"); }

std::string traction_text(double traction) { return number_text(traction, 2); }

std::string limits_text(Plan& plan, const Demand& d) {
  const Remarks say(plan);
  const Machine& machine = plan.job.machine;
  std::string text = "traction " + traction_text(d.traction) + " of the " + traction_text(machine.rolls.friction) +
                     " that friction gives";
  if (machine.limits.centre_roll_force)
    text += ", " + say.force(d.centre_roll_force) + " of the " + say.force(*machine.limits.centre_roll_force) + " of the cylinder";
  if (machine.limits.outer_roll_force)
    text += ", " + say.force(d.outer_roll_force) + " of the " + say.force(*machine.limits.outer_roll_force) +
            " of an outer roll";
  return text;
}

// Without the lift: what decides the number of passes happens in plan.
std::vector<RolledPass> flat_passes(const RollingSetup& setup, const Helix& helix, int n) {
  RollingSetup flat = setup;
  flat.outboard_roll.reset();
  PassesOutcome outcome = roll_in_passes(flat, helix, n);
  auto* passes = std::get_if<std::vector<RolledPass>>(&outcome);
  return passes != nullptr ? std::move(*passes) : std::vector<RolledPass>{};
}

int passes_for(Plan& plan, const RollingSetup& setup, const Helix& helix) {
  std::string& why = plan.rolling.why_passes;
  if (plan.job.passes) {
    why = passes_text(*plan.job.passes) + ", as asked.";
    return *plan.job.passes;
  }
  const PassChoice choice =
      choose_passes(setup.law, setup.rolls, MachineLimits::of(plan.job.machine),
                    held_curvature(setup.law, plan.part ? plan.part->part.centreline().greatest_curvature()
                                                        : helix.curvature().per_mm()));
  if (!choice.passes) {
    why = "No number of passes up to " + std::to_string(most_passes_planned) +
          " stays within traction and force; one is shown.";
    return 1;
  }
  const int n = *choice.passes;
  why = n == 1 ? "One pass is enough: it takes " + limits_text(plan, *choice.chosen) + "."
               : passes_text(n) + ": one pass would take " + limits_text(plan, *choice.one) + "; in " + passes_text(n) +
                     " the worst is " + limits_text(plan, *choice.chosen) + ".";
  if (n == 1 && !plan.part && plan.coil.turns() > 0.9)
    why += " One pass also means that no coil has to be fed back through the rolls.";
  return n;
}

void explain(Remarks& say, const Plan& plan, const NoPass& none) {
  const std::string where = "Pass " + std::to_string(none.pass) + ": ";
  if (const auto* wraps = std::get_if<WrapsTheRoll>(&none.why)) {
    say.fault("coil.radius", where + "under load the part would bend to " + say.length(Length::mm(wraps->loaded_radius_mm)) +
                                 " and wrap the centre roll, which needs more than " +
                                 say.length(Length::mm(wraps->least_radius_mm)) +
                                 " to the neutral axis. A smaller centre roll or a larger radius would do.");
  } else if (const auto* tight = std::get_if<TooTight>(&none.why)) {
    say.fault("coil.radius", where + "the three rolls cannot hold a bend radius of " +
                                 say.length(Length::mm(tight->free_radius_mm)) + " between them at a spacing of " +
                                 say.length(plan.job.machine.rolls.outer_spacing) +
                                 ": no forces balance. Narrower roll spacing or smaller rolls would do.");
  } else if (const auto* far = std::get_if<OutOfReach>(&none.why)) {
    say.fault("machine.outboard_roll.reach", where + "the outboard roll stands " + say.length(Length::mm(far->wanted_mm)) +
                                 " from the exit roll, but the part comes no farther than " +
                                 say.length(Length::mm(far->farthest_mm)) + ". Move the roll closer.");
  } else if (const auto* off = std::get_if<OffTheRoll>(&none.why)) {
    say.fault("machine.outboard_roll.position", where + "the part passes the outboard roll at a distance of " +
                                 say.length(Length::mm(off->distance_mm)) +
                                 " in plan, more than half its diameter. Move the roll under the part.");
  } else {
    say.fault("lift", where + "no equilibrium of the lifted part exists with the outboard roll in this place. Put it "
                              "farther from the exit roll.");
  }
}

std::vector<SteadyState> states_of(const std::vector<RolledPass>& passes) {
  std::vector<SteadyState> states;
  for (const RolledPass& pass : passes) states.push_back(pass.rolling);
  return states;
}

PassPlan pass_plan(const Plan& plan, const RolledPass& pass) {
  const SteadyState& s = pass.rolling;
  PassPlan p;
  p.feed = feed_side_for(plan.coil.hand());
  if (plan.coil.helix().pitch().mm() == 0.0 && !plan.job.machine.makes(plan.coil.hand()))
    p.feed = plan.job.machine.feed.front();  // a ring has no hand
  p.travel = Length::mm(s.travel_mm);
  if (const auto stiffness = plan.job.machine.rolls.frame_stiffness_kn_per_mm)
    p.frame_give = Length::mm(s.centre_force_n / (*stiffness * 1000.0));
  p.free_radius = Length::mm(1.0 / s.free_curvature);
  p.loaded_radius = Length::mm(1.0 / s.loaded_curvature);
  p.centre_roll_force = Force::newtons(s.centre_force_n);
  p.entry_roll_force = Force::newtons(s.entry_force_n);
  p.exit_roll_force = Force::newtons(s.exit_force_n);
  p.drive_force = Force::newtons(s.drive_n());
  p.traction = s.traction();
  if (pass.lift) p.roll_lift = pass.lift->state.lift;
  else if (pass.helix.pitch().mm() == 0.0 && plan.job.machine.outboard_roll) p.roll_lift = Length();
  p.span_in = Length::mm(s.span_in_mm);
  p.span_out = Length::mm(s.span_out_mm);
  return p;
}

void check_limits(Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes) {
  Remarks say(plan);
  const Machine& machine = plan.job.machine;
  const Demand d = demand_of(states_of(passes), setup.rolls, MachineLimits::of(machine));
  if (d.traction > machine.rolls.friction)
    say.fault("rolling.passes", "The rolls would slip: the drive needs a traction of " + traction_text(d.traction) +
                                    ", friction gives " + traction_text(machine.rolls.friction) +
                                    ". More passes lower it in proportion.");
  if (machine.limits.centre_roll_force && d.centre_roll_force > *machine.limits.centre_roll_force)
    say.fault("machine.limits.centre_roll_force", "The centre roll needs " + say.force(d.centre_roll_force) + ", the cylinder gives " +
                                                      say.force(*machine.limits.centre_roll_force) +
                                                      ". A wider roll spacing lowers it.");
  if (machine.limits.outer_roll_force && d.outer_roll_force > *machine.limits.outer_roll_force)
    say.fault("machine.limits.outer_roll_force", "An outer roll carries " + say.force(d.outer_roll_force) + ", it may carry " +
                                                     say.force(*machine.limits.outer_roll_force) +
                                                     ". A wider roll spacing lowers it.");
  const Length travel = d.centre_roll_travel;
  if (machine.limits.centre_roll_travel && travel > *machine.limits.centre_roll_travel)
    say.fault("machine.limits.centre_roll_travel", "The centre roll needs " + say.length(travel) + " of travel, the machine has " +
                                                       say.length(*machine.limits.centre_roll_travel) + ".");
  if (const Length meet = MachineLimits::of(machine).rims_meet; d.axis_distance < meet)
    say.fault("machine.rolls.outer_spacing", "The rims of centre and outer roll meet before the travel is reached: their axes "
                                             "would come within " + say.length(d.axis_distance) + ", the rims need " +
                                                 say.length(meet) + ". A wider spacing or smaller rolls would do.");
  if (passes.size() > 1)
    say.caution("rolling.passes", "Several passes of a helix: each pass rolls a similar, larger helix. This rule keeps "
                                  "curvature and twist in proportion; no trial or published calculation stands behind it.");
}

}  // namespace

Helix feed_frame_helix(const Coil& coil) {
  return Helix(coil.helix().plan_radius(), coil.helix().pitch(), Hand::right_screw);
}

std::vector<RolledPass> plan_rolling(Plan& plan, const RollingSetup& setup) {
  Remarks say(plan);
  const Helix helix = feed_frame_helix(plan.coil);
  const double reach_of_arc = (helix.bend_radius() + plan.job.stock.section.outer_face()).mm() +
                              setup.rolls.outer_radius_mm;
  if (reach_of_arc > setup.rolls.half_spacing_mm)
    plan.rolling.arc_rule_travel = Length::mm(arc_rule_travel_mm(setup.rolls, helix.bend_radius().mm()));
  if (helix.pitch().mm() > 0.0 && !setup.outboard_roll)
    say.fault("machine.outboard_roll", "This machine has no outboard roll, so the pitch cannot be rolled in. Roll the part flat to " +
                                           say.length(helix.flat_then_pull_radius()) +
                                           " and pull it to pitch (common practice, no source), or add an outboard roll.");
  if (helix.pitch().mm() == 0.0 && plan.coil.turns() > 1.0)
    say.fault("coil.turns", "More than one turn without pitch meets its own stock: give a pitch of at least the height of the stock, " +
                                say.length(plan.coil.faces().height) + ", or roll single rings.");
  const int n = passes_for(plan, setup, helix);
  PassesOutcome outcome = roll_in_passes(setup, helix, n);
  if (const auto* none = std::get_if<NoPass>(&outcome)) {
    explain(say, plan, *none);
    // The lift is what fails, not the bend: keep what can be said of travel and force.
    outcome = flat_passes(setup, helix, n);
  }
  std::vector<RolledPass> passes = std::get<std::vector<RolledPass>>(std::move(outcome));
  for (const RolledPass& pass : passes) plan.rolling.passes.push_back(pass_plan(plan, pass));
  if (passes.empty()) return passes;
  check_limits(plan, setup, passes);
  return passes;
}

}  // namespace coilwright::plan_steps
