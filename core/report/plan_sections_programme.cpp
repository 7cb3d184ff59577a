#include <coilwright/quantity/number_text.hpp>
#include <coilwright/quantity/require.hpp>
#include <coilwright/report/plan_sections.hpp>
#include <coilwright/report/scale_reading.hpp>
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

// A value at the start and the end of a step, where there is one.
std::string reading_from_to(std::optional<Length> from, std::optional<Length> to, System system, int decimals) {
  return from && to ? from_to(from->mm(), to->mm(), system, decimals) : "-";
}

void pass_table(TextPage& page, const std::vector<ProgrammeStep>& steps, const Job& job, System system) {
  const std::string unit = length_unit(system);
  const bool travel_scale = job.scales.touch_reading.has_value(), lift_scale = job.scales.lift_reading_at_pass_height.has_value();
  std::vector<std::vector<std::string>> rows{{"step", "fed from, " + unit, "to, " + unit, "travel, " + unit}};
  if (travel_scale) rows.front().push_back("on its scale");
  rows.front().push_back("lift, " + unit);
  if (lift_scale) rows.front().push_back("on its scale");
  rows.front().push_back("feed, " + unit + "/s");
  rows.front().push_back("s");
  for (const ProgrammeStep& step : steps) {
    std::vector<std::string> row{step_words(step), bare_length(Length::mm(step.fed_from_mm), system, 0),
                                 bare_length(Length::mm(step.fed_to_mm), system, 0),
                                 from_to(step.from.travel_mm, step.to.travel_mm, system, 2)};
    if (travel_scale)
      row.push_back(reading_from_to(travel_reading(job.scales, job.machine.rolls, step.from),
                                    travel_reading(job.scales, job.machine.rolls, step.to), system, 1));
    row.push_back(step.from.lift_mm && step.to.lift_mm ? from_to(*step.from.lift_mm, *step.to.lift_mm, system, 1) : "-");
    if (lift_scale)
      row.push_back(reading_from_to(lift_reading(job.scales, step.from), lift_reading(job.scales, step.to), system, 1));
    row.push_back(bare_length(Length::mm(step.feed_mm_per_s), system, 1));
    row.push_back(number_text(step.seconds, 0));
    rows.push_back(std::move(row));
  }
  page.gap();
  page.table(rows);
}

// Where the rolls span a change: what is not promised, and what the march says comes out.
void joints_table(TextPage& page, const PlannedProgramme& planned, System system) {
  const std::string unit = length_unit(system);
  std::vector<std::vector<std::string>> rows{{"segments", "no radius promised from, " + unit, "to, " + unit, "off by 1 % from, " + unit,
                                              "to, " + unit, "tightest radius, " + unit}};
  const auto or_none = [&](const std::optional<double>& value) { return value ? bare_length(Length::mm(*value), system, 0) : "-"; };
  for (const Transition& t : planned.programme.transitions)
    rows.push_back({std::to_string(t.before + 1) + " to " + std::to_string(t.before + 2), bare_length(Length::mm(t.from_mm), system, 0),
                    bare_length(Length::mm(t.to_mm), system, 0), or_none(t.reached_from_mm), or_none(t.reached_to_mm),
                    or_none(t.tightest && *t.tightest > 0.0 ? std::optional(1.0 / *t.tightest) : std::nullopt)});
  page.gap();
  page.table(rows);
}

}  // namespace

void programme_lines(TextPage& page, const PlannedProgramme& planned, const Plan& plan) {
  const RollProgramme& programme = planned.programme;
  const Job& job = plan.job;
  page.heading("Roll programme");
  page.line("Fed length counts along the part here, from its front end at the centre roll: " +
            length_text(plan.blank.start_up() + plan.blank.trim_front, job.show) +
            " of start-up, rolled at the settings of the first step, have gone before. Travel from touch, lift above pass height, "
            "both without the frame's give; readings of the machine's scales are with it.");
  for (std::size_t i = 0; i < programme.passes.size(); ++i) {
    if (programme.passes.size() > 1) page.subheading("Pass " + std::to_string(i + 1));
    for (const System system : systems(job.show)) pass_table(page, programme.passes[i], job, system);
  }
  if (!programme.transitions.empty()) {
    page.subheading("Where segments meet, lengths along the part");
    for (const System system : systems(job.show)) joints_table(page, planned, system);
    page.line("The columns from \"off by 1 %\" on are computed, first order in the slope and checked against no machine: a change "
              "of radius wants a trial piece.");
  }
  page.gap();
  page.row("Time under the rolls", number_text(programme.seconds / 60.0, 1) + " min of feeding, all passes; no handling, no gauging");
}

void programme_section(TextPage& page, const Plan& plan) {
  if (!plan.part || !plan.part->programme) return;
  const Result<PlannedProgramme> planned = programme_of(plan);
  require(planned.has_value(), "a plan with a programme tells it");
  programme_lines(page, *planned, plan);
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
