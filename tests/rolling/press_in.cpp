#include <coilwright/rolling/press_in.hpp>

#include <catch2/catch.hpp>
#include <cmath>

#include "fixture.hpp"

using namespace coilwright;
using namespace coilwright::rolling_fixture;

namespace {

double rolling_travel(const MomentCurvature& m, const RollGeometry& g, double radius_mm) {
  return std::get<SteadyState>(roll_to_curvature(m, g, virgin(m), 1 / radius_mm)).travel_mm;
}

}  // namespace

TEST_CASE("force and kink of pressing in at a standstill agree with an independent program", "[press_in][oracle]") {
  // Yield 300, hardening 2100, travel of a single rolling pass; computed beforehand by a separate program in
  // another language, printed to 0.1 kN and 1 mm.
  struct Row {
    int job;
    double force_kn, rolling_kn, kink_mm;
  };
  const auto jobs = rolling_jobs();
  for (const Row& row : {Row{0, 13.5, 11.9, 359}, Row{1, 33.5, 28.8, 305}, Row{2, 12.5, 11.2, 115}}) {
    const RollingJob& job = jobs[row.job];
    const MomentCurvature m = law(job.section, 300, 2100);
    const RollGeometry g = rolls(job.spacing_mm, 100, job.section);
    const auto pressed = press_in(m, g, virgin(m), rolling_travel(m, g, job.radius_mm));
    CAPTURE(job.name);
    REQUIRE(pressed);
    CHECK(pressed->centre_force_n / 1000 == Approx(row.force_kn).margin(0.0501));
    CHECK(1 / pressed->kink_free_curvature == Approx(row.kink_mm).margin(0.501));
  }
}

TEST_CASE("pressing in a square tube agrees with the same program", "[press_in][oracle]") {
  // 50 x 50 x 3 with outside corners of 2 t to R 1500 at a spacing of 600: 24.4 kN against 21.5 in rolling, kink R 552.
  const Section box = Section::from(RectangularTube{Length::mm(50), Length::mm(50), Length::mm(3)}).value();
  const MomentCurvature m = law(box, 300, 2100);
  const RollGeometry g = rolls(600, 100, box);
  const auto rolled = std::get<SteadyState>(roll_to_curvature(m, g, virgin(m), 1 / 1500.0));
  CHECK(rolled.centre_force_n / 1000 == Approx(21.5).margin(0.0501));
  const auto pressed = press_in(m, g, virgin(m), rolled.travel_mm);
  REQUIRE(pressed);
  CHECK(pressed->centre_force_n / 1000 == Approx(24.4).margin(0.0501));
  CHECK(1 / pressed->kink_free_curvature == Approx(552).margin(0.501));
}

TEST_CASE("the press agrees with a chain of rigid links", "[press_in][oracle]") {
  // A transient simulation (257 rigid links with hinge history, penalty rolls) of the tube of the first job at
  // the travel that rolls R 917: curvature 0.00281 / mm, force 13456 N; the rod by the separate program 0.00287
  // and 13421. The simulation is good to some 2 %.
  const RollingJob job = rolling_jobs()[0];
  const MomentCurvature m = law(job.section, 300, 2100);
  const RollGeometry g = rolls(job.spacing_mm, 100, job.section);
  const auto pressed = press_in(m, g, virgin(m), rolling_travel(m, g, 917));
  REQUIRE(pressed);
  CHECK(pressed->loaded_curvature == Approx(0.00287).margin(0.0000201));
  CHECK(pressed->centre_force_n == Approx(13421).margin(20));
  CHECK(pressed->loaded_curvature == Approx(0.00281).epsilon(0.025));
  CHECK(pressed->centre_force_n == Approx(13456).epsilon(0.005));
}

TEST_CASE("an elastic press is the beam on two supports", "[press_in][oracle]") {
  // s = F L^3 / 48 EI for point supports; rolls of 1 mm radius. Stock that has been worked further stays elastic.
  const Section section = tube(42.4, 2.6);
  const MomentCurvature m = law(section, 300, 2100);
  const RollGeometry g = rolls(500, 1, section);
  const BendHistory worked{0.0, 0.01 * m.first_yield_curvature()};
  const auto pressed = press_in(m, g, worked, 1e-9);
  REQUIRE(pressed);
  const double travel = pressed->centre_force_n * std::pow(500, 3) / (48 * m.bending_stiffness());
  CHECK(pressed->travel_mm / travel == Approx(1.0).margin(1e-4));
  CHECK(pressed->kink_free_curvature == Approx(0.0).margin(1e-12));
}

TEST_CASE("a travel that folds the stock round the roll has no answer", "[press_in][property]") {
  const Section section = tube(42.4, 2.6);
  const MomentCurvature m = law(section, 300, 0);
  const RollGeometry g = rolls(500, 100, section);
  CHECK_FALSE(press_in(m, g, virgin(m), 200));
}

TEST_CASE("the deeper the press the more force and the sharper the kink", "[press_in][property]") {
  const Section section = tube(48.3, 3.2);
  const MomentCurvature m = law(section, 235, 2100);
  const RollGeometry g = rolls(500, 100, section);
  double force = 0, kink = 0;
  for (const double travel : {5.0, 10.0, 20.0, 30.0, 40.0}) {
    const auto pressed = press_in(m, g, virgin(m), travel);
    REQUIRE(pressed);
    CHECK(pressed->travel_mm == Approx(travel).margin(2e-9));
    CHECK(pressed->centre_force_n > force);
    CHECK(pressed->kink_free_curvature > kink);
    force = pressed->centre_force_n, kink = pressed->kink_free_curvature;
  }
}
