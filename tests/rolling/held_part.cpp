#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/machine/example_machine.hpp>
#include <coilwright/rolling/held_part.hpp>

using namespace coilwright;

namespace {

RollingSetup setup() {
  Stock stock{Section::round_tube(Length::mm(42.4), Length::mm(2.6)).value(), find_material("S235").value(), "", "", {}};
  return RollingSetup::of(stock, example_machine(), Angle());
}

std::vector<HeldSegment> held(const Centreline& part) {
  auto made = hold_part(setup(), part, PassOf::last(1));
  REQUIRE(std::holds_alternative<std::vector<HeldSegment>>(made));
  return std::get<std::vector<HeldSegment>>(std::move(made));
}

}  // namespace

TEST_CASE("a helix followed from the bend point stands where the whole coil stands", "[held][oracle]") {
  const Helix helix(Length::mm(900), Length::mm(700), Hand::right_screw);
  Centreline part;
  part.append(SegmentCurve::helix(helix, Length::mm(4000)));
  const auto segments = held(part);
  REQUIRE(segments.size() == 1);
  REQUIRE(segments[0].size() == 1);
  const HeldPlace& place = segments[0][0];
  REQUIRE(place.bent);
  CHECK(place.lift_mm > 0.0);
  CHECK(place.sprung_mm > 0.0);
  // Wherever the bend is, a point a lag ahead of it stands on the placed helix at that lag.
  for (const double fed : {1500.0, 3900.0}) {
    const CurveFrame bend = part.frame(fed);
    for (const double lag : {900.0, 1400.0}) {
      const Eigen::Vector3d off = part.frame(fed - lag).point - bend.point;
      const Eigen::Vector3d in_B(off.dot(bend.tangent), off.dot(bend.normal), off.dot(bend.binormal));
      CHECK((place.X_FB * in_B - place.bent->at(Stage::coil, lag).p).norm() < 1e-6);
    }
  }
}

TEST_CASE("a straight lies through the rolls at touch; a taper is held at steps along it", "[held][property]") {
  Centreline part;
  part.append(SegmentCurve::straight(Length::mm(500)));
  part.append(SegmentCurve::taper({900.0, 700.0, 1.0, 300.0}));
  const auto segments = held(part);
  const RollGeometry rolls = setup().rolls;
  const HeldPlace& straight = segments[0].front();
  CHECK_FALSE(straight.bent);
  CHECK(straight.X_FB.translation().y() == Approx(rolls.outer_radius_mm + rolls.outer_face_mm));
  CHECK((straight.X_FB.linear().col(0) + Eigen::Vector3d::UnitX()).norm() < 1e-12);
  CHECK((straight.X_FB.linear().col(1) - Eigen::Vector3d::UnitY()).norm() < 1e-12);
  REQUIRE(segments[1].size() == 9);  // every eighth of a turn, with both ends
  for (std::size_t i = 1; i < segments[1].size(); ++i) {
    CHECK(segments[1][i].within_mm > segments[1][i - 1].within_mm);
    CHECK(segments[1][i].travel_mm > segments[1][i - 1].travel_mm);  // it gets tighter
  }
}

TEST_CASE("a segment that the machine cannot hold is named", "[held][property]") {
  Centreline part;
  part.append(SegmentCurve::straight(Length::mm(500)));
  part.append(SegmentCurve::arc(Length::mm(60), Angle::deg(90)));  // under the centre roll
  const auto made = hold_part(setup(), part, PassOf::last(1));
  REQUIRE(std::holds_alternative<NotHeld>(made));
  CHECK(std::get<NotHeld>(made).segment == 1);
  CHECK(std::get<NotHeld>(made).why);
}
