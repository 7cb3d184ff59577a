// What a plan says of the section after bending, of limits, and of what would do instead.
#include <algorithm>
#include <catch2/catch.hpp>
#include <coilwright/machine/example_machine.hpp>
#include <coilwright/plan/plan.hpp>

#include "plan/jobs.hpp"

using namespace coilwright;

namespace {

Section square(double side_mm, double wall_mm) {
  return Section::from(RectangularTube{Length::mm(side_mm), Length::mm(side_mm), Length::mm(wall_mm)}).value();
}

// A flat arc, so that the lift has no say.
Job arc(const Section& section, double radius_mm) {
  Job job = job_on_example_machine({section, find_material("S235").value(), "", "", {Length::metres(12)}});
  job.name = "arc";
  job.coil.radius = Length::mm(radius_mm);
  job.coil.pitch = Length();
  job.coil.turns = 0.25;
  job.machine.rolls.groove.reset();
  return job;
}

Section tube() { return Section::round_tube(Length::mm(42.4), Length::mm(2.6)).value(); }

const Finding* about(const Plan& plan, Level level, const std::string& key, const std::string& words) {
  for (const Finding& f : plan.findings)
    if (f.level == level && f.about == key && f.text.find(words) != std::string::npos) return &f;
  return nullptr;
}

}  // namespace

TEST_CASE("the suggested radius is the largest of its reasons, and below it something speaks", "[plan][property]") {
  for (const Section& section : {tube(), square(50, 3), square(40, 2), Section::round_bar(Length::mm(25)).value()}) {
    const Plan plan = planned(arc(section, 1200));
    const Capability::RadiusReason* suggested = plan.rolling.capability.suggested();
    CAPTURE(section.text());
    REQUIRE(suggested != nullptr);
    for (const Capability::RadiusReason& reason : plan.rolling.capability.radius_reasons) {
      CHECK_FALSE(reason.reason.empty());
      CHECK_FALSE(reason.origin.empty());
      CHECK(*reason.bend_radius <= *suggested->bend_radius);
    }
    // Just under it the machine cannot or a finding says what the reason says (a sentence starts with a capital); just
    // over it neither.
    const auto speaks = [&](double share) {
      Job job = arc(section, share * suggested->bend_radius->mm());
      job.passes = plan.rolling.capability.smallest_bends.back().passes;  // those with which the machine goes tightest
      const Plan at = planned(job);
      const std::string words = suggested->reason.substr(1);
      return !at.rolling.capability.can || std::any_of(at.findings.begin(), at.findings.end(), [&](const Finding& f) {
        return f.text.find(words) != std::string::npos;
      });
    };
    CHECK(speaks(0.99));
    CHECK_FALSE(speaks(1.01));
  }
}

TEST_CASE("a reason against every radius leaves no radius to suggest", "[plan][property]") {
  Job job = arc(tube(), 1200);
  job.machine.limits.centre_roll_force = Force::newtons(500);  // bends nothing
  const Plan plan = planned(job);
  CHECK(plan.rolling.capability.suggested() == nullptr);
  CHECK_FALSE(plan.rolling.capability.can);
  CHECK(plan.rolling.capability.instead.find("too heavy") != std::string::npos);
}

TEST_CASE("only round tube has an ovality, only tube has walls", "[plan][property]") {
  const Plan round = planned(arc(tube(), 1000)), box = planned(arc(square(50, 3), 1500));
  const Plan bar = planned(arc(Section::round_bar(Length::mm(25)).value(), 500));
  CHECK(round.rolling.ovality_percent);
  CHECK_FALSE(box.rolling.ovality_percent);
  CHECK_FALSE(bar.rolling.ovality_percent);
  for (const Plan* plan : {&round, &box}) {
    CHECK(*plan->rolling.wall_outside_least < *plan->rolling.wall_outside);
    CHECK(*plan->rolling.wall_outside < *plan->rolling.wall_inside);
    CHECK(*plan->rolling.wall_inside < *plan->rolling.wall_inside_most);
  }
  CHECK_FALSE(bar.rolling.wall_outside);
}

TEST_CASE("walls of a square tube that buckle are a caution with the numbers", "[plan][property]") {
  CHECK(about(planned(arc(square(50, 3), 700)), Level::caution, "stock.square", "buckle"));
  CHECK_FALSE(about(planned(arc(square(50, 3), 2500)), Level::caution, "stock.square", "buckle"));
  // Thin and wide: 100 x 2, flat 92 mm, dishes below 92^2 / 4 = 2116 mm.
  CHECK(about(planned(arc(square(100, 2), 1900)), Level::caution, "stock.square", "bulge"));
  CHECK_FALSE(about(planned(arc(square(100, 2), 2600)), Level::caution, "stock.square", "bulge"));
}

TEST_CASE("an angle bows sideways, a square tube does not", "[plan][property]") {
  const Section angle = Section::from(AngleBar{Length::mm(50), Length::mm(50), Length::mm(5)}).value();
  const Plan plan = planned(arc(angle, 700));
  REQUIRE(plan.rolling.sideways_bow);
  CHECK(plan.rolling.sideways_bow->mm() > 1.0);
  CHECK(about(plan, Level::caution, "rolling", "sideways"));
  CHECK_FALSE(planned(arc(square(50, 3), 1500)).rolling.sideways_bow);
}

TEST_CASE("the shop's own tolerance on the section is compared with the ovality band", "[plan][property]") {
  Job job = arc(tube(), 900);
  const Plan base = planned(job);
  const double low = *base.rolling.ovality_low_percent, high = *base.rolling.ovality_high_percent;
  const auto said = [&](double percent, const std::string& words) {
    job.tolerance.distortion_percent = percent;
    return about(planned(job), Level::caution, "tolerance.distortion", words) != nullptr;
  };
  CHECK(said(1.1 * high, "within it"));
  CHECK(said(0.5 * (low + high), "only a trial piece"));
  CHECK(said(0.9 * low, "even at its low end"));
  job = arc(square(50, 3), 1500);
  CHECK(said(2, "no estimate"));
}

TEST_CASE("curvature by AISC 303 is given as a band of radius", "[plan][property]") {
  Job job = arc(tube(), 900);
  CHECK_FALSE(planned(job).rolling.permitted_variation);
  job.tolerance.curvature = Tolerances::CurvatureRule::aisc_303;
  const Plan plan = planned(job);
  const auto& permitted = plan.rolling.permitted_variation;
  REQUIRE(permitted);
  CHECK(permitted->bow.mm() == Approx(plan.coil.developed_length().mm() / 960).epsilon(1e-12));
  CHECK(permitted->tightest < Length::mm(900));
  CHECK(*permitted->slackest > Length::mm(900));
  CHECK(about(plan, Level::caution, "tolerance.curvature", "6.4.2"));
}

TEST_CASE("a bar shorter than its flat ends cannot be gripped", "[plan][property]") {
  Job job = arc(tube(), 900);
  const Plan base = planned(job);
  const Length ends = base.blank.flat_front + base.blank.flat_back;
  job.stock.stock_lengths = {ends - Length::mm(1)};
  CHECK(about(planned(job), Level::fault, "stock.stock_length", "too short to be gripped"));
  job.stock.stock_lengths = {ends + Length::mm(1)};
  const Plan longer = planned(job);
  CHECK_FALSE(about(longer, Level::fault, "stock.stock_length", ""));
  CHECK(about(longer, Level::caution, "stock.stock_length", "longer than the longest bar"));
}

TEST_CASE("the force on an outer roll is one more limit", "[plan][property]") {
  Job job = arc(tube(), 900);
  const Plan base = planned(job);
  const PassPlan& pass = base.rolling.passes.front();
  const Force most = std::max(pass.entry_roll_force, pass.exit_roll_force);
  job.machine.limits.outer_roll_force = 1.01 * most;
  CHECK(planned(job).rolling.capability.can);
  job.machine.limits.outer_roll_force = 0.97 * most;
  const Plan over = planned(job);
  CHECK_FALSE(over.rolling.capability.can);
  CHECK(about(over, Level::fault, "machine.limits.outer_roll_force", "outer roll"));
  // A wider spacing of the machine's positions does it.
  CHECK(over.rolling.capability.instead.find("at an outer spacing of 600") != std::string::npos);
}

TEST_CASE("a no names the passes that would do", "[plan][property]") {
  Job job = arc(tube(), 450);
  const Plan chosen = planned(job);
  REQUIRE(chosen.rolling.capability.can);
  REQUIRE(chosen.rolling.passes.size() > 1);
  job.passes = 1;
  const Plan slips = planned(job);
  CHECK_FALSE(slips.rolling.capability.can);
  CHECK(slips.rolling.capability.instead.find(std::to_string(chosen.rolling.passes.size()) + " passes would do it") == 0);
  CHECK(chosen.rolling.capability.instead.empty());
}
