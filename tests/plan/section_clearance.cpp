// Plans of stock that is not round: what is near is told by its section, as it lies, not by the circle around it.
#include <catch2/catch.hpp>
#include <coilwright/clearance/clearance.hpp>
#include <coilwright/plan/scene.hpp>

#include "plan/jobs.hpp"

using namespace coilwright;

namespace {

// Half a ring of rectangular tube lying flat, 60 in the plane of the bend and 40 high, on the example machine.
Job half_ring(const Section::Kind& kind = RectangularTube{Length::mm(60), Length::mm(40), Length::mm(3)}) {
  Job job = job_on_example_machine(
      {Section::from(kind).value(), find_material("S235").value(), "bar", "", {Length::metres(12)}});
  job.coil.radius = Length::mm(1500);
  job.coil.pitch = Length();
  job.coil.turns = 0.4;
  job.machine.rolls.groove.reset();
  job.passes = 1;
  job.clearance_margin = Length::mm(1);
  return job;
}

double least(const ClearanceResult& result, const std::string& name, std::optional<Piece> piece = std::nullopt) {
  for (const ObstacleClearance& one : result.obstacles)
    if (one.part == name) return (piece ? one.pieces[static_cast<std::size_t>(*piece)] : one.least_mm).value();
  FAIL("no obstacle " << name);
  return 0.0;
}

// The same scene for the circle around the section.
ClearanceResult of_circle(const Plan& plan) {
  ClearanceScene scene = plan_steps::clearance_scene(*plan.pose, plan.blank, plan.job.stock.section, plan.scene);
  scene.section.reset();
  return certify(scene);
}

}  // namespace

TEST_CASE("a shelf under a lying ring clears its face, where the circle round the section would strike it", "[plan][oracle]") {
  Job job = half_ring();
  // Under the far side of the ring, 3 mm below its lower face; the circle reaches 34 mm down.
  job.machine.solids.push_back({"shelf", Box{{-400, 2900, -60}, {400, 3300, -23}}});
  const Plan plan = planned(job);
  REQUIRE(plan.clearance);
  CHECK(least(plan.clearance->result, "shelf") == Approx(3.0).margin(0.011));
  CHECK(plan.clearance->verdict == Verdict::clears);
  CHECK(least(of_circle(plan), "shelf") < -8.0);
  // Where it does strike, it is as deep as the face goes in.
  job.machine.solids.back().shape = Box{{-400, 2900, -60}, {400, 3300, -15}};
  const Plan struck = planned(job);
  CHECK(struck.clearance->verdict == Verdict::collides);
  CHECK(least(struck.clearance->result, "shelf") == Approx(-5.0).margin(0.011));
}

TEST_CASE("the floor is as far as the face that lies over it", "[plan][oracle]") {
  Job job = half_ring();
  job.machine.room.floor = Length::mm(-300);
  const Plan plan = planned(job);
  for (const Piece piece : {Piece::stock, Piece::spans, Piece::coil, Piece::front_end})
    CHECK(least(plan.clearance->result, "floor", piece) == Approx(280.0).margin(0.011));
  CHECK(plan.clearance->swept_height_mm() == Approx(20.0).margin(0.011));
}

TEST_CASE("stock leaves its own rolls by its faces: no overlap by design is counted", "[plan][property]") {
  for (const Section::Kind& kind : {Section::Kind(RectangularTube{Length::mm(60), Length::mm(40), Length::mm(3)}),
                                    Section::Kind(FlatBar{Length::mm(50), Length::mm(8), Way::easy}),
                                    Section::Kind(AngleBar{Length::mm(40), Length::mm(40), Length::mm(5)})})
    for (const double pitch : {0.0, 900.0}) {
      Job job = half_ring(kind);
      job.coil.pitch = Length::mm(pitch);
      job.coil.turns = 0.3;
      job.coil.hand = Hand::right_screw;
      const Plan plan = planned(job);
      CAPTURE(plan.job.stock.section.text(), pitch);
      REQUIRE(plan.clearance);
      for (const ObstacleClearance& one : plan.clearance->result.obstacles)
        if (one.excluded_lag_mm) CHECK((!one.least_mm || *one.least_mm > 0.0));
    }
}

TEST_CASE("a pillar inside a ring of flat bar is as near as the bar's face", "[plan][oracle]") {
  // The bar on edge, 40 high and 8 deep; the pillar of 30 stands 6 off its inner face.
  Job job = half_ring(FlatBar{Length::mm(40), Length::mm(8), Way::easy});
  const Plan bare = planned(job);
  const double lag = 0.6 * bare.blank.rolled().mm();
  const Eigen::Vector3d inward = bare.pose->section_axes(Stage::coil, lag).inward;
  const Eigen::Vector3d foot = bare.pose->at(Stage::coil, lag).p + (4.0 + 6.0 + 30.0) * inward;
  job.machine.solids.push_back({"pillar", Cylinder{{foot.x(), foot.y(), -200}, {foot.x(), foot.y(), 200}, 30}});
  const Plan plan = planned(job);
  CHECK(least(plan.clearance->result, "pillar", Piece::coil) == Approx(6.0).margin(0.011));
  CHECK(least(of_circle(plan), "pillar") < -10.0);
}
