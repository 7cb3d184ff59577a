#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/coil/segment.hpp>
#include <numbers>
#include <random>

#include "numbers.hpp"

using namespace coilwright;
using enum SegmentMeasure;

namespace {

constexpr double pi = std::numbers::pi;
const Length tube = Length::mm(42.4);

Length mm(double v) {
  return Length::mm(v);
}

SegmentSpec spec_of(SegmentKind kind) {
  SegmentSpec spec;
  spec.kind = kind;
  return spec;
}

Segment made(const SegmentSpec& spec, Length outside = tube) {
  const auto segment = Segment::from(spec, outside, "segment.1.");
  if (!segment) FAIL(segment.error().front().text);
  return *segment;
}

Findings refused(const SegmentSpec& spec) {
  const auto segment = Segment::from(spec, tube, "segment.1.");
  REQUIRE_FALSE(segment.has_value());
  return segment.error();
}

bool says(const Findings& findings, const std::string& text) {
  for (const Finding& f : findings)
    if (f.text.find(text) != std::string::npos) return true;
  return false;
}

// From some of a segment's measures: the same segment again.
void check_again(const Segment& first, const std::vector<SegmentMeasure>& some) {
  SegmentSpec spec = spec_of(first.kind());
  spec.hand = first.hand();
  spec.measured_to = first.measured_to();
  for (const SegmentMeasure m : some) spec.given[m] = first.measures().at(m);
  const Segment again = made(spec);
  for (const auto& [m, value] : first.measures()) {
    CAPTURE(segment_measure_name(m), value, again.measures().at(m));
    // A coordinate that passes through zero is compared with the size of the part.
    const double scale = m == chord ? first.measures().at(radius) : 0.0;
    CHECK(std::abs(again.measures().at(m) - value) <= 1e-9 * std::max(std::abs(value), scale));
  }
}

}  // namespace

TEST_CASE("a chord and the rise over it make the published radius", "[segment][published]") {
  // Bender-roller's question and answer, "How to check the radius on a curved segment": a 36 in straight edge
  // and a rise of 23/32 in give a radius of 225.7 in.
  SegmentSpec spec = spec_of(SegmentKind::arc);
  spec.with(chord, Length::inches(36)).with(chord_rise, Length::inches(23.0 / 32.0));
  // Exactly 225.7507 in: the page drops what is behind the tenth.
  CHECK(std::floor(made(spec).measures().at(radius) / 25.4 * 10) == 2257);
}

TEST_CASE("scrolls and cones have their exact lengths", "[segment][oracle]") {
  // Archimedean spiral and conical helix by their exact integrals, checked by Simpson's rule to 1e-12 before
  // this program was written: start radius, end radius, turns, rise, length.
  struct Row {
    double r1, r2, turns, rise, length;
  };
  for (const Row& row :
       {Row{25, 50, 2, 0, 471.927795}, Row{50, 150, 5, 0, 3143.340433}, Row{100, 500, 4, 0, 7552.605838},
        Row{100, 300, 5, 400, 6300.634630}, Row{25, 50, 6, 120, 1419.229203}}) {
    SegmentSpec spec = spec_of(row.rise > 0 ? SegmentKind::cone : SegmentKind::scroll);
    spec.with(start_radius, mm(row.r1)).with(end_radius, mm(row.r2)).with_turns(row.turns);
    if (row.rise > 0) spec.with(rise, mm(row.rise)).hand = Hand::right_screw;
    CHECK(made(spec, mm(10)).length().mm() == Approx(row.length).epsilon(0).margin(5.1e-7));
  }
}

TEST_CASE("inside, outside and centreline of a round way are told apart", "[segment][oracle]") {
  // One turn about a 1000 mm inside radius with 42.4 mm tube: 2 pi (1000 + 21.2) along the centreline.
  SegmentSpec spec = spec_of(SegmentKind::arc);
  spec.measured_to = MeasuredTo::inside;
  spec.with(radius, mm(1000)).with_turns(1);
  const Segment ring = made(spec);
  CHECK(ring.length().mm() == Approx(2 * pi * 1021.2).epsilon(1e-14));
  CHECK(ring.inside_length().mm() == Approx(2 * pi * 1000).epsilon(1e-14));
  CHECK(ring.outside_length().mm() == Approx(2 * pi * 1042.4).epsilon(1e-14));
}

TEST_CASE("any sufficient measures of an arc make it again", "[segment][property]") {
  std::mt19937_64 random(20);
  const std::vector<std::vector<SegmentMeasure>> sets{
      {radius, angle},     {diameter, turns},       {bend_radius, length},       {radius, chord_rise},
      {angle, length},     {turns, chord},          {angle, chord_rise},         {length, chord},
      {chord, chord_rise}, {radius, chord, length}, {length, chord_rise, angle}, {diameter, chord}};
  const MeasuredTo faces[] = {MeasuredTo::centreline, MeasuredTo::inside, MeasuredTo::outside};
  for (int i = 0; i < 1000; ++i) {
    SegmentSpec spec = spec_of(SegmentKind::arc);
    const auto& some = sets[static_cast<std::size_t>(i) % sets.size()];
    // A radius and a chord near the diameter say little about the angle: there a lost digit is in the
    // question.
    const bool by_chord = some == sets.back();
    spec.measured_to = faces[i % 3];
    spec.with(radius, mm(uniform(random, 60, 5000)))
        .with(angle, Angle::rad(uniform(random, 0.2, by_chord ? 2.9 : 2 * pi - 0.2)));
    check_again(made(spec), some);
  }
}

TEST_CASE("any sufficient measures of a straight and a helix make it again", "[segment][property]") {
  std::mt19937_64 random(21);
  const std::vector<std::vector<SegmentMeasure>> sets{{radius, pitch, turns},      {diameter, rise, angle},
                                                      {radius, slope, length},     {radius, rise, length},
                                                      {bend_radius, slope, turns}, {radius, pitch, rise}};
  for (int i = 0; i < 1000; ++i) {
    SegmentSpec straight = spec_of(SegmentKind::straight);
    straight.with(length, mm(uniform(random, 0.1, 6000)));
    check_again(made(straight), {length});
    SegmentSpec spec = spec_of(SegmentKind::helix);
    spec.hand = i % 2 == 0 ? Hand::right_screw : Hand::left_screw;
    spec.measured_to = i % 3 == 0 ? MeasuredTo::outside : MeasuredTo::centreline;
    const double R = uniform(random, 100, 3000);
    spec.with(radius, mm(R))
        .with(pitch, mm(uniform(random, 0.5 * R, 4 * R)))
        .with_turns(uniform(random, 0.05, 6));
    check_again(made(spec), sets[static_cast<std::size_t>(i) % sets.size()]);
  }
}

TEST_CASE("any sufficient measures of a cone and a scroll make it again", "[segment][property]") {
  std::mt19937_64 random(22);
  const std::vector<std::vector<SegmentMeasure>> cones{
      {start_radius, end_radius, turns, rise},   {start_radius, end_radius, angle, pitch},
      {start_radius, end_radius, rise, pitch},   {start_radius, end_radius, rise, length},
      {start_radius, end_radius, pitch, length}, {start_radius, end_radius, turns, length},
      {start_radius, turns, rise, length},       {end_radius, angle, pitch, length}};
  const std::vector<std::vector<SegmentMeasure>> scrolls{{start_radius, end_radius, turns},
                                                         {start_radius, end_radius, length},
                                                         {start_radius, angle, length},
                                                         {end_radius, turns, length}};
  for (int i = 0; i < 1000; ++i) {
    SegmentSpec cone = spec_of(SegmentKind::cone);
    cone.hand = i % 2 == 0 ? Hand::right_screw : Hand::left_screw;
    cone.measured_to = i % 3 == 0 ? MeasuredTo::inside : MeasuredTo::centreline;
    const double r1 = uniform(random, 100, 900), r2 = uniform(random, 100, 900), n = uniform(random, 0.3, 8);
    cone.with(start_radius, mm(r1))
        .with(end_radius, mm(r2))
        .with(rise, mm(uniform(random, 0.5, 2.0) * n * std::min(r1, r2)))
        .with_turns(n);
    check_again(made(cone), cones[static_cast<std::size_t>(i) % cones.size()]);
    SegmentSpec scroll = spec_of(SegmentKind::scroll);
    scroll.with(start_radius, mm(r1)).with(end_radius, mm(r2)).with_turns(n);
    check_again(made(scroll), scrolls[static_cast<std::size_t>(i) % scrolls.size()]);
  }
}

TEST_CASE("measures beyond the necessary are checked", "[segment][input]") {
  SegmentSpec spec = spec_of(SegmentKind::arc);
  spec.with(radius, mm(800)).with(angle, Angle::deg(90)).with(length, mm(1300));
  const Findings faults = refused(spec);
  CHECK(faults.front().about == "segment.1.length");
  CHECK(says(faults, "1256.64 mm"));
  CHECK(says(faults, "1300.00 mm"));
}

TEST_CASE("what cannot exist says by how much and what would", "[segment][input]") {
  SegmentSpec chord_too_long = spec_of(SegmentKind::arc);
  chord_too_long.with(radius, mm(800)).with(chord, mm(1700));
  CHECK(says(refused(chord_too_long), "by 100.00 mm"));
  CHECK(says(refused(chord_too_long), "at most 1600.00 mm"));
  CHECK(says(refused(chord_too_long), "at least 850.00 mm"));
  SegmentSpec thick = spec_of(SegmentKind::arc);
  thick.measured_to = MeasuredTo::outside;
  thick.with(diameter, mm(60)).with(angle, Angle::deg(90));
  CHECK(says(refused(thick), "short by 12.40 mm"));
  SegmentSpec twice_round = spec_of(SegmentKind::arc);
  twice_round.with(radius, mm(800)).with_turns(2);
  CHECK(says(refused(twice_round), "more than once round"));
  SegmentSpec short_scroll = spec_of(SegmentKind::scroll);
  short_scroll.with(start_radius, mm(100)).with(end_radius, mm(500)).with(length, mm(390));
  CHECK(says(refused(short_scroll), "too short by 10.00 mm"));
  SegmentSpec foreign = spec_of(SegmentKind::scroll);
  foreign.with(pitch, mm(100));
  CHECK(says(refused(foreign), "A scroll has no pitch"));
  SegmentSpec rise_too_high = spec_of(SegmentKind::arc);
  rise_too_high.with(length, mm(1000)).with(chord_rise, mm(400));
  // (1 - cos x) / 2 x is largest, 0.362306, where tan(x / 2) = x.
  CHECK(says(refused(rise_too_high), "at most 362.31 mm"));
}

TEST_CASE("too few measures are asked for with what usual replies would give", "[segment][input]") {
  SegmentSpec spec = spec_of(SegmentKind::arc);
  spec.with(radius, mm(800));
  const Findings findings = refused(spec);
  CHECK(findings.front().level == Level::fault);
  REQUIRE(findings.size() == 2);
  CHECK(findings[1].level == Level::question);
  CHECK(says(findings, "90 degrees makes a length of 1256.6 mm"));
  CHECK(says(findings, "360 degrees makes a length of 5026.5 mm"));
  CHECK(refused(spec_of(SegmentKind::cone)).size() == 5);
}

TEST_CASE("of two arcs that fit the flatter is taken and said, unless a measure decides",
          "[segment][input]") {
  SegmentSpec spec = spec_of(SegmentKind::arc);
  spec.with(radius, mm(800)).with(chord, mm(800));
  CHECK(made(spec).measures().at(angle) == Approx(pi / 3).epsilon(1e-14));
  CHECK(made(spec).notes().size() == 1);
  spec.with(length, mm(800 * 5 * pi / 3));
  CHECK(made(spec).measures().at(angle) == Approx(5 * pi / 3).epsilon(1e-14));
  CHECK(made(spec).notes().empty());
}

TEST_CASE("a helix without a hand and an easing that is no arc are refused", "[segment][input]") {
  SegmentSpec helix = spec_of(SegmentKind::helix);
  helix.with(radius, mm(800)).with(pitch, mm(2700)).with_turns(1);
  CHECK(says(refused(helix), "clockwise"));
  SegmentSpec up = spec_of(SegmentKind::scroll);
  up.bends = Bends::up;
  up.with(start_radius, mm(800)).with(end_radius, mm(300)).with_turns(1);
  CHECK(says(refused(up), "Only an arc can bend up"));
}
