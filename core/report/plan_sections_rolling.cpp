#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/plan_sections.hpp>
#include <coilwright/report/shown.hpp>
#include <string>

namespace coilwright {
namespace {

void shape_table(TextPage& page, const Plan& plan, System system) {
  const std::string unit = length_unit(system);
  std::vector<std::vector<std::string>> rows{
      {"pass", "travel, " + unit, "frame give, " + unit, "radius loaded, " + unit, "radius free, " + unit,
       "lift, " + unit}};
  std::size_t count = 0;
  for (const PassPlan& pass : plan.rolling.passes)
    rows.push_back({std::to_string(++count), bare_length(pass.travel, system, 2),
                    pass.frame_give ? bare_length(*pass.frame_give, system, 2) : "-",
                    bare_length(pass.loaded_radius, system, 1), bare_length(pass.free_radius, system, 1),
                    pass.roll_lift ? bare_length(*pass.roll_lift, system, 1) : "-"});
  page.gap();
  page.table(rows);
}

void force_table(TextPage& page, const Plan& plan, System system) {
  const std::string unit = force_unit(system);
  std::vector<std::vector<std::string>> rows{{"pass", "centre roll, " + unit, "entry roll, " + unit,
                                              "exit roll, " + unit, "drive, " + unit, "traction needed"}};
  std::size_t count = 0;
  for (const PassPlan& pass : plan.rolling.passes)
    rows.push_back({std::to_string(++count), bare_force(pass.centre_roll_force, system),
                    bare_force(pass.entry_roll_force, system), bare_force(pass.exit_roll_force, system),
                    bare_force(pass.drive_force, system), number_text(pass.traction, 3)});
  page.gap();
  page.table(rows);
}

// Between the hoop that follows freely and the hoop that is held lies the real wall.
void wall_row(TextPage& page, const RollingResult& rolling, Show show) {
  if (!rolling.wall_outside || !rolling.wall_inside) return;
  const auto to = [&](const std::optional<Length>& from, const std::optional<Length>& till) {
    return from && till ? band_text(*from, *till, show, 2) : fine_text(from ? *from : *till, show, 2);
  };
  page.row("Wall after bending", to(rolling.wall_outside_least, rolling.wall_outside) + " on the outside of the bend, " +
                                     to(rolling.wall_inside, rolling.wall_inside_most) +
                                     " on the inside: volume kept, between a hoop that is held and one that follows freely");
}

}  // namespace

void rolling_section(TextPage& page, const Plan& plan) {
  const RollingResult& rolling = plan.rolling;
  if (rolling.passes.empty()) return;
  const Show show = plan.job.show;
  page.heading("The rolling in detail");
  page.line("Radii here are bend radii to the neutral axis; loaded: under the centre roll; free: after springback.");
  for (const System system : systems(show)) shape_table(page, plan, system);
  for (const System system : systems(show)) force_table(page, plan, system);
  page.gap();
  page.row("Traction", "tangential over normal force of the hardest-worked driven roll; the rolls grip up to the "
                       "friction, taken as " + short_number(plan.job.machine.rolls.friction, 3));
  page.row("Strain", number_text(rolling.strain_percent, 2) + " % in the outer fibre, loaded (" +
                         number_text(rolling.free_strain_percent, 2) + " % at the finished radius)");
  if (rolling.ovality_percent) {
    std::string band;
    if (rolling.ovality_low_percent && rolling.ovality_high_percent)
      band = ", band " + number_text(*rolling.ovality_low_percent, 1) + " to " +
             number_text(*rolling.ovality_high_percent, 1) + " %";
    page.row("Ovality", number_text(*rolling.ovality_percent, 1) + " %" + band +
                            ": FREE BENDING, no groove support, no denting by the roll; an estimate");
  }
  wall_row(page, rolling, show);
  if (rolling.sideways_bow)
    page.row("Sideways", "released, a bow of about " + fine_text(*rolling.sideways_bow, show) + " on a chord of " +
                             length_text(Length::metres(1), show, 0) + ", to be taken out with the twist");
  if (const auto& permitted = rolling.permitted_variation)
    page.row("Curvature asked", "AISC 303, 6.4.2: " + fine_text(permitted->bow, show) +
                                    " of chord rise either way over the developed length, unrolled; bend radius " +
                                    (permitted->slackest ? band_text(permitted->tightest, *permitted->slackest, show, 0)
                                                         : "not under " + fine_text(permitted->tightest, show, 0)));
  page.row("Arc rule", fine_text(rolling.arc_rule_travel, show, 2) +
                           " of travel: FOR REFERENCE ONLY, never the setting of a first pass. It takes the stock as "
                           "one circular arc touching all three rolls and knows no springback; but the stock comes in "
                           "straight, only the outgoing half is an arc");
}

}  // namespace coilwright
