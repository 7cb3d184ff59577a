#include <algorithm>
#include <coilwright/plan/direction_words.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/blank_sum.hpp>
#include <coilwright/report/piece_words.hpp>
#include <coilwright/report/plan_sections.hpp>
#include <coilwright/report/shown.hpp>
#include <string>

namespace coilwright {
namespace {

// "straight, arc, helix and straight"
std::string kinds(const Part& part) {
  std::string out;
  const std::size_t last = part.segments().size() - 1;
  for (std::size_t i = 0; i <= last; ++i)
    out += (i == 0 ? "" : i == last ? " and " : ", ") + std::string(segment_kind_name(part.segments()[i].kind()));
  return out;
}

std::string part_sentence(const Plan& plan) {
  const Helix& helix = plan.coil.helix();
  const Show show = plan.job.show;
  const Stock& stock = plan.job.stock;
  std::string out = stock.section.text();
  if (!stock.size_source.empty()) out += " (" + stock.designation + ")";
  out += ", " + stock.material.name;
  if (plan.part) {
    const std::size_t count = plan.part->part.segments().size();
    return out + "; " + (count == 1 ? "one segment" : std::to_string(count) + " segments in the order of feeding") + ": " +
           kinds(plan.part->part) + "; " + length_text(plan.developed_length(), show) + " along the centreline";
  }
  out += "; plan radius " + length_text(helix.plan_radius(), show) +
         " to the centreline, ";
  if (helix.pitch() == Length())
    out += "no pitch (a flat ring), ";
  else
    out += "pitch " + length_text(helix.pitch(), show) + " a turn, ";
  return out + short_number(plan.coil.turns(), 3) + " turns";
}

// "the nearest (centre roll cap, coil) is 38.3 mm away"; what stands where there was nothing to check.
std::string nearest_words(const ClearanceResult& result, Show show) {
  if (!result.least_mm || !result.nearest) return "there was nothing to check it against";
  const double least = *result.least_mm;
  const std::string gap = least < 0.0 ? "overlaps by " + fine_text(Length::mm(-least), show)
                                      : "is " + fine_text(Length::mm(least), show) + " away";
  return "the nearest (" + result.nearest->part + ", " + std::string(piece_words(result.nearest->piece)) + ") " + gap;
}

std::string not_checked(const ClearancePlan& clearance) {
  std::string out;
  for (const std::string& piece : clearance.not_checked) out += (out.empty() ? " Not checked: " : ", ") + piece;
  return out.empty() ? out : out + ".";
}

std::string answer_sentence(const Plan& plan) {
  const auto faults = std::count_if(plan.findings.begin(), plan.findings.end(),
                                    [](const Finding& finding) { return finding.level == Level::fault; });
  const std::string count = faults == 1 ? "one fault, below" : std::to_string(faults) + " faults, below";
  if (!plan.clearance) return faults == 0 ? "NO: the clearance could not be checked." : "NO: " + count + ".";

  const Show show = plan.job.show;
  const ClearancePlan& clearance = *plan.clearance;
  const ClearancePlan::Governing governing = clearance.governing();
  const std::string nearest =
      nearest_words(*governing.result, show) + (governing.when.empty() ? "" : " " + std::string(governing.when));
  const std::string also = faults == 0 ? "." : "; " + count + ".";
  switch (clearance.verdict) {
    case Verdict::clears:
      if (faults > 0) return "NO: it clears the machine, but there is " + count + ".";
      return "YES: everything that was checked clears; " + nearest + "." + not_checked(clearance);
    case Verdict::too_close_to_say:
      return "NO, too close to say: " + nearest + ", the stand of the part is uncertain by " +
             fine_text(Length::mm(governing.uncertainty_mm), show) + ", the margin asked is " +
             fine_text(clearance.margin, show) + also + not_checked(clearance);
    case Verdict::collides:
      return "NO, the part collides: " + nearest + also;
  }
  return "";
}

Tone answer_tone(const Plan& plan) {
  if (plan.answer_is_yes()) return Tone::good;
  const bool close = plan.clearance && plan.clearance->verdict == Verdict::too_close_to_say;
  return close ? Tone::warning : Tone::bad;
}

std::string buy_sentence(const Plan& plan) {
  const Show show = plan.job.show;
  if (plan.rolling.passes.empty()) return "not known: the rolling has no answer, so neither have the ends and the start-up";
  const Length cut = plan.blank.cut_length();
  std::string out = "cut length " + length_text(cut, show) + ", " +
                    mass_text(cut.mm() / 1000.0 * plan.job.stock.mass_per_metre_kg(), show);
  const auto& lengths = plan.job.stock.stock_lengths;
  if (lengths.empty()) return out + "; stock length not known (asked below)";
  const Length longest = *std::max_element(lengths.begin(), lengths.end());
  if (plan.longer_than_stock.value_or(false))
    return out + "; LONGER THAN THE STOCK LENGTH of " + length_text(longest, show);
  return out + "; from stock of " + length_text(longest, show);
}

std::string size_sentence(const Plan& plan) {
  const Show show = plan.job.show;
  if (plan.part) {
    const Extent extent = plan.part->part.overall_extent();
    return length_text(extent.width, show) + " along the start, " + length_text(extent.depth, show) + " across it, " +
           length_text(extent.height, show) + " high, over the outside; finished " +
           mass_text(plan.developed_length().mm() / 1000.0 * plan.job.stock.mass_per_metre_kg(), show);
  }
  const Coil& coil = plan.coil;
  const Length outside = 2.0 * (coil.helix().plan_radius() + coil.faces().outer);
  return length_text(coil.overall_height(), show) + " high standing upright, " + length_text(outside, show) +
         (coil.turns() >= 1.0 ? " across outside" : " across outside as a full circle") + ", finished " +
         mass_text(coil.developed_length().mm() / 1000.0 * plan.job.stock.mass_per_metre_kg(), show);
}

// The name with where it comes from, unless the name says that itself.
std::string machine_words(const Job& job) {
  const std::string& name = job.machine.name;
  return name.find(job.machine_origin) == std::string::npos ? name + " (" + job.machine_origin + ")" : name;
}

}  // namespace

void headline_section(TextPage& page, const Plan& plan) {
  page.title("Plan: " + plan.job.name);
  page.row("Part", part_sentence(plan));
  // A flat ring has no hand to speak of: it looks the same from both sides.
  if (plan.coil.helix().pitch() > Length()) page.row("Direction", direction_words(plan), Tone::strong);
  page.row("Answer", answer_sentence(plan), answer_tone(plan));
  page.row("To buy", buy_sentence(plan));
  page.row("Finished size", size_sentence(plan));
  page.row("Machine", machine_words(plan.job));

  bool begun = false;
  for (const Finding& finding : plan.findings) {
    if (finding.level != Level::fault) continue;
    if (!begun) page.subheading("What stands against it");
    begun = true;
    page.item("FAULT", finding.about + ": " + finding.text, Tone::bad);
  }
}

}  // namespace coilwright
