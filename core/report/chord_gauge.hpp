// What a chord gauge should read: straight feet a chord apart on the outside of the bend, the rise between.
#pragma once

#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/quantity.hpp>

namespace coilwright {

// The height of an arc over its chord, f = R - sqrt(R^2 - (L/2)^2), written so that nothing cancels.
// 0 < chord <= 2 R. From R = L^2 / (8 f) + f / 2, the usual rule of the trade.
Length chord_rise(Length radius, Length chord);

// The longest of the usual gauges (1000, 600, 300, 200, 100, 50, 20 mm; 36, 24, 12, 8, 4, 2, 1 in) that is
// not longer than 0.6 of the radius; the smallest halved until it fits where none does. Over such a chord a
// helix rises like the circle of its bend radius within 0.3 % for slopes up to 30 degrees.
Length gauge_chord(Length radius, Show show);

}  // namespace coilwright
