// A chart made by hand, so that its reports are tested without the computation behind it.
#include <algorithm>
#include <catch2/catch.hpp>
#include <coilwright/report/chart_drawing.hpp>
#include <coilwright/report/chart_text.hpp>
#include <coilwright/report/chart_words.hpp>
#include <nlohmann/json.hpp>
#include <regex>
#include <sstream>

#include "report/plan_fixture.hpp"

using namespace coilwright;

namespace {

// 5 x 3 designs: row 0 clears but for the first, row 1 has a hole, row 2 is under no ceiling.
Chart small_chart() {
  Chart chart{plan_fixture::rail().job,
              {{1000.0, 1400.0, 5}, ChartRows::pitch, {100.0, 300.0, 3}, ChartDepth::verdict},
              Hand::right_screw,
              1200.0,
              200.0,
              2.5,
              {},
              {"frame, \"left\"", "ceiling"},
              std::vector<ChartCell>(15),
              1234,
              {}};
  chart.job.show = Show::mm;
  for (ChartCell& cell : chart.cells) {
    cell.outcome = ChartOutcome::clears;
    cell.passes = 1;
    cell.travel_mm = 20.0;
    cell.roll_lift_mm = 150.25;
  }
  const auto set = [&](std::size_t i, ChartOutcome outcome) -> ChartCell& {
    chart.cells[i].outcome = outcome;
    return chart.cells[i];
  };
  set(0, ChartOutcome::cannot_be_bent).bend = Obstruction::slip;
  set(5, ChartOutcome::cannot_be_lifted).lift = LiftObstruction::out_of_reach;
  ChartCell& near = set(7, ChartOutcome::too_close);
  near.least_mm = 12.5;
  near.nearest = 0;
  for (std::size_t i = 10; i < 15; ++i) {
    ChartCell& high = set(i, ChartOutcome::over_the_ceiling);
    high.least_mm = -3.0;
    high.nearest = 1;
  }
  chart.own = near;
  return chart;
}

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

std::size_t count(const std::string& text, const std::string& what) {
  std::size_t found = 0;
  for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + what.size())) ++found;
  return found;
}

}  // namespace

TEST_CASE("the map shows each design where it belongs", "[property]") {
  const std::string text = chart_text(small_chart());
  CHECK(has(text, "| ^^^^^\n"));
  CHECK(has(text, "| L.@..\n"));
  CHECK(has(text, "| B....\n"));
  CHECK(text.find("^^^^^") < text.find("L.@.."));
  CHECK(has(text, "the rolls slip: 1"));
  CHECK(has(text, "it does not reach the outboard roll: 1"));
  CHECK(has(text, "clears: 7 designs"));
  CHECK(has(text, "before uncertainty"));
  CHECK(has(text, "1234 evaluations"));
  for (const std::string& line : lines_of(text)) CHECK(line.size() <= 100);
}

TEST_CASE("a map that is too large shows some of it and says so", "[property]") {
  Chart chart = small_chart();
  chart.request.diameters.count = 300;
  chart.request.row_values.count = 120;
  chart.cells.assign(300 * 120, chart.cells[1]);
  const std::string text = chart_text(chart);
  for (const std::string& line : lines_of(text)) CHECK(line.size() <= 100);
  CHECK(has(text, "of 300 columns every 4th is shown, of 120 rows every 3rd"));
}

TEST_CASE("sentences say from where to where designs clear, and where not", "[property]") {
  const std::vector<std::string> sentences = chart_sentences(small_chart());
  const auto said = [&](const std::string& one) { return std::find(sentences.begin(), sentences.end(), one) != sentences.end(); };
  CHECK(said("7 of the 15 designs charted clear, before uncertainty."));
  CHECK(said("At a pitch of 100 mm the smallest diameter charted that clears is 1100 mm, the largest 1400 mm."));
  CHECK(said("At a pitch of 200 mm the smallest diameter charted that clears is 1100 mm, the largest 1400 mm, but 1 of the "
             "values charted between them does not."));
  CHECK(said("At a pitch of 300 mm no diameter charted clears."));
  CHECK(said("At a diameter of 1200 mm the smallest pitch charted that clears is 100 mm, the largest 100 mm."));
  CHECK(has(sentences.front(), "least distance 12.5 mm before uncertainty"));
}

TEST_CASE("the CSV holds one row a design with units in its head", "[property]") {
  const std::vector<std::string> lines = lines_of(chart_csv(small_chart()));
  REQUIRE(lines.size() == 16);
  CHECK(lines[0] ==
        "diameter_mm,pitch_mm,turns,outcome,reason,least_before_uncertainty_mm,nearest,passes,centre_roll_travel_mm,roll_lift_mm");
  CHECK(lines[1] == "1000.000,100.000,2.5000,cannot be bent,the rolls slip,,,1,20.000,150.250");
  CHECK(lines[8] == "1200.000,200.000,2.5000,too close,,12.500,\"frame, \"\"left\"\"\",1,20.000,150.250");
  CHECK(lines[15] == "1400.000,300.000,2.5000,over the ceiling,,-3.000,ceiling,1,20.000,150.250");
}

TEST_CASE("the JSON holds the same", "[property]") {
  const auto chart = nlohmann::json::parse(chart_json(small_chart()));
  CHECK(chart["schema"] == 1);
  CHECK(chart["chart"]["cells"].size() == 15);
  CHECK(chart["chart"]["cells"][7]["nearest"] == "frame, \"left\"");
  CHECK(chart["chart"]["cells"][7]["least_before_uncertainty_mm"] == 12.5);
  CHECK(chart["chart"]["cells"][1]["least_before_uncertainty_mm"].is_null());
  CHECK(chart["chart"]["diameters_mm"][4] == 1400.0);
  CHECK(chart["chart"]["own_design"]["outcome"] == "too close");
  CHECK(chart["findings"].empty());
}

TEST_CASE("the page shows map, marks, legend and the job's own design", "[property]") {
  const std::string svg = chart_drawing(small_chart(), DrawingFormat::svg);
  // Fills: cells of the first row, one run each, and swatches of the legend. Clear, bad (ceiling), away, blocked, doubtful.
  CHECK(count(svg, "fill:rgb(80%,93%,80%)") >= 4);
  CHECK(count(svg, "fill:rgb(82%,36%,30%)") >= 2);
  CHECK(count(svg, "fill:rgb(70%,79%,90%)") >= 2);
  CHECK(count(svg, "fill:rgb(50%,52%,58%)") >= 2);
  CHECK(count(svg, "fill:rgb(98%,83%,42%)") >= 2);
  CHECK(count(svg, "stroke:rgb(5%,25%,60%)") == 2);  // on the map and in the legend
  CHECK(chart_drawing(small_chart(), DrawingFormat::svg) == svg);
  CHECK(chart_drawing(small_chart(), DrawingFormat::pdf).starts_with("%PDF"));
  Chart elsewhere = small_chart();
  elsewhere.own_diameter_mm = 5000.0;
  CHECK(count(chart_drawing(elsewhere, DrawingFormat::svg), "stroke:rgb(5%,25%,60%)") == 0);
}

TEST_CASE("ticks are round and stand within their axis", "[property]") {
  const Ticks mm = round_ticks({800.0, 2400.0, 60}, 1.0, 10);
  CHECK(mm.values == std::vector<double>{800, 1000, 1200, 1400, 1600, 1800, 2000, 2200, 2400});
  CHECK(mm.labels.front() == "800");
  const Ticks inches = round_ticks({254.0, 508.0, 60}, 25.4, 10);
  CHECK(inches.labels == std::vector<std::string>{"10", "11", "12", "13", "14", "15", "16", "17", "18", "19", "20"});
  const Ticks turns = round_ticks({0.5, 1.0, 6}, 1.0, 10);
  CHECK(turns.labels.front() == "0.50");
  CHECK(turns.labels.size() == 11);
  CHECK(round_ticks({7.0, 7.0, 1}, 1.0, 10).labels == std::vector<std::string>{"7.0"});
}
