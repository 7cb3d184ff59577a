#include <coilwright/clearance/clearance.hpp>

#include <catch2/catch.hpp>
#include <numbers>

#include "bench.hpp"

using namespace coilwright;
using namespace coilwright::bench;

namespace {

constexpr double tube = 20;

// A flat-lying coil that leaves a roll at lag 0 with the roll outside it (axis on the far side of the tube).
struct Set {
  PosedPart part;
  ClearanceScene scene;
};

ClearanceScene scene_of(const PosedPart& part, double pitch_turns, double roll_radius, double roll_height, double play) {
  ClearanceScene scene;
  scene.part = &part;
  scene.tube_radius_mm = tube;
  scene.coil_to_mm = scene.rolled_mm = pitch_turns * 2 * std::numbers::pi * part.helix().arc_per_radian_mm();
  scene.stock_mm = 1500;
  const double y = -(roll_radius + tube);
  scene.obstacles = {{"roll", {Cylinder{{0, y, -30}, {0, y, roll_height}, roll_radius}}, 0.0, play}};
  return scene;
}

PosedPart coil(double pitch) {
  return rigid_part(Helix(Length::mm(400), Length::mm(pitch), Hand::right_screw), Eigen::Isometry3d::Identity(), 60);
}

}  // namespace

TEST_CASE("the contact with a roll is not counted, and is reported", "[contact][property]") {
  const PosedPart part = coil(300);
  const ClearanceResult result = certify(scene_of(part, 0.9, 80, 30, 0.5));
  const ObstacleClearance& roll = result.obstacles[0];
  REQUIRE(roll.excluded_lag_mm);
  CHECK(roll.excluded_lag_mm->first < 0);
  CHECK(roll.excluded_lag_mm->second > 0);
  // At most half a turn of arc on the coil side.
  CHECK(roll.excluded_lag_mm->second <= std::numbers::pi * part.helix().arc_per_radian_mm() + 1e-6);
  // The part goes away and nothing of it comes near again within nine tenths of a turn.
  if (roll.least_mm) CHECK(*roll.least_mm > 50);
}

TEST_CASE("a later turn that strikes the roll is found", "[contact][property]") {
  // The roll is taller than one pitch: after a full turn the coil comes back through it.
  const PosedPart part = coil(60);
  const ClearanceResult result = certify(scene_of(part, 1.2, 80, 120, 0.5));
  REQUIRE(result.obstacles[0].least_mm);
  CHECK(*result.obstacles[0].least_mm < 0.02);
  CHECK(result.obstacles[0].nearest->piece == Piece::coil);
  CHECK(result.obstacles[0].nearest->fed_length_mm ==
        Approx(2 * std::numbers::pi * part.helix().arc_per_radian_mm()).margin(120));
  // A low roll is passed over: its edge lies a tube radius aside and 50 mm below the centreline.
  const ClearanceResult low = certify(scene_of(part, 1.2, 80, 10, 0.5));
  REQUIRE(low.obstacles[0].least_mm);
  CHECK(*low.obstacles[0].least_mm == Approx(std::hypot(tube, 50) - tube).margin(0.1));
}

TEST_CASE("an overlap with the roll deeper than its play counts", "[contact][property]") {
  // A rim two diameters along the roll's axis stands in the way of the climbing tube.
  const PosedPart part = coil(1800);
  ClearanceScene scene = scene_of(part, 0.4, 80, 15, 0.5);
  scene.obstacles[0].bodies.push_back(Cylinder{{120, -60, 25}, {120, -60, 60}, 90});
  const ClearanceResult result = certify(scene);
  REQUIRE(result.obstacles[0].least_mm);
  CHECK(*result.obstacles[0].least_mm < -0.5);
}

TEST_CASE("without a contact by design every touch counts", "[contact][property]") {
  const PosedPart part = coil(300);
  ClearanceScene scene = scene_of(part, 0.9, 80, 30, 0.5);
  scene.obstacles[0].contact_lag_mm.reset();
  const ClearanceResult result = certify(scene);
  CHECK_FALSE(result.obstacles[0].excluded_lag_mm);
  CHECK(*result.obstacles[0].least_mm == Approx(0).margin(0.5));
}

TEST_CASE("the straight front end leaves the roll with the coil", "[contact][property]") {
  const PosedPart part = coil(300);
  ClearanceScene scene = scene_of(part, 0.6, 80, 30, 0.5);
  scene.front_end_mm = 150;
  const ClearanceResult result = certify(scene);
  const auto& front = result.obstacles[0].pieces[static_cast<std::size_t>(Piece::front_end)];
  // What is left of it to count keeps well away; nothing of the leaving itself is counted as a touch.
  if (front) CHECK(*front > 20);
}
