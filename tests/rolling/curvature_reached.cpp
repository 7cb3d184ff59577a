#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/machine/example_machine.hpp>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/curvature_reached.hpp>

using namespace coilwright;

namespace {

RollingSetup setup() {
  Stock stock{Section::round_tube(Length::mm(42.4), Length::mm(2.6)).value(), find_material("S235").value(), "", "", {}};
  return RollingSetup::of(stock, example_machine(), Angle());
}

std::vector<ReachedCurvature> reached(const Centreline& part, double step_mm) {
  const RollingSetup with = setup();
  auto made = roll_programme(with, part, 1, {50.0, 2.0});
  REQUIRE(std::holds_alternative<RollProgramme>(made));
  return curvature_reached(with.law, with.rolls.half_spacing_mm, std::get<RollProgramme>(made).passes.back(), step_mm);
}

double at(const std::vector<ReachedCurvature>& reached, double fed_mm) {
  const auto after = std::find_if(reached.begin(), reached.end(), [&](const ReachedCurvature& r) { return r.fed_mm >= fed_mm; });
  REQUIRE(after != reached.end());
  if (after == reached.begin()) return after->curvature;
  const auto before = std::prev(after);
  return std::lerp(before->curvature, after->curvature, (fed_mm - before->fed_mm) / (after->fed_mm - before->fed_mm));
}

Centreline two_radii(double first, double second) {
  Centreline part;
  part.append(SegmentCurve::arc(Length::mm(first), Angle::deg(120)));
  part.append(SegmentCurve::arc(Length::mm(second), Angle::deg(120)));
  return part;
}

}  // namespace

TEST_CASE("a setting that stands still rolls the curvature it is for", "[reached][oracle]") {
  Centreline part;
  part.append(SegmentCurve::arc(Length::mm(900), Angle::deg(200)));
  for (const ReachedCurvature& r : reached(part, 10.0)) CHECK(r.curvature == Approx(1.0 / 900).epsilon(1e-9));
}

TEST_CASE("a taper that changes slowly is followed", "[reached][oracle]") {
  Centreline part;
  part.append(SegmentCurve::taper({2000.0, 1900.0, 1.0, 0.0}));
  const SegmentCurve& curve = part.segments()[0].curve;
  for (const ReachedCurvature& r : reached(part, 25.0))
    CHECK(r.curvature == Approx(curve.curvature(std::min(r.fed_mm, curve.length_mm()))).epsilon(0.005));
}

TEST_CASE("a change of radius overshoots nothing far from it, and settles within the move and some exit spans", "[reached][property]") {
  const double a = setup().rolls.half_spacing_mm;
  for (const auto& [first, second] : {std::pair{900.0, 2000.0}, std::pair{2000.0, 900.0}}) {
    CAPTURE(first, second);
    const Centreline part = two_radii(first, second);
    const double joint = part.segments()[1].from_mm;
    const auto found = reached(part, 5.0);
    for (const ReachedCurvature& r : found) {
      if (r.fed_mm < joint - 0.5 * a - 1.0) CHECK(r.curvature == Approx(1.0 / first).epsilon(1e-6));
      if (r.fed_mm > joint + 4.0 * a) CHECK(r.curvature == Approx(1.0 / second).epsilon(0.01));
      CHECK(r.curvature >= 0.0);
    }
  }
}

TEST_CASE("finer steps change the curvature reached less and less", "[reached][oracle]") {
  const Centreline part = two_radii(900.0, 2000.0);
  const double joint = part.segments()[1].from_mm;
  const auto coarse = reached(part, 20.0), fine = reached(part, 10.0), finest = reached(part, 5.0);
  double first = 0.0, second = 0.0;
  for (double fed = joint - 200.0; fed < joint + 600.0; fed += 40.0) {
    first = std::max(first, std::abs(at(coarse, fed) - at(fine, fed)));
    second = std::max(second, std::abs(at(fine, fed) - at(finest, fed)));
  }
  CHECK(second < 0.6 * first);
  CHECK(second < 0.02 / 900.0);
}

TEST_CASE("a straight part stays straight; a march needs steps", "[reached][property]") {
  const RollingSetup with = setup();
  const ProgrammeStep still{ProgrammeStep::Kind::hold, 0, 0.0, 800.0, 0.0, 0.0, std::nullopt, std::nullopt, 0.0, 0.0, 50.0, 16.0};
  for (const ReachedCurvature& r : curvature_reached(with.law, 250.0, std::vector{still}, 10.0)) CHECK(r.curvature == 0.0);
  CHECK_THROWS_AS(curvature_reached(with.law, 250.0, {}, 10.0), InternalError);
}
