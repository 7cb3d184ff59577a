#include <algorithm>
#include <cmath>
#include <coilwright/report/chart_drawing.hpp>
#include <coilwright/report/chart_words.hpp>
#include <coilwright/report/text_page.hpp>

namespace coilwright {
namespace {

// The page, mm.
constexpr Drawing::Page a4{297.0, 210.0};
constexpr double left = 30.0, right = 200.0, top = 34.0, bottom = 148.0;
constexpr double legend_left = 210.0, page_right = 287.0, words_left = 12.0;
constexpr double least_mark_mm = 2.0;  // smaller marks cannot be told apart on paper

struct Look {
  Colour fill, mark;
};

Look look_of(ChartOutcome outcome) {
  switch (outcome) {
    case ChartOutcome::clears:
    case ChartOutcome::not_all_checked: return {Colour::good, Colour::ink};
    case ChartOutcome::too_close: return {Colour::doubtful, Colour::ink};
    case ChartOutcome::strikes_itself:
    case ChartOutcome::over_the_ceiling:
    case ChartOutcome::collides: return {Colour::bad, Colour::paper};
    case ChartOutcome::cannot_be_lifted: return {Colour::away, Colour::ink};
    case ChartOutcome::cannot_be_bent:
    case ChartOutcome::bar_too_short:
    case ChartOutcome::cannot_be_fed: return {Colour::blocked, Colour::paper};
    case ChartOutcome::no_coil: break;
  }
  return {Colour::paper, Colour::ink};
}

// A cell's mark, its middle at `at`. Clear cells stay empty: what is to be read is what stands in the way.
void mark(Drawing& page, ChartOutcome outcome, PagePoint at, double size_mm) {
  if (outcome == ChartOutcome::clears || outcome == ChartOutcome::no_coil) return;
  page.text({at.x_mm, at.y_mm + 0.36 * size_mm}, std::string(1, outcome_mark(outcome)),
            {.size_mm = size_mm, .colour = look_of(outcome).mark, .at = Across::middle});
}

struct MapFrame {
  const Chart& chart;
  double cell_width, cell_height;
  explicit MapFrame(const Chart& of)
      : chart(of),
        cell_width((right - left) / of.request.diameters.count),
        cell_height((bottom - top) / of.request.row_values.count) {}
  // Of an axis: cells are as wide as a step, their values stand in the middle.
  static double place(const ChartAxis& axis, double value) {
    return axis.count > 1 ? 0.5 + (value - axis.from) / (axis.to - axis.from) * (axis.count - 1) : 0.5;
  }
  [[nodiscard]] double x(double diameter) const { return left + cell_width * place(chart.request.diameters, diameter); }
  [[nodiscard]] double y(double value) const { return bottom - cell_height * place(chart.request.row_values, value); }
};

void draw_cells(Drawing& page, const MapFrame& map) {
  const Chart& chart = map.chart;
  const int columns = chart.request.diameters.count, rows = chart.request.row_values.count;
  for (int row = 0; row < rows; ++row) {
    const double y = bottom - map.cell_height * (row + 1);
    for (int from = 0, to = 0; from < columns; from = to) {
      const Colour fill = look_of(chart.at(from, row).outcome).fill;
      for (to = from; to < columns && look_of(chart.at(to, row).outcome).fill == fill; ++to) {}
      // A hair into the row above, drawn over by it: no seam of paper shines through.
      const double hair = row + 1 < rows ? 0.1 : 0.0;
      page.rectangle({left + map.cell_width * from, y - hair}, map.cell_width * (to - from), map.cell_height + hair, fill);
    }
  }
  // Marks on as many cells as leaves them legible.
  const int step_x = std::max(1, static_cast<int>(std::ceil(least_mark_mm / map.cell_width)));
  const int step_y = std::max(1, static_cast<int>(std::ceil(least_mark_mm / map.cell_height)));
  const double size = std::min({0.75 * map.cell_width * step_x, 0.75 * map.cell_height * step_y, 4.0});
  for (int row = step_y / 2; row < rows; row += step_y)
    for (int column = step_x / 2; column < columns; column += step_x)
      mark(page, chart.at(column, row).outcome, {left + map.cell_width * (column + 0.5), bottom - map.cell_height * (row + 0.5)}, size);
}

// Lines where the outcome changes: they stay when the colours go.
void draw_borders(Drawing& page, const MapFrame& map) {
  const Chart& chart = map.chart;
  const int columns = chart.request.diameters.count, rows = chart.request.row_values.count;
  const Stroke border{Colour::ink, 0.2, {}};
  for (int row = 0; row < rows; ++row)
    for (int column = 0; column < columns; ++column) {
      const ChartOutcome here = chart.at(column, row).outcome;
      const double x = left + map.cell_width * (column + 1), y = bottom - map.cell_height * (row + 1);
      if (column + 1 < columns && chart.at(column + 1, row).outcome != here) page.line({x, y}, {x, y + map.cell_height}, border);
      if (row + 1 < rows && chart.at(column, row + 1).outcome != here) page.line({x - map.cell_width, y}, {x, y}, border);
    }
}

void draw_axes(Drawing& page, const MapFrame& map) {
  const Chart& chart = map.chart;
  const bool by_pitch = chart.request.rows == ChartRows::pitch;
  page.frame({left, top}, right - left, bottom - top, {Colour::ink, 0.35, {}});
  const Ticks across = round_ticks(chart.request.diameters, shown_unit_mm(chart), 10);
  for (std::size_t i = 0; i < across.values.size(); ++i) {
    const double x = map.x(across.values[i]);
    page.line({x, bottom}, {x, bottom + 1.5});
    page.text({x, bottom + 5.0}, across.labels[i], {.size_mm = 3.0, .at = Across::middle});
  }
  page.text({0.5 * (left + right), bottom + 10.5}, column_name(chart) + ", " + shown_unit_name(chart),
            {.size_mm = 3.4, .at = Across::middle});
  const Ticks up = round_ticks(chart.request.row_values, by_pitch ? shown_unit_mm(chart) : 1.0, 10);
  for (std::size_t i = 0; i < up.values.size(); ++i) {
    const double y = map.y(up.values[i]);
    page.line({left - 1.5, y}, {left, y});
    page.text({left - 2.5, y + 1.1}, up.labels[i], {.size_mm = 3.0, .at = Across::right});
  }
  page.text({words_left + 3.0, 0.5 * (top + bottom)}, row_name(chart) + (by_pitch ? ", " + shown_unit_name(chart) : ""),
            {.size_mm = 3.4, .at = Across::middle, .run = Run::up});
}

void draw_own(Drawing& page, PagePoint at) {
  constexpr double radius = 2.2;
  page.disc(at, radius, Colour::paper);
  page.circle(at, radius, {Colour::accent, 0.6, {}});
  page.disc(at, 0.7, Colour::accent);
}

// Words that are wider than the column end in dots.
std::string fitted(const Drawing& page, std::string words, double width_mm, const Lettering& lettering) {
  if (page.text_width_mm(words, lettering) <= width_mm) return words;
  while (!words.empty() && page.text_width_mm(words + "...", lettering) > width_mm) {
    words.pop_back();
    while (!words.empty() && (static_cast<unsigned char>(words.back()) & 0xC0) == 0x80) words.pop_back();
  }
  return words + "...";
}

void draw_legend(Drawing& page, const Chart& chart, bool own_shown) {
  constexpr double swatch = 6.0, line = 5.4, small_line = 4.0;
  const Lettering plain{.size_mm = 3.2}, small{.size_mm = 2.7, .colour = Colour::quiet};
  const double text_left = legend_left + swatch + 2.5, width = page_right - text_left;
  double y = top;
  const std::vector<OutcomeCount> counts = count_outcomes(chart);
  std::size_t reasons = 0;
  for (const OutcomeCount& one : counts) reasons += one.reasons.size();
  // As many reasons as there is room for, the most frequent of each outcome.
  const double room = bottom - top - line * (static_cast<double>(counts.size()) + 1.5);
  const auto fits = static_cast<std::size_t>(std::max(0.0, room / small_line));
  const std::size_t each = reasons <= fits ? reasons : std::max<std::size_t>(1, fits / std::max<std::size_t>(1, counts.size()) - 1);
  for (const OutcomeCount& one : counts) {
    page.rectangle({legend_left, y}, swatch, 4.0, look_of(one.outcome).fill);
    page.frame({legend_left, y}, swatch, 4.0, {Colour::ink, 0.2, {}});
    mark(page, one.outcome, {legend_left + 0.5 * swatch, y + 2.0}, 3.2);
    page.text({text_left, y + 3.2}, fitted(page, std::string(outcome_text(one.outcome)) + ": " + std::to_string(one.count), width, plain),
              plain);
    y += line;
    std::size_t shown = 0;
    for (const OutcomeCount::Reason& reason : one.reasons) {
      if (shown == each) {
        page.text({text_left, y + 2.4}, "and " + std::to_string(one.reasons.size() - shown) + " more reasons", small);
        y += small_line;
        break;
      }
      page.text({text_left, y + 2.4}, fitted(page, std::to_string(reason.count) + "  " + reason.words, width, small), small);
      y += small_line;
      ++shown;
    }
  }
  if (!own_shown) return;
  draw_own(page, {legend_left + 0.5 * swatch, y + 2.4});
  page.text({text_left, y + 3.4}, "the job's own design", plain);
}

}  // namespace

std::string chart_drawing(const Chart& chart, DrawingFormat format) {
  Drawing page(format, a4, chart_title(chart));
  const Lettering title{.size_mm = 5.0, .weight = Weight::bold}, words{.size_mm = 3.2, .colour = Colour::quiet};
  page.text({words_left, 15.0}, fitted(page, chart_title(chart), page_right - words_left, title), title);
  double y = 21.5;
  for (const std::string& term : chart_terms(chart)) {
    page.text({words_left, y}, fitted(page, term + ".", page_right - words_left, words), words);
    y += 5.0;
  }
  const MapFrame map(chart);
  draw_cells(page, map);
  draw_borders(page, map);
  draw_axes(page, map);
  const bool own_shown =
      chart.request.diameters.nearest(chart.own_diameter_mm) && chart.request.row_values.nearest(chart.own_row);
  if (own_shown) draw_own(page, {map.x(chart.own_diameter_mm), map.y(chart.own_row)});
  draw_legend(page, chart, own_shown);
  // Sentences under the map, as many as there is room for.
  const Lettering sentence{.size_mm = 2.9};
  constexpr double sentence_line = 4.2, lowest = 203.0;
  y = bottom + 17.0;
  std::vector<std::string> all = chart_sentences(chart);
  all.insert(all.begin() + 1, chart_caveat());
  constexpr std::size_t columns_of_page = 165;
  for (const std::string& one : all) {
    const std::vector<std::string> lines = wrapped(one, columns_of_page);
    if (y + sentence_line * static_cast<double>(lines.size() - 1) > lowest) break;
    for (const std::string& line : lines) {
      page.text({words_left, y}, fitted(page, line, page_right - words_left, sentence), sentence);
      y += sentence_line;
    }
  }
  return page.finish();
}

}  // namespace coilwright
