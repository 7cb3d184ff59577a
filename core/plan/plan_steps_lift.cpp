#include <cmath>
#include <coilwright/plan/plan_steps.hpp>
#include <coilwright/quantity/number_text.hpp>

namespace coilwright::plan_steps {
namespace {

// Thresholds of the warnings, all judgement.
constexpr double utilisation_limit = 0.9;       // of first yield at the exit roll
constexpr double greatest_side_lean_rad = 0.15;  // beyond it the model was off by a few percent
constexpr double ill_conditioned_pitch_per_lift = 30.0;
constexpr double least_moment_factor = 0.98;
constexpr double farthest_roll_deg = 200.0;

void warn(Remarks& say, const LiftPlan& lift) {
  if (lift.worst_utilisation > utilisation_limit)
    say.caution("lift", "Lifting may bend the part a second time at the exit roll: " +
                            number_text(100.0 * lift.worst_utilisation, 0) +
                            " % of first yield at the worst corner of the working band. Put the outboard roll farther from the exit roll.");
  if (std::abs(lift.nominal.side_lean.rad()) > greatest_side_lean_rad)
    say.caution("lift", "The coil leans sideways by " + number_text(lift.nominal.side_lean.deg(), 1) +
                            " degrees: more than the model was tested for.");
  if (lift.nominal.outboard_force.newtons() <= 0.0)
    say.caution("lift", "The outboard roll would have to pull the part down: it lifts by itself at this pitch.");
  if (lift.pitch_per_lift > ill_conditioned_pitch_per_lift)
    say.caution("machine.outboard_roll", "Pitch is hard to hold here: 1 mm of lift is worth " + number_text(lift.pitch_per_lift, 0) +
                                             " mm of pitch. A roll farther round gives better control, for a longer lead arc (now " +
                                             say.length(lift.lead_arc, 0) + ").");
  if (lift.nominal.held && lift.nominal.exit_vertical_force.newtons() < 0.0)
    say.caution("lift", "The exit groove must hold the part down with " +
                            number_text(-lift.nominal.exit_vertical_force.newtons(), 0) +
                            " N: check that its upper flank does, and measure its play by pushing the stock up and down.");
  if (!lift.working_low || !lift.working_high)
    say.caution("lift", "At a corner of the working band (exit play half a millimetre less or more; friction 0.05, 0.30 or stock "
                        "held) no equilibrium was found: there is no working band to print.");
  if (!lift.high)
    say.caution("lift", "Without hold at the exit roll the part finds no equilibrium: it runs up to the upper flank. The high "
                        "end of the band does not exist.");
  if (!lift.low)
    say.caution("lift", "With a groove without play and no torque in the stock no equilibrium was found: the low end of the band "
                        "does not exist.");
  if (lift.moment_factor < least_moment_factor)
    say.caution("lift", "The twist lowers the bending moment to " + number_text(100.0 * lift.moment_factor, 0) +
                            " % of pure bending; the travel is computed without it. Expect the radius to come out tighter and gauge early.");
  if (lift.bend_point_to_roll.deg() > farthest_roll_deg)
    say.caution("machine.outboard_roll", "The outboard roll stands more than 200 degrees round from the bend point: the model was not "
                                         "tested there.");
}

// A part that is longer than a bar, in pieces: each pays its own flat ends, lead arc and settling.
std::string pieces_text(const Remarks& say, const Blank& blank, Length bar) {
  const Length lost = blank.cut_length() - blank.developed, usable = bar - lost;
  if (usable <= Length())
    return "A bar of that length holds no usable part: flat ends and start-up take " + say.length(lost) +
           ". Buy a longer bar, or bring the outboard roll closer for a shorter lead arc.";
  const double pieces = std::ceil(blank.developed / usable);
  return "Buy a longer bar, or roll it in " + number_text(pieces, 0) + " pieces of " +
         say.length(blank.developed / pieces) + " and splice: a bar leaves " + say.length(usable) +
         " of usable part, every piece pays its own flat ends, lead arc and settling. Cut both ends of a splice "
         "within the settled stretch, so that curvature and twist match.";
}

}  // namespace

std::optional<BandedLift> plan_lift(Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes) {
  Remarks say(plan);
  if (!passes.back().lift) return std::nullopt;
  BandedLift banded = band_lift(setup, passes.back());
  plan.lift = banded.plan;
  warn(say, banded.plan);
  if (const auto limit = plan.job.machine.limits.roll_lift) {
    Length most;
    for (const PassPlan& pass : plan.rolling.passes) most = std::max(most, pass.roll_lift.value_or(Length()));
    if (most > *limit)
      say.fault("machine.limits.roll_lift", "The outboard roll must lift the centreline by " + say.length(most) +
                                                ", the machine lifts " + say.length(*limit) +
                                                ". A roll closer to the exit needs less lift; or roll flat to " +
                                                say.length(plan.coil.helix().flat_then_pull_radius()) + " and pull to pitch.");
    else if (banded.plan.working_high && *banded.plan.working_high > *limit)
      say.caution("machine.limits.roll_lift", "The high end of the working band, " + say.length(*banded.plan.working_high) +
                                                  ", is more than the machine lifts (" + say.length(*limit) + ").");
  }
  return banded;
}

Blank blank_of(const BlankSpec& spec, const RollingSetup& setup, const std::vector<RolledPass>& passes, Length developed) {
  Blank blank;
  for (const RolledPass& pass : passes) {
    blank.flat_front = std::max(blank.flat_front, Length::mm(pass.rolling.span_out_mm));
    blank.flat_back = std::max(blank.flat_back, Length::mm(pass.rolling.span_in_mm));
    if (pass.lift)
      blank.lead_arc = std::max(blank.lead_arc, Length::mm(pass.helix.arc_per_radian_mm() *
                                                           pass.lift->model->arc().roll_theta()));
  }
  blank.flat_front += spec.grip_front;
  blank.flat_back += spec.grip_back;
  blank.run_in_assumed = !spec.run_in;
  blank.run_in = spec.run_in.value_or(Length::mm(2.0 * setup.rolls.half_spacing_mm));
  blank.settling_assumed = !spec.settling && blank.lead_arc.mm() > 0.0;
  blank.settling = blank.lead_arc.mm() > 0.0 ? spec.settling.value_or(blank.lead_arc) : Length();
  blank.trim_front = spec.trim_front;
  blank.trim_back = spec.trim_back;
  blank.developed = developed;
  return blank;
}

bool too_short_to_grip(const Blank& blank, Length bar) { return bar <= blank.flat_front + blank.flat_back; }

void plan_blank(Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes) {
  Remarks say(plan);
  const Blank blank = blank_of(plan.job.blank, setup, passes, plan.developed_length());
  plan.blank = blank;
  if (blank.run_in_assumed)
    plan.assumptions.push_back("Run-in until the radius settles: the outer-roll spacing, " + say.length(blank.run_in) + " (judgement).");
  if (blank.settling_assumed)
    plan.assumptions.push_back("Settling until the pitch holds: as long again as the lead arc, " + say.length(blank.settling) +
                               " (judgement).");
  plan.assumptions.push_back("The flat ends are upper bounds: a rod simulation gave a fifth less at the front and a twentieth less at "
                             "the back.");
  const std::vector<Length>& bars = plan.job.stock.stock_lengths;
  if (bars.empty()) {
    say.question("stock.stock_length", "In which lengths can the " + plan.job.stock.section.text() + " be bought? The blank is " +
                                           say.length(blank.cut_length()) + " long.");
    return;
  }
  const Length longest = *std::max_element(bars.begin(), bars.end());
  plan.longer_than_stock = blank.cut_length() > longest;
  if (const Length ends = blank.flat_front + blank.flat_back; too_short_to_grip(blank, longest)) {
    say.fault("stock.stock_length", "The longest bar, " + say.length(longest) + ", is too short to be gripped: it must span all "
                                    "three rolls while it is bent, and the two flat ends alone take " + say.length(ends) + " (" +
                                        say.length(blank.flat_front) + " in front, " + say.length(blank.flat_back) +
                                        " at the back). Nothing between them would be bent. A longer bar or a narrower roll "
                                        "spacing would do; the blank is " + say.length(blank.cut_length()) + " long.");
    return;
  }
  if (*plan.longer_than_stock)
    say.caution("stock.stock_length", "The blank is longer than the longest bar: " + say.length(blank.cut_length()) + " against " +
                                          say.length(longest) + ". " + pieces_text(say, blank, longest));
}

}  // namespace coilwright::plan_steps
