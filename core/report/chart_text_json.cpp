#include <coilwright/report/chart_text.hpp>
#include <coilwright/report/chart_words.hpp>
#include <coilwright/report/plan_json.hpp>
#include <coilwright/report/safe_text.hpp>
#include <coilwright/report/json_value.hpp>

namespace coilwright {
namespace {

Json axis_json(const ChartAxis& axis) {
  Json values = Json::array();
  for (int i = 0; i < axis.count; ++i) values.push_back(axis.at(i));
  return values;
}

Json cell_json(const Chart& chart, const ChartCell& cell) {
  const std::string why = cell.nearest ? "" : chart.why(cell);
  return {{"outcome", outcome_text(cell.outcome)},
          {"reason", why.empty() ? Json(nullptr) : Json(why)},
          {"least_before_uncertainty_mm", number(cell.least_mm)},
          {"nearest", cell.nearest ? Json(safe_text(chart.things[*cell.nearest])) : Json(nullptr)},
          {"passes", cell.passes > 0 ? Json(cell.passes) : Json(nullptr)},
          {"centre_roll_travel_mm", number(cell.travel_mm)},
          {"roll_lift_mm", number(cell.roll_lift_mm)}};
}

}  // namespace

std::string chart_json(const Chart& chart) {
  const bool by_pitch = chart.request.rows == ChartRows::pitch;
  Json cells = Json::array(), counts = Json::array(), sentences = Json::array();
  for (int row = 0; row < chart.request.row_values.count; ++row)
    for (int column = 0; column < chart.request.diameters.count; ++column) {
      Json cell{{"column", column}, {"row", row}};
      cell.update(cell_json(chart, chart.at(column, row)));
      cells.push_back(std::move(cell));
    }
  for (const OutcomeCount& one : count_outcomes(chart)) {
    Json reasons = Json::array();
    for (const OutcomeCount::Reason& reason : one.reasons)
      reasons.push_back({{"reason", safe_text(reason.words)}, {"count", reason.count}});
    counts.push_back({{"outcome", outcome_text(one.outcome)}, {"count", one.count}, {"reasons", std::move(reasons)}});
  }
  for (const std::string& sentence : chart_sentences(chart)) sentences.push_back(safe_text(sentence));
  Json own{{"diameter_mm", number(chart.own_diameter_mm)}, {by_pitch ? "pitch_mm" : "turns", number(chart.own_row)}};
  own.update(cell_json(chart, chart.own));
  Json body{{"measured_to", column_name(chart)},
            {"hand", hand_text(chart.hand)},
            {by_pitch ? "turns" : "pitch_mm", number(chart.other_mm_or_turns)},
            {"margin_mm", chart.job.clearance_margin.mm()},
            {"uncertainty", "not taken off: distances are before uncertainty"},
            {"diameters_mm", axis_json(chart.request.diameters)},
            {by_pitch ? "pitches_mm" : "turn_values", axis_json(chart.request.row_values)},
            {"own_design", std::move(own)},
            {"counts", std::move(counts)},
            {"sentences", std::move(sentences)},
            {"evaluations", chart.evaluations},
            {"cells", std::move(cells)}};
  Json document{{"schema", 1}, {"chart", std::move(body)}};
  document["findings"] = Json::parse(findings_json(chart.findings)).at("findings");
  return document.dump(1) + "\n";
}

}  // namespace coilwright
