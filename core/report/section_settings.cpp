#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/plan_sections.hpp>
#include <coilwright/report/scale_reading.hpp>
#include <coilwright/report/shown.hpp>
#include <string>

namespace coilwright {
namespace {

std::string pass_label(std::size_t i, std::size_t count) {
  return count == 1 ? std::string("Travel") : "Pass " + std::to_string(i + 1) + " of " + std::to_string(count);
}

void centre_roll(TextPage& page, const Plan& plan) {
  const Show show = plan.job.show;
  const auto& passes = plan.rolling.passes;
  page.subheading("Centre roll: travel from touch" +
                  std::string(passes.size() > 1 ? ", the step from the pass before in brackets" : ""));
  Length before;
  for (std::size_t i = 0; i < passes.size(); ++i) {
    const PassPlan& pass = passes[i];
    std::string text = fine_text(pass.travel, show, 2) + " from touch";
    if (passes.size() > 1) text += " [" + step_text(pass.travel - before, show, 2) + "]";
    before = pass.travel;
    page.row(pass_label(i, passes.size()), text, Tone::strong);
    if (const auto reading = travel_reading(plan.job.scales, pass)) {
      page.row("", "==> SET THE SCALE TO " + fine_text(*reading, show, 2), Tone::strong);
      if (pass.frame_give) page.row("", "(with " + fine_text(*pass.frame_give, show, 2) + " that the frame gives)");
    } else if (pass.frame_give) {
      page.row("", "==> ON A SCALE SET TO ZERO AT TOUCH: " + fine_text(pass.travel + *pass.frame_give, show, 2),
               Tone::strong);
      page.row("", "(with " + fine_text(*pass.frame_give, show, 2) + " that the frame gives)");
    }
  }
  page.line("Travel is measured from touch: the real tube rests on both outer rolls and just touches the centre roll.");
  if (passes.size() > 1 || !plan.rolling.why_passes.empty()) page.line(plan.rolling.why_passes);
}

std::string start_text(const LiftPlan& lift, Show show) {
  std::string out = "start at " + fine_text(*lift.working_low, show) + " (low end of the working band); expect ";
  if (lift.working_high) return out + band_text(*lift.working_low, *lift.working_high, show);
  return out + fine_text(*lift.working_low, show) + " and more; no upper end can be given (see the lift in detail)";
}

void roll_place(TextPage& page, const Plan& plan, const LiftPlan& lift) {
  const Show show = plan.job.show;
  const Eigen::Vector2d exit_axis_F(plan.job.machine.rolls.outer_spacing.mm() / 2.0, 0.0);
  const Eigen::Vector2d entry_axis_F = -exit_axis_F;
  const Eigen::Vector3d roll_M =
      to_machine_frame({lift.roll_position_mm.x(), lift.roll_position_mm.y(), 0.0}, plan.mirrored());
  page.row("Stands at", "x " + fine_text(Length::mm(roll_M.x()), show) + ", y " +
                            fine_text(Length::mm(roll_M.y()), show) + " in plan: where the centreline crosses the roll");
  page.row("By tape, in plan",
           fine_text(Length::mm((lift.roll_position_mm - exit_axis_F).norm()), show) + " from the exit-roll axis, " +
               fine_text(Length::mm((lift.roll_position_mm - entry_axis_F).norm()), show) +
               " from the entry-roll axis; the roll's own axis level and square to the tube");
  page.row("", "(x from the middle between the outer-roll axes, to the left of someone who faces the rolls from the "
               "centre-roll side; y from the line through these axes toward that person)");
}

void outboard_roll(TextPage& page, const Plan& plan) {
  page.subheading("Outboard roll: lift of the tube's centreline above pass height");
  const Show show = plan.job.show;
  if (!plan.lift) {
    page.line(plan.job.machine.outboard_roll ? "No lift can be given: see the faults."
                                             : "This machine has no outboard roll: nothing lifts the part.");
    return;
  }
  const LiftPlan& lift = *plan.lift;
  if (plan.coil.helix().pitch() == Length()) {
    page.row("Lift", "none: the part has no pitch. Outboard roll at pass height or clear of the part.", Tone::strong);
    return;
  }
  if (lift.working_low) {
    page.row("Lift", start_text(lift, show), Tone::strong);
    if (const auto reading = lift_reading(plan.job.scales, lift, *lift.working_low))
      page.row("", "==> SET THE SCALE TO " + fine_text(*reading, show) + " to start", Tone::strong);
    page.row("", "raise toward the pitch: a lift that is too great leaves twist that lowering does not remove",
             Tone::strong);
    if (const auto own = own_roll_rise(lift, *lift.working_low))
      page.row("The roll itself", "rises " + fine_text(*own, show) +
                                      " from where it touches the level tube (its radius and the slope of the tube "
                                      "make the difference)");
    else
      page.row("The roll itself", "its radius is not known: the lift is the rise of the centreline, not of the roll");
  } else {
    page.row("Lift", "no starting lift can be given: a corner of the working band has no state (see the findings); "
                     "the nominal lift is " + fine_text(lift.nominal.lift, show) + ", start well below it",
             Tone::warning);
  }
  roll_place(page, plan, lift);
  page.line(
      "Lift is the rise of the tube's centreline at the outboard roll above pass height, the height at which the "
      "straight tube lies in the grooves.");
}

}  // namespace

void settings_section(TextPage& page, const Plan& plan) {
  page.heading("Settings");
  if (plan.rolling.passes.empty()) {
    page.line("There are no settings: the rolling has no answer. See the faults.", Tone::bad);
    return;
  }
  const FeedSide feed = plan.rolling.passes.front().feed;
  page.row("Feed", std::string(feed_side_text(feed)) + ", for someone facing the rolls from the centre-roll side");
  centre_roll(page, plan);
  outboard_roll(page, plan);
}

}  // namespace coilwright
