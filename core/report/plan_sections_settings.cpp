#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/plan_sections.hpp>
#include <coilwright/report/scale_reading.hpp>
#include <coilwright/report/shown.hpp>
#include <string>
#include <vector>

namespace coilwright {
namespace {

using Card = std::vector<TextPage::CardRow>;

void centre_roll(Card& card, const Plan& plan) {
  const Show show = plan.job.show;
  const auto& passes = plan.rolling.passes;
  Length before;
  for (std::size_t i = 0; i < passes.size(); ++i) {
    const PassPlan& pass = passes[i];
    std::string text = fine_text(pass.travel, show, 2) + " from touch";
    if (passes.size() > 1)
      text = "pass " + std::to_string(i + 1) + " of " + std::to_string(passes.size()) + ": " + text + " [" +
             step_text(pass.travel - before, show, 2) + "]";
    before = pass.travel;
    card.push_back({i == 0 ? "CENTRE ROLL, travel" : "", text});
    if (const auto reading = travel_reading(plan.job.scales, pass))
      card.push_back({"", "==> SCALE READS " + fine_text(*reading, show, 2)});
    else if (pass.frame_give)
      card.push_back({"", "==> A SCALE SET TO ZERO AT TOUCH READS " + fine_text(pass.travel + *pass.frame_give, show, 2)});
  }
}

std::string start_text(const LiftPlan& lift, Show show) {
  std::string out = "start at " + fine_text(*lift.working_low, show) + " (low end of the working band); expect ";
  if (lift.working_high) return out + band_text(*lift.working_low, *lift.working_high, show);
  return out + fine_text(*lift.working_low, show) + " and more, no upper end can be given (see the lift in detail)";
}

void outboard_roll(Card& card, const Plan& plan) {
  const Show show = plan.job.show;
  const std::string label = "OUTBOARD ROLL, lift";
  if (plan.job.machine.outboard_roll && plan.coil.helix().pitch() == Length()) {
    card.push_back({label, "none: the part has no pitch. The roll at pass height, or clear of the part"});
    return;
  }
  if (!plan.lift) {
    card.push_back({label, plan.job.machine.outboard_roll ? "no lift can be given, see the findings"
                                                          : "none: this machine has no outboard roll"});
    return;
  }
  const LiftPlan& lift = *plan.lift;
  if (!lift.working_low) {
    card.push_back({label, "no starting lift can be given: a corner of the working band has no state (see the "
                           "findings). The nominal lift is " + fine_text(lift.nominal.lift, show) +
                               "; start well below it"});
    return;
  }
  card.push_back({label, start_text(lift, show)});
  if (const auto reading = lift_reading(plan.job.scales, lift, *lift.working_low))
    card.push_back({"", "==> SCALE READS " + fine_text(*reading, show) + " to start"});
  card.push_back({"", "raise toward the pitch: a lift that is too great leaves twist that lowering does not remove"});
}

void centre_roll_notes(TextPage& page, const Plan& plan) {
  const Show show = plan.job.show;
  if (plan.part)
    page.line("These are the settings of segment " + std::to_string(plan.part->governing + 1) +
                  ", which governs the machine; the roll programme below has all of them by fed length.",
              Tone::strong);
  page.line("Travel is measured from touch: the real stock rests on both outer rolls and just touches the centre roll.");
  if (const auto give = plan.rolling.passes.back().frame_give)
    page.line("The frame gives " + fine_text(*give, show, 2) +
              (plan.rolling.passes.size() > 1 ? " in the last pass" : "") +
              " under the rolling force: counted in the scale reading, not in the travel.");
  page.line(plan.rolling.why_passes);
}

void outboard_roll_notes(TextPage& page, const Plan& plan) {
  if (!plan.lift || plan.coil.helix().pitch() == Length()) return;
  const Show show = plan.job.show;
  const LiftPlan& lift = *plan.lift;
  page.line(
      "Lift is the rise of the stock's centreline at the outboard roll above pass height, the height at which the "
      "straight stock lies in the rolls.");
  if (const auto own = own_roll_rise(lift, lift.working_low.value_or(lift.nominal.lift)))
    page.row("The roll itself", "rises " + fine_text(*own, show) + " for that, from where it touches the level stock: "
                                                                   "its radius and the slope make the difference");
  else
    page.row("The roll itself", "its radius is not known, so only the rise of the centreline can be given");
  const Eigen::Vector2d exit_axis_F(plan.job.machine.rolls.outer_spacing.mm() / 2.0, 0.0);
  const Eigen::Vector3d roll_M =
      to_machine_frame({lift.roll_position_mm.x(), lift.roll_position_mm.y(), 0.0}, plan.mirrored());
  page.row("Place of the roll", fine_text(Length::mm((lift.roll_position_mm - exit_axis_F).norm()), show) +
                                    " from the exit-roll axis and " +
                                    fine_text(Length::mm((lift.roll_position_mm + exit_axis_F).norm()), show) +
                                    " from the entry-roll axis, by tape in plan, to where the stock's centreline "
                                    "crosses it; the roll's own axis level and square to the stock");
  page.row("", "x " + fine_text(Length::mm(roll_M.x()), show) + ", y " + fine_text(Length::mm(roll_M.y()), show) +
                   ": x from the middle between the outer-roll axes, to the left of someone who faces the rolls from "
                   "the centre-roll side; y from the line through these axes toward that person");
}

}  // namespace

void settings_section(TextPage& page, const Plan& plan) {
  page.heading("Settings");
  if (plan.rolling.passes.empty()) {
    page.line("There are no settings: the rolling has no answer. See the faults.", Tone::bad);
    return;
  }
  Card card{{"FEED", std::string(feed_side_text(plan.rolling.passes.front().feed)) +
                         ", for someone facing the rolls from the centre-roll side"}};
  centre_roll(card, plan);
  outboard_roll(card, plan);
  page.card(card);
  centre_roll_notes(page, plan);
  outboard_roll_notes(page, plan);
}

}  // namespace coilwright
