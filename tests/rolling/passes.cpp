#include <coilwright/rolling/passes.hpp>

#include <catch2/catch.hpp>
#include <coilwright/rolling/lift_plan.hpp>

#include "fixture.hpp"

using namespace coilwright;
using namespace coilwright::rolling_fixture;

namespace {

RollingSetup setup_at(double reach_mm) { return RollingSetup::of(handrail_stock(), roller(reach_mm), Angle()); }
Helix handrail() { return {Length::mm(800), Length::mm(2700), Hand::right_screw}; }

RolledPass one_pass(const RollingSetup& setup, const Helix& helix) {
  PassesOutcome outcome = roll_in_passes(setup, helix, 1);
  REQUIRE(std::holds_alternative<std::vector<RolledPass>>(outcome));
  return std::get<std::vector<RolledPass>>(outcome).front();
}

}  // namespace

TEST_CASE("the handrail's spans, lead arc and conditioning agree with an independent program", "[passes][oracle]") {
  // Computed beforehand by a separate program for a rail R 800, pitch 2700 of 42.4 x 2.6, yield 235: flat front
  // 235.34, flat back 234.71, lead arc 799.89 at reach 600 and 1455.3 at 1200; 94 and 16 mm of pitch per mm of
  // lift; exit utilisation at the worst corner 1.38 and 0.84.
  struct Row {
    double reach, lead_arc, pitch_per_lift, utilisation;
  };
  for (const Row& row : std::initializer_list<Row>{{600, 799.89, 94, 1.38}, {1200, 1455.3, 16, 0.84}}) {
    const RollingSetup setup = setup_at(row.reach);
    const RolledPass pass = one_pass(setup, handrail());
    CHECK(pass.rolling.span_out_mm == Approx(235.34).margin(0.00501));
    CHECK(pass.rolling.span_in_mm == Approx(234.71).margin(0.00501));
    const BandedLift lift = band_lift(setup, pass);
    CHECK(lift.plan.lead_arc.mm() == Approx(row.lead_arc).margin(0.0501));
    CHECK(lift.plan.pitch_per_lift == Approx(row.pitch_per_lift).margin(0.51));
    CHECK(lift.plan.worst_utilisation == Approx(row.utilisation).margin(0.00501));
    CHECK_FALSE(lift.plan.high);  // no equilibrium without hold
    REQUIRE(lift.plan.working_low);
    REQUIRE(lift.plan.working_high);
    CHECK(*lift.plan.working_low <= lift.plan.nominal.lift);
    CHECK(lift.plan.nominal.lift <= *lift.plan.working_high);
    REQUIRE(lift.plan.low);
    CHECK(*lift.plan.low <= *lift.plan.working_low);
  }
}

TEST_CASE("conditioning by position agrees with an independent program", "[passes][oracle]") {
  // Pitch per lift, held without play, stock held, printed to two digits.
  for (const auto& [name, degrees, expected] :
       {std::tuple{'A', 60.0, 27.0}, {'A', 90.0, 10.4}, {'B', 90.0, 7.3}, {'C', 120.0, 3.6}, {'D', 90.0, 9.5}, {'E', 45.0, 38.0}}) {
    const LiftJob job = lift_job(name);
    const auto lift = [&](double factor) {
      const LiftJob other{job.name, job.section, job.plan_radius_mm, job.pitch_mm * factor, job.half_spacing_mm,
                          job.yield_mpa, job.modulus_mpa};
      const LiftModel model = other.model(degrees);  // the azimuth past the exit roll is kept
      return model.groove_held(0, model.twist().torque_needed)->lift.mm();
    };
    CAPTURE(name, degrees);
    CHECK(0.002 * job.pitch_mm / (lift(1.001) - lift(0.999)) == Approx(expected).epsilon(0.02));
  }
}

TEST_CASE("a lift gives back the pitch it is for", "[passes][property]") {
  const RollingSetup setup = setup_at(1200);
  const RolledPass pass = one_pass(setup, handrail());
  const double Phi = pass.lift->model->arc().roll_theta();
  const auto pitch = pitch_for_lift_mm(setup, handrail(), Phi, {setup.hold, std::nullopt}, pass.lift->state.lift.mm());
  REQUIRE(pitch);
  CHECK(*pitch == Approx(2700).epsilon(1e-6));
  CHECK_FALSE(pitch_for_lift_mm(setup, handrail(), Phi, {setup.hold, std::nullopt}, 1e5));
}

TEST_CASE("passes of a helix are similar helices that end at the one asked for", "[passes][property]") {
  const PassesOutcome outcome = roll_in_passes(setup_at(1200), handrail(), 3);
  REQUIRE(std::holds_alternative<std::vector<RolledPass>>(outcome));
  const auto& passes = std::get<std::vector<RolledPass>>(outcome);
  REQUIRE(passes.size() == 3);
  const double slope = handrail().slope().rad();
  for (const RolledPass& pass : passes) {
    CHECK(pass.helix.slope().rad() == Approx(slope).epsilon(1e-12));
    CHECK(pass.lift);
  }
  CHECK(passes.back().rolling.free_curvature == Approx(handrail().curvature().per_mm()).epsilon(1e-10));
  CHECK(passes[0].rolling.travel_mm < passes[1].rolling.travel_mm);
  CHECK(passes[1].rolling.travel_mm < passes[2].rolling.travel_mm);
  CHECK(passes[2].before.free_curvature == passes[1].rolling.after.free_curvature);
}

TEST_CASE("an outboard roll out of reach is an outcome with its numbers", "[passes][property]") {
  const PassesOutcome outcome = roll_in_passes(setup_at(1700), handrail(), 1);
  REQUIRE(std::holds_alternative<NoPass>(outcome));
  const auto* far = std::get_if<OutOfReach>(&std::get<NoPass>(outcome).why);
  REQUIRE(far);
  CHECK(far->wanted_mm == 1700);
  CHECK(far->farthest_mm <= 1700);
}

TEST_CASE("steep coils that just reach the outboard roll are lifted there, without a hole between them", "[passes][property]") {
  // Across a coil of this size the way out to the roll is nearly along it: a search by slopes alone loses it.
  const double reach = 1200.0;
  const RollingSetup setup = setup_at(reach);
  const Eigen::Vector2d exit_axis(setup.rolls.half_spacing_mm, 0.0);
  int lifted = 0;
  for (double radius = 610.0; radius <= 760.0; radius += 1.0) {
    CAPTURE(radius);
    const PassesOutcome outcome = roll_in_passes(setup, {Length::mm(radius), Length::mm(3800), Hand::right_screw}, 1);
    const auto* passes = std::get_if<std::vector<RolledPass>>(&outcome);
    // Once one is lifted, every wider one is.
    if (passes == nullptr) CHECK(lifted == 0);
    if (passes == nullptr) continue;
    ++lifted;
    REQUIRE(passes->front().lift);
    CHECK((passes->front().lift->roll_point_F.head<2>() - exit_axis).norm() == Approx(reach).margin(2e-6));
  }
  CHECK(lifted > 120);
}

TEST_CASE("reach, position and azimuth of the same place give the same lift", "[passes][property]") {
  RollingSetup setup = setup_at(1200);
  const RolledPass pass = one_pass(setup, handrail());
  const LiftSolution by_reach = *pass.lift;
  setup.outboard_roll->place = Position{Length::mm(by_reach.roll_point_F.x()), Length::mm(by_reach.roll_point_F.y())};
  CHECK(one_pass(setup, handrail()).lift->state.lift.mm() == Approx(by_reach.state.lift.mm()).epsilon(1e-6));
  const RaisedArc& arc = by_reach.model->arc();
  setup.outboard_roll->place = PastExit{Angle::rad(arc.roll_theta() - arc.exit_theta())};
  CHECK(one_pass(setup, handrail()).lift->state.lift.mm() == Approx(by_reach.state.lift.mm()).epsilon(1e-9));
  setup.outboard_roll->place = Position{Length::mm(by_reach.roll_point_F.x() + 90), Length::mm(by_reach.roll_point_F.y())};
  const PassesOutcome off = roll_in_passes(setup, handrail(), 1);
  REQUIRE(std::holds_alternative<NoPass>(off));
  CHECK(std::holds_alternative<OffTheRoll>(std::get<NoPass>(off).why));
}

TEST_CASE("a roll under a sloping tube stands lower than the tube rises", "[passes][oracle]") {
  // By hand: (50 + 21.2) (1 / cos 23 deg - 1) = 6.15 mm.
  const Length roll = roll_height_for(Length::mm(200), Angle::deg(23), Length::mm(50), 21.2);
  CHECK((Length::mm(200) - roll).mm() == Approx(6.15).margin(0.00501));
  CHECK(roll_height_for(Length::mm(200), Angle(), Length::mm(50), 21.2) == Length::mm(200));
}
