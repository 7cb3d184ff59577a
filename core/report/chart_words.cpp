#include <algorithm>
#include <cmath>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/chart_words.hpp>
#include <coilwright/report/shown.hpp>

namespace coilwright {
namespace {

bool by_pitch(const Chart& chart) { return chart.request.rows == ChartRows::pitch; }

std::string length_of(const Chart& chart, double mm) { return length_text(Length::mm(mm), chart.job.show, 0); }

bool clears(const ChartCell& cell) { return cell.outcome == ChartOutcome::clears; }

std::string row_count_text(double turns) { return short_number(turns, 2) + (turns == 1.0 ? " turn" : " turns"); }

// "clears from 1200 mm to 2400 mm", with what stands in between; empty: nothing does. `at` gives the cells of the line.
template <class At, class Text>
std::string clearing(int count, At at, Text text, const std::string& smallest, const std::string& largest) {
  int first = -1, last = -1, holes = 0;
  for (int i = 0; i < count; ++i)
    if (clears(at(i))) {
      if (first < 0) first = i;
      last = i;
    }
  if (first < 0) return "";
  for (int i = first; i < last; ++i) holes += clears(at(i)) ? 0 : 1;
  std::string words = smallest + " charted that clears is " + text(first) + ", " + largest + " " + text(last);
  if (holes > 0) words += ", but " + std::to_string(holes) + " of the values charted between them " + (holes == 1 ? "does" : "do") + " not";
  return words + ".";
}

std::string own_sentence(const Chart& chart) {
  const ChartCell& own = chart.own;
  std::string words = "The job's own design, a diameter of " + column_text(chart, chart.own_diameter_mm) +
                      (by_pitch(chart) ? " at a pitch of " : " at ") + row_text(chart, chart.own_row) + ": " +
                      std::string(outcome_text(own.outcome));
  if (const std::string why = chart.why(own); !why.empty()) words += ", " + why;
  if (own.least_mm)
    words += ", least distance " + length_text(Length::mm(*own.least_mm), chart.job.show) + " before uncertainty";
  if (own.roll_lift_mm) words += "; lift " + length_text(Length::mm(*own.roll_lift_mm), chart.job.show);
  if (own.travel_mm) words += "; travel from touch " + length_text(Length::mm(*own.travel_mm), chart.job.show);
  return words + ".";
}

}  // namespace

std::string chart_title(const Chart& chart) {
  return "What can be made from " + chart.job.stock.section.text() + ": " + chart.job.machine.name;
}

std::vector<std::string> chart_terms(const Chart& chart) {
  return {(by_pitch(chart) ? "All at " + row_count_text(chart.other_mm_or_turns)
                           : "All at a pitch of " + length_of(chart, chart.other_mm_or_turns)) +
              ", " + (chart.hand == Hand::right_screw ? "right-hand screw" : "left-hand screw") + ", " + chart.job.stock.material.name,
          "Clear means farther than " + length_text(chart.job.clearance_margin, chart.job.show) +
              " from everything in every pass, before uncertainty"};
}

std::string chart_caveat() {
  return "Distances are before uncertainty: they are those of the nominal pose. A plan also works out how far the part may "
         "stand from it, takes that off, and looks at the lead arc while it lies flat; so a design that clears here is worth a plan, not yet a yes.";
}

std::string column_name(const Chart& chart) {
  switch (chart.job.coil.measured_to) {
    case MeasuredTo::inside: return "inside diameter";
    case MeasuredTo::outside: return "outside diameter";
    case MeasuredTo::centreline: break;
  }
  return "diameter to the centreline";
}

std::string row_name(const Chart& chart) { return by_pitch(chart) ? "pitch" : "turns"; }

std::string column_text(const Chart& chart, double diameter_mm) { return length_of(chart, diameter_mm); }

std::string row_text(const Chart& chart, double value) {
  return by_pitch(chart) ? length_of(chart, value) : row_count_text(value);
}

double shown_unit_mm(const Chart& chart) { return chart.job.show == Show::inch ? 25.4 : 1.0; }
std::string shown_unit_name(const Chart& chart) { return chart.job.show == Show::inch ? "in" : "mm"; }

Ticks round_ticks(const ChartAxis& axis, double unit, int most) {
  Ticks ticks;
  const double from = axis.from / unit, to = axis.to / unit;
  double step = 0.0;
  if (to > from) {
    const double least = (to - from) / most, power = std::pow(10.0, std::floor(std::log10(least)));
    step = 10.0 * power;
    for (const double nice : {5.0, 2.0, 1.0})
      if (nice * power >= least) step = nice * power;
  }
  const int decimals = step > 0.0 ? std::max(0, static_cast<int>(std::ceil(-std::log10(step) - 1e-9))) : 1;
  // Values of the axis are round only to the last digit of their own.
  const double slack = 1e-9 * step;
  for (double k = step > 0.0 ? std::ceil((from - slack) / step) : 0.0;; k += 1.0) {
    const double value = step > 0.0 ? k * step : from;
    if (value > to + slack) break;
    ticks.values.push_back(value * unit);
    ticks.labels.push_back(number_text(value, decimals));
    if (step == 0.0) break;
  }
  return ticks;
}

std::vector<OutcomeCount> count_outcomes(const Chart& chart) {
  std::vector<OutcomeCount> counts;
  for (std::size_t i = 0; i < chart_outcomes; ++i) {
    OutcomeCount one{static_cast<ChartOutcome>(i), 0, {}};
    for (const ChartCell& cell : chart.cells) {
      if (cell.outcome != one.outcome) continue;
      ++one.count;
      const std::string why = chart.why(cell);
      if (why.empty() || one.outcome == ChartOutcome::clears || one.outcome == ChartOutcome::over_the_ceiling) continue;
      const auto known = std::find_if(one.reasons.begin(), one.reasons.end(), [&](const auto& r) { return r.words == why; });
      if (known != one.reasons.end()) ++known->count;
      else one.reasons.push_back({why, 1});
    }
    std::stable_sort(one.reasons.begin(), one.reasons.end(), [](const auto& a, const auto& b) { return a.count > b.count; });
    if (one.count > 0) counts.push_back(std::move(one));
  }
  return counts;
}

std::vector<std::string> chart_sentences(const Chart& chart) {
  const ChartAxis &across = chart.request.diameters, &up = chart.request.row_values;
  std::vector<std::string> sentences{own_sentence(chart)};
  const auto clear_cells = std::count_if(chart.cells.begin(), chart.cells.end(), clears);
  sentences.push_back(std::to_string(clear_cells) + " of the " + std::to_string(chart.cells.size()) +
                      " designs charted clear, before uncertainty.");
  // Lowest, highest, and some between: as many as are read.
  std::vector<int> rows;
  for (int quarter = 0; quarter <= 4; ++quarter) rows.push_back((up.count - 1) * quarter / 4);
  rows.erase(std::unique(rows.begin(), rows.end()), rows.end());
  for (const int row : rows) {
    const std::string where = (by_pitch(chart) ? "At a pitch of " : "At ") + row_text(chart, up.at(row));
    const std::string found = clearing(
        across.count, [&](int i) -> const ChartCell& { return chart.at(i, row); },
        [&](int i) { return column_text(chart, across.at(i)); }, " the smallest diameter", "the largest");
    sentences.push_back(where + (found.empty() ? " no diameter charted clears." : found));
  }
  if (const auto column = across.nearest(chart.own_diameter_mm)) {
    const std::string found = clearing(
        up.count, [&](int i) -> const ChartCell& { return chart.at(*column, i); },
        [&](int i) { return row_text(chart, up.at(i)); }, by_pitch(chart) ? " the smallest pitch" : " the least",
        by_pitch(chart) ? "the largest" : "the most");
    sentences.push_back("At a diameter of " + column_text(chart, across.at(*column)) +
                        (found.empty() ? (by_pitch(chart) ? " no pitch charted clears." : " no number of turns charted clears.")
                                       : found));
  }
  return sentences;
}

}  // namespace coilwright
