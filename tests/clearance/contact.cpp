#include <catch2/catch.hpp>
#include <coilwright/clearance/clearance.hpp>
#include <coilwright/clearance/contact.hpp>

#include "bench.hpp"

using namespace coilwright;
using bench::Dice;

namespace {

constexpr double tube = 20.0, roll = 100.0, ring = 400.0, tolerance = 0.01;

std::vector<Stretch> whole(const PosedPart& part, double stock_mm, double rolled_mm) {
  const double exit = part.span_out_mm(), out = part.outboard_lag_mm();
  std::vector<Stretch> result{{part, Stage::stock, -part.span_in_mm() - stock_mm, -part.span_in_mm()},
                              {part, Stage::spans, -part.span_in_mm(), exit}};
  if (out > exit) result.push_back({part, Stage::arc, exit, std::min(out, rolled_mm)});
  if (rolled_mm > out) result.push_back({part, Stage::coil, std::max(out, exit), rolled_mm});
  return result;
}

PosedPart flat_ring() {
  return bench::rigid_part(Helix(Length::mm(ring), Length::mm(0.0), Hand::right_screw), Eigen::Isometry3d::Identity());
}

NotCounted walk(const PosedPart& part, const std::vector<ConvexBody>& bodies, double contact, double play,
                double rolled, double front_end = 0.0) {
  const std::vector<Stretch> stretches = whole(part, 3000.0, rolled);
  return not_counted_at_contact({bodies, stretches, contact, play, tube, front_end,
                                 std::numbers::pi * part.helix().arc_per_radian_mm(), tolerance});
}

// An upright plain roll whose axis passes through y on the line x = 0.
std::vector<ConvexBody> upright_roll(double y, double radius = roll) {
  return {ConvexBody(Cylinder{{0, y, -60}, {0, y, 60}, radius})};
}

double distance(const std::vector<ConvexBody>& bodies, const Eigen::Vector3d& p) {
  double least = 1e300;
  for (const ConvexBody& body : bodies) least = std::min(least, body.distance(p).distance_mm - tube);
  return least;
}

// The same seen from outside: a coil that leaves at lag 0 a roll on its outer side.
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
  return bench::rigid_part(Helix(Length::mm(400), Length::mm(pitch), Hand::right_screw), Eigen::Isometry3d::Identity(), 60);
}


}  // namespace

TEST_CASE("a ring leaves its roll for half a turn", "[clearance][oracle]") {
  // Roll outside or inside the ring, tangent at lag 0: the distance grows to the far side of the ring.
  const PosedPart part = flat_ring();
  const double rolled = 0.9 * 2.0 * std::numbers::pi * ring, half_turn = std::numbers::pi * ring;
  for (const double y : {-(roll + tube), roll + tube}) {
    const NotCounted found = walk(part, upright_roll(y), 0.0, 1.0, rolled, 200.0);
    CHECK(found.from_mm == -3100.0);  // all of the straight stock
    CHECK(found.to_mm <= half_turn + 1e-9);
    CHECK(found.to_mm > 0.9 * half_turn);
    CHECK(found.front_end_from_mm == -3100.0);
    CHECK(found.front_end_to_mm <= found.to_mm);
    CHECK(found.front_end_to_mm > 0.7 * half_turn);
    CHECK(found.evaluations < 300);
  }
}

TEST_CASE("a part that ends before half a turn belongs to the contact", "[clearance][oracle]") {
  const NotCounted found = walk(flat_ring(), upright_roll(-(roll + tube)), 0.0, 1.0, 600.0, 100.0);
  CHECK(found.to_mm == 600.0);
  CHECK(found.front_end_to_mm == 600.0);
}

TEST_CASE("a part that does not reach the contact has none", "[clearance][oracle]") {
  const NotCounted found = walk(flat_ring(), upright_roll(0.0), 700.0, 1.0, 600.0);
  CHECK(found.from_mm == 700.0);
  CHECK(found.to_mm == 700.0);
}

TEST_CASE("an overlap deeper than the play ends the stretch", "[clearance][oracle]") {
  // The roll stands 15 mm into the tube: a diameter from the contact it is still deeper than the play.
  const NotCounted deep = walk(flat_ring(), upright_roll(-(roll + tube) + 15.0), 0.0, 1.0, 2000.0);
  CHECK(deep.from_mm == -2.0 * tube);
  CHECK(deep.to_mm == 2.0 * tube);
  // 4 mm: within the first diameter the tube has left the roll by 6.8 mm or more (100 and 400 mm, outside).
  const NotCounted shallow = walk(flat_ring(), upright_roll(-(roll + tube) + 4.0), 0.0, 1.0, 2000.0);
  CHECK(shallow.to_mm > 1000.0);
}

TEST_CASE("a body in the way of the part leaving ends the stretch", "[clearance][oracle]") {
  // The roll with a second body 600 mm along the coil: there the distance falls again.
  const PosedPart part = flat_ring();
  std::vector<ConvexBody> bodies = upright_roll(-(roll + tube));
  const Eigen::Vector3d there = part.at(Stage::coil, 600.0).p + Eigen::Vector3d(0, 0, 45.0);
  bodies.push_back(ConvexBody::capsule(there, there, 10.0));
  const NotCounted found = walk(part, bodies, 0.0, 1.0, 2000.0, 100.0);
  CHECK(found.to_mm < 600.0);
  CHECK(found.to_mm > 100.0);
  // The straight runs up to that body before the leading end does.
  CHECK(found.front_end_to_mm < found.to_mm);
}

TEST_CASE("a tube that stays within the play stays in contact", "[clearance][oracle]") {
  // A drum 1 mm inside the ring all round: in contact for the half turn that a contact may last.
  const NotCounted found = walk(flat_ring(), upright_roll(ring, ring - tube - 1.0), 0.0, 2.0, 2000.0);
  CHECK(found.to_mm == Approx(std::numbers::pi * ring));
}

TEST_CASE("what is not counted keeps the rule", "[clearance][property]") {
  // Grooved rolls at the contacts of sprung parts; dense samples of what is not counted. Along it the distance
  // never falls back by more than the play (and the spacing of the looks), nor below minus the play.
  Dice dice(41);
  int long_ones = 0;
  for (int i = 0; i < 12 * bench::effort(); ++i) {
    const PosedPart part = bench::sprung_part({dice.between(250, 900), dice.between(0, 600), dice.between(80, 150),
                                               dice.between(1.2, 2.2), dice.between(0, 6)});
    const double contact = i % 3 == 0 ? -part.span_in_mm() : i % 3 == 1 ? 0.0 : part.span_out_mm();
    const CurvePoint c = part.at(Stage::spans, contact);
    const double side = i % 3 == 1 ? 1.0 : -1.0;  // the centre roll stands inside
    const Eigen::Vector3d axis = c.p + side * (roll + tube) * Eigen::Vector3d(-c.d1.y(), c.d1.x(), 0.0);
    std::vector<ConvexBody> bodies;
    const auto disc = [&](double from, double to, double r0, double r1) {
      bodies.emplace_back(Frustum{{axis.x(), axis.y(), from}, {axis.x(), axis.y(), to}, r0, r1});
    };
    disc(-35.0, -tube, roll + tube, roll + tube);
    disc(-tube, -14.0, roll + tube, roll + 5.6);
    disc(-14.0, 14.0, roll, roll);
    disc(14.0, tube, roll + 5.6, roll + tube);
    disc(tube, 35.0, roll + tube, roll + tube);
    const double rolled = 3.0 * 2.0 * std::numbers::pi * part.helix().arc_per_radian_mm();
    const double play = 1.5, front_end = 180.0;
    const NotCounted found = walk(part, bodies, contact, play, rolled, front_end);
    REQUIRE(found.from_mm <= contact);
    REQUIRE(found.to_mm >= contact);
    REQUIRE(found.to_mm <= contact + std::numbers::pi * part.helix().arc_per_radian_mm() + 1e-9);
    if (found.to_mm > contact + 10.0 * tube) ++long_ones;
    for (const double direction : {1.0, -1.0}) {
      const double end = direction > 0.0 ? found.to_mm : found.from_mm;
      double farthest = 0.0;
      for (double away = 2.0 * tube; away < (end - contact) * direction; away += 1.0) {
        const CurvePoint p = part.at(contact + direction * away);
        const double d = distance(bodies, p.p);
        const double between_looks = std::max(tube, farthest / 8.0);
        REQUIRE(d >= -play - tolerance - 1e-9);
        if (farthest > play + between_looks) REQUIRE(d >= farthest - play - tolerance - between_looks);
        farthest = std::max(farthest, d);
        const double lag = contact + direction * away;
        if (direction > 0.0 && lag >= part.span_out_mm() && lag < found.front_end_to_mm)
          for (const double l : {0.25, 0.5, 0.75, 1.0})
            REQUIRE(distance(bodies, p.p + l * front_end * p.d1) >=
                    std::min(-play, farthest - play - between_looks) - tolerance - 1e-9);
      }
    }
  }
  CHECK(long_ones >= 6);  // and the rule is not kept by giving up at once
}

TEST_CASE("the contact with a roll is not counted, and is reported", "[clearance][property]") {
  const PosedPart part = coil(300);
  const ClearanceResult result = certify(scene_of(part, 0.9, 80, 30, 0.5));
  const ObstacleClearance& roll = result.obstacles[0];
  REQUIRE(roll.excluded_lag_mm);
  CHECK(roll.excluded_lag_mm->first < 0);
  CHECK(roll.excluded_lag_mm->second > 0);
  // At most half a turn of arc on the coil side.
  CHECK(roll.excluded_lag_mm->second <= std::numbers::pi * part.helix().arc_per_radian_mm() + 1e-6);
  // The part goes away and nothing of it comes near again within nine tenths of a turn.
  REQUIRE(roll.least_mm);
  CHECK(*roll.least_mm > 50);
}

TEST_CASE("a later turn that strikes the roll is found", "[clearance][property]") {
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

TEST_CASE("an overlap with the roll deeper than its play counts", "[clearance][property]") {
  // A rim two diameters along the roll's axis stands in the way of the climbing tube.
  const PosedPart part = coil(1800);
  ClearanceScene scene = scene_of(part, 0.4, 80, 15, 0.5);
  scene.obstacles[0].bodies.push_back(Cylinder{{120, -60, 25}, {120, -60, 60}, 90});
  const ClearanceResult result = certify(scene);
  REQUIRE(result.obstacles[0].least_mm);
  CHECK(*result.obstacles[0].least_mm < -0.5);
}

TEST_CASE("without a contact by design every touch counts", "[clearance][property]") {
  const PosedPart part = coil(300);
  ClearanceScene scene = scene_of(part, 0.9, 80, 30, 0.5);
  scene.obstacles[0].contact_lag_mm.reset();
  const ClearanceResult result = certify(scene);
  CHECK_FALSE(result.obstacles[0].excluded_lag_mm);
  CHECK(*result.obstacles[0].least_mm == Approx(0).margin(0.5));
}

TEST_CASE("the straight front end leaves the roll with the coil", "[clearance][property]") {
  const PosedPart part = coil(300);
  ClearanceScene scene = scene_of(part, 0.6, 80, 30, 0.5);
  scene.front_end_mm = 150;
  const ClearanceResult result = certify(scene);
  const auto& front = result.obstacles[0].pieces[static_cast<std::size_t>(Piece::front_end)];
  // What is left of it to count keeps well away; nothing of the leaving itself is counted as a touch.
  REQUIRE(front);
  CHECK(*front > 20);
}
