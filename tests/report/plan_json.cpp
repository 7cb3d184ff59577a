#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/report/plan_json.hpp>
#include <limits>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "report/plan_fixture.hpp"

using namespace coilwright;
using Json = nlohmann::ordered_json;

namespace {

struct Group {
  const char* name;
  std::vector<const char*> keys;
};

// Schema 1 as promised to users and scripts, in its order. Keys may be added behind these, never changed.
const std::vector<Group> schema{
    {"coil",
     {"centreline_radius_mm", "pitch_mm", "turns", "hand", "climbs", "rise_mm", "overall_height_mm",
      "developed_length_mm", "inside_length_mm", "outside_length_mm", "slope_deg", "curvature_per_mm",
      "torsion_per_mm", "flat_then_pull_radius_mm", "bend_radius_mm", "rise_per_quarter_turn_mm", "mass_kg",
      "surface_m2"}},
    {"part", {"developed_length_mm", "segments"}},
    {"blank",
     {"cut_length_mm", "flat_front_mm", "run_in_mm", "lead_arc_mm", "settling_mm", "trim_mm", "flat_back_mm",
      "usable_from_mm", "usable_to_mm", "stock_length_mm", "longer_than_stock"}},
    {"stock",
     {"section", "material", "yield_mpa", "area_mm2", "inertia_mm4", "elastic_modulus_mm3", "plastic_modulus_mm3",
      "mass_per_metre_kg", "surface_per_metre_m2"}},
    {"rolling",
     {"passes", "arc_rule_travel_mm", "strain_percent", "ovality_percent", "wall_outside_mm", "wall_inside_mm"}},
    {"lift",
     {"roll_lift_mm", "start_at_mm", "working_low_mm", "working_high_mm", "low_mm", "high_mm", "upright_rule_mm",
      "forward_lean_deg", "side_lean_deg", "outboard_roll_force_n", "exit_roll_vertical_force_n", "held",
      "turning_share", "slope_rad", "exit_height_mm", "outboard_roll_position_mm"}},
    {"pose", {"machine_from_coil", "delta_rad", "exit_theta_rad"}},
    {"clearance",
     {"verdict", "least_mm", "error_bound_mm", "pose_uncertainty_mm", "margin_mm", "not_checked", "nearest", "parts",
      "self_mm", "stock_mm", "swept_radius_mm", "swept_height_mm", "most_turns_under_ceiling"}},
    {"quote", {"stock_lengths"}},
};

const std::vector<const char*> pass_keys{
    "feed",           "centre_roll_travel_mm", "frame_give_mm",      "free_radius_mm",
    "loaded_radius_mm", "centre_roll_force_n", "entry_roll_force_n", "exit_roll_force_n",
    "drive_force_n",  "traction",              "roll_lift_mm"};
const std::vector<const char*> nearest_keys{"part",          "piece",         "fed_length_mm",
                                            "along_part_mm", "part_point_mm", "machine_point_mm"};

// The keys of `object` start with these, in this order.
void check_keys(const Json& object, const std::vector<const char*>& keys) {
  REQUIRE(object.is_object());
  REQUIRE(object.size() >= keys.size());
  auto it = object.begin();
  for (const char* key : keys) CHECK((it++).key() == key);
}

Json parsed(const Plan& plan) { return Json::parse(plan_json(plan)); }

}  // namespace

TEST_CASE("every key of schema 1 stands in its place, answer or not", "[plan_json][property]") {
  for (const Plan& plan : {plan_fixture::rail(), plan_fixture::rail(Hand::left_screw), plan_fixture::without_answer()}) {
    const Json document = parsed(plan);
    auto it = document.begin();
    CHECK(it.key() == "schema");
    CHECK((it++).value() == 1);
    for (const Group& group : schema) {
      INFO(group.name);
      REQUIRE(it.key() == group.name);
      check_keys((it++).value(), group.keys);
    }
    REQUIRE(it.key() == "findings");
    REQUIRE(it.value().size() == plan.findings.size());
    for (const Json& finding : it.value()) check_keys(finding, {"level", "about", "text"});
    REQUIRE(document["rolling"]["passes"].size() == plan.rolling.passes.size());
    for (const Json& pass : document["rolling"]["passes"]) check_keys(pass, pass_keys);
    check_keys(document["clearance"]["nearest"], nearest_keys);
    for (const Json& part : document["clearance"]["parts"]) {
      check_keys(part, {"part", "least_mm", "pieces", "excluded_lag_mm"});
      check_keys(part["pieces"], {"stock", "spans", "coil", "front_end", "lead_arc"});
    }
    REQUIRE(document["part"]["segments"].size() == 1);
    check_keys(document["part"]["segments"][0], {"kind", "length_mm"});
  }
}

TEST_CASE("what does not exist is null, not zero", "[plan_json][property]") {
  const Json document = parsed(plan_fixture::without_answer());
  for (const char* group : {"lift", "pose"})
    for (const auto& [key, value] : document[group].items()) {
      INFO(group << "." << key);
      CHECK(value.is_null());
    }
  CHECK(document["rolling"]["arc_rule_travel_mm"].is_null());
  CHECK(document["rolling"]["strain_percent"].is_null());
  for (const char* key : {"cut_length_mm", "flat_front_mm", "lead_arc_mm", "settling_mm", "flat_back_mm", "usable_from_mm"})
    CHECK(document["blank"][key].is_null());
  CHECK(document["clearance"]["verdict"].is_null());
  CHECK(document["clearance"]["nearest"]["part"].is_null());
  CHECK(document["blank"]["stock_length_mm"].is_null());
  CHECK(document["blank"]["longer_than_stock"].is_null());
  CHECK(document["answer"] == "no");
}

TEST_CASE("a roll that only touches by design has no gap", "[plan_json][property]") {
  Plan plan = plan_fixture::rail();
  plan.clearance->result.least_mm.reset();
  plan.clearance->result.nearest.reset();
  plan.clearance->result.obstacles[0].least_mm.reset();
  const Json document = parsed(plan);
  CHECK(document["clearance"]["least_mm"].is_null());
  CHECK(document["clearance"]["parts"][0]["least_mm"].is_null());
  check_keys(document["clearance"]["nearest"], nearest_keys);
  for (const auto& [key, value] : document["clearance"]["nearest"].items()) CHECK(value.is_null());
}

TEST_CASE("numbers come back bit for bit", "[plan_json][property]") {
  Plan plan = plan_fixture::rail();
  plan.rolling.passes[0].travel = Length::mm(0.1 + 0.2);
  plan.clearance->result.least_mm = 1.0 / 3.0;
  plan.blank.lead_arc = Length::mm(std::nextafter(1455.3, 2000.0));
  const Json document = parsed(plan);
  CHECK(document["rolling"]["passes"][0]["centre_roll_travel_mm"].get<double>() == 0.1 + 0.2);
  CHECK(document["clearance"]["least_mm"].get<double>() == 1.0 / 3.0);
  CHECK(document["blank"]["lead_arc_mm"].get<double>() == plan.blank.lead_arc.mm());
  CHECK(document["blank"]["cut_length_mm"].get<double>() == plan.blank.cut_length().mm());
  CHECK(document["coil"]["developed_length_mm"].get<double>() == plan.coil.developed_length().mm());
  CHECK(document["pose"]["exit_theta_rad"].get<double>() == 235.34 / plan.coil.helix().arc_per_radian_mm());
}

TEST_CASE("a number that is not finite is our mistake and never reaches a file", "[plan_json][input]") {
  Plan plan = plan_fixture::rail();
  plan.rolling.strain_percent = std::numeric_limits<double>::quiet_NaN();
  CHECK_THROWS_AS(plan_json(plan), InternalError);
  plan = plan_fixture::rail();
  plan.clearance->result.obstacles[0].pieces[1] = std::numeric_limits<double>::infinity();
  CHECK_THROWS_AS(plan_json(plan), InternalError);
}

TEST_CASE("minus zero is written as zero", "[plan_json][property]") {
  Plan plan = plan_fixture::rail();
  plan.lift->nominal.exit_height = Length::mm(-0.0);
  CHECK(plan_json(plan).find("-0.0") == std::string::npos);
}

TEST_CASE("text that is not UTF-8 still makes a document that parses", "[plan_json][input]") {
  Plan plan = plan_fixture::rail();
  plan.job.machine.name = "roller \xff\xfe \xc0\xaf";
  plan.findings.push_back({Level::caution, "machine", "name \xed\xa0\x80 \"quoted\" \x1b[2J\n", Place{"\xf5.toml", 3, 9}});
  const Json document = parsed(plan);
  CHECK(document["machine"]["name"].get<std::string>().find("\xEF\xBF\xBD") != std::string::npos);
  CHECK(document["findings"].back()["line"] == 3);
  CHECK(document["findings"].back()["column"] == 9);
  CHECK(plan_json(plan).find('\x1b') == std::string::npos);
}

TEST_CASE("the left hand is the mirror image in x", "[plan_json][oracle]") {
  const Json right = parsed(plan_fixture::rail()), left = parsed(plan_fixture::rail(Hand::left_screw));
  const auto mirrored = [](const Json& a, const Json& b) {
    CHECK(a[0].get<double>() == -b[0].get<double>());
    for (std::size_t i = 1; i < a.size(); ++i) CHECK(a[i] == b[i]);
  };
  mirrored(right["lift"]["outboard_roll_position_mm"], left["lift"]["outboard_roll_position_mm"]);
  for (const char* key : {"part_point_mm", "machine_point_mm"})
    mirrored(right["clearance"]["nearest"][key], left["clearance"]["nearest"][key]);

  // The matrix carries a point of the right-hand helix of the coil frame into M: the determinant of its
  // rotation says whether it holds the mirror, and the posed point is the mirror image of the other.
  const auto matrix = [](const Json& document) {
    Eigen::Matrix4d X;
    for (int r = 0; r < 4; ++r)
      for (int c = 0; c < 4; ++c) X(r, c) = document["pose"]["machine_from_coil"][r][c].get<double>();
    return X;
  };
  CHECK(matrix(right).topLeftCorner<3, 3>().determinant() == Approx(1.0).epsilon(1e-12));
  CHECK(matrix(left).topLeftCorner<3, 3>().determinant() == Approx(-1.0).epsilon(1e-12));
  const PosedPart pose = *plan_fixture::rail().pose;
  const double lag = 3000.0;
  const Eigen::Vector3d p_C = pose.helix().point_C(lag / pose.helix().arc_per_radian_mm());
  const Eigen::Vector3d posed = pose.at(Stage::coil, lag).p;
  const Eigen::Vector3d by_right = (matrix(right) * p_C.homogeneous()).head<3>();
  const Eigen::Vector3d by_left = (matrix(left) * p_C.homogeneous()).head<3>();
  CHECK((by_right - posed).norm() < 1e-9 * posed.norm());
  CHECK((by_left - Eigen::Vector3d(-posed.x(), posed.y(), posed.z())).norm() < 1e-9 * posed.norm());
  CHECK(right["coil"]["torsion_per_mm"].get<double>() > 0.0);
  CHECK(left["coil"]["torsion_per_mm"].get<double>() < 0.0);
}

TEST_CASE("errors as JSON have their place", "[plan_json][input]") {
  const Json document = Json::parse(findings_json(
      {{Level::fault, "coil.radius", "\"6oo mm\" is no length.", Place{"job.toml", 2, 10}},
       {Level::fault, "stock.tube", "No stock is given.", std::nullopt}}));
  check_keys(document, {"schema", "findings"});
  check_keys(document["findings"][0], {"level", "about", "text", "file", "line", "column"});
  CHECK(document["findings"][0]["level"] == "fault");
  CHECK(document["findings"][0]["file"] == "job.toml");
  CHECK(document["findings"][0]["line"] == 2);
  CHECK(document["findings"][1]["file"].is_null());
}

TEST_CASE("same plan, same bytes", "[plan_json][property]") {
  CHECK(plan_json(plan_fixture::rail()) == plan_json(plan_fixture::rail()));
  CHECK(plan_json(plan_fixture::rail()).back() == '\n');
}

TEST_CASE("JSON holds what the machine can do and what bending does to the section", "[plan_json][property]") {
  const Json rolling = Json::parse(plan_json(plan_fixture::rail()))["rolling"];
  const Json& capability = rolling["capability"];
  check_keys(capability, {"can", "answer", "smallest_bends", "spacings", "spacings_are_positions", "recommended_spacing_mm",
                          "instead", "suggested_radius_mm", "suggested_because", "radius_reasons"});
  CHECK(capability["spacings_are_positions"] == true);
  REQUIRE(capability["spacings"].size() == 4);
  for (const Json& spacing : capability["spacings"])
    check_keys(spacing, {"outer_spacing_mm", "passes", "centre_roll_travel_mm", "centre_roll_force_n", "outer_roll_force_n",
                         "traction", "smallest_bend_radius_mm", "flat_ends_mm", "stopped_by"});
  CHECK(capability["instead"].is_null());  // it can
  double largest = 0.0;
  REQUIRE(capability["radius_reasons"].size() >= 3);
  for (const Json& reason : capability["radius_reasons"]) {
    check_keys(reason, {"reason", "origin", "bend_radius_mm"});
    largest = std::max(largest, reason["bend_radius_mm"].get<double>());
  }
  CHECK(capability["suggested_radius_mm"] == largest);
  CHECK(rolling["wall_outside_least_mm"] == 2.53);
  CHECK(rolling["wall_inside_most_mm"] == 2.67);
  CHECK(rolling["passes"][0]["press_in_force_n"] == 13580.0);
  for (const char* absent : {"sideways_bow_per_metre_mm", "permitted_bow_mm", "permitted_radius_low_mm", "permitted_radius_high_mm"}) {
    CAPTURE(absent);
    REQUIRE(rolling.contains(absent));
    CHECK(rolling[absent].is_null());  // not asked for, not there
  }
  Plan asked = plan_fixture::rail();
  asked.rolling.permitted_variation = CurvatureVariation{Length::mm(6.5), Length::mm(1029), std::nullopt};
  asked.rolling.sideways_bow = Length::mm(4.1);
  const Json with = Json::parse(plan_json(asked))["rolling"];
  CHECK(with["permitted_bow_mm"] == 6.5);
  CHECK(with["permitted_radius_low_mm"] == 1029.0);
  CHECK(with["permitted_radius_high_mm"].is_null());  // even straight would do
  CHECK(with["sideways_bow_per_metre_mm"] == 4.1);
}
