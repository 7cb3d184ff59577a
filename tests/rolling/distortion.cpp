#include <coilwright/rolling/distortion.hpp>

#include <catch2/catch.hpp>
#include <cmath>

#include "fixture.hpp"

using namespace coilwright;
using namespace coilwright::rolling_fixture;

TEST_CASE("outer-fibre strain is half the diameter over the radius", "[distortion][published]") {
  // A pipe bender's published rule: elongation in % = half the tube / radius * 100; worked by hand for a rail
  // R 900, pitch 2000 of 42.4 mm: D / (2 rho) = 2.094 %.
  const Distortion d = distortion(tube(42.4, 2.6), Length::mm(900), Length::mm(1012.579));
  CHECK(d.free_strain_percent == Approx(2.094).margin(0.000501));
  CHECK(d.strain_percent == Approx(100 * 21.2 / 900).epsilon(1e-12));
  CHECK(d.wall_outside->mm() == Approx(2.6 * (1 - 0.5 * 21.2 / 900)).epsilon(1e-12));
}

TEST_CASE("the ovality band covers an independent ring calculation", "[distortion][oracle]") {
  // A Rayleigh-Ritz ring model computed beforehand (free bending, hardening 2100): ovality after release in %,
  // with the loaded radius of the same job.
  struct Row {
    double D, t, R, percent;
  };
  for (const Row& row : std::initializer_list<Row>{{42.4, 2.6, 900, 0.95}, {42.4, 2.6, 450, 4.45}, {48.3, 3.2, 1200, 0.51},
                                                   {33.7, 2.6, 600, 0.68}, {60.3, 3.2, 600, 7.6}}) {
    const Section section = tube(row.D, row.t);
    const MomentCurvature m = law(section, 300, 2100);
    const Distortion d = distortion(section, Length::mm(1 / m.loaded(1 / row.R)), Length::mm(row.R));
    REQUIRE(d.ovality);
    CAPTURE(row.D, row.R, d.ovality->percent);
    CHECK(d.ovality->low_percent <= row.percent);
    CHECK(row.percent <= d.ovality->high_percent);
  }
}

TEST_CASE("a solid bar has no wall and no ovality", "[distortion][property]") {
  const Distortion d = distortion(bar(25), Length::mm(250), Length::mm(260));
  CHECK_FALSE(d.ovality);
  CHECK_FALSE(d.wall_outside);
}

TEST_CASE("the wall after bending lies between a free and a held hoop", "[distortion][oracle]") {
  // 42.4 x 2.6 to R 900, yield 300, hardening 2100: loaded to R 824.1; thinning 1.3 to 2.5 %, by a separate program.
  const Distortion d = distortion(tube(42.4, 2.6), Length::mm(824.1), Length::mm(900));
  CHECK(100 * (1 - d.wall_outside->mm() / 2.6) == Approx(1.3).margin(0.0501));
  CHECK(100 * (1 - d.wall_outside_least->mm() / 2.6) == Approx(2.5).margin(0.0501));
  CHECK(*d.wall_inside_most > *d.wall_inside);
  // Volume kept: what the length gains the hoop-held wall loses.
  const double e = 21.2 / 824.1;
  CHECK((1 + e) * d.wall_outside_least->mm() == Approx(2.6).epsilon(1e-14));
  CHECK((1 - e) * d.wall_inside_most->mm() == Approx(2.6).epsilon(1e-14));
}

TEST_CASE("a square tube has walls but no known ovality", "[distortion][property]") {
  const Section box = Section::from(RectangularTube{Length::mm(50), Length::mm(50), Length::mm(3)}).value();
  const Distortion d = distortion(box, Length::mm(1347.3), Length::mm(1500));
  CHECK_FALSE(d.ovality);
  REQUIRE(d.wall_outside);
  CHECK(d.wall_outside->mm() == Approx(3 * (1 - 0.5 * 25 / 1347.3)).epsilon(1e-12));
}

TEST_CASE("an inner face bent to nothing has no greatest wall", "[distortion][property]") {
  const Distortion d = distortion(tube(42.4, 2.6), Length::mm(21), Length::mm(22));
  CHECK_FALSE(d.wall_inside_most);
}

namespace {

double guide_mm(const Section& section, BendGuide wanted, std::optional<double> elongation = {}) {
  for (const GuideRadius& guide : bend_guides(section, elongation))
    if (guide.guide == wanted) return guide.loaded_radius.mm();
  return -1;
}

}  // namespace

TEST_CASE("the wrinkling guide of round tube", "[distortion][memory]") {
  // Strain 0.5 t / D, from memory: 60.3 x 3.2 has 2.65 %; bent to R 600 (loaded 572) it has 5.3 % and is warned of.
  const Section section = tube(60.3, 3.2);
  const double radius = guide_mm(section, BendGuide::wrinkling);
  CHECK(100 * 30.15 / radius == Approx(2.65).margin(0.00501));
  CHECK(572.4 < radius);
  CHECK(guide_mm(bar(25), BendGuide::wrinkling) == -1);
}

TEST_CASE("elongation sets the radius at which the outer fibre reaches it", "[distortion][oracle]") {
  // 26 % over 21.2 mm by hand: 81.5 mm.
  CHECK(guide_mm(tube(42.4, 2.6), BendGuide::elongation, 26.0) == Approx(81.5).margin(0.0501));
  CHECK(guide_mm(tube(42.4, 2.6), BendGuide::elongation) == -1);
}

TEST_CASE("the inner wall of a square tube buckles as a plate and dishes as a strip", "[distortion][oracle]") {
  // 50 x 50 x 3, corners 6 mm: flat 38 mm.
  const Section box = Section::from(RectangularTube{Length::mm(50), Length::mm(50), Length::mm(3)}).value();
  // Stowell's long plate with hinged edges, in his form: eps = (4 pi^2 / (12 (1 - 1/4))) (t/b)^2 (1/2 + sqrt(1 + 3 Et/Es) / 4)
  // with Et = 0 (from memory).
  const double pi = 3.14159265358979323846;
  const double strain = 4 * pi * pi / (12 * 0.75) * (3.0 / 38) * (3.0 / 38) * (0.5 + 0.25);
  CHECK(25 / guide_mm(box, BendGuide::wall_buckling) == Approx(strain).epsilon(1e-12));
  // A hinged strip of 1 mm under the pull of the wall at yield: p = fy t / R, p b^2 / 8 = fy t^2 / 4.
  const double R = guide_mm(box, BendGuide::wall_dishing), fy = 300;
  CHECK(fy * 3 / R * 38 * 38 / 8 == Approx(fy * 9 / 4).epsilon(1e-12));
}

TEST_CASE("a rectangle's guides follow the wall along the shafts", "[distortion][property]") {
  const auto box = [](double depth, double height) {
    return Section::from(RectangularTube{Length::mm(depth), Length::mm(height), Length::mm(3)}).value();
  };
  // The easy way has the wide wall on the inside of the bend, but less depth: it dishes earlier.
  CHECK(guide_mm(box(40, 80), BendGuide::wall_dishing) > guide_mm(box(80, 40), BendGuide::wall_dishing));
}

TEST_CASE("a released radius is the loaded one bent back", "[distortion][property]") {
  const MomentCurvature m = law(tube(42.4, 2.6), 300, 2100);
  for (const double radius : {200.0, 900.0, 5000.0}) {
    const auto free = released_radius(m, Length::mm(1 / m.loaded(1 / radius)));
    REQUIRE(free);
    CHECK(free->mm() == Approx(radius).epsilon(1e-9));
  }
  CHECK_FALSE(released_radius(m, Length::mm(1.001 / m.first_yield_curvature())));
}

TEST_CASE("the permitted variation of curvature is the sweep of a straight member", "[distortion][published]") {
  // AISC Manual, 14th ed., Table 1-22 (after ASTM A6): 1/8 in per 10 ft, so 1/4 in over 20 ft.
  const Length length = Length::inches(240), radius = Length::inches(1200);
  const CurvatureVariation permitted = permitted_curvature_variation(length, radius);
  CHECK(permitted.bow.inches() == Approx(0.25).epsilon(1e-12));
  // Independently: chord rises of the circles of both ends over that length, exact; a shallow arc.
  const auto rise = [&](Length r) { return r.mm() * (1 - std::cos(length / r / 2)); };
  REQUIRE(permitted.slackest);
  CHECK(rise(permitted.tightest) - rise(radius) == Approx(permitted.bow.mm()).epsilon(0.01));
  CHECK(rise(radius) - rise(*permitted.slackest) == Approx(permitted.bow.mm()).epsilon(0.01));
}

TEST_CASE("so slack that straight would do", "[distortion][property]") {
  CHECK_FALSE(permitted_curvature_variation(Length::mm(100), Length::mm(12001)).slackest);
  CHECK(permitted_curvature_variation(Length::mm(100), Length::mm(11999)).slackest);
}
