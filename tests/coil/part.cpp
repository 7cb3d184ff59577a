#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/coil/part.hpp>
#include <numbers>

#include "numbers.hpp"

using namespace coilwright;
using enum SegmentMeasure;

namespace {

constexpr double pi = std::numbers::pi;
const Length tube = Length::mm(42.4);

Length mm(double v) {
  return Length::mm(v);
}

SegmentSpec straight(double length_mm) {
  SegmentSpec spec;
  spec.kind = SegmentKind::straight;
  spec.with(length, mm(length_mm));
  return spec;
}

SegmentSpec arc(double radius_mm, double degrees, Bends bends = Bends::in) {
  SegmentSpec spec;
  spec.kind = SegmentKind::arc;
  spec.bends = bends;
  spec.with(radius, mm(radius_mm)).with(angle, Angle::deg(degrees));
  return spec;
}

SegmentSpec helix(double radius_mm, double pitch_mm, double turn_count, Hand hand = Hand::right_screw) {
  SegmentSpec spec;
  spec.kind = SegmentKind::helix;
  spec.hand = hand;
  spec.with(radius, mm(radius_mm)).with(pitch, mm(pitch_mm)).with_turns(turn_count);
  return spec;
}

SegmentSpec open(SegmentSpec spec, SegmentMeasure of, ClosingWord word, double to_mm = 0.0) {
  spec.given.erase(of);
  spec.closing = Closing{of, word, mm(to_mm)};
  return spec;
}

Part made(const std::vector<SegmentSpec>& specs) {
  const auto part = Part::from(specs, tube);
  if (!part) FAIL(part.error().front().text);
  return *part;
}

Findings refused(const std::vector<SegmentSpec>& specs) {
  const auto part = Part::from(specs, tube);
  REQUIRE_FALSE(part.has_value());
  return part.error();
}

double gap_mm(const Part& part) {
  return (part.centreline().end().point - part.centreline().frame(0.0).point).norm();
}

}  // namespace

TEST_CASE("a rail of two hands' worth of tables: inside, centreline and outside length", "[part][oracle]") {
  // R 900, 3000 of rise in 540 degrees, 42.4 tube, calculated independently: 8809.070, 8997.189, 9185.802 mm.
  const Part part = made({helix(900, 2000, 1.5)});
  CHECK(halves_off(part.inside_length().mm(), "8809.070") <= half_a_digit);
  CHECK(halves_off(part.developed_length().mm(), "8997.189") <= half_a_digit);
  CHECK(halves_off(part.outside_length().mm(), "9185.802") <= half_a_digit);
  CHECK(part.centreline_extent().height.mm() == Approx(3000).epsilon(1e-12));
  CHECK(part.centreline_extent().width.mm() == Approx(1800).epsilon(1e-9));
  CHECK(part.centreline_extent().depth.mm() == Approx(1800).epsilon(1e-9));
  CHECK(part.overall_extent().width.mm() == Approx(1842.4).epsilon(1e-9));
  CHECK_FALSE(part.flat());
  CHECK(part.turnings().empty());
}

TEST_CASE("the extent of a hoop is what one can add up", "[part][oracle]") {
  // Straight legs of 400, half a circle of radius 500: 900 along, 1000 across; the outside 21.2 more where
  // the curve turns, and on both legs.
  const Part hoop = made({straight(400), arc(500, 180), straight(400)});
  CHECK(hoop.flat());
  CHECK(hoop.centreline_extent().width.mm() == Approx(900).epsilon(1e-12));
  CHECK(hoop.centreline_extent().depth.mm() == Approx(1000).epsilon(1e-12));
  CHECK(hoop.centreline_extent().height.mm() == Approx(0).margin(1e-9));
  CHECK(hoop.overall_extent().width.mm() == Approx(921.2).epsilon(1e-12));
  CHECK(hoop.overall_extent().depth.mm() == Approx(1042.4).epsilon(1e-12));
  CHECK(hoop.overall_extent().height.mm() == Approx(42.4).epsilon(1e-12));
  REQUIRE(hoop.joints().size() == 2);
  CHECK(hoop.joints()[0].curvature_before == 0.0);
  CHECK(hoop.joints()[0].curvature_after == Approx(1.0 / 500).epsilon(1e-14));
}

TEST_CASE("an angle is brought to parallel and to square", "[part][oracle]") {
  const Part u = made({straight(400), open(arc(500, 90), angle, ClosingWord::parallel), straight(400)});
  CHECK(u.segments()[1].measures().at(angle) == Approx(pi).epsilon(1e-12));
  const Part s = made({arc(500, 30, Bends::out), open(arc(300, 90), angle, ClosingWord::square)});
  CHECK(s.segments()[1].measures().at(angle) == Approx(pi * 120 / 180).epsilon(1e-12));
  CHECK(s.notes().size() == 1);
}

TEST_CASE("a length is brought to a width, a height or a place", "[part][oracle]") {
  // A quarter circle of 500 and a straight across it: the depth is 500 + length.
  const Part by_depth = made({arc(500, 90), open(straight(1), length, ClosingWord::depth, 1200)});
  CHECK(by_depth.segments()[1].length().mm() == Approx(700).epsilon(1e-12));
  const Part by_width = made({straight(300), arc(500, 180), open(straight(1), length, ClosingWord::x, -150)});
  CHECK(by_width.segments()[2].length().mm() == Approx(450).epsilon(1e-12));
  const Part by_y = made({arc(500, 60), open(straight(1), length, ClosingWord::y, 600)});
  CHECK(by_y.segments()[1].length().mm() == Approx(350 / std::sin(pi / 3)).epsilon(1e-12));
  const Part by_height = made({open(helix(800, 2700, 1), turns, ClosingWord::height, 900)});
  CHECK(by_height.segments()[0].measures().at(turns) == Approx(900.0 / 2700).epsilon(1e-12));
}

TEST_CASE("an easing before and after a helix brings it level", "[part][oracle]") {
  const double slope_rad = std::atan(2700 / (2 * pi * 800));
  for (const Hand hand : {Hand::right_screw, Hand::left_screw}) {
    const Part rail = made({straight(300), open(arc(300, 10, Bends::up), angle, ClosingWord::slope),
                            helix(800, 2700, 0.75, hand),
                            open(arc(300, 10, Bends::down), angle, ClosingWord::level), straight(300)});
    CHECK(rail.segments()[1].measures().at(angle) == Approx(slope_rad).epsilon(1e-10));
    CHECK(rail.segments()[3].measures().at(angle) == Approx(slope_rad).epsilon(1e-10));
    const Eigen::Vector3d up = rail.up_direction();
    CHECK(rail.centreline().frame(0).tangent.dot(up) == Approx(0).margin(1e-12));
    CHECK(rail.centreline().end().tangent.dot(up) == Approx(0).margin(1e-10));
    // Each easing rises R (1 - cos slope), the helix 0.75 of its pitch.
    CHECK(rail.centreline().end().point.dot(up) ==
          Approx(0.75 * 2700 + 600 * (1 - std::cos(slope_rad))).epsilon(1e-10));
    CHECK(rail.turnings().front().need == TurnNeed::quarter_turn);
    CHECK_FALSE(rail.flat());
  }
}

TEST_CASE("a ring closes by itself", "[part][oracle]") {
  const Part ring = made({open(arc(500, 10), angle, ClosingWord::meet)});
  CHECK(ring.segments()[0].measures().at(angle) == Approx(2 * pi).epsilon(1e-8));
  CHECK(gap_mm(ring) <= 1e-6);
}

TEST_CASE("two unknowns bring the end to the start, three close the ring without a kink", "[part][oracle]") {
  // Headings 0, 90 and 210 degrees; along y and then x the last two lengths follow by hand.
  const Part loop = made({straight(400), arc(100, 90), open(straight(1), length, ClosingWord::meet),
                          arc(100, 120), open(straight(1), length, ClosingWord::meet)});
  const double last = (400 + 100 * std::cos(2 * pi / 3)) / std::cos(pi / 6);
  CHECK(loop.segments()[4].length().mm() == Approx(last).epsilon(1e-9));
  CHECK(loop.segments()[2].length().mm() ==
        Approx(0.5 * last - 100 - 100 * std::sin(2 * pi / 3)).epsilon(1e-8));
  CHECK(gap_mm(loop) <= 1e-6);

  const Part closed = made({straight(400), arc(100, 90), open(straight(1), length, ClosingWord::meet),
                            arc(100, 90), open(straight(1), length, ClosingWord::meet), arc(100, 90),
                            straight(300), open(arc(100, 1), angle, ClosingWord::meet)});
  CHECK(closed.segments()[2].length().mm() == Approx(300).epsilon(1e-8));
  CHECK(closed.segments()[4].length().mm() == Approx(400).epsilon(1e-8));
  CHECK(closed.segments()[7].measures().at(angle) == Approx(pi / 2).epsilon(1e-8));
  CHECK((closed.centreline().end().tangent - closed.centreline().frame(0).tangent).norm() < 1e-9);
}

TEST_CASE("a condition that nothing meets says how near it gets", "[part][input]") {
  const Findings never = refused({arc(500, 90), open(straight(1), length, ClosingWord::x, 300)});
  CHECK(never.front().about == "segment.2.length");
  CHECK(never.front().text.find("500.0 mm") != std::string::npos);
  const Findings gap = refused({straight(400), open(arc(500, 10), angle, ClosingWord::meet)});
  CHECK(gap.front().text.find("leaves") != std::string::npos);
  CHECK(refused({open(straight(1), length, ClosingWord::slope)}).front().text.find("no slope") !=
        std::string::npos);
}

TEST_CASE("bends both ways: turned over if flat, spliced if the hand changes", "[part][property]") {
  const Part flat = made({arc(500, 90), straight(100), arc(400, 60, Bends::out)});
  REQUIRE(flat.turnings().size() == 1);
  CHECK(flat.turnings()[0].need == TurnNeed::turn_over);
  CHECK(flat.turnings()[0].segment == 2);

  SegmentSpec other = helix(800, 2700, 0.5, Hand::left_screw);
  other.bends = Bends::out;
  const Part both = made({helix(800, 2700, 0.5), other});
  REQUIRE(both.turnings().size() == 1);
  CHECK(both.turnings()[0].need == TurnNeed::other_hand);
  CHECK(both.hands().size() == 2);
  // It goes on climbing.
  CHECK(both.centreline_extent().height.mm() == Approx(2700).epsilon(1e-10));

  const Part mixed = made({helix(800, 2700, 0.5), arc(500, 40, Bends::out)});
  REQUIRE(mixed.turnings().size() == 1);
  CHECK(mixed.turnings()[0].need == TurnNeed::turn_over_climbing);
}

TEST_CASE("faults of all segments come at once", "[part][input]") {
  SegmentSpec nothing;
  nothing.kind = SegmentKind::arc;
  const Findings findings = refused({straight(-5), nothing});
  CHECK(findings.front().about == "segment.1.length");
  CHECK(findings.back().about.starts_with("segment.2."));
  CHECK(Part::from({}, tube).error().front().about == "segment");
}

TEST_CASE("a ring of flat bar is as high as the bar and as wide as its faces", "[part][oracle]") {
  const StockFaces faces(Length::mm(4), Length::mm(4), Length::mm(30));
  SegmentSpec arc;
  arc.kind = SegmentKind::arc;
  arc.with(SegmentMeasure::radius, Length::mm(500)).with(SegmentMeasure::angle, Angle::deg(350));
  const auto ring = Part::from({arc}, faces);
  REQUIRE(ring);
  CHECK(ring->overall_extent().height.mm() == Approx(30.0).epsilon(1e-12));
  CHECK(ring->overall_extent().width.mm() == Approx(1008.0).epsilon(1e-9));
}
