// What each sample is there to show. tests/command runs them through the program.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/clearance/shape_distance.hpp>
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

TEST_CASE("a part that bends both ways is followed before and behind the turning", "[plan][property]") {
  Result<Job> job = read_job({.path = COILWRIGHT_SAMPLES "/shelter-hoop.toml", .options = {}});
  REQUIRE(job.has_value());
  SegmentSpec in = job->segments.at(1), out = in;
  const SegmentSpec straight = job->segments.at(0);  // 600 mm, more than half of the spacing of 500
  out.bends = Bends::out;
  job->segments = {in, out};
  const Result<Plan> plan = make_plan(*job);
  REQUIRE(plan);
  REQUIRE(plan->part);
  REQUIRE(plan->part->growth);
  REQUIRE(plan->clearance);
  CHECK(std::count(plan->clearance->not_checked.begin(), plan->clearance->not_checked.end(),
                   "part while it is taken out and turned between segments") == 1);
  const PartGrowth& growth = *plan->part->growth;
  const double joint = growth.blank.starts_mm().at(growth.blank.starts_mm().size() - 2);
  const auto front = [&](double fed) { return Eigen::Vector3d(growth.X_FP(fed) * growth.blank.frame(0.0).translation()); };
  // Ahead of the joint the front end lies on the side of the centre roll, behind it on the other; always level.
  const Eigen::Vector3d before = front(joint - 1.0), after = front(joint + 300.0);
  CHECK(before.y() > 300.0);
  CHECK(after.y() < 0.0);
  CHECK(std::abs(before.z()) < 1e-6);
  CHECK(std::abs(after.z()) < 1e-6);
  // Bent on both sides of the joint, it lies askew between the rolls; with a straight between it does not.
  CHECK(plan->clearance->verdict == Verdict::too_close_to_say);
  CHECK(plan->clearance->not_checked.size() == 2);
  job->segments = {in, straight, out};
  const Result<Plan> with_straight = make_plan(*job);
  REQUIRE(with_straight);
  REQUIRE(with_straight->clearance);
  CHECK(with_straight->clearance->not_checked.size() == 1);
  // The stock comes in along the same line.
  const auto at_bend = [&](double fed) { return Eigen::Vector3d(growth.X_FP(fed) * growth.blank.frame(fed).translation()); };
  CHECK((at_bend(joint + 300.0) - at_bend(joint - 1.0)).norm() < 1e-6);
}

TEST_CASE("parts of several segments are planned from end to end: programme, growth, clearance", "[samples][property]") {
  for (const char* name : {"shelter-hoop.toml", "fire-basket.toml", "gate-scroll.toml"}) {
    CAPTURE(name);
    const Result<Job> job = read_job({.path = COILWRIGHT_SAMPLES "/" + std::string(name), .options = {}});
    REQUIRE(job.has_value());
    const Result<Plan> plan = make_plan(*job);
    REQUIRE(plan.has_value());
    REQUIRE(plan->part);
    REQUIRE(plan->part->programme);
    for (const auto& pass : plan->part->programme->passes)
      CHECK(pass.back().fed_to_mm == Approx(plan->developed_length().mm()).epsilon(1e-12));
    REQUIRE(plan->clearance);
    REQUIRE(plan->part->growth);
    const PartGrowth& growth = *plan->part->growth;
    CHECK(growth.blank.length_mm() == Approx((plan->blank.cut_length() - plan->blank.flat_back).mm()).epsilon(1e-9));
    // From the exit contact of the start-up on, every fed length once and in order, and the pose without a jump.
    CHECK(growth.steps.back().fed.fed_to_mm == Approx(growth.blank.length_mm()).epsilon(1e-12));
    for (std::size_t k = 1; k < growth.steps.size(); ++k) {
      CHECK(growth.steps[k].fed.fed_from_mm == Approx(growth.steps[k - 1].fed.fed_to_mm).epsilon(1e-12));
      CHECK(growth.steps[k].fed.X_FB_from.isApprox(growth.steps[k - 1].fed.X_FB_to, 1e-9));
    }
  }
}

TEST_CASE("places of a growing part keep the distance that was proved", "[samples][oracle]") {
  for (const char* name : {"shelter-hoop.toml", "fire-basket.toml"}) {
    CAPTURE(name);
    const Result<Job> job = read_job({.path = COILWRIGHT_SAMPLES "/" + std::string(name), .options = {}});
    REQUIRE(job.has_value());
    const Result<Plan> plan = make_plan(*job);
    REQUIRE(plan.has_value());
    REQUIRE(plan->part->growth);
    const PartGrowth& growth = *plan->part->growth;
    // Both sections are the same from all four sides, and neither part is turned over: which way is up does not matter.
    const SectionBox box = SectionBox::of(job->stock.section);
    REQUIRE(box.middle_mm.norm() < 1e-9);
    const Eigen::Vector2d corner = box.half_edges_mm;
    // What does not move with the settings, by its own distance.
    std::vector<std::pair<std::string, ConvexBody>> still;
    for (const Solid& solid : job->machine.solids)
      if (solid.rides == Rides::frame && !std::holds_alternative<MeshBody>(solid.shape))
        still.emplace_back(solid.name, ConvexBody(plan->mirrored() ? mirrored_in_x(solid.shape) : solid.shape));
    // The machine of the fire basket has no solids of its own.
    if (name == std::string("shelter-hoop.toml")) REQUIRE(still.size() > 5);
    for (const PartGrowth::Step& step : growth.steps) {
      for (int k = 0; k <= 6; ++k) {
        const double share = k / 6.0, fed = std::lerp(step.fed.fed_from_mm, step.fed.fed_to_mm, share);
        const Eigen::Isometry3d X_FP = growth.X_FP(fed);
        for (double along = 0.0; along < fed - step.span_out_mm; along += 25.0) {
          const Eigen::Isometry3d X = X_FP * growth.blank.frame(along);
          for (const auto& [solid, body] : still) {
            const auto found = std::find_if(plan->clearance->result.obstacles.begin(), plan->clearance->result.obstacles.end(),
                                            [&](const ObstacleClearance& o) { return o.part == solid; });
            REQUIRE(found != plan->clearance->result.obstacles.end());
            // Half a millimetre: a pose between two solved ones goes by length here, by azimuth along a taper there.
            double least = std::numeric_limits<double>::infinity();
            for (const double across : {-1.0, 1.0})
              for (const double up : {-1.0, 1.0})
                least = std::min(least, body.distance(X * Eigen::Vector3d(0.0, across * corner.x(), up * corner.y())).distance_mm);
            CHECK(least - box.rounding_mm >= *found->least_mm - 0.5);
          }
        }
      }
    }
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
