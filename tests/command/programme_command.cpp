// `coilwright programme` as its users run it.
#include <catch2/catch.hpp>
#include <algorithm>
#include <sstream>
#include <string>
#include <vector>

#include "run_program.hpp"

namespace {

std::vector<std::vector<std::string>> cells(const std::string& csv) {
  std::vector<std::vector<std::string>> rows;
  std::istringstream lines(csv);
  for (std::string line; std::getline(lines, line);) {
    std::vector<std::string>& row = rows.emplace_back(1);
    for (const char c : line) {
      if (c == ',') row.emplace_back();
      else row.back() += c;
    }
  }
  return rows;
}

const std::string hoop = "programme " COILWRIGHT_SAMPLES "/shelter-hoop.toml ";

}  // namespace

TEST_CASE("a programme is a table whose steps follow each other", "[command][property]") {
  const ScratchFolder scratch;
  const auto table = [&](const std::string& show) {
    CHECK(run(hoop + "--show " + show + " -o '" + scratch.path(show + ".csv") + "'").exit_code == 0);
    return cells(contents(scratch.path(show + ".csv")));
  };
  auto rows = table("mm");
  for (const auto& row : rows) CHECK(row.size() == rows[0].size());
  // Behind the steps, what is computed to come out around the four changes, place by place.
  const auto computed = std::find_if(rows.begin(), rows.end(), [](const auto& row) { return row[2] == "reached"; });
  CHECK(computed - rows.begin() == 10);  // the names, five segments, four changes
  CHECK(std::all_of(computed, rows.end(), [](const auto& row) { return row[2] == "reached" && row[6].empty(); }));
  CHECK(std::any_of(computed, rows.end(), [](const auto& row) { return !row[10].empty() && std::stod(row[10]) < 880.0; }));
  rows.erase(computed, rows.end());
  CHECK(rows[0][4] == "fed_from_mm");
  CHECK(rows[1][4] == "0.0");
  for (std::size_t i = 2; i < rows.size(); ++i) {
    CHECK(rows[i][4] == rows[i - 1][5]);  // fed length
    CHECK(rows[i][6] == rows[i - 1][7]);  // travel
  }
  CHECK(rows[1][10].empty());  // a straight has no radius
  CHECK(rows[3][10] == "880.0");  // 900 outside, half of 40 mm less
  // Both systems side by side, and inches alone.
  CHECK(table("both")[0].size() == rows[0].size() + 13);
  CHECK(table("in")[0][4] == "fed_from_in");
}

TEST_CASE("a coil has a programme too; a part that cannot be rolled has none, and says why", "[command][property]") {
  const ScratchFolder scratch;
  const std::string file = scratch.path("rail.csv");
  CHECK(run("programme " COILWRIGHT_SAMPLES "/spiral-handrail.toml --show mm -o '" + file + "'").exit_code == 0);
  const auto rows = cells(contents(file));
  REQUIRE(rows.size() == 2);
  CHECK(rows[1][2] == "hold");
  CHECK(rows[1][8] == rows[1][9]);
  CHECK(std::stod(rows[1][8]) > 0.0);  // lifted
  const Ran none = run("programme --radius '60 mm' --pitch '0 mm' --turns 0.5 --tube '42.4x2.6 mm' --material S235");
  CHECK(none.exit_code == 1);
  CHECK(none.out.empty());
  CHECK(none.err.find("fault") != std::string::npos);
}

TEST_CASE("without a file the programme is the section of the plan, of a coil too", "[command][property]") {
  const Ran own = run(hoop), plan = run("plan " COILWRIGHT_SAMPLES "/shelter-hoop.toml");
  CHECK(own.exit_code == 0);
  CHECK(plan.out.find(own.out) != std::string::npos);
  CHECK(own.out.find("Where segments meet") != std::string::npos);
  const Ran coil = run("programme " COILWRIGHT_SAMPLES "/spiral-handrail.toml");
  CHECK(coil.out.find("hold, segment 1") != std::string::npos);
}

TEST_CASE("the machine's own scales are in the programme, with the frame's give", "[command][property]") {
  const ScratchFolder scratch;
  const std::string file = scratch.path("p.csv");
  REQUIRE(run(hoop + "--show mm --touch-reading '112.4 mm' --travel-reads down --lift-reading-at-pass-height '7 mm' -o '" + file + "'")
              .exit_code == 0);
  const auto rows = cells(contents(file));
  CHECK(rows[0][12] == "travel_reading_from_mm");
  CHECK(rows[1][12] == "112.40");  // the straight, at touch
  // The example machine opens by 1 mm under 40 kN: beyond 112.4 less the travel, by less than a millimetre and a half.
  const double without = 112.4 - std::stod(rows[3][6]), reading = std::stod(rows[3][12]);
  CHECK(reading < without - 0.01);
  CHECK(reading > without - 1.5);
  CHECK(rows[3][14] == "7.0");  // nothing is lifted
}

TEST_CASE("the ending of the file says what a programme becomes", "[command][property]") {
  const ScratchFolder scratch;
  for (const auto& [name, beginning] : {std::pair<std::string, std::string>{"p.csv", "pass,step,kind,"},
                                        {"p.svg", "<?xml"},
                                        {"p.png", "\x89PNG"},
                                        {"p.pdf", "%PDF-"}}) {
    CHECK(run(hoop + "-o '" + scratch.path(name) + "'").exit_code == 0);
    CHECK(contents(scratch.path(name)).starts_with(beginning));
  }
  CHECK(run(hoop + "--json").exit_code == 2);
}
