// `coilwright chart` as its users run it.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <nlohmann/json.hpp>
#include <vector>

#include "run_program.hpp"

using Json = nlohmann::json;

namespace {

const std::string sample = "chart " COILWRIGHT_SAMPLES "/spiral-handrail.toml ";
const std::string small = sample + "--grid 7x5 ";

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("a chart is printed, and the answer is yes where something clears", "[command][property]") {
  const Ran ran = run(small);
  CHECK(ran.exit_code == 0);
  CHECK(ran.err.empty());
  CHECK(has(ran.out, "before uncertainty"));
  CHECK(has(ran.out, "@ the job's own design"));
  CHECK(run(sample + "--grid 3x2 --diameters '100 mm..200 mm'").exit_code == 1);
}

TEST_CASE("a chart is the same bytes on one thread and on two", "[command][property]") {
  for (const char* how : {"", "--json", "--distances --json", "--turn-range 0.5..3"}) {
    CAPTURE(how);
    CHECK(run(small + how + " --threads 1").out == run(small + how + " --threads 2").out);
  }
}

TEST_CASE("the ending of the file says what a chart becomes", "[command][property]") {
  const ScratchFolder scratch;
  for (const auto& [name, beginning] : {std::pair<std::string, std::string>{"c.csv", "diameter_mm,pitch_mm,turns,"},
                                        {"c.svg", "<?xml"},
                                        {"c.png", "\x89PNG"},
                                        {"c.pdf", "%PDF-"},
                                        {"c.txt", "What can be made from"}}) {
    CHECK(run(small + "-o '" + scratch.path(name) + "'").exit_code == 0);
    CHECK(contents(scratch.path(name)).starts_with(beginning));
  }
}

TEST_CASE("ranges are read as lengths and numbers", "[command][property]") {
  const Json chart = Json::parse(run(sample + "--json --grid 3x2 --diameters '4 ft..6 ft' --pitches '1 m..2 m'").out).at("chart");
  const auto diameters = chart["diameters_mm"].get<std::vector<double>>();
  REQUIRE(diameters.size() == 3);
  CHECK(diameters[0] == Approx(1219.2));  // 4 ft
  CHECK(diameters[1] == Approx(1524.0));
  CHECK(diameters[2] == Approx(1828.8));
  CHECK(chart["pitches_mm"] == Json({1000.0, 2000.0}));
  const Json turns = Json::parse(run(sample + "--json --grid 2x3 --turn-range 1..2").out).at("chart");
  CHECK(turns["turn_values"] == Json({1.0, 1.5, 2.0}));
  CHECK(turns["pitch_mm"] == 2700.0);
  CHECK(run(sample + "--grid 2x2 --unit mm --diameters 900..1500").exit_code <= 1);
}

TEST_CASE("the job's own design says what its plan says", "[command][oracle]") {
  const std::string job = COILWRIGHT_SAMPLES "/spiral-handrail.toml";
  const Json own = Json::parse(run("chart --json --distances --grid 2x2 " + job).out)["chart"]["own_design"];
  const Json plan = Json::parse(run("plan --json " + job).out);
  // Of the last pass: what a plan looks at besides comes less near here.
  double least = INFINITY;
  for (const Json& part : plan["clearance"]["parts"])
    for (const char* piece : {"stock", "spans", "coil"})
      if (!part["pieces"][piece].is_null()) least = std::min(least, part["pieces"][piece].get<double>());
  CHECK(own["least_before_uncertainty_mm"].get<double>() == Approx(least).margin(0.02));
  // A chart asks a table of the bending law.
  CHECK(own["roll_lift_mm"].get<double>() == Approx(plan["lift"]["roll_lift_mm"].get<double>()).margin(1e-7));
}

TEST_CASE("what is wrong with a chart's options is told at once, with what would do", "[command][input]") {
  const Ran ran = run(sample + "--diameters 'wide' --pitches '2 m..1 m' --grid 0x5 --threads none");
  CHECK(ran.exit_code == 3);
  CHECK(ran.out.empty());
  for (const char* said : {"--diameters", "'400 mm..2400 mm' would do", "--pitches", "smaller to the larger", "--grid", "40x30 would do",
                           "--threads", "2 would do"})
    CHECK(has(ran.err, said));
  CHECK(has(run(sample + "--diameters '400..600 mm'").err, "--diameters"));
  CHECK(run(sample + "--pitches '1 m..2 m' --turn-range 1..2").exit_code == 2);
  CHECK(run(sample + "--json -o x.csv").exit_code == 2);
  CHECK(run("chart " COILWRIGHT_SAMPLES "/gate-scroll.toml").exit_code == 3);
}

TEST_CASE("a chart that is interrupted prints one line and writes nothing", "[command][property]") {
  const ScratchFolder scratch;
  // Long enough for a busy computer to get as far as the chart, far too short for a million designs. In the foreground the signal
  // comes once; a second one ends the program.
  const Ran ran = run_shell("timeout --foreground --preserve-status -s INT 2 '" COILWRIGHT_PROGRAM "' " + sample +
                            "--grid 1000x1000 -o '" + scratch.path("c.txt") + "'");
  CHECK(ran.exit_code == 4);
  CHECK(ran.out.empty());
  CHECK(has(ran.err, "Stopped before the end"));
  CHECK(std::count(ran.err.begin(), ran.err.end(), '\n') == 1);
  CHECK(scratch.empty());
}
