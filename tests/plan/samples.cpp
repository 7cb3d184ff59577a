// What each sample is there to show. tests/command runs them through the program.
#include <algorithm>
#include <catch2/catch.hpp>
#include <coilwright/plan/job_file.hpp>
#include <coilwright/plan/plan.hpp>

using namespace coilwright;

namespace {

Plan sample(const std::string& name) {
  const Result<Job> job = read_job({.path = COILWRIGHT_SAMPLES "/" + name, .options = {}});
  if (!job)
    for (const Finding& f : job.error()) UNSCOPED_INFO(f.text);
  REQUIRE(job.has_value());
  const Result<Plan> plan = make_plan(*job);
  REQUIRE(plan.has_value());
  REQUIRE(plan->clearance);
  return *plan;
}

}  // namespace

TEST_CASE("the handrail is longer than its bar, slopes 28.2 degrees and clears", "[samples][oracle]") {
  const Plan plan = sample("spiral-handrail.toml");
  // R 800, pitch 2700, 1.1 turns by hand: slope atan(2700 / (2 pi 800)) = 28.24, length 1.1 sqrt((2 pi 800)^2 +
  // 2700^2) = 6276.38; bend radius 800 (1 + tan^2) = 1030.8; flat then pull 908.1.
  CHECK(plan.coil.helix().slope().deg() == Approx(28.24).margin(0.005));
  CHECK(plan.coil.developed_length().mm() == Approx(6276.38).margin(0.005));
  CHECK(plan.coil.helix().bend_radius().mm() == Approx(1030.8).margin(0.05));
  CHECK(plan.coil.helix().flat_then_pull_radius().mm() == Approx(908.1).margin(0.05));
  CHECK(plan.longer_than_stock == true);
  CHECK(plan.clearance->verdict == Verdict::clears);
  CHECK(plan.answer_is_yes());
}

TEST_CASE("of the heat-exchange coil only the swinging front end touches something", "[samples][property]") {
  const Plan plan = sample("heat-exchange-coil.toml");
  CHECK(plan.clearance->verdict == Verdict::collides);
  CHECK(plan.clearance->result.nearest->piece == Piece::front_end);
  bool touched = false;
  for (const ObstacleClearance& part : plan.clearance->result.obstacles)
    for (const Piece piece : all_pieces) {
      const auto& least = part.pieces[static_cast<std::size_t>(piece)];
      if (!least) continue;
      CAPTURE(part.part, piece_text(piece));
      if (piece == Piece::front_end) touched = touched || *least <= 0.0;
      else CHECK(*least > 0.0);
    }
  CHECK(touched);
}

TEST_CASE("the rail in the cellar hits the ceiling, and fewer turns would fit", "[samples][property]") {
  const Plan plan = sample("basement-rail.toml");
  CHECK(plan.clearance->verdict == Verdict::collides);
  CHECK(plan.clearance->result.nearest->part == "ceiling");
  CHECK(plan.coil.hand() == Hand::left_screw);
  REQUIRE(plan.clearance->most_turns_under_ceiling);
  CHECK(*plan.clearance->most_turns_under_ceiling < plan.coil.turns());
}

TEST_CASE("a rail known by its stair is the helix of its treads", "[samples][oracle]") {
  const Plan plan = sample("stair-rail.toml");
  // 15 risers of 27 degrees: 405 degrees for 2850 mm, so a turn rises 2850 / 1.125.
  CHECK(plan.coil.turns() == Approx(1.125).epsilon(1e-12));
  CHECK(plan.coil.helix().pitch().mm() == Approx(2850.0 / 1.125).epsilon(1e-12));
  CHECK(plan.coil.hand() == Hand::left_screw);
  CHECK(plan.answer_is_yes());
}

TEST_CASE("a rail in feet and inches is the same in millimetres", "[samples][oracle]") {
  const Plan plan = sample("imperial-rail.toml");
  // Inside 2'-9 1/2" = 850.9 mm, pipe 1.660 in: centreline 850.9 + 21.1 (42.2 mm as tabulated).
  CHECK(plan.coil.helix().plan_radius().mm() == Approx(850.9 + 21.1).epsilon(1e-12));
  CHECK(plan.coil.helix().pitch().mm() == Approx(2540.0).epsilon(1e-12));
  CHECK(plan.answer_is_yes());
}

TEST_CASE("a ring rolled flat comes round on to its own stock", "[samples][property]") {
  const Plan plan = sample("table-ring.toml");
  CHECK(plan.clearance->verdict == Verdict::collides);
  CHECK(plan.clearance->result.nearest->part == "incoming stock");
}

TEST_CASE("parts of several segments have a programme from end to end, and say that clearance is not checked",
          "[samples][property]") {
  for (const char* name : {"shelter-hoop.toml", "fire-basket.toml", "gate-scroll.toml"}) {
    CAPTURE(name);
    const Result<Job> job = read_job({.path = COILWRIGHT_SAMPLES "/" + std::string(name), .options = {}});
    REQUIRE(job.has_value());
    const Result<Plan> plan = make_plan(*job);
    REQUIRE(plan.has_value());
    REQUIRE(plan->part);
    REQUIRE(plan->part->programme);
    CHECK_FALSE(plan->clearance);
    CHECK_FALSE(plan->answer_is_yes());
    for (const auto& pass : plan->part->programme->passes)
      CHECK(pass.back().fed_to_mm == Approx(plan->developed_length().mm()).epsilon(1e-12));
    CHECK(std::none_of(plan->findings.begin(), plan->findings.end(),
                       [](const Finding& f) { return f.level == Level::fault; }));
  }
}

TEST_CASE("the shoulders of the shelter hoop bring its posts parallel", "[samples][oracle]") {
  const Result<Job> job = read_job({.path = COILWRIGHT_SAMPLES "/shelter-hoop.toml", .options = {}});
  REQUIRE(job.has_value());
  const Result<Plan> plan = make_plan(*job);
  REQUIRE(plan.has_value());
  // 70 + 40 degrees are given: 70 more make a half turn.
  const Segment& shoulder = plan->part->part.segments()[3];
  CHECK(shoulder.measures().at(SegmentMeasure::angle) == Approx(Angle::deg(70).rad()).epsilon(1e-9));
}
