// `coilwright programme` as its users run it.
#include <catch2/catch.hpp>
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
  const Ran ran = run(hoop + "--show mm");
  CHECK(ran.exit_code == 0);
  const auto rows = cells(ran.out);
  REQUIRE(rows.size() == 10);  // the names, five segments, four changes
  for (const auto& row : rows) CHECK(row.size() == rows[0].size());
  CHECK(rows[0][4] == "fed_from_mm");
  CHECK(rows[1][4] == "0.0");
  for (std::size_t i = 2; i < rows.size(); ++i) {
    CHECK(rows[i][4] == rows[i - 1][5]);  // fed length
    CHECK(rows[i][6] == rows[i - 1][7]);  // travel
  }
  CHECK(rows[1][10].empty());  // a straight has no radius
  CHECK(rows[3][10] == "880.0");  // 900 outside, half of 40 mm less
  // Both systems side by side, and inches alone.
  CHECK(cells(run(hoop + "--show both").out)[0].size() == rows[0].size() + 9);
  CHECK(cells(run(hoop + "--show in").out)[0][4] == "fed_from_in");
}

TEST_CASE("a coil has a programme too; a part that cannot be rolled has none, and says why", "[command][property]") {
  const Ran coil = run("programme " COILWRIGHT_SAMPLES "/spiral-handrail.toml --show mm");
  CHECK(coil.exit_code == 0);
  const auto rows = cells(coil.out);
  REQUIRE(rows.size() == 2);
  CHECK(rows[1][2] == "hold");
  CHECK(rows[1][8] == rows[1][9]);
  CHECK(std::stod(rows[1][8]) > 0.0);  // lifted
  const Ran none = run("programme --radius '60 mm' --pitch '0 mm' --turns 0.5 --tube '42.4x2.6 mm' --material S235");
  CHECK(none.exit_code == 1);
  CHECK(none.out.empty());
  CHECK(none.err.find("fault") != std::string::npos);
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
