#include <catch2/catch.hpp>
#include <coilwright/clearance/stretch.hpp>
#include <coilwright/quantity/require.hpp>

#include "bench.hpp"

using namespace coilwright;
using bench::Dice;

namespace {

// All stages of a few parts, from nearly a ring to a steep handrail.
std::vector<PosedPart> parts() {
  return {bench::sprung_part({800.0, 2700.0, 250.0, 1.5, 8.0}), bench::sprung_part({250.0, 60.0, 100.0, 2.0, 3.0}),
          bench::sprung_part({600.0, 0.0, 200.0, 1.2, 0.0})};
}

}  // namespace

TEST_CASE("the least of a parabola on an interval", "[clearance][oracle]") {
  Dice dice(21);
  for (int i = 0; i < 200; ++i) {
    const double a = dice.between(-2, 2), b = dice.between(-2, 2), h = dice.between(0, 3);
    double least = 1e9;
    for (int k = 0; k <= 3000; ++k) {
      const double x = -h + 2 * h * k / 3000;
      least = std::min(least, a * x + 0.5 * b * x * x);
    }
    const double found = least_quadratic(a, b, h);
    CHECK(found <= least + 1e-12);
    CHECK(found == Approx(least).margin(4e-6));  // half a step of the samples: b (h / 3000)^2 / 2
  }
}

TEST_CASE("a stretch gives the points of the pose", "[clearance][oracle]") {
  for (const PosedPart& part : parts()) {
    const Stretch coil(part, Stage::coil, part.outboard_lag_mm(), part.outboard_lag_mm() + 9000.0);
    for (double lag = coil.from_mm(); lag < coil.to_mm(); lag += 77.7) {
      const CurvePoint a = part.at(Stage::coil, lag), b = coil.at(lag).c;
      CHECK((a.p - b.p).norm() < 1e-9);
      CHECK((a.d1 - b.d1).norm() < 1e-12);
      CHECK((a.d2 - b.d2).norm() < 1e-15);
    }
  }
}

TEST_CASE("the end of a straight ahead is a curve with these derivatives", "[clearance][oracle]") {
  // Central differences of X + l X' on the rigid helix; their error is third_bound step^2 / 6 and rounding.
  const PosedPart part = bench::sprung_part({});
  const Stretch coil(part, Stage::coil, part.outboard_lag_mm(), part.outboard_lag_mm() + 5000.0);
  const double length = 350.0, step = 0.5;
  const auto end = [&](double lag) { return coil.ahead(coil.at(lag), length); };
  for (double lag = coil.from_mm() + 1; lag < coil.to_mm(); lag += 333.0) {
    const BoundedPoint m = end(lag);
    CHECK((m.c.p - part.at(Stage::coil, lag).p - length * part.at(Stage::coil, lag).d1).norm() < 1e-9);
    const Eigen::Vector3d d1 = (end(lag + step).c.p - end(lag - step).c.p) / (2 * step);
    const Eigen::Vector3d d2 = (end(lag + step).c.d1 - end(lag - step).c.d1) / (2 * step);
    CHECK((d1 - m.c.d1).norm() < 1e-7);
    CHECK((d2 - m.c.d2).norm() < 1e-9);
    CHECK(m.c.d2.norm() <= m.second_bound_per_mm * (1 + 1e-12));
  }
}

TEST_CASE("no stretch goes farther than its bounds", "[clearance][bound][attack]") {
  // Random pieces of every stage, long ones and short ones, random directions; the claim must hold at every
  // sampled lag, 1e-9 mm of rounding allowed for.
  Dice dice(22);
  bench::Claim rises, reaches;
  double tightest = 1e9;
  const std::vector<PosedPart> all = parts();
  for (int i = 0; i < 1500 * bench::effort(); ++i) {
    const PosedPart& part = all[static_cast<std::size_t>(i) % all.size()];
    const double out = part.outboard_lag_mm();
    const Stage stage = std::array{Stage::stock, Stage::spans, Stage::arc, Stage::coil}[static_cast<std::size_t>(i / 3) % 4];
    const Stretch stretch = stage == Stage::stock   ? Stretch(part, stage, -5000.0, -part.span_in_mm())
                            : stage == Stage::spans ? Stretch(part, stage, -part.span_in_mm(), part.span_out_mm())
                            : stage == Stage::arc   ? Stretch(part, stage, part.span_out_mm(), out)
                                                    : Stretch(part, stage, out, out + 20000.0);
    const double whole = 0.5 * (stretch.to_mm() - stretch.from_mm());
    const double half = whole * std::pow(10.0, dice.between(-3.0, 0.0));
    const double middle = dice.between(stretch.from_mm() + half, stretch.to_mm() - half);
    const Eigen::Vector3d g = dice.direction() * (i % 7 == 0 ? dice.between(0.0, 1.0) : 1.0);
    const bool straight = (stage == Stage::arc || stage == Stage::coil) && i % 2 == 0;
    const double length = straight ? dice.between(1.0, 1500.0) : 0.0;
    const auto at = [&](double lag) {
      const BoundedPoint p = stretch.at(lag);
      return straight ? stretch.ahead(p, length) : p;
    };
    const BoundedPoint m = at(middle);
    const double rise = stretch.least_rise(m, g, half), reach = stretch.reach(m, half);
    const int samples = 60;
    for (int k = 0; k <= samples; ++k) {
      const Eigen::Vector3d step = at(middle - half + 2.0 * half * k / samples).c.p - m.c.p;
      rises.hold(g.dot(step) - rise + 1e-9);
      reaches.hold(reach - step.norm() + 1e-9);
      if (half > 5.0) tightest = std::min(tightest, (g.dot(step) - rise) / half);
    }
  }
  WARN("stretches: " << rises.tried << " samples, " << rises.broken + reaches.broken << " violations");
  CAPTURE(rises.least_room, reaches.least_room, tightest);
  CHECK(rises.broken == 0);
  CHECK(reaches.broken == 0);
  CHECK(tightest < 0.01);  // and the bound is not idle
}

TEST_CASE("a coil with a straight ahead keeps off what its cylinder keeps off", "[clearance][bound]") {
  // Once a turn or more is looked at, some place of it stands in every direction from the axis, at most a pitch from the
  // height that the cylinder allows.
  Dice dice(25);
  double worst = 1e9, loosest = -1e9;
  for (const PosedPart& part : parts()) {
    const double out = part.outboard_lag_mm(), turn = 2.0 * std::numbers::pi * part.helix().arc_per_radian_mm();
    const Stretch coil(part, Stage::coil, out, out + 3.0 * turn);
    CHECK(Stretch(part, Stage::arc, part.span_out_mm(), out).least_away({0, 0, 0}, out, 1.0, 0.0) < 0.0);
    for (int i = 0; i < 60; ++i) {
      const double half = dice.between(0.0, 1.5) * turn, middle = out + half + dice.between(0.0, 3.0 * turn - 2.0 * half);
      const double straight = i % 2 == 0 ? 0.0 : dice.between(10.0, 900.0);
      const Eigen::Vector3d p = part.at(Stage::coil, middle).p + dice.within(3.0 * part.helix().plan_radius().mm());
      const double bound = coil.least_away(p, middle, half, straight);
      double least = 1e9;
      for (int k = 0; k <= 800; ++k) {
        const CurvePoint c = part.at(Stage::coil, middle - half + 2.0 * half * k / 800);
        const double ahead = std::clamp((p - c.p).dot(c.d1), 0.0, straight);
        least = std::min(least, (p - c.p - ahead * c.d1).norm());
      }
      worst = std::min(worst, least - bound);
      if (straight == 0.0 && half > 0.5 * turn) loosest = std::max(loosest, least - bound - part.helix().pitch().mm() - half / 400.0);
    }
  }
  CHECK(worst > -1e-9);
  CHECK(loosest <= 0.0);
}

TEST_CASE("stretches that make no sense are a caller's mistake", "[clearance][input]") {
  const PosedPart part = bench::sprung_part({});
  CHECK_THROWS_AS(Stretch(part, Stage::coil, 10.0, 9.0), InternalError);
  const Stretch spans(part, Stage::spans, -10.0, 10.0);
  CHECK_THROWS_AS(spans.ahead(spans.at(0.0), 5.0), InternalError);
}

TEST_CASE("the loaded spans lie in a plane, and their bound knows it", "[clearance][property]") {
  // Across that plane nothing bends: the height of any piece is exact. A tilted direction gets only the share of
  // the bending that lies in the plane.
  const PosedPart part = bench::sprung_part({});
  const Stretch spans(part, Stage::spans, -part.span_in_mm(), part.span_out_mm());
  const BoundedPoint m = spans.at(10.0);
  const double bend = 0.5 * m.second_bound_per_mm * 100.0 * 100.0;
  CHECK(spans.least_rise(m, Eigen::Vector3d::UnitZ(), 100.0) == 0.0);
  CHECK(spans.least_rise(m, Eigen::Vector3d(-0.6 * m.c.d1.y(), 0.6 * m.c.d1.x(), 0.8), 100.0) ==
        Approx(-0.6 * bend).epsilon(1e-3));  // the tangent's length is 1 to the fourth order of a station
}

TEST_CASE("a straight that covers its length from every lag of a sprung arc", "[clearance][bound]") {
  for (const double spring : {0.0, 8.0, 25.0}) {
    const PosedPart part = bench::sprung_part({.spring_mm = spring, .spring_direction = {-0.3, -1.0, 0.2}});
    const Stretch arc(part, Stage::arc, part.span_out_mm(), part.outboard_lag_mm());
    const double along = arc.straight_covering(300.0);
    double least = 1e9;
    for (int k = 0; k <= 20000; ++k)
      least = std::min(least, along * arc.at(arc.from_mm() + (arc.to_mm() - arc.from_mm()) * k / 20000).c.d1.norm());
    CHECK(least >= 300.0 - 1e-9);
    CHECK(least <= 300.0 * (1.0 + 2e-5 + 5e-4 * spring / 25.0));  // the pieces' own change of |X'|
    CHECK(arc.straight_covering(0.0) == 0.0);
  }
  const PosedPart part = bench::sprung_part({});
  CHECK(Stretch(part, Stage::coil, 2000.0, 3000.0).straight_covering(300.0) == 300.0);
}
