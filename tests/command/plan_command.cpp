#include <catch2/catch.hpp>
#include <cmath>
#include <nlohmann/json.hpp>

#include "run_program.hpp"

using Json = nlohmann::json;

namespace {

const std::string samples = COILWRIGHT_SAMPLES "/";
const std::string measures = "--radius '800 mm' --pitch '2700 mm' --turns 1.1 --tube '42.4x2.6 mm' --material S235 --climbs ";
const std::string rail = measures + "counter-clockwise";

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

// The keys that schema 1 promises, by path.
const char* const promised[] = {
    "schema",
    "coil/centreline_radius_mm", "coil/pitch_mm", "coil/turns", "coil/hand", "coil/climbs", "coil/rise_mm",
    "coil/overall_height_mm", "coil/developed_length_mm", "coil/inside_length_mm", "coil/outside_length_mm",
    "coil/slope_deg", "coil/curvature_per_mm", "coil/torsion_per_mm", "coil/flat_then_pull_radius_mm",
    "coil/bend_radius_mm", "coil/rise_per_quarter_turn_mm", "coil/mass_kg", "coil/surface_m2",
    "part/developed_length_mm", "part/segments/0/kind", "part/segments/0/length_mm",
    "blank/cut_length_mm", "blank/flat_front_mm", "blank/run_in_mm", "blank/lead_arc_mm", "blank/settling_mm",
    "blank/trim_mm", "blank/flat_back_mm", "blank/usable_from_mm", "blank/usable_to_mm", "blank/stock_length_mm",
    "blank/longer_than_stock",
    "stock/section", "stock/material", "stock/yield_mpa", "stock/area_mm2", "stock/inertia_mm4",
    "stock/elastic_modulus_mm3", "stock/plastic_modulus_mm3", "stock/mass_per_metre_kg", "stock/surface_per_metre_m2",
    "rolling/passes/0/feed", "rolling/passes/0/centre_roll_travel_mm", "rolling/passes/0/frame_give_mm",
    "rolling/passes/0/free_radius_mm", "rolling/passes/0/loaded_radius_mm", "rolling/passes/0/centre_roll_force_n",
    "rolling/passes/0/entry_roll_force_n", "rolling/passes/0/exit_roll_force_n", "rolling/passes/0/drive_force_n",
    "rolling/passes/0/traction", "rolling/passes/0/roll_lift_mm", "rolling/arc_rule_travel_mm",
    "rolling/strain_percent", "rolling/ovality_percent", "rolling/wall_outside_mm", "rolling/wall_inside_mm",
    "lift/roll_lift_mm", "lift/start_at_mm", "lift/working_low_mm", "lift/working_high_mm", "lift/low_mm", "lift/high_mm",
    "lift/upright_rule_mm", "lift/forward_lean_deg", "lift/side_lean_deg", "lift/outboard_roll_force_n",
    "lift/exit_roll_vertical_force_n", "lift/held", "lift/turning_share", "lift/slope_rad", "lift/exit_height_mm",
    "lift/outboard_roll_position_mm/1",
    "pose/machine_from_coil/3/3", "pose/delta_rad", "pose/exit_theta_rad",
    "clearance/verdict", "clearance/least_mm", "clearance/error_bound_mm", "clearance/pose_uncertainty_mm",
    "clearance/margin_mm", "clearance/not_checked", "clearance/nearest/part", "clearance/nearest/piece",
    "clearance/nearest/fed_length_mm", "clearance/nearest/along_part_mm", "clearance/nearest/part_point_mm/2",
    "clearance/nearest/machine_point_mm/2", "clearance/parts/0/part", "clearance/parts/0/least_mm",
    "clearance/parts/0/pieces/stock", "clearance/parts/0/pieces/spans", "clearance/parts/0/pieces/coil",
    "clearance/parts/0/pieces/front_end", "clearance/parts/0/pieces/lead_arc", "clearance/parts/0/excluded_lag_mm",
    "clearance/self_mm", "clearance/stock_mm", "clearance/swept_radius_mm", "clearance/swept_height_mm",
    "clearance/most_turns_under_ceiling",
    "findings/0/level", "findings/0/about", "findings/0/text"};

double number(const Json& plan, const std::string& path) { return plan.at(Json::json_pointer("/" + path)).get<double>(); }

}  // namespace

TEST_CASE("each sample ends with its exit code", "[command][property]") {
  CHECK(run("plan " + samples + "spiral-handrail.toml").exit_code == 0);
  CHECK(run("plan " + samples + "heat-exchange-coil.toml").exit_code == 1);
  CHECK(run("plan " + samples + "basement-rail.toml").exit_code == 1);
}

TEST_CASE("options alone make the plan of the sample file", "[command][property]") {
  const Ran by_file = run("plan --json " + samples + "spiral-handrail.toml"), by_options = run("plan --json " + rail);
  CHECK(by_options.exit_code == 0);
  const Json a = Json::parse(by_file.out), b = Json::parse(by_options.out);
  for (const char* key : {"coil", "rolling", "lift", "pose", "clearance"}) CHECK(a.at(key) == b.at(key));
}

TEST_CASE("JSON holds every promised key", "[command][property]") {
  for (const char* sample : {"spiral-handrail.toml", "heat-exchange-coil.toml", "basement-rail.toml"}) {
    const Json plan = Json::parse(run("plan --json " + samples + sample).out);
    for (const char* path : promised) {
      CAPTURE(sample, path);
      CHECK(plan.contains(Json::json_pointer("/" + std::string(path))));
    }
    CHECK(plan.at("schema") == 1);
  }
}

TEST_CASE("the numbers of the JSON hang together", "[command][property]") {
  const Json plan = Json::parse(run("plan --json " + rail).out);
  const double sum = number(plan, "blank/flat_front_mm") +
                     std::max(number(plan, "blank/run_in_mm"), number(plan, "blank/lead_arc_mm") + number(plan, "blank/settling_mm")) +
                     number(plan, "coil/developed_length_mm") + number(plan, "blank/trim_mm") + number(plan, "blank/flat_back_mm");
  CHECK(number(plan, "blank/cut_length_mm") == Approx(sum).epsilon(1e-12));
  CHECK(number(plan, "lift/start_at_mm") == number(plan, "lift/working_low_mm"));
  // The posed curve passes through the outboard roll at the printed lift: H(Phi) through the printed matrix.
  const Json& X = plan.at("pose").at("machine_from_coil");
  const double R = number(plan, "coil/centreline_radius_mm"), c = number(plan, "coil/pitch_mm") / (2 * std::acos(-1.0));
  const double Phi = number(plan, "blank/lead_arc_mm") / std::hypot(R, c);
  const double H[] = {R * std::sin(Phi), R * (1 - std::cos(Phi)), c * Phi, 1};
  double p[3] = {};
  for (int row = 0; row < 3; ++row)
    for (int k = 0; k < 4; ++k) p[row] += X[row][k].get<double>() * H[k];
  CHECK(p[2] == Approx(number(plan, "lift/roll_lift_mm")).margin(0.01));
  CHECK(p[0] == Approx(plan["lift"]["outboard_roll_position_mm"][0].get<double>()).margin(0.01));
  CHECK(p[1] == Approx(plan["lift"]["outboard_roll_position_mm"][1].get<double>()).margin(0.01));
}

TEST_CASE("the left hand is the right one in a mirror", "[command][property]") {
  const Json right = Json::parse(run("plan --json " + rail).out);
  const Json left = Json::parse(run("plan --json " + measures + "clockwise").out);
  CHECK(left["coil"]["hand"] == "left-screw");
  CHECK(number(left, "coil/torsion_per_mm") == -number(right, "coil/torsion_per_mm"));
  CHECK(number(left, "lift/roll_lift_mm") == number(right, "lift/roll_lift_mm"));
  CHECK(left["lift"]["outboard_roll_position_mm"][0].get<double>() == -right["lift"]["outboard_roll_position_mm"][0].get<double>());
  for (int k = 0; k < 4; ++k)
    CHECK(left["pose"]["machine_from_coil"][0][k].get<double>() == -right["pose"]["machine_from_coil"][0][k].get<double>());
  CHECK(left["rolling"]["passes"][0]["feed"] != right["rolling"]["passes"][0]["feed"]);
}

TEST_CASE("the same job gives the same bytes, in any locale", "[command][property]") {
  const std::string job = "plan " + samples + "spiral-handrail.toml";
  const Ran once = run(job);
  CHECK(run(job).out == once.out);
  CHECK(run(job, "LC_ALL=de_DE.UTF-8 LANG=de_DE.UTF-8").out == once.out);
  CHECK(run(job + " --json").out == run(job + " --json").out);
}

TEST_CASE("inches, millimetres or both, as asked", "[command][property]") {
  const Ran mm = run("plan --show mm " + rail), in = run("plan --show in " + rail), both = run("plan " + rail);
  CHECK(has(mm.out, "6276.4 mm"));
  CHECK_FALSE(has(mm.out, "20'-7 1/8\""));
  CHECK(has(in.out, "20'-7 1/8\""));
  CHECK_FALSE(has(in.out, "6276.4 mm"));
  CHECK(has(both.out, "6276.4 mm (20'-7 1/8\")"));
}

TEST_CASE("feet, inches and pipe names are understood", "[command][property]") {
  const Ran ran = run("plan --json --radius \"2'-7 1/2\\\"\" --pitch '8.5 ft' --turns 1 --hand right-screw "
                      "--tube 'NPS 1-1/4 Sch 40' --material 'A53 Gr B'");
  CHECK(ran.exit_code <= 1);
  const Json plan = Json::parse(ran.out);
  CHECK(number(plan, "coil/centreline_radius_mm") == Approx(31.5 * 25.4));
  CHECK(number(plan, "coil/pitch_mm") == Approx(8.5 * 304.8));
  const Ran bare = run("plan --json --unit mm --radius 800 --pitch 2700 --turns 1.1 --hand right-screw --tube 42.4x2.6 --material S235");
  CHECK(bare.exit_code == 0);
}

TEST_CASE("an answer goes to a file, whole", "[command][property]") {
  const ScratchFolder scratch;
  const std::string path = scratch.path("plan.txt");
  const Ran ran = run("plan " + rail + " -o '" + path + "'");
  CHECK(ran.exit_code == 0);
  CHECK(contents(path) == run("plan " + rail).out);
}

TEST_CASE("help and version say what there is", "[command][property]") {
  CHECK(run("--help").exit_code == 0);
  CHECK(has(run("--help").out, "plan"));
  CHECK(has(run("plan --help").out, "--radius"));
  CHECK(run("--version").exit_code == 0);
  CHECK(has(run("tables").out, "S235"));
  CHECK_NOTHROW(Json::parse(run("tables --json").out));
}
