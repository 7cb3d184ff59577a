#include <algorithm>
#include <array>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/piece_words.hpp>
#include <coilwright/report/plan_sections.hpp>
#include <coilwright/report/shown.hpp>
#include <string>
#include <vector>

namespace coilwright {
namespace {

std::string sentence_start(std::string words) {
  if (!words.empty() && words.front() >= 'a' && words.front() <= 'z') words.front() = static_cast<char>(words.front() - 'a' + 'A');
  return words;
}

std::string gap_text(const std::optional<double>& gap, Show show) {
  if (!gap) return "none: there was nothing to check";
  const double mm = *gap;
  if (mm < 0.0) return "OVERLAPS by " + fine_text(Length::mm(-mm), show, 2);
  return fine_text(Length::mm(mm), show, 2);
}

std::string point_text(const Eigen::Vector3d& p_F, const Plan& plan) {
  const Eigen::Vector3d p_M = to_machine_frame(p_F, plan.mirrored());
  const Show show = plan.job.show;
  return "x " + fine_text(Length::mm(p_M.x()), show) + ", y " + fine_text(Length::mm(p_M.y()), show) + ", z " +
         fine_text(Length::mm(p_M.z()), show) + " above pass height";
}

void nearest_rows(TextPage& page, const Plan& plan, const NearestPair& nearest) {
  const Show show = plan.job.show;
  page.row("Nearest", nearest.part + ", to the " + std::string(piece_words(nearest.piece)));
  page.row("Where", point_text(nearest.machine_point, plan));
  page.row("On the part", length_text(Length::mm(nearest.along_part_mm), show) + " from the front end of the blank");
  page.row("First there", "at a fed length of " + length_text(Length::mm(nearest.fed_length_mm), show));
}

std::string cell(const std::optional<double>& mm, System system) {
  return mm ? bare_length(Length::mm(*mm), system, 1) : "-";
}

// Nearest first; what touches by design alone has no gap and stands last.
std::vector<const ObstacleClearance*> by_gap(const ClearanceResult& result) {
  std::vector<const ObstacleClearance*> order;
  for (const ObstacleClearance& obstacle : result.obstacles) order.push_back(&obstacle);
  std::stable_sort(order.begin(), order.end(), [](auto* a, auto* b) {
    if (!a->least_mm || !b->least_mm) return a->least_mm.has_value() && !b->least_mm;
    return *a->least_mm < *b->least_mm;
  });
  return order;
}

// One table whatever is shown: in both systems only the least gap is given twice.
void parts_table(TextPage& page, const ClearanceResult& result, Show show) {
  const System system = systems(show).front();
  const std::array pieces{Piece::coil, Piece::lead_arc, Piece::front_end, Piece::spans, Piece::stock};
  std::vector<std::vector<std::string>> rows{{"least gap, " + length_unit(system), "all"}};
  if (show == Show::both) rows[0].push_back("all, in");
  rows[0].insert(rows[0].end(), {"coil", "lead arc", "front end", "spans", "stock"});
  for (const ObstacleClearance* obstacle : by_gap(result)) {
    rows.push_back({obstacle->part, cell(obstacle->least_mm, system)});
    if (show == Show::both) rows.back().push_back(cell(obstacle->least_mm, System::inch));
    for (const Piece piece : pieces)
      rows.back().push_back(cell(obstacle->pieces[static_cast<std::size_t>(piece)], system));
  }
  page.gap();
  page.table(rows);
}

void excluded(TextPage& page, const Plan& plan, const ClearanceResult& result) {
  const Show show = plan.job.show;
  for (const ObstacleClearance& obstacle : result.obstacles) {
    if (!obstacle.excluded_lag_mm) continue;
    const auto [from, to] = *obstacle.excluded_lag_mm;
    const std::string why = plan.part ? "The stretch around the contact, to a quarter turn of the tightest segment behind it, is "
                                        "counted only where it lies deeper in the roll than the play: "
                                      : "The stretch around the contact, on which the part only draws away from it, is not counted: ";
    page.line(obstacle.part + ": touches the part by design. " + why + band_text(Length::mm(from), Length::mm(to), show) +
              " past the centre roll.");
  }
}

Tone verdict_tone(Verdict verdict) {
  switch (verdict) {
    case Verdict::clears:
      return Tone::good;
    case Verdict::too_close_to_say:
      return Tone::warning;
    case Verdict::collides:
      return Tone::bad;
  }
  return Tone::plain;
}

std::string verdict_sentence(const ClearancePlan& clearance, Show show) {
  const std::string word(verdict_text(clearance.verdict));
  if (!clearance.result.least_mm) return word + ": there was nothing to check the part against";
  const ClearancePlan::Governing governing = clearance.governing();
  const Length least = Length::mm(governing.least_mm());
  const Length left = Length::mm(governing.left_mm());
  const std::string sum = fine_text(least, show, 2) + " less " +
                          fine_text(Length::mm(governing.uncertainty_mm), show, 2) + " leaves " +
                          fine_text(left, show, 2) + ", margin asked " + fine_text(clearance.margin, show);
  switch (clearance.verdict) {
    case Verdict::clears:
      return word + ": " + sum;
    case Verdict::too_close_to_say:
      return left > clearance.margin ? word + ": pieces that matter were not checked, see below (" + sum + ")"
                                     : word + ": " + sum;
    case Verdict::collides:
      return word + ": in the pose computed, part and machine overlap by " + fine_text(-least, show);
  }
  return word;
}

}  // namespace

namespace {

std::string per_mm(double value) { return number_text(value, 2) + " mm"; }

void remedies_rows(TextPage& page, const Plan& plan) {
  if (!plan.remedies) return;
  const Show show = plan.job.show;
  page.subheading("What would make it clear");
  page.line("Each change was planned anew, by itself, and is the smallest found. What is not checked above is not checked here "
            "either.");
  for (const Remedy& remedy : plan.remedies->would_clear)
    page.line("+ " + remedy.change + ": leaves " + fine_text(Length::mm(remedy.least_mm), show) + ", uncertain by " +
              fine_text(Length::mm(remedy.uncertainty_mm), show) + ". Costs: " + remedy.cost + ".");
  if (plan.remedies->would_clear.empty()) page.line("Nothing that was tried makes it clear.", Tone::warning);
  for (const std::string& sentence : plan.remedies->would_not) page.line("- " + sentence);
  if (const auto& sensitivity = plan.remedies->sensitivity) {
    std::string text = "Near where it stands the least distance grows by " + per_mm(sensitivity->of_lowering) +
                       " per mm by which what is nearest goes down";
    if (sensitivity->of_pitch) text += ", by " + per_mm(*sensitivity->of_pitch) + " per mm of pitch";
    if (sensitivity->of_lift) text += ", by " + per_mm(*sensitivity->of_lift) + " per mm of lift, the pitch following";
    page.line(text + " (less than nothing: it shrinks).");
  }
}

// Each moment that was checked by itself, the last pass first.
void moments_lines(TextPage& page, const ClearancePlan& clearance, Show show) {
  if (clearance.moments.empty()) return;
  page.gap();
  const auto line = [&](const std::string& when, const ClearanceResult& result, double uncertainty_mm) {
    page.line(when + ": " + gap_text(result.least_mm, show) + ", uncertain by " + fine_text(Length::mm(uncertainty_mm), show) + "; " +
              result.nearest->part + ", to the " + std::string(piece_words(result.nearest->piece)));
  };
  line("Last pass, as it runs", clearance.result, clearance.pose_uncertainty_mm);
  for (const ClearanceMoment& moment : clearance.moments) line(sentence_start(moment.when), moment.result, moment.uncertainty_mm);
}

}  // namespace

void clearance_section(TextPage& page, const Plan& plan) {
  page.heading("Clearance");
  if (!plan.clearance) {
    page.line("Not checked: there is no pose to check. Treat it as unknown, not as clear.", Tone::warning);
    return;
  }
  const Show show = plan.job.show;
  const ClearancePlan& clearance = *plan.clearance;
  const ClearancePlan::Governing governing = clearance.governing();
  const ClearanceResult result = clearance.over_all();
  page.row("Verdict", verdict_sentence(clearance, show), verdict_tone(clearance.verdict));
  page.row("Least distance", gap_text(result.least_mm, show) +
                                 (result.least_mm ? ", proved; the model's true value lies at most " +
                                                        fine_text(Length::mm(result.error_bound_mm), show, 3) +
                                                        " above it"
                                                  : ""));
  if (!clearance.moments.empty())
    page.row("When", governing.when.empty() ? "in the last pass, as it runs" : std::string(governing.when));
  page.row("Uncertainty", fine_text(Length::mm(governing.uncertainty_mm), show, 2) +
                              ": the most the distance shrinks over the working band of the lift and with half a mm "
                              "of travel either way; radius and pitch as asked" +
                              (governing.when == while_raised ? "; over the ways in which the bar may make up for the lift" : "") +
                              (plan.part ? "; with what the free arc springs and the settings move within a step" : "") +
                              (plan.carrying ? "; with what it hangs down, carried as under Order of work" : ""));
  page.row("Margin asked", fine_text(clearance.margin, show) +
                               (plan.job.clearance_margin_given ? " (given)" : " (default, not given)"));
  if (result.nearest) nearest_rows(page, plan, *result.nearest);
  page.row("Keep-out radius", keep_out_text(clearance.swept_radius_mm(), show) +
                                  " in plan from the middle between the outer-roll axes, over all feeds");
  page.row("Height reached", keep_out_text(clearance.swept_height_mm(), show) + " above pass height");
  if (clearance.most_turns_under_ceiling)
    page.row("Turns under the ceiling", "at most " + short_number(*clearance.most_turns_under_ceiling, 2) + " (this part: " +
                                            short_number(plan.coil.turns(), 3) + ")");
  if (result.self_mm)
    page.row("To itself", gap_text(*result.self_mm, show) +
                              (result.self_at_end ? " (at an end of the part, not turn to turn)" : "") +
                              (plan.job.stock.section.round() ? "" : ", for the circle around the section"));
  if (result.stock_mm) page.row("To the incoming stock", gap_text(*result.stock_mm, show));
  for (const std::string& piece : clearance.not_checked) page.row("NOT CHECKED", piece, Tone::warning);
  moments_lines(page, clearance, show);
  if (!result.obstacles.empty()) {
    if (!clearance.moments.empty()) {
      page.gap();
      page.line("Of each thing, the least over all of them:");
    }
    parts_table(page, result, show);
    page.gap();
    excluded(page, plan, result);
  }
  remedies_rows(page, plan);
}

}  // namespace coilwright
