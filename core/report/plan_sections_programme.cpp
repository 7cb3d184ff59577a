#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/plan_sections.hpp>
#include <coilwright/report/shown.hpp>
#include <string>

namespace coilwright {
namespace {

std::string step_words(const ProgrammeStep& step) {
  const std::string segment = "segment " + std::to_string(step.segment + 1);
  switch (step.kind) {
    case ProgrammeStep::Kind::hold: return "hold, " + segment;
    case ProgrammeStep::Kind::follow: return "follow, " + segment;
    case ProgrammeStep::Kind::change: return "change to " + segment;
  }
  return "";
}

std::string from_to(double from, double to, System system, int decimals) {
  const std::string a = bare_length(Length::mm(from), system, decimals), b = bare_length(Length::mm(to), system, decimals);
  return a == b ? a : a + " - " + b;
}

void pass_table(TextPage& page, const std::vector<ProgrammeStep>& steps, System system) {
  const std::string unit = length_unit(system);
  std::vector<std::vector<std::string>> rows{{"step", "fed from, " + unit, "to, " + unit, "travel, " + unit, "lift, " + unit,
                                              "feed, " + unit + "/s", "s"}};
  for (const ProgrammeStep& step : steps) {
    const std::string lift = step.lift_from_mm && step.lift_to_mm ? from_to(*step.lift_from_mm, *step.lift_to_mm, system, 1) : "-";
    rows.push_back({step_words(step), bare_length(Length::mm(step.fed_from_mm), system, 0),
                    bare_length(Length::mm(step.fed_to_mm), system, 0),
                    from_to(step.travel_from_mm, step.travel_to_mm, system, 2), lift,
                    bare_length(Length::mm(step.feed_mm_per_s), system, 1), number_text(step.seconds, 0)});
  }
  page.gap();
  page.table(rows);
}

}  // namespace

void programme_section(TextPage& page, const Plan& plan) {
  if (!plan.part || !plan.part->programme) return;
  const RollProgramme& programme = *plan.part->programme;
  page.heading("Roll programme");
  page.line("Fed length counts along the part here, from its front end at the centre roll: " +
            length_text(plan.blank.start_up() + plan.blank.trim_front, plan.job.show) +
            " of start-up, rolled at the settings of the first step, have gone before. Travel from touch, lift above pass height, "
            "both without the frame's give.");
  for (std::size_t i = 0; i < programme.passes.size(); ++i) {
    if (programme.passes.size() > 1) page.subheading("Pass " + std::to_string(i + 1));
    for (const System system : systems(plan.job.show)) pass_table(page, programme.passes[i], system);
  }
  page.gap();
  page.row("Time under the rolls", number_text(programme.seconds / 60.0, 1) + " min of feeding, all passes; no handling, no gauging");
}

void pull_section(TextPage& page, const Plan& plan) {
  if (!plan.pull) return;
  const Show show = plan.job.show;
  page.heading("The other way: rolled flat, then pulled to pitch");
  page.row("Roll flat to", length_text(plan.pull->flat_radius, show) + " to the centreline, after springback (R / cos slope)");
  page.row("Then pull", "one end along the axis until the rise is right, holding the turn in plan at " +
                            short_number(plan.coil.turns() * 360.0, 1) + " deg");
  page.row("It takes", "up to " + force_text(plan.pull->most_force, show) + " at the plan radius (fully plastic twist)");
  page.row("It springs back", "up to " + length_text(plan.pull->springs_back, show, 0) +
                                  " of pitch a turn: pull that much farther; less than " +
                                  length_text(plan.pull->elastic_pitch, show, 0) + " a turn leaves nothing behind");
  page.line("Common practice, no source; forces and springback from elementary spring theory. The ends need a length to hold "
            "them by, and a sprung part lets go: chain it.");
}

}  // namespace coilwright
