#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/report/chord_gauge.hpp>

namespace coilwright {

Length chord_rise(Length radius, Length chord) {
  const double r = radius.mm(), half = chord.mm() / 2.0;
  require(half > 0.0 && half <= r, "a chord is positive and not longer than the diameter");
  return Length::mm(half * half / (r + std::sqrt((r - half) * (r + half))));
}

Length gauge_chord(Length radius, Show show) {
  const Length longest = 0.6 * radius;
  Length chord;
  if (show == Show::inch) {
    for (const double inches : {36.0, 24.0, 12.0, 8.0, 4.0, 2.0, 1.0})
      if ((chord = Length::inches(inches)) <= longest) return chord;
  } else {
    for (const double mm : {1000.0, 600.0, 300.0, 200.0, 100.0, 50.0, 20.0})
      if ((chord = Length::mm(mm)) <= longest) return chord;
  }
  while (chord > longest) chord = chord / 2.0;
  return chord;
}

}  // namespace coilwright
