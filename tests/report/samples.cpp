// The reports of real plans: every sample, as a shop would get it.
#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/plan/job_file.hpp>
#include <coilwright/plan/plan.hpp>
#include <coilwright/report/plan_json.hpp>
#include <coilwright/report/plan_text.hpp>
#include <coilwright/report/safe_text.hpp>
#include <coilwright/report/text_page.hpp>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>

using namespace coilwright;

namespace {

const char* const jobs[] = {"spiral-handrail.toml", "heat-exchange-coil.toml", "basement-rail.toml"};

Plan sample(const std::string& name) {
  const Result<Job> job = read_job({.path = COILWRIGHT_SAMPLES "/" + name, .options = {}});
  REQUIRE(job.has_value());
  const Result<Plan> plan = make_plan(*job);
  REQUIRE(plan.has_value());
  return *plan;
}

}  // namespace

TEST_CASE("every sample prints on a page, twice the same", "[samples][property]") {
  for (const char* name : jobs) {
    INFO(name);
    Plan plan = sample(name);
    for (const Show show : {Show::mm, Show::inch, Show::both}) {
      plan.job.show = show;
      const std::string text = plan_text(plan);
      CHECK(text == plan_text(plan));
      std::istringstream lines(text);
      for (std::string line; std::getline(lines, line);) {
        INFO(line);
        CHECK(columns(line) <= TextPage::width);
      }
    }
    CHECK(plan_json(plan) == plan_json(sample(name)));
  }
}

TEST_CASE("the document of every sample holds the plan's own numbers", "[samples][property]") {
  for (const char* name : jobs) {
    INFO(name);
    const Plan plan = sample(name);
    const auto document = nlohmann::ordered_json::parse(plan_json(plan));
    CHECK(document["blank"]["cut_length_mm"].get<double>() == plan.blank.cut_length().mm());
    CHECK(document["rolling"]["passes"].size() == plan.rolling.passes.size());
    CHECK(document["clearance"]["least_mm"].get<double>() == plan.clearance->governing().least_mm());
    CHECK(document["answer"] == (plan.answer_is_yes() ? "yes" : "no"));
    // Nothing but what belongs to later work may be null in a plan that has an answer.
    for (const auto& [group, value] : document.items()) {
      if (!value.is_object() || group == "quote" || group == "blank") continue;
      for (const auto& [key, number] : value.items()) {
        if (key == "frame_give_mm" || key == "most_turns_under_ceiling" || key == "own_roll_lift_mm")
          continue;
        INFO(group << "." << key);
        const bool may_lack = key == "working_high_mm" || key == "high_mm" || key == "working_low_mm" ||
                              key == "start_at_mm" || key == "self_mm" || key == "stock_mm" ||
                              key == "remedies" /* where none is needed */ || key == "when" /* the last pass */ || key.starts_with("ovality") || key.starts_with("wall") ||
                              // Of an angle only; when the drawing asks for a rule only.
                              key == "sideways_bow_per_metre_mm" || key.starts_with("permitted_");
        CHECK((may_lack || !number.is_null()));
      }
    }
  }
}

TEST_CASE("the coil frame's matrix puts the helix where the plan's pose has it", "[samples][oracle]") {
  for (const char* name : jobs) {
    INFO(name);
    const Plan plan = sample(name);
    REQUIRE(plan.pose);
    const auto rows = nlohmann::ordered_json::parse(plan_json(plan))["pose"]["machine_from_coil"];
    const double R = plan.coil.helix().plan_radius().mm(), c = plan.coil.helix().rise_per_radian_mm();
    for (const double theta : {3.0, 6.0}) {
      const double p_C[4] = {R * std::sin(theta), R * (1 - std::cos(theta)), c * theta, 1.0};
      const Eigen::Vector3d p_M = to_machine_frame(
          plan.pose->at(Stage::coil, theta * plan.coil.helix().arc_per_radian_mm()).p, plan.mirrored());
      for (int r = 0; r < 3; ++r) {
        double sum = 0.0;
        for (int k = 0; k < 4; ++k) sum += rows[r][k].get<double>() * p_C[k];
        CHECK(sum == Approx(p_M[r]).margin(1e-9 * p_M.norm()));
      }
    }
  }
}
