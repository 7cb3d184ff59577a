// A part of several segments in several passes: what its bent stock comes near to on its way in again.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/coil/segment.hpp>
#include <coilwright/plan/job_file.hpp>
#include <coilwright/plan/plan.hpp>

#include "plan/jobs.hpp"

using namespace coilwright;

namespace {

Job sample_job(const std::string& name) {
  Result<Job> job = read_job({.path = COILWRIGHT_SAMPLES "/" + name, .options = {}});
  REQUIRE(job.has_value());
  return *std::move(job);
}

std::optional<double> stock_to(const ClearanceResult& result, const std::string& part) {
  const auto found = std::find_if(result.obstacles.begin(), result.obstacles.end(), [&](const ObstacleClearance& o) { return o.part == part; });
  REQUIRE(found != result.obstacles.end());
  return found->pieces[static_cast<std::size_t>(Piece::stock)];
}

}  // namespace

TEST_CASE("the fire basket's stock is checked in its second pass, and clears", "[bent_blank][property]") {
  const Plan plan = planned(sample_job("fire-basket.toml"));
  REQUIRE(plan.rolling.passes.size() == 2);
  REQUIRE(plan.clearance);
  CHECK(plan.clearance->verdict == Verdict::clears);
  CHECK(std::none_of(plan.clearance->not_checked.begin(), plan.clearance->not_checked.end(),
                     [](const std::string& what) { return what.find("stock") != std::string::npos; }));
  REQUIRE_FALSE(plan.clearance->moments.empty());
  const ClearanceMoment& first_pass = plan.clearance->moments.front();
  CHECK(first_pass.when == "in pass 1 of 2");
  // It is a cone of twice the radius that sweeps behind the rolls in the second pass, so that people keep farther away then
  // than in the first, in which the stock comes in straight, comes to stand.
  CHECK(plan.clearance->result.swept_radius_mm > 4.0 * 220.0);
  // Half bent it comes nowhere near itself as it does in the last pass.
  CHECK(*first_pass.result.self_mm > *plan.clearance->result.self_mm);
}

TEST_CASE("half-rolled, a cone hangs down behind the rolls, by either hand as low", "[bent_blank][property]") {
  Job job = sample_job("fire-basket.toml");
  const double floor_mm = -120.0;
  job.machine.room.floor = Length::mm(floor_mm);
  const Plan plan = planned(job);
  REQUIRE(plan.clearance);
  CHECK(plan.clearance->verdict == Verdict::collides);
  const ClearancePlan::Governing governing = plan.clearance->governing();
  CHECK(governing.when.empty());
  REQUIRE(governing.result->nearest);
  const NearestPair& nearest = *governing.result->nearest;
  CHECK(nearest.part == "floor");
  CHECK(nearest.piece == Piece::stock);
  // All of it hangs there from the start; what is told lies behind the entry contact and on the bar.
  CHECK(nearest.fed_length_mm >= 0.0);
  CHECK(nearest.fed_length_mm < plan.blank.rolled().mm());
  CHECK(nearest.along_part_mm > plan.blank.flat_front.mm() + nearest.fed_length_mm);
  CHECK(nearest.along_part_mm <= plan.blank.cut_length().mm() + 1e-6);
  // What overlaps by so much reaches so much below the floor.
  CHECK(nearest.part_point.z() == Approx(floor_mm + nearest.distance_mm).margin(1e-6));
  // In the first pass the stock is straight.
  REQUIRE_FALSE(plan.clearance->moments.empty());
  CHECK(plan.clearance->moments.front().when == "in pass 1 of 2");
  CHECK(*stock_to(plan.clearance->moments.front().result, "floor") == Approx(-floor_mm - 8.0).margin(0.02));
  // A floor by the length of the bar lower is out of reach: the stock keeps away from it by as much more, by either hand.
  job.machine.room.floor = Length::mm(-6000.0);
  const Plan deep = planned(job);
  CHECK(deep.clearance->verdict == Verdict::clears);
  CHECK(*stock_to(deep.clearance->result, "floor") == Approx(*stock_to(plan.clearance->result, "floor") + 6000.0 + floor_mm).margin(0.02));
  REQUIRE(job.segments.front().hand);
  job.segments.front().hand = *job.segments.front().hand == Hand::right_screw ? Hand::left_screw : Hand::right_screw;
  const Plan other = planned(job);
  REQUIRE(other.mirrored() != plan.mirrored());
  CHECK(*stock_to(other.clearance->result, "floor") == Approx(*stock_to(deep.clearance->result, "floor")).margin(1e-6));
}

TEST_CASE("a post where straight stock goes by is in the way of bent stock", "[bent_blank][property]") {
  Job job = sample_job("shelter-hoop.toml");
  job.machine.solids.clear();
  const auto with_post_at = [&](double x, double y, int passes) {
    Job other = job;
    other.passes = passes;
    // Fed along +x the stock lies on the side of -x, and bends to the side of +y.
    other.machine.solids.push_back({"post", Cylinder{{x, y, -800}, {x, y, 800}, 60}, Rides::frame});
    return planned(other);
  };
  const Plan one = with_post_at(-2500, 1000, 1), two = with_post_at(-2500, 1000, 2), away = with_post_at(-2500, -1500, 2);
  REQUIRE(one.rolling.passes.back().feed == FeedSide::from_the_right);
  REQUIRE(one.clearance);
  CHECK(one.clearance->verdict == Verdict::clears);
  CHECK(*stock_to(one.clearance->result, "post") > 150.0);
  REQUIRE(two.clearance);
  CHECK(two.clearance->verdict == Verdict::collides);
  const NearestPair& nearest = *two.clearance->governing().result->nearest;
  CHECK(two.clearance->governing().when.empty());
  CHECK(nearest.part == "post");
  CHECK(nearest.piece == Piece::stock);
  CHECK(nearest.fed_length_mm > 0.0);
  CHECK(nearest.fed_length_mm < two.blank.rolled().mm());
  // The part's point lies in the post.
  CHECK(std::hypot(nearest.part_point.x() + 2500, nearest.part_point.y() - 1000) < 60.0);
  const bool said = std::any_of(two.findings.begin(), two.findings.end(), [](const Finding& f) {
    return f.level == Level::fault && f.about == "clearance" && f.text.find("incoming stock and post overlap") != std::string::npos &&
           f.text.find("at a fed length of") != std::string::npos;
  });
  CHECK(said);
  CHECK(away.clearance->verdict == Verdict::clears);
}

TEST_CASE("bent stock stands where its arcs, laid out by hand, put it", "[bent_blank][oracle]") {
  // Before anything is fed: along x at y = 120 (outer roll 100, half of a square of 40) to the end of run-in and post, which
  // lie straight in the rolls (500 + 600 from the centre roll on), then arcs of twice the radius of the part, half as far
  // round: 1760 over 35 degrees, then 4760. The post stands outside of the second.
  Job job = sample_job("shelter-hoop.toml");
  job.passes = 2;
  job.machine.solids.clear();
  const Eigen::Vector2d post(-2500.0, 500.0);
  job.machine.solids.push_back({"post", Cylinder{{post.x(), post.y(), -800}, {post.x(), post.y(), 800}, 60}, Rides::frame});
  const Plan plan = planned(job);
  REQUIRE(plan.clearance);
  const double bent = Angle::deg(35).rad();
  const Eigen::Vector2d joint(-1100.0 - 1760.0 * std::sin(bent), 120.0 + 1760.0 * (1.0 - std::cos(bent)));
  const Eigen::Vector2d centre = joint + 4760.0 * Eigen::Vector2d(std::sin(bent), std::cos(bent));
  CHECK(*stock_to(plan.clearance->result, "post") == Approx((post - centre).norm() - 4760.0 - 20.0 - 60.0).margin(0.02));
  for (const ObstacleClearance& obstacle : plan.clearance->result.obstacles)
    if (obstacle.part == "post") CHECK(obstacle.nearest->fed_length_mm == Approx(0.0).margin(0.01));
}

TEST_CASE("earlier passes of several segments stand as they leave the part", "[bent_blank][oracle]") {
  // The first of two passes leaves arcs of twice the radius, as one pass would that is to leave them.
  Job job = sample_job("shelter-hoop.toml");
  const auto arcs = [&](double times, int passes) {
    Job other = job;
    other.segments.clear();
    for (const double radius : {900.0, 1300.0}) {
      SegmentSpec arc;
      arc.kind = SegmentKind::arc;
      arc.with(SegmentMeasure::radius, Length::mm(times * radius)).with(SegmentMeasure::length, Length::mm(2000));
      other.segments.push_back(arc);
    }
    other.passes = passes;
    return planned(other);
  };
  const Plan two = arcs(1.0, 2), one = arcs(2.0, 1);
  REQUIRE(two.clearance);
  REQUIRE(one.clearance);
  REQUIRE(two.clearance->moments.size() == 1);
  const auto &a = two.clearance->moments.front().result.obstacles, &b = one.clearance->result.obstacles;
  REQUIRE(a.size() == b.size());
  std::size_t compared = 0;
  for (std::size_t i = 0; i < a.size(); ++i) {
    CAPTURE(a[i].part);
    constexpr auto coil = static_cast<std::size_t>(Piece::coil);
    REQUIRE(a[i].pieces[coil].has_value() == b[i].pieces[coil].has_value());
    if (!a[i].pieces[coil]) continue;
    CHECK(*a[i].pieces[coil] == Approx(*b[i].pieces[coil]).margin(0.02));  // two proofs of one distance
    ++compared;
  }
  CHECK(compared > 10);
}
