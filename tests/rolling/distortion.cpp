#include <coilwright/rolling/distortion.hpp>

#include <catch2/catch.hpp>

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
