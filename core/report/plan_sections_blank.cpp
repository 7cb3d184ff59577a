#include <algorithm>
#include <coilwright/report/blank_sum.hpp>
#include <coilwright/report/plan_sections.hpp>
#include <coilwright/report/shown.hpp>
#include <string>

namespace coilwright {
namespace {

std::string stock_sentence(const Plan& plan) {
  const auto& lengths = plan.job.stock.stock_lengths;
  const Show show = plan.job.show;
  if (lengths.empty()) return "not known, so it is not known either whether the blank fits (asked below)";
  std::string out;
  for (const Length length : lengths) out += (out.empty() ? "" : ", ") + length_text(length, show);
  const Length longest = *std::max_element(lengths.begin(), lengths.end());
  const Length over = plan.blank.cut_length() - longest;
  if (over > Length()) return out + ": the blank is " + length_text(over, show) + " LONGER";
  return out + ": " + length_text(-over, show) + " to spare on the longest";
}

}  // namespace

void blank_section(TextPage& page, const Plan& plan) {
  const Show show = plan.job.show;
  const Blank& blank = plan.blank;
  page.heading("The bar to cut");
  if (plan.rolling.passes.empty()) {
    page.line("Not known: flat ends and start-up come from the rolling, which has no answer. The part alone is " +
              length_text(plan.developed_length(), show) + ".");
    return;
  }
  for (const System system : systems(show)) page.line(blank_sum_text(blank, system));
  page.gap();
  if (const std::string sentence = start_up_sentence(blank, show); !sentence.empty()) page.line(sentence);
  if (blank.run_in_assumed && blank.settling_assumed && blank.lead_arc > Length())
    page.line("Run-in and settling are judgement, not measured: a trial piece tells.");
  else if (blank.run_in_assumed && blank.lead_arc == Length())
    page.line("The run-in is judgement, not measured: a trial piece tells.");
  else if (blank.settling_assumed && blank.lead_arc > Length())
    page.line("The settling length is judgement, not measured: a trial piece tells.");
  page.line("The flat ends (grips) cannot be bent by these rolls; as given they are upper bounds.");
  page.row("Usable part", "from " + length_text(blank.usable_from(), show) + " to " +
                              length_text(blank.usable_to(), show) +
                              ", measured along the centreline from the front end of the blank");
  page.row("Stock length", stock_sentence(plan), plan.longer_than_stock.value_or(false) ? Tone::bad : Tone::plain);
  page.row("Mass of the blank",
           mass_text(blank.cut_length().mm() / 1000.0 * plan.job.stock.mass_per_metre_kg(), show));
}

}  // namespace coilwright
