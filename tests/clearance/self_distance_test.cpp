#include <coilwright/clearance/self_distance.hpp>

#include <catch2/catch.hpp>
#include <coilwright/clearance/clearance.hpp>
#include <numbers>

#include "bench.hpp"

using namespace coilwright;
using namespace coilwright::bench;

namespace {

Helix helix(double R, double pitch) { return {Length::mm(R), Length::mm(pitch), Hand::right_screw}; }

}  // namespace

TEST_CASE("turns that just touch have the published pitch", "[self_distance][published]") {
  // Przybyl and Pieranski, Eur. Phys. J. E 4, 445-449 (2001): a helix of radius 2 D packs closely at a pitch of
  // about 1.003 D (the figure as read in the paper, three decimals).
  const double D = 40;
  const auto turn = turn_to_turn(helix(2 * D, 1.003 * D));
  REQUIRE(turn);
  CHECK(turn->distance_mm == Approx(D).margin(0.0005 * D));
}

TEST_CASE("the turn-to-turn distance is the least over the helix", "[self_distance][oracle]") {
  for (const double ratio : {0.1, 0.3, 0.75, 1.0, 1.25}) {
    const double R = 300, pitch = ratio * 2 * R;
    const auto turn = turn_to_turn(helix(R, pitch));
    REQUIRE(turn);
    const double c = pitch / (2 * std::numbers::pi);
    double least = 1e9;
    for (double f = 4.0; f < 7.5; f += 1e-5)
      least = std::min(least, std::sqrt(2 * R * R * (1 - std::cos(f)) + c * c * f * f));
    CHECK(turn->distance_mm == Approx(least).margin(1e-6));
    CHECK(turn->distance_mm < pitch * std::cos(std::atan(c / R)));  // the usual formula errs to the unsafe side
  }
  // Above 1.46424 diameters of pitch no such distance exists: tan f = f, (c/R)^2 = 0.2172336.
  CHECK(turn_to_turn(helix(300, 1.464 * 600)));
  CHECK_FALSE(turn_to_turn(helix(300, 1.465 * 600)));
}

TEST_CASE("a coil keeps its turns apart, from itself and from the stock", "[self_distance][oracle]") {
  const PosedPart part = rigid_part(helix(300, 90), Eigen::Isometry3d::Identity(), 80);
  ClearanceScene scene;
  scene.part = &part;
  scene.tube_radius_mm = 20;
  scene.coil_to_mm = scene.rolled_mm = 4 * 2 * std::numbers::pi * part.helix().arc_per_radian_mm();
  scene.stock_mm = 2000;
  const ClearanceResult result = certify(scene);
  REQUIRE(result.self_mm);
  CHECK(*result.self_mm == Approx(turn_to_turn(part.helix())->distance_mm - 40).margin(0.01));
  CHECK_FALSE(result.self_at_end);
  REQUIRE(result.stock_mm);
  // By sampling: the coil from half a turn on against the straight line of stock and spans.
  double least = 1e9;
  for (double lag = std::numbers::pi / part.helix().curvature().per_mm(); lag < scene.rolled_mm; lag += 0.5) {
    const Eigen::Vector3d p = part.at(Stage::coil, lag).p;
    const Eigen::Vector3d on(std::clamp(p.x(), -2080.0, 80.0), 0, 0);
    least = std::min(least, (p - on).norm() - 40);
  }
  CHECK(*result.stock_mm <= least + 1e-9);
  CHECK(*result.stock_mm >= least - 0.26 - 0.01);
}

TEST_CASE("turns that overlap are found; a short part has no distance to itself", "[self_distance][property]") {
  const PosedPart tight = rigid_part(helix(300, 30), Eigen::Isometry3d::Identity(), 80);
  ClearanceScene scene;
  scene.part = &tight;
  scene.tube_radius_mm = 20;
  scene.coil_to_mm = scene.rolled_mm = 2 * 2 * std::numbers::pi * tight.helix().arc_per_radian_mm();
  CHECK(*certify(scene).self_mm < -9.9);
  scene.coil_to_mm = scene.rolled_mm = 700;
  const ClearanceResult part = certify(scene);
  CHECK_FALSE(part.self_mm);
  CHECK_FALSE(part.stock_mm);
}

TEST_CASE("the sprung arc is compared with the coil, too", "[self_distance][oracle]") {
  const PosedPart part = sprung_part({.plan_radius_mm = 400, .pitch_mm = 150, .half_spacing_mm = 150, .spring_mm = 5});
  ClearanceScene scene;
  scene.part = &part;
  scene.tube_radius_mm = 20;
  scene.coil_to_mm = scene.rolled_mm = 6500;
  const double apart = std::numbers::pi / part.helix().curvature().per_mm();
  const ClearanceResult result = certify(scene);
  double least = 1e9;
  for (double v = part.span_out_mm(); v < 6500; v += 10)
    for (double w = v + apart; w < 6500; w += 2)
      least = std::min(least, (part.at(v).p - part.at(w).p).norm() - 40);
  REQUIRE(result.self_mm);
  CHECK(*result.self_mm <= least + 1e-9);
  CHECK(*result.self_mm >= least - 5);  // samples 10 mm apart on one side
}
