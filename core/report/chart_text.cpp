#include <algorithm>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/chart_text.hpp>
#include <coilwright/report/chart_words.hpp>
#include <coilwright/report/safe_text.hpp>
#include <coilwright/report/shown.hpp>
#include <coilwright/report/text_page.hpp>

namespace coilwright {
namespace {

constexpr std::size_t label_width = 10;  // of a row's value, left of the map
constexpr int most_columns = static_cast<int>(TextPage::width - label_width) - 4, most_rows = 48;
constexpr char own_mark = '@';

std::string right_aligned(const std::string& text, std::size_t width) {
  return std::string(width > text.size() ? width - text.size() : 0, ' ') + text;
}

// The highest row first, as on paper.
std::string map_of(const Chart& chart) {
  const ChartAxis &across = chart.request.diameters, &up = chart.request.row_values;
  const int step_x = (across.count + most_columns - 1) / most_columns, step_y = (up.count + most_rows - 1) / most_rows;
  const double unit = shown_unit_mm(chart);
  const bool by_pitch = chart.request.rows == ChartRows::pitch;
  const auto own_column = across.nearest(chart.own_diameter_mm), own_row = up.nearest(chart.own_row);
  std::string map;
  std::string head = row_name(chart) + (by_pitch ? ", " + shown_unit_name(chart) : "");
  map += right_aligned(head, label_width) + "\n";
  const int shown_rows = (up.count + step_y - 1) / step_y;
  for (int shown = shown_rows - 1; shown >= 0; --shown) {
    const int row = shown * step_y;
    std::string label;
    if (shown % 4 == 0) label = by_pitch ? number_text(up.at(row) / unit, unit > 1.0 ? 1 : 0) : number_text(up.at(row), 2);
    std::string line = right_aligned(label, label_width) + (label.empty() ? "  | " : " -| ");
    for (int column = 0; column < across.count; column += step_x) {
      const bool own = own_column && own_row && *own_column / step_x == column / step_x && *own_row / step_y == shown;
      line += own ? own_mark : outcome_mark(chart.at(column, row).outcome);
    }
    line.erase(line.find_last_not_of(' ') + 1);
    map += line + "\n";
  }
  const int shown_columns = (across.count + step_x - 1) / step_x;
  std::string ruler(label_width + 4, ' '), values(label_width + 4, ' ');
  for (int i = 0; i < shown_columns; ++i) ruler += i % 10 == 0 ? '+' : '-';
  for (int i = 0; i < shown_columns; i += 10) {
    const std::string value = number_text(across.at(i * step_x) / unit, unit > 1.0 ? 1 : 0);
    values.resize(label_width + 4 + static_cast<std::size_t>(i), ' ');
    values += value;
  }
  map += ruler + "\n" + values + "\n";
  map += std::string(label_width + 4, ' ') + column_name(chart) + ", " + shown_unit_name(chart) + "\n";
  if (step_x > 1 || step_y > 1)
    map += std::string(label_width + 4, ' ') + "(of " + std::to_string(across.count) + " columns every " + std::to_string(step_x) +
           (step_x == 1 ? "st" : step_x == 2 ? "nd" : step_x == 3 ? "rd" : "th") + " is shown, of " + std::to_string(up.count) +
           " rows every " + std::to_string(step_y) + (step_y == 1 ? "st" : step_y == 2 ? "nd" : step_y == 3 ? "rd" : "th") + ")\n";
  return map;
}

std::string quoted(const std::string& words) {
  const std::string safe = safe_text(words);
  if (safe.find_first_of(",\"") == std::string::npos) return safe;
  std::string out = "\"";
  for (const char c : safe) out += c == '"' ? std::string("\"\"") : std::string(1, c);
  return out + "\"";
}

}  // namespace

std::string chart_text(const Chart& chart, const TextStyle& style) {
  const TextPage::Ink ink = style.color ? TextPage::Ink::coloured : TextPage::Ink::plain;
  TextPage head(ink);
  head.title(chart_title(chart));
  for (const std::string& term : chart_terms(chart)) head.line(term + ".");
  head.gap();
  TextPage tail(ink);
  tail.heading("What the marks mean");
  std::vector<std::vector<std::string>> rows{{"mark", "designs"}};
  for (const OutcomeCount& one : count_outcomes(chart)) {
    const char mark = outcome_mark(one.outcome);
    tail.item(mark == ' ' ? "(blank)" : std::string(1, mark),
              std::string(outcome_text(one.outcome)) + ": " + std::to_string(one.count) +
                  (one.count == 1 ? " design" : " designs"),
              one.outcome == ChartOutcome::clears ? Tone::good : Tone::plain);
    if (style.brief) continue;
    for (const OutcomeCount::Reason& reason : one.reasons)
      tail.item("-", reason.words + ": " + std::to_string(reason.count), Tone::plain, 6);
  }
  tail.item(std::string(1, own_mark), "the job's own design, at the nearest cell");
  tail.heading("What it says");
  for (const std::string& sentence : chart_sentences(chart)) tail.item("-", sentence);
  if (!style.brief) {
    tail.gap();
    tail.line(chart_caveat());
    tail.line("Worked out with " + std::to_string(chart.evaluations) + " evaluations of a distance.");
  }
  std::string text = head.text() + map_of(chart) + "\n" + tail.text();
  if (!chart.findings.empty()) text += "\n" + findings_text(chart.findings, style);
  return text;
}

std::string chart_csv(const Chart& chart) {
  const bool by_pitch = chart.request.rows == ChartRows::pitch;
  std::string csv =
      "diameter_mm,pitch_mm,turns,outcome,reason,least_before_uncertainty_mm,nearest,passes,centre_roll_travel_mm,roll_lift_mm\n";
  const auto number = [](const std::optional<double>& value) { return value ? number_text(*value, 3) : std::string(); };
  for (int row = 0; row < chart.request.row_values.count; ++row)
    for (int column = 0; column < chart.request.diameters.count; ++column) {
      const ChartCell& cell = chart.at(column, row);
      const double value = chart.request.row_values.at(row), other = chart.other_mm_or_turns;
      csv += number_text(chart.request.diameters.at(column), 3) + "," + number_text(by_pitch ? value : other, 3) + "," +
             number_text(by_pitch ? other : value, 4) + "," + std::string(outcome_text(cell.outcome)) + "," +
             quoted(cell.nearest ? "" : chart.why(cell)) + "," + number(cell.least_mm) + "," +
             quoted(cell.nearest ? chart.things[*cell.nearest] : "") + "," + (cell.passes > 0 ? std::to_string(cell.passes) : "") +
             "," + number(cell.travel_mm) + "," + number(cell.roll_lift_mm) + "\n";
    }
  return csv;
}

}  // namespace coilwright
