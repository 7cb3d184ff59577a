#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/own_weight.hpp>
#include <coilwright/stock/material.hpp>
#include <numbers>

using namespace coilwright;

namespace {

Length mm(double v) { return Length::mm(v); }
Stock of(const Section& section) { return {section, find_material("S235").value(), "", "", {}}; }
Stock tube() { return of(Section::round_tube(mm(42.4), mm(2.6)).value()); }
double weight(const Stock& stock) { return stock.mass_per_metre_kg() * 9.80665e-3; }  // N / mm
double EI(const Stock& stock) { return stock.material.modulus.mpa() * stock.section.side_inertia_mm4(); }

// The end of a chain of short straight pieces by the unit-load method: each piece carries the moment of everything ahead
// of it, as vectors, cut by hand. Nothing shared with the closed form.
double sag_by_pieces(const Stock& stock, double radius, double arc, double straight) {
  constexpr int pieces = 3000;
  struct Piece {
    double x, y, tx, ty, length;
  };
  std::vector<Piece> chain;
  for (int i = 0; i < pieces; ++i) {
    const double a = arc * (i + 0.5) / pieces;
    chain.push_back({radius * std::sin(a), radius * (1.0 - std::cos(a)), std::cos(a), std::sin(a), radius * arc / pieces});
  }
  const double ex = radius * std::sin(arc), ey = radius * (1.0 - std::cos(arc)), tx = std::cos(arc), ty = std::sin(arc);
  for (int i = 0; i < pieces && straight > 0.0; ++i) {
    const double s = straight * (i + 0.5) / pieces;
    chain.push_back({ex + s * tx, ey + s * ty, tx, ty, straight / pieces});
  }
  const double tip_x = ex + straight * tx, tip_y = ey + straight * ty, w = weight(stock);
  double sag = 0.0, mass = 0.0, moment_x = 0.0, moment_y = 0.0;  // ahead: weight, and its first moments
  for (auto piece = chain.rbegin(); piece != chain.rend(); ++piece) {
    mass += 0.5 * w * piece->length, moment_x += 0.5 * w * piece->length * piece->x, moment_y += 0.5 * w * piece->length * piece->y;
    // Of vertical loads: r x (-z) has components (-ry, rx) times the load.
    const double mx = -(moment_y - mass * piece->y), my = moment_x - mass * piece->x;
    const double ux = -(tip_y - piece->y), uy = tip_x - piece->x;
    const double twist = mx * piece->tx + my * piece->ty, unit_twist = ux * piece->tx + uy * piece->ty;
    const double bend = mx * -piece->ty + my * piece->tx, unit_bend = ux * -piece->ty + uy * piece->tx;
    sag += (bend * unit_bend / EI(stock) + twist * unit_twist / stock.torsion_stiffness_n_mm2()) * piece->length;
    mass += 0.5 * w * piece->length, moment_x += 0.5 * w * piece->length * piece->x, moment_y += 0.5 * w * piece->length * piece->y;
  }
  return sag;
}

}  // namespace

TEST_CASE("an arc that is nearly straight hangs like a cantilever", "[own_weight][published]") {
  // w L^4 / 8 EI for a uniform load (Gere and Timoshenko, Mechanics of Materials, 1997, appendix G, table G-1, case 1).
  const Stock stock = tube();
  const double length = 1500.0, expected = weight(stock) * std::pow(length, 4) / (8.0 * EI(stock));
  CHECK(hanging_end(stock, mm(1e6), Angle::rad(length / 1e6), Length()).sag.mm() == Approx(expected).epsilon(1e-5));
  CHECK(hanging_end(stock, mm(500), Angle(), mm(length)).sag.mm() == Approx(expected).epsilon(1e-12));
  CHECK(hanging_end(stock, mm(1e6), Angle::rad(900.0 / 1e6), mm(600)).sag.mm() == Approx(expected).epsilon(1e-5));
}

TEST_CASE("a ring segment hangs as its closed form says", "[own_weight][oracle]") {
  const Stock stock = tube();
  const double R = 900.0, w = weight(stock), GJ = stock.torsion_stiffness_n_mm2();
  for (const double degrees : {30.0, 90.0, 180.0, 270.0, 360.0, 700.0}) {
    const double a = degrees * std::numbers::pi / 180.0;
    const double expected = w * std::pow(R, 4) * (std::pow(1.0 - std::cos(a), 2) / (2.0 * EI(stock)) + std::pow(a - std::sin(a), 2) / (2.0 * GJ));
    CAPTURE(degrees);
    CHECK(hanging_end(stock, mm(R), Angle::deg(degrees), Length()).sag.mm() == Approx(expected).epsilon(1e-11));
  }
}

TEST_CASE("arcs with straight ends hang as a chain of short pieces does", "[own_weight][oracle]") {
  const Stock angle = of(Section::from(AngleBar{mm(50), mm(50), mm(5), Points::to_the_centre, mm(7), mm(3.5)}).value());
  const Stock flat = of(Section::from(FlatBar{mm(50), mm(10)}).value());
  for (const Stock& stock : {tube(), angle, flat})
    for (const double degrees : {20.0, 135.0, 360.0})
      for (const double straight : {0.0, 235.0, 1100.0}) {
        const double a = degrees * std::numbers::pi / 180.0;
        CAPTURE(degrees, straight);
        CHECK(hanging_end(stock, mm(700), Angle::deg(degrees), mm(straight)).sag.mm() ==
              Approx(sag_by_pieces(stock, 700.0, a, straight)).epsilon(2e-5));
        // However bent, no more than the bound.
        const HangingEnd any = hanging_end(stock, mm(700.0 * a + straight)), end = hanging_end(stock, mm(700), Angle::deg(degrees), mm(straight));
        CHECK(end.sag <= any.sag);
        CHECK(end.share_of_yield <= any.share_of_yield);
      }
}

TEST_CASE("a coil is carried so often that its end hangs no lower than allowed", "[own_weight][property]") {
  const Stock stock = tube();
  const double turn = 900.0 * 2.0 * std::numbers::pi;
  for (const double allowed : {0.5, 6.0, 40.0, 1000.0})
    for (const double beyond : {200.0, 1500.0, 9000.0, 60000.0}) {
      CAPTURE(allowed, beyond);
      const Carrying c = carry_coil(stock, mm(900), mm(beyond), mm(235), mm(allowed));
      const auto fine = [&](double free) {
        const HangingEnd e = hanging_end(stock, mm(900), Angle::rad(std::min(free, beyond) / 900.0), mm(235));
        return e.sag.mm() <= allowed && e.share_of_yield <= 0.5;
      };
      if (!c.at_least_every) {
        CHECK(beyond <= turn);
        CHECK(fine(beyond));
        continue;
      }
      const double every = c.at_least_every->mm();
      CHECK((fine(every) || every == Approx(turn / 8.0)));
      if (every < 0.99 * turn) CHECK_FALSE(fine(2.0 * every));
      const Carrying any = carry_part(stock, mm(beyond), mm(235), mm(allowed));
      CHECK((any.then.sag.mm() <= allowed || any.at_least_every->mm() == Approx(beyond / 64.0)));
    }
  CHECK_THROWS_AS(hanging_end(stock, Length(), Angle::deg(10), Length()), InternalError);
}
