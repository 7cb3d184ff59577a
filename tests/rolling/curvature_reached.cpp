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

std::vector<ReachedCurvature> reached(const Centreline& part, double step_mm, int passes = 1) {
  const RollingSetup with = setup();
  auto made = roll_programme(with, part, passes, {50.0, 2.0});
  REQUIRE(std::holds_alternative<RollProgramme>(made));
  auto outcome = curvature_reached(with.law, with.rolls, std::get<RollProgramme>(made).passes, step_mm);
  REQUIRE(std::holds_alternative<std::vector<ReachedCurvature>>(outcome));
  return std::get<std::vector<ReachedCurvature>>(outcome);
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
  for (const int passes : {1, 2, 3})
    for (const ReachedCurvature& r : reached(part, 10.0, passes)) CHECK(r.curvature == Approx(1.0 / 900).epsilon(1e-6));
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
  const ProgrammeStep still{ProgrammeStep::Kind::hold, 0, 0.0, 800.0, {0.0, {}, 0.0}, {0.0, {}, 0.0}, 50.0, 16.0};
  const std::vector<std::vector<ProgrammeStep>> passes{{still}};
  const auto outcome = curvature_reached(with.law, with.rolls, passes, 10.0);
  for (const ReachedCurvature& r : std::get<std::vector<ReachedCurvature>>(outcome)) CHECK(r.curvature == 0.0);
  CHECK_THROWS_AS(curvature_reached(with.law, with.rolls, {}, 10.0), InternalError);
}

TEST_CASE("a travel that would fold the stock round the centre roll is told, with where", "[reached][property]") {
  const RollingSetup with = setup();
  const ProgrammeStep deep{ProgrammeStep::Kind::change, 0, 0.0, 400.0, {0.0, {}, 0.0}, {400.0, {}, 0.0}, 50.0, 8.0};
  const std::vector<std::vector<ProgrammeStep>> passes{{deep}};
  const auto outcome = curvature_reached(with.law, with.rolls, passes, 10.0);
  REQUIRE(std::holds_alternative<FoldsRound>(outcome));
  const FoldsRound& folds = std::get<FoldsRound>(outcome);
  CHECK(folds.pass == 0);
  CHECK(folds.fed_mm > 0.0);
  CHECK(folds.travel_mm == Approx(folds.fed_mm));
}

TEST_CASE("a second pass bends tighter while what comes in is already less bent", "[reached][property]") {
  // Ahead of the second pass's own change the first pass's change comes in, and the travel has not yet been taken back.
  const double a = setup().rolls.half_spacing_mm;
  const Centreline part = two_radii(900.0, 2000.0);
  const double joint = part.segments()[1].from_mm;
  const auto one = reached(part, 5.0), two = reached(part, 5.0, 2);
  const double moves = joint - 0.5 * a;
  CHECK(at(one, moves - 10.0) == Approx(1.0 / 900).epsilon(1e-6));
  CHECK(at(two, moves - 10.0) > 1.05 / 900);
  CHECK(at(two, moves - 1.6 * a) == Approx(1.0 / 900).epsilon(0.005));
}

TEST_CASE("a march by sums over places alone agrees", "[reached][oracle]") {
  // The same rod without tables, closed forms or a bracket of its own: moments by bisection, curvatures from the law.
  const RollingSetup with = setup();
  const double a = with.rolls.half_spacing_mm, EI = with.law.bending_stiffness();
  constexpr int across = 100;
  const double h = a / across;
  Centreline part;
  part.append(SegmentCurve::straight(Length::mm(500)));
  part.append(SegmentCurve::arc(Length::mm(900), Angle::rad(0.8)));
  part.append(SegmentCurve::arc(Length::mm(2400), Angle::rad(0.3)));
  const auto outcome = roll_programme(with, part, 1, {50.0, 2.0});
  const auto& steps = std::get<RollProgramme>(outcome).passes.back();
  const auto plastic = [&](double m) {
    return m > with.law.first_yield_moment() ? with.law.curvature_at(m) - m / EI : 0.0;
  };
  const auto taken = [&](const std::vector<double>& stock, std::size_t roll, double M) {
    double sum = 0.0;
    for (int j = 0; j < across; ++j) {
      const double m = M * (across - j) / across, p = plastic(m), weight = a - j * h;
      const auto place = static_cast<std::size_t>(j);
      sum += weight * (std::max(stock[roll - place], p) + m / EI);
      if (j > 0) sum += weight * (std::max(stock[roll + place], p) + m / EI);
    }
    return 0.5 * h * sum;
  };
  const auto scale = [&](double travel, double curvature) {
    std::vector<double> stock(2 * across + 1, 0.0);
    std::fill_n(stock.begin(), across + 1, curvature);
    return taken(stock, across, with.law.moment(with.law.loaded(curvature))) / travel;
  };
  const auto places = static_cast<std::size_t>(part.length_mm() / h);
  std::vector<double> stock(places + 3 * across, 0.0);
  for (std::size_t i = 0; i < places; ++i) {
    const double fed = static_cast<double>(i) * h;
    const auto step = std::find_if(steps.begin(), steps.end(), [&](const ProgrammeStep& s) { return fed <= s.fed_to_mm; });
    REQUIRE(step != steps.end());
    const double share = (fed - step->fed_from_mm) / (step->fed_to_mm - step->fed_from_mm);
    const double from = step->from.travel_mm > 0.0 ? scale(step->from.travel_mm, step->from.curvature) : -1.0;
    const double to = step->to.travel_mm > 0.0 ? scale(step->to.travel_mm, step->to.curvature) : -1.0;
    const double travel = std::lerp(step->from.travel_mm, step->to.travel_mm, share) *
                          (from < 0.0 && to < 0.0 ? 1.0 : std::lerp(from < 0.0 ? to : from, to < 0.0 ? from : to, share));
    const std::size_t roll = i + across;
    double low = 0.0, high = with.law.moment(1.0 / 100);
    if (taken(stock, roll, 0.0) >= travel) high = 0.0;
    for (int halvings = 0; halvings < 45; ++halvings) (taken(stock, roll, 0.5 * (low + high)) < travel ? low : high) = 0.5 * (low + high);
    for (int j = -across; j <= across; ++j) {
      double& left = stock[static_cast<std::size_t>(static_cast<int>(roll) + j)];
      left = std::max(left, plastic(high * (across - std::abs(j)) / across));
    }
  }
  const auto found = reached(part, h);
  double worst = 0.0;
  // Not the end: there the one rolls on.
  for (std::size_t i = 0; i + across < places; ++i) worst = std::max(worst, std::abs(found[i].curvature - stock[i + across]));
  CAPTURE(worst * 900);
  CHECK(worst < 0.01 / 900);
}

TEST_CASE("outside the length that is marked the curvature is what it should be, of an angle too", "[reached][property]") {
  const Section tube = Section::round_tube(Length::mm(42.4), Length::mm(2.6)).value();
  const Section angle = Section::from(AngleBar{Length::mm(50), Length::mm(50), Length::mm(5)}).value();
  for (const Section& section : {tube, angle}) {
    CAPTURE(section.text());
    const RollingSetup with =
        RollingSetup::of({section, find_material("S235").value(), "", "", {}}, example_machine(), Angle());
    Centreline part;
    part.append(SegmentCurve::straight(Length::mm(1500)));
    part.append(SegmentCurve::arc(Length::mm(1500), Angle::rad(1.4)));
    part.append(SegmentCurve::arc(Length::mm(3000), Angle::rad(0.7)));
    auto made = roll_programme(with, part, 1, {50.0, 2.0});
    REQUIRE(std::holds_alternative<RollProgramme>(made));
    RollProgramme& programme = std::get<RollProgramme>(made);
    const auto outcome = curvature_reached(with.law, with.rolls, programme.passes, 10.0);
    REQUIRE(std::holds_alternative<std::vector<ReachedCurvature>>(outcome));
    const auto& found = std::get<std::vector<ReachedCurvature>>(outcome);
    REQUIRE(programme.transitions.size() == 2);
    for (Transition& transition : programme.transitions) {
      mark_reached(transition, with.law, part, found);
      const auto &before = part.segments()[transition.before], &after = part.segments()[transition.before + 1];
      const double joint = after.from_mm;
      REQUIRE(transition.reached_from_mm);
      REQUIRE(transition.reached_to_mm);
      // It lies around the joint, not over all of its segments.
      CHECK(*transition.reached_from_mm > joint - 2.0 * with.rolls.half_spacing_mm);
      CHECK(*transition.reached_from_mm < joint);
      CHECK(*transition.reached_to_mm > joint);
      CHECK(*transition.reached_to_mm < joint + 3.0 * with.rolls.half_spacing_mm);
      for (const ReachedCurvature& r : found) {
        if (r.fed_mm < 0.5 * (before.from_mm + joint) || r.fed_mm > 0.5 * (joint + after.to_mm())) continue;
        if (r.fed_mm >= *transition.reached_from_mm && r.fed_mm <= *transition.reached_to_mm) continue;
        const double drawn = (r.fed_mm < joint ? before : after).curve.curvature(0.0);
        const double aim = drawn > 0.0 ? held_curvature(with.law, drawn) : 0.0;
        CHECK(std::abs(r.curvature - aim) <= 0.0101 * std::max(aim, drawn > 0.0 ? 0.0 : after.curve.curvature(0.0)));
      }
    }
  }
}

TEST_CASE("the worst place of a taper is found, away from changes", "[reached][property]") {
  const RollingSetup with = setup();
  Centreline part;
  part.append(SegmentCurve::arc(Length::mm(900), Angle::deg(40)));
  part.append(SegmentCurve::taper({900.0, 1400.0, 200.0 / 360.0, 0.0}));
  const double joint = part.segments()[1].from_mm;
  std::vector<ReachedCurvature> told;
  const auto tell = [&](double fed, double times) {
    told.push_back({fed, times * part.segments()[1].curve.curvature(fed - joint)});
  };
  tell(joint + 50.0, 1.3);   // within a change
  tell(joint + 400.0, 0.97);
  tell(joint + 600.0, 1.05);
  tell(joint + 800.0, 1.01);
  const std::vector<Transition> changes{{0, joint - 100.0, joint + 100.0, 100.0, 100.0}};
  const auto worst = worst_along_tapers(with.law, part, changes, told);
  REQUIRE(worst.size() == 1);  // none of the arc
  CHECK(worst.front().segment == 1);
  CHECK(worst.front().fed_mm == joint + 600.0);
  CHECK(worst.front().off == Approx(0.05).epsilon(1e-9));
}

TEST_CASE("a taper that is twice as long is left half as far off", "[reached][property]") {
  // To first order what is left lags by the change of curvature within a span.
  const RollingSetup with = setup();
  const auto off = [&](double turns) {
    Centreline part;
    part.append(SegmentCurve::taper({900.0, 1400.0, turns, 0.0}));
    const auto worst = worst_along_tapers(with.law, part, {}, reached(part, 5.0));
    REQUIRE(worst.size() == 1);
    return worst.front().off;
  };
  const double near = off(1.0), far = off(2.0);
  CHECK(near < 0.0);  // the exit span is still more curved, so less bend is needed for the same travel
  CHECK(far / near == Approx(0.5).margin(0.1));
}
