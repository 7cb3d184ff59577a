// The root of a rising function between two places where its sign is known.
#pragma once

#include <cmath>

namespace coilwright {

// Aims by the chord, halving the weight of an end that stays (the Illinois rule), and never leaves the
// bracket. value(low) = at_low < 0 <= at_high = value(high). Ends when the bracket is narrower than `width`
// or the function is within `close` of zero.
template <class Function>
double rising_root_between(double low, double at_low, double high, double at_high, double width, double close,
                           Function value) {
  double x = high, at = at_high;
  for (int i = 0; i < 100 && high - low > width && std::abs(at) > close; ++i) {
    x = low - at_low * (high - low) / (at_high - at_low);
    if (!(x > low && x < high)) x = 0.5 * (low + high);
    at = value(x);
    if (at < 0.0) {
      low = x, at_low = at;
      at_high *= 0.5;
    } else {
      high = x, at_high = at;
      at_low *= 0.5;
    }
  }
  return x;
}

}  // namespace coilwright
