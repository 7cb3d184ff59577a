#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/machine/example_machine.hpp>
#include <coilwright/rolling/roll_programme.hpp>

using namespace coilwright;

namespace {

constexpr RollSpeeds speeds{50.0, 2.0};

RollingSetup setup() {
  Stock stock{Section::round_tube(Length::mm(42.4), Length::mm(2.6)).value(), find_material("S235").value(), "", "", {}};
  return RollingSetup::of(stock, example_machine(), Angle());
}

RollProgramme programme_of(const Centreline& part, int passes = 1) {
  auto made = roll_programme(setup(), part, passes, speeds);
  REQUIRE(std::holds_alternative<RollProgramme>(made));
  return std::get<RollProgramme>(std::move(made));
}

// Steps follow each other without a gap from the start of the part to its end, and settings without a jump.
void check_continuous(const RollProgramme& programme, double length_mm) {
  for (const auto& pass : programme.passes) {
    CHECK(pass.front().fed_from_mm == 0.0);
    CHECK(pass.back().fed_to_mm == Approx(length_mm).epsilon(1e-12));
    for (std::size_t i = 0; i + 1 < pass.size(); ++i) {
      CHECK(pass[i].fed_to_mm == Approx(pass[i + 1].fed_from_mm).epsilon(1e-12));
      CHECK(pass[i].to.travel_mm == Approx(pass[i + 1].from.travel_mm).epsilon(1e-12).margin(1e-12));
      CHECK(pass[i].to.curvature == Approx(pass[i + 1].from.curvature).epsilon(1e-12).margin(1e-15));
      CHECK(pass[i].fed_to_mm > pass[i].fed_from_mm);
    }
  }
}

}  // namespace

TEST_CASE("a single helix is one step at the setting of its pass", "[programme][oracle]") {
  const Helix helix(Length::mm(800), Length::mm(300), Hand::right_screw);
  Centreline part;
  part.append(SegmentCurve::helix(helix, Length::mm(6000)));
  const RollProgramme programme = programme_of(part, 2);
  const auto passes = std::get<std::vector<RolledPass>>(roll_in_passes(setup(), helix, 2));
  REQUIRE(programme.passes.size() == 2);
  for (std::size_t p = 0; p < 2; ++p) {
    REQUIRE(programme.passes[p].size() == 1);
    const ProgrammeStep& step = programme.passes[p].front();
    CHECK(step.kind == ProgrammeStep::Kind::hold);
    CHECK(step.from.travel_mm == Approx(passes[p].rolling.travel_mm).epsilon(1e-9));
    CHECK(step.from.lift_mm.value() == Approx(passes[p].lift->state.lift.mm()).epsilon(1e-6));
  }
  CHECK(programme.transitions.empty());
  CHECK(programme.seconds == Approx(2 * 6000.0 / 50.0));
}

TEST_CASE("a change of radius takes the roll's way and the exit span", "[programme][property]") {
  Centreline hoop;
  hoop.append(SegmentCurve::straight(Length::mm(500)));
  hoop.append(SegmentCurve::arc(Length::mm(1500), Angle::deg(60)));
  hoop.append(SegmentCurve::arc(Length::mm(700), Angle::deg(90)));
  const RollProgramme programme = programme_of(hoop);
  check_continuous(programme, hoop.length_mm());
  REQUIRE(programme.transitions.size() == 2);
  const Transition& change = programme.transitions[1];
  const double joint = hoop.segments()[2].from_mm, half_spacing = setup().rolls.half_spacing_mm;
  CHECK(change.before == 1);
  CHECK(change.moving_mm == Approx(half_spacing));
  CHECK(change.from_mm == Approx(joint - half_spacing / 2));
  // The exit span is a little shorter than half the spacing.
  CHECK(change.clearing_mm < half_spacing);
  CHECK(change.clearing_mm > 0.8 * half_spacing);
  CHECK(change.to_mm == Approx(joint + half_spacing / 2 + change.clearing_mm));
  const auto& steps = programme.passes.front();
  CHECK(steps.front().from.travel_mm == 0.0);
  CHECK(steps.back().to.travel_mm > steps[2].to.travel_mm);  // tighter: more travel
}

TEST_CASE("feeding slows where the centre roll cannot keep up", "[programme][property]") {
  Centreline part;
  part.append(SegmentCurve::straight(Length::mm(1000)));
  part.append(SegmentCurve::arc(Length::mm(500), Angle::deg(180)));
  const RollProgramme programme = programme_of(part);
  const ProgrammeStep& change = programme.passes.front()[1];
  REQUIRE(change.kind == ProgrammeStep::Kind::change);
  CHECK(change.seconds == Approx(change.to.travel_mm / 2.0));
  CHECK(change.feed_mm_per_s < 50.0);
  CHECK(change.feed_mm_per_s * change.seconds == Approx(change.fed_to_mm - change.fed_from_mm));
}

TEST_CASE("a scroll is followed: the tighter it gets, the farther the roll goes in", "[programme][property]") {
  Centreline part;
  part.append(SegmentCurve::taper({900, 500, 2.0, 0.0}));
  const RollProgramme programme = programme_of(part);
  check_continuous(programme, part.length_mm());
  REQUIRE(programme.passes.front().size() == 16);
  for (const ProgrammeStep& step : programme.passes.front()) {
    CHECK(step.kind == ProgrammeStep::Kind::follow);
    CHECK(step.to.travel_mm > step.from.travel_mm);
    CHECK(step.to.curvature > step.from.curvature);
  }
}

TEST_CASE("a scroll between straights changes and follows without a jump, also where it is tight", "[programme][property]") {
  // An eighth of a turn of the small end is shorter than what the change at its joint takes.
  Centreline part;
  part.append(SegmentCurve::straight(Length::mm(800)));
  part.append(SegmentCurve::taper({260, 420, 1.0, 0.0}));
  part.append(SegmentCurve::straight(Length::mm(60)));
  const RollProgramme programme = programme_of(part, 3);
  check_continuous(programme, part.length_mm());
  // Half of the last straight belongs to the change before it; what is left holds.
  CHECK(programme.passes.front().back().kind == ProgrammeStep::Kind::hold);
  CHECK(programme.passes.front().back().fed_from_mm == Approx(part.length_mm() - 30.0));
}

TEST_CASE("a segment that cannot be rolled is named", "[programme][input]") {
  Centreline part;
  part.append(SegmentCurve::arc(Length::mm(900), Angle::deg(90)));
  part.append(SegmentCurve::arc(Length::mm(60), Angle::deg(90)));
  const auto made = roll_programme(setup(), part, 1, speeds);
  REQUIRE(std::holds_alternative<NoSetting>(made));
  CHECK(std::get<NoSetting>(made).segment == 1);
}
