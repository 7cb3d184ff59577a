#include <coilwright/report/plan_sections.hpp>
#include <coilwright/report/shown.hpp>
#include <string>

namespace coilwright {
namespace {

std::string keep_out(const Plan& plan) {
  const Show show = plan.job.show;
  const std::string from = ", measured in plan from the middle between the outer-roll axes";
  if (plan.clearance)
    return "Nobody stands inside the radius that the part sweeps: " +
           keep_out_text(plan.clearance->swept_radius_mm(), show) + from + ". It rises to " +
           keep_out_text(plan.clearance->swept_height_mm(), show) + " above pass height.";
  if (plan.rolling.passes.empty())
    return "Nobody stands inside the radius that the part sweeps. It was not computed: there is no answer to roll.";
  // No point of the bar can be farther from the rolls than the whole bar is long.
  const Length bound = plan.blank.cut_length() + plan.job.machine.rolls.outer_spacing;
  return "Nobody stands inside the radius that the part sweeps. It was not computed; no point of the bar can come "
         "farther than " + keep_out_text(bound.mm(), show) + from + ".";
}

}  // namespace

void safety_section(TextPage& page, const Plan& plan) {
  page.heading("Before the rolls turn");
  page.item("!", keep_out(plan), Tone::strong);
  if (!plan.rolling.passes.empty())
    page.item("!", "On the feed side the straight bar reaches up to " +
                       keep_out_text((plan.blank.cut_length() - plan.blank.flat_front).mm(), plan.job.show) +
                       " behind the centre roll: that side is closed too.");
  page.item("!", "The rolls draw in what touches them (in-running nip): hands stay off the stock between the rolls and "
                 "at the outboard roll. Guide the end with a tool, not with fingers.");
  page.item("!", "No gloves near the rolls, at most fingerless ones; no loose sleeves, no rings, long hair tied back.");
  page.item("!", "An emergency stop within reach at both ends, tried before the first piece.");
  page.item("!", "The straight ends swing, the free end of the bar whips, and a sprung part lets go when the centre "
                 "roll is withdrawn.");
  page.item("!", "Local codes, the machine's own instructions and licensed practice come first; this plan replaces "
                 "none of them.");
}

}  // namespace coilwright
