// Options of every kind, alone and over a file.
#include <catch2/catch.hpp>
#include <cmath>
#include <nlohmann/json.hpp>

#include "run_program.hpp"

using Json = nlohmann::json;

namespace {

const std::string sample = "plan --json " COILWRIGHT_SAMPLES "/spiral-handrail.toml ";

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

void check_wrong_use(const std::string& arguments, const std::vector<std::string>& said) {
  const Ran ran = run(arguments);
  CAPTURE(arguments, ran.err);
  CHECK(ran.exit_code == 2);
  CHECK(ran.out.empty());
  for (const std::string& words : said) CHECK(has(ran.err, words));
}

}  // namespace

TEST_CASE("options replace what the file says, also where they say it in another way", "[command][property]") {
  const Json plan = Json::parse(run(sample + "--diameter '1800 mm' --hand left-screw --sweep '180 deg' --bar '30 mm'").out);
  CHECK(plan["coil"]["centreline_radius_mm"].get<double>() == Approx(900.0));
  CHECK(plan["coil"]["turns"].get<double>() == Approx(0.5));
  CHECK(plan["coil"]["hand"] == "left-screw");
  CHECK(plan["coil"]["pitch_mm"].get<double>() == Approx(2700.0));
  CHECK(plan["stock"]["area_mm2"].get<double>() == Approx(225.0 * std::acos(-1.0)));
}

TEST_CASE("values of every kind as options", "[command][input]") {
  const Json plan = Json::parse(run(sample + "--stock-length '7 m' --stock-length '5 m' --stock-slope '-1 deg' "
                                            "--outboard-roll-position '1050 mm' '880 mm' --yield-mpa 260 "
                                            "--hardening='2000 MPa' --rolls-drive-entry 1 --passes 1 "
                                            "--limits-centre-roll-force '50 kN' --margin '1 in'")
                                    .out);
  REQUIRE(plan.contains("stock"));
  CHECK(plan["stock"]["yield_mpa"].get<double>() == Approx(260.0));
  CHECK(plan["blank"]["stock_length_mm"].get<double>() == Approx(7000.0));
  CHECK(plan["clearance"]["margin_mm"].get<double>() == Approx(25.4));
}

TEST_CASE("bare numbers are read as --unit says, units that are written stay", "[command][property]") {
  const auto radius = [](const std::string& options) {
    const Ran ran = run(sample + options);
    return Json::parse(ran.out)["coil"]["centreline_radius_mm"].get<double>();
  };
  CHECK(radius("--unit mm --radius 812.8") == Approx(812.8));
  CHECK(radius("--unit in --radius 32") == Approx(812.8));
  CHECK(radius("--unit mm --radius '32 in'") == Approx(812.8));
  CHECK(radius("--radius-mm 812.8") == Approx(812.8));
}

TEST_CASE("every wrong use is told, with the nearest option", "[command][input]") {
  check_wrong_use("plan --picth '2 m' --sohw mm", {"--pitch", "--show"});
  check_wrong_use("plan --rolls-outer-spacng='500 mm'", {"--rolls-outer-spacing"});
  check_wrong_use("tables --machin example", {"--machine"});
  check_wrong_use("plan --pitch", {"--pitch", "value"});
  check_wrong_use("plan --radius '1 m' --radius '2 m'", {"--radius"});
  check_wrong_use("plan --radius '1 m' --radius-mm 2", {"--radius-mm", "twice"});
  check_wrong_use("plan --unit cm", {"--unit takes mm or in", "\"cm\""});
  check_wrong_use("plan --show metric", {"--show takes mm, in or both"});
  check_wrong_use("plan one.toml two.toml", {"two.toml", "one job file"});
  check_wrong_use("--radius '800 mm'", {"The command comes first"});
}

TEST_CASE("wrong use as JSON", "[command][input]") {
  const Ran ran = run(sample + "--raduis '1 mm'");
  CHECK(ran.exit_code == 2);
  CHECK(ran.err.empty());
  const Json json = Json::parse(ran.out);
  REQUIRE(json["findings"].size() == 1);
  CHECK(json["findings"][0]["about"] == "--raduis");
  CHECK(json["findings"][0]["level"] == "fault");
  CHECK(json["findings"][0]["line"].is_null());
}

TEST_CASE("a value that cannot be read as JSON names its option and the character", "[command][input]") {
  const Ran ran = run(sample + "--pitch '2,7 m'");
  CHECK(ran.exit_code == 3);
  const Json finding = Json::parse(ran.out)["findings"][0];
  CHECK(finding["about"] == "coil.pitch");
  CHECK(finding["file"] == "--pitch");
  CHECK(finding["line"].is_null());
  CHECK(finding["column"] == 2);
}

TEST_CASE("help tells the options of every table of a job", "[command][input]") {
  const std::string help = run("plan --help").out;
  for (const char* option :
       {"--radius", "--climbs", "--tube", "--stock-length", "--grip-front", "--machine", "--rolls-outer-spacing",
        "--rolls-drive-entry", "--outboard-roll-reach", "--limits-roll-lift", "--room-ceiling", "--passes", "--margin",
        "--tolerance-radius", "--touch-reading", "--unit", "--show", "--json", "--output", "--quiet", "--no-color"}) {
    CAPTURE(option);
    CHECK(has(help, option));
  }
}
