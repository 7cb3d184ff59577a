#include <catch2/catch.hpp>
#include <algorithm>
#include <cmath>
#include <coilwright/report/chord_gauge.hpp>
#include <utility>

using namespace coilwright;

TEST_CASE("36 in straight edge, 23/32 in of rise: a radius of 225.7 in", "[chord_gauge][published]") {
  // A bender-roller's public answer to "how to check the radius of a curved segment". The rise is exact, the
  // radius printed is cut off after the first decimal, not rounded: the rule R = L^2 / (8 f) + f / 2 gives 225.75.
  CHECK(chord_rise(Length::inches(225.7), Length::inches(36)).inches() > 23.0 / 32.0);
  CHECK(chord_rise(Length::inches(225.8), Length::inches(36)).inches() < 23.0 / 32.0);
}

TEST_CASE("a chord of the whole diameter rises by the radius", "[chord_gauge][oracle]") {
  CHECK(chord_rise(Length::mm(50), Length::mm(100)).mm() == 50.0);
}

TEST_CASE("the gauge fits", "[chord_gauge][property]") {
  for (const double radius : {0.7, 12.0, 30.0, 140.0, 1052.0, 9000.0})
    for (const Show show : {Show::mm, Show::inch}) {
      const Length chord = gauge_chord(Length::mm(radius), show);
      CHECK(chord.mm() > 0.0);
      CHECK(chord.mm() <= 0.6 * radius);
    }
  CHECK(gauge_chord(Length::mm(1052), Show::both).mm() == 600.0);
}

TEST_CASE("over the gauge a helix rises like the circle of its bend radius", "[chord_gauge][bound]") {
  // The tube seen square to the plane of the bend is its centreline offset by half its diameter, so straight
  // feet touch where that outline does. Centreline of a helix in the plane of tangent and normal at azimuth 0:
  //     x = R cos(a) sin(u) + c sin(a) u,   y = R (1 - cos(u)),   tan(a) = c / R.
  double worst = 0.0;
  for (const double slope_deg : {0.0, 5.0, 15.0, 25.0, 30.0})
    for (const double plan_radius : {200.0, 800.0, 3000.0}) {
      const double a = slope_deg * std::acos(-1.0) / 180.0, c = plan_radius * std::tan(a), half_tube = 21.2;
      const Length face = Length::mm(plan_radius / std::cos(a) / std::cos(a) + half_tube);
      const Length chord = gauge_chord(face, Show::mm);
      const auto outline = [&](double u) {
        const double dx = plan_radius * std::cos(a) * std::cos(u) + c * std::sin(a), dy = plan_radius * std::sin(u);
        const double x = plan_radius * std::cos(a) * std::sin(u) + c * std::sin(a) * u, y = plan_radius * (1 - std::cos(u));
        const double n = std::hypot(dx, dy);
        return std::pair(x + half_tube * dy / n, y - half_tube * dx / n);
      };
      double low = 0.0, high = 1.5;
      for (int i = 0; i < 80; ++i) (outline(0.5 * (low + high)).first < chord.mm() / 2 ? low : high) = 0.5 * (low + high);
      const double rise = outline(low).second + half_tube;
      worst = std::max(worst, std::abs(rise / chord_rise(face, chord).mm() - 1.0));
    }
  CAPTURE(worst);
  CHECK(worst < 0.003);
  CHECK(worst > 1e-5);  // the bound is not empty
}
