#include <coilwright/rolling/placement.hpp>

#include <Eigen/Geometry>
#include <catch2/catch.hpp>

#include "fixture.hpp"

using namespace coilwright;
using namespace coilwright::rolling_fixture;

namespace {

struct Placed {
  RollingSetup setup;
  RolledPass pass;
  PosedPart part;
};

Placed placed(double plan_radius_mm, double pitch_mm, double reach_mm) {
  const RollingSetup setup = RollingSetup::of(handrail_stock(), roller(reach_mm), Angle());
  const Helix helix(Length::mm(plan_radius_mm), Length::mm(pitch_mm), Hand::right_screw);
  PassesOutcome outcome = roll_in_passes(setup, helix, 1);
  REQUIRE(std::holds_alternative<std::vector<RolledPass>>(outcome));
  RolledPass pass = std::get<std::vector<RolledPass>>(outcome).front();
  const bool lifted = pass.lift.has_value();
  PosedPart part = place_part(helix, setup.law, setup.rolls, pass.before, pass.rolling,
                              lifted ? &pass.lift->model->arc() : nullptr, lifted ? &pass.lift->state : nullptr);
  return {setup, pass, part};
}

double torsion_sign(const PosedPart& part, double lag) {
  const double h = 1.0;
  const Eigen::Vector3d d1 = part.at(Stage::coil, lag).d1, d2 = part.at(Stage::coil, lag).d2;
  const Eigen::Vector3d d3 = (part.at(Stage::coil, lag + h).d2 - part.at(Stage::coil, lag - h).d2) / (2 * h);
  return d1.cross(d2).dot(d3);
}

}  // namespace

TEST_CASE("the posed curve passes through the outboard roll at the printed lift", "[placement][property]") {
  for (const auto& [R, pitch, reach] : {std::tuple{800.0, 2700.0, 600.0}, {800.0, 2700.0, 1200.0}, {900.0, 2000.0, 600.0},
                                        {1500.0, 3000.0, 900.0}, {500.0, 150.0, 700.0}, {900.0, 2400.0, 1500.0}}) {
    CAPTURE(R, pitch, reach);
    const Placed p = placed(R, pitch, reach);
    const double lag = p.part.outboard_lag_mm();
    const Eigen::Vector3d there = p.part.at(Stage::coil, lag).p;
    CHECK(there.z() == Approx(p.pass.lift->state.lift.mm()).margin(0.01));
    CHECK((there.head<2>() - Eigen::Vector2d(250, 0)).norm() == Approx(reach).margin(1e-6));
    CHECK((there - p.pass.lift->roll_point_F).norm() < 1e-6);
    CHECK((there - p.part.at(Stage::arc, lag).p).norm() < 1e-6);
  }
}

TEST_CASE("in plan the curve goes on from the loaded span in point and direction", "[placement][property]") {
  const Placed p = placed(800, 2700, 1200);
  const double lag = p.part.span_out_mm();
  const CurvePoint before = p.part.at(Stage::spans, lag), after = p.part.at(Stage::arc, lag);
  CHECK((before.p - after.p).head<2>().norm() < 0.01);   // the springing of the arc up to here
  CHECK(std::abs((before.p - after.p).z()) < 0.51);      // out of plane by the play of the exit groove
  const Eigen::Vector2d a = before.d1.head<2>().normalized(), b = after.d1.head<2>().normalized();
  CHECK(std::abs(a.x() * b.y() - a.y() * b.x()) < 1e-3);
}

TEST_CASE("a right-hand coil climbs, with the torsion of a right-hand screw", "[placement][property]") {
  const Placed p = placed(800, 2700, 1200);
  CHECK(torsion_sign(p.part, 3000) > 0);
  const double turn = 2 * 3.14159265358979 * p.part.helix().arc_per_radian_mm();
  CHECK(p.part.at(Stage::coil, 2000 + turn).p.z() > p.part.at(Stage::coil, 2000).p.z() + 2000);
  // The coil's inside lies toward the centre roll, +y.
  CHECK(p.part.at(Stage::coil, 3000).p.y() > 0);
}

TEST_CASE("a ring leaves level and flat", "[placement][oracle]") {
  const Placed p = placed(800, 0, 1200);
  CHECK_FALSE(p.pass.lift);
  for (const double lag : {300.0, 1500.0, 4000.0}) CHECK(std::abs(p.part.at(lag).p.z()) < 1e-12);
  CHECK(p.part.outboard_lag_mm() == p.part.span_out_mm());
}

TEST_CASE("the derivatives of every stage are those of its points", "[placement][property]") {
  const Placed p = placed(800, 2700, 1200);
  const double h = 1e-3;
  for (const auto& [stage, lag] : {std::pair{Stage::stock, -900.0}, {Stage::spans, -120.3}, {Stage::spans, 77.7},
                                   {Stage::arc, 500.0}, {Stage::arc, 1301.0}, {Stage::coil, 2222.0}}) {
    CAPTURE(static_cast<int>(stage), lag);
    const CurvePoint c = p.part.at(stage, lag);
    const Eigen::Vector3d back = p.part.at(stage, lag - h).p, on = p.part.at(stage, lag + h).p;
    CHECK(((on - back) / (2 * h) - c.d1).norm() < 1e-6);
    CHECK(((p.part.at(stage, lag + h).d1 - p.part.at(stage, lag - h).d1) / (2 * h) - c.d2).norm() < 1e-6);
    if (stage == Stage::spans) CHECK(c.d2.norm() <= p.part.spans_second_bound_per_mm());
    if (stage == Stage::arc) CHECK(c.d2.norm() <= p.part.arc_second_bound_per_mm());
  }
}

TEST_CASE("a part moved as a whole keeps its shape", "[placement][property]") {
  const Placed p = placed(800, 2700, 1200);
  const Eigen::Vector3d by(0.0, -0.5, 0.0);
  const PosedPart q = p.part.shifted(by);
  for (const double lag : {-800.0, -100.0, 100.0, 700.0, 3000.0}) CHECK((q.at(lag).p - p.part.at(lag).p - by).norm() < 1e-9);
}
