#include <coilwright/rolling/moment_curvature.hpp>

#include <catch2/catch.hpp>
#include <numbers>

#include "fixture.hpp"

using namespace coilwright;
using namespace coilwright::rolling_fixture;

TEST_CASE("a tube yields and turns fully plastic as published", "[moment_curvature][published]") {
  // J. R. Barber, Intermediate Mechanics of Materials, answer to problem 5.4: outer radius 2a, inner a,
  // M_Y = 15 pi S a^3 / 8, M_P = 28 S a^3 / 3, shape factor 1.584.
  const double a = 10, S = 200;
  const MomentCurvature m = law(tube(4 * a, a), S, 0);
  CHECK(m.first_yield_moment() == Approx(15.0 * std::numbers::pi * S * a * a * a / 8.0).epsilon(1e-12));
  const double plastic = m.moment(1e5 * m.first_yield_curvature());
  CHECK(plastic == Approx(28.0 * S * a * a * a / 3.0).epsilon(1e-8));
  CHECK(plastic / m.first_yield_moment() == Approx(1.584).margin(0.0005));
}

TEST_CASE("a round bar has the shape factor 16 / 3 pi", "[moment_curvature][oracle]") {
  // Closed form of the disc: Zp / W = (D^3 / 6) / (pi D^3 / 32).
  const MomentCurvature m = law(bar(25), 300, 0);
  CHECK(m.moment(1e5 * m.first_yield_curvature()) / m.first_yield_moment() ==
        Approx(16.0 / (3.0 * std::numbers::pi)).epsilon(1e-8));
}

TEST_CASE("moment against curvature agrees with an independent program", "[moment_curvature][oracle]") {
  // Computed beforehand by a separate program (fibres and closed forms in another language); fy 300,
  // E 210000; printed to 0.1 N mm.
  struct Row {
    double ratio, perfect, hardening;
  };
  const auto check = [](const Section& section, double first_yield, std::initializer_list<Row> rows) {
    const MomentCurvature perfect = law(section, 300, 0), hardening = law(section, 300, 2100);
    CHECK(perfect.first_yield_curvature() == Approx(first_yield).epsilon(1e-7));
    for (const Row& row : rows) {
      CHECK(perfect.moment(row.ratio * perfect.first_yield_curvature()) == Approx(row.perfect).margin(0.051));
      CHECK(hardening.moment(row.ratio * hardening.first_yield_curvature()) == Approx(row.hardening).margin(0.051));
    }
  };
  check(tube(42.4, 2.6), 6.7385445e-5,
        {{1, 914781.3, 914781.3}, {1.5, 1123591.5, 1126077.3}, {2, 1176085.6, 1182620.4}, {5, 1227895.4, 1261355.6},
         {10, 1234967.7, 1314096.2}, {20, 1236724.3, 1407313.3}});
  check(bar(25), 1.1428571e-4,
        {{1, 460194.2, 460194.2}, {1.5, 619923.4, 620627.1}, {2, 687373.7, 689703.9}, {5, 765719.2, 781071.7},
         {10, 777349.6, 815595.5}, {20, 780273.8, 864509.9}});
}

TEST_CASE("the moment is the sum over thin strips of the section", "[moment_curvature][oracle]") {
  // Brute force: midpoint strips with the stress law itself, no closed form.
  const double E = 200000, fy = 250, Et = 3000, R = 24.15, r = 20.95;
  const MomentCurvature m = law(tube(2 * R, R - r), fy, Et, E);
  for (const double ratio : {0.4, 1.05, 1.15, 1.6, 4.0, 15.0}) {
    const double k = ratio * m.first_yield_curvature();
    const int strips = 400000;
    double sum = 0;
    for (int i = 0; i < strips; ++i) {
      const double y = R * (i + 0.5) / strips;
      const double chord = 2 * (std::sqrt(R * R - y * y) - (y < r ? std::sqrt(r * r - y * y) : 0.0));
      const double strain = k * y, yield_strain = fy / E;
      const double stress = strain <= yield_strain ? E * strain : fy + Et * (strain - yield_strain);
      sum += 2 * stress * y * chord * R / strips;
    }
    CHECK(m.moment(k) == Approx(sum).epsilon(2e-7));  // midpoint rule at the round edge
  }
}

TEST_CASE("stiffness and work are the derivative and the integral of the moment", "[moment_curvature][property]") {
  for (const Section& section : {tube(42.4, 2.6), tube(21.3, 5.0), bar(25)}) {
    const MomentCurvature m = law(section, 320, 1500);
    for (const double ratio : {0.5, 1.02, 1.3, 3.0, 9.0}) {
      const double k = ratio * m.first_yield_curvature(), h = 1e-5 * k;
      CHECK(m.stiffness(k) == Approx((m.moment(k + h) - m.moment(k - h)) / (2 * h)).epsilon(1e-6));
      CHECK(m.moment(k) == Approx((m.work(k + h) - m.work(k - h)) / (2 * h)).epsilon(1e-8));
    }
  }
}

TEST_CASE("springback: loaded and free curvature belong together", "[moment_curvature][property]") {
  const MomentCurvature m = law(tube(42.4, 2.6), 300, 2100);
  for (const double radius : {150.0, 400.0, 900.0, 3000.0, 50000.0}) {
    const double loaded = m.loaded(1 / radius);
    CHECK(loaded > 1 / radius);
    CHECK(loaded - m.moment(loaded) / m.bending_stiffness() == Approx(1 / radius).epsilon(1e-12));
    CHECK(m.curvature_at(m.moment(loaded)) == Approx(loaded).epsilon(1e-10));
  }
  CHECK(m.loaded(0.0) == m.first_yield_curvature());
}

TEST_CASE("a sheet rolled to a tube springs open as in a published examination", "[moment_curvature][published]") {
  // Sheet bending after Marciniak, Duncan and Hu, Mechanics of Sheet Metal Forming (2002), chapter 6, as worked in a
  // university examination of 2019: 40 mm of sheet 1.2 mm thick rolled to a tube, E 70 GPa, nu 0.3, yield 250 MPa;
  // plane strain, so E' = E / (1 - nu^2) and S = 2 / sqrt(3) of the yield. It closes to rho_0 = 40 / 2 pi and opens to
  // rho_f 6.77 mm (exactly 1 / rho_f = (1 - 3 X + 4 X^3) / rho_0, X = S rho_0 / (E' t): 6.77036).
  const Section sheet = Section::from(FlatBar{Length::mm(40), Length::mm(1.2), Way::easy}).value();
  const MomentCurvature m = law(sheet, 2.0 / std::sqrt(3.0) * 250.0, 0.0, 70000.0 / (1.0 - 0.09));
  const double loaded = 2.0 * 3.14159265358979 / 40.0;
  const double free_radius = 1.0 / (loaded - m.moment(loaded) / m.bending_stiffness());
  CHECK(free_radius == Approx(6.77036).margin(5e-6));
}
