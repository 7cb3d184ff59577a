#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/plan_sections.hpp>
#include <coilwright/report/shown.hpp>
#include <string>

namespace coilwright {
namespace {

std::string reach_text(const Capability& capability, Show show) {
  std::string out;
  for (const SmallestBend& bend : capability.smallest_bends) {
    if (!out.empty()) out += "; ";
    out += std::to_string(bend.passes) + (bend.passes == 1 ? " pass: " : " passes: ");
    out += bend.bend_radius ? length_text(*bend.bend_radius, show, 0) + ", then " : std::string("none, ");
    out += obstruction_text(bend.stopped_by);
  }
  return out;
}

void spacing_table(TextPage& page, const Plan& plan, System system) {
  const std::string unit = length_unit(system);
  std::vector<std::vector<std::string>> rows{{"outer spacing, " + unit, "passes", "travel, " + unit, "force, " + force_unit(system),
                                              "traction", "least radius, " + unit, "flat ends, " + unit}};
  for (const SpacingEffect& e : plan.rolling.capability.spacings) {
    const auto length = [&](const std::optional<Length>& l) { return l ? bare_length(*l, system, 0) : std::string("-"); };
    rows.push_back({bare_length(e.spacing, system, 0), e.passes && !e.stopped_by ? std::to_string(*e.passes) : "NO",
                    e.demand ? bare_length(e.demand->centre_roll_travel, system, 1) : "-",
                    e.demand ? bare_force(e.demand->centre_roll_force, system) : "-",
                    e.demand ? number_text(e.demand->traction, 3) : "-", length(e.least_bend_radius), length(e.flat_ends)});
  }
  page.gap();
  page.table(rows);
}

// Why not, for the positions that cannot.
void spacing_reasons(TextPage& page, const Capability& capability, Show show) {
  for (const SpacingEffect& e : capability.spacings)
    if (e.stopped_by)
      page.item("-", "At " + length_text(e.spacing, show) + ": NO, " + std::string(obstruction_text(*e.stopped_by)) + ".");
}

void radius_reasons(TextPage& page, const Capability& capability, Show show) {
  if (capability.radius_reasons.empty()) return;
  if (const Capability::RadiusReason* suggested = capability.suggested())
    page.row("Suggested smallest", "a bend radius of " + length_text(*suggested->bend_radius, show, 0) + " (" +
                                       suggested->reason + "): the largest of these");
  else
    page.row("Suggested smallest", "none: one of these speaks against every radius");
  for (const Capability::RadiusReason& reason : capability.radius_reasons)
    page.row("", (reason.bend_radius ? length_text(*reason.bend_radius, show, 0) : std::string("every radius")) + ": " +
                     reason.reason + " (" + reason.origin + ")");
}

}  // namespace

void capability_section(TextPage& page, const Plan& plan) {
  const Capability& capability = plan.rolling.capability;
  if (capability.answer.empty()) return;
  const Show show = plan.job.show;
  page.heading("What the machine can do");
  page.row("This bend", (capability.can ? "YES, " : "NO, ") + capability.answer + "; the lift and the clearance apart",
           capability.can ? Tone::good : Tone::bad);
  if (!capability.instead.empty()) page.row("Instead", capability.instead);
  page.row("Smallest bend radius", reach_text(capability, show));
  radius_reasons(page, capability, show);
  if (!plan.rolling.passes.empty()) {
    const PassPlan& last = plan.rolling.passes.back();
    if (last.press_in_force && last.press_in_radius)
      page.row("Pressed at a standstill",
               force_text(*last.press_in_force, show) + " for the whole travel, and a kink of radius " +
                   length_text(*last.press_in_radius, show, 0) +
                   ": press in while feeding, or in steps, and discard the first spacing's length (judgement)");
    else if (!last.press_in_force)
      page.row("Pressed at a standstill", "the stock would fold round the centre roll: press in while feeding, or in steps");
  }
  if (capability.spacings.empty()) return;
  for (const System system : systems(show)) spacing_table(page, plan, system);
  page.gap();
  spacing_reasons(page, capability, show);
  if (!capability.spacings_are_positions)
    page.line("The spacings are multiples of the present one: the machine's positions are not known.");
  if (capability.recommended_spacing)
    page.line("Recommended spacing: " + length_text(*capability.recommended_spacing, show) +
              ", the narrowest that does it in the fewest passes with at least three stock depths to a side "
              "(judgement): short flat ends, low traction. At another spacing the lift must be planned anew.");
}

}  // namespace coilwright
