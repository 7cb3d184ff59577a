#include <catch2/catch.hpp>
#include <coilwright/report/chord_gauge.hpp>

using namespace coilwright;

TEST_CASE("36 in straight edge, 23/32 in of rise: a radius of 225.7 in", "[chord_gauge][published]") {
  // A bender-roller's answer to "how to check the radius of a curved segment", computed with
  // R = L^2 / (8 f) + f / 2. Tolerance: half the last printed digit of the radius.
  const Length rise = chord_rise(Length::inches(225.7), Length::inches(36));
  const double low = 36.0 * 36.0 / (8 * rise.inches()) + rise.inches() / 2;
  CHECK(low == Approx(225.7).margin(0.05));
  CHECK(rise.inches() == Approx(23.0 / 32.0).margin(0.05 / 225.7 * 23.0 / 32.0));
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
