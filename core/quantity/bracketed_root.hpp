// The root of a rising function between two places where its sign is known.
#pragma once

#include <cmath>

namespace coilwright {

// value(low) = at_low <= 0 <= at_high = value(high), rising between. Aims by the chord, halving the weight of an
// end that stays (the Illinois rule), halves the bracket every third time, so that no shape of the function can
// hold it up, and never leaves the bracket. Ends when the function is within `close` of zero, the bracket is no
// wider than `width`, or no number lies between its ends; the end nearer to zero is the answer.
template <class Function>
double rising_root_between(double low, double at_low, double high, double at_high, double width, double close,
                           Function value) {
  double weight_low = 1.0, weight_high = 1.0;
  constexpr int enough = 400;
  for (int i = 0; i < enough && high - low > width; ++i) {
    const double middle = 0.5 * (low + high);
    if (!(middle > low && middle < high)) break;
    const double below = weight_low * at_low, above = weight_high * at_high;
    double x = i % 3 == 2 ? middle : low - below * ((high - low) / (above - below));
    if (!(x > low && x < high)) x = middle;
    const double at = value(x);
    if (std::abs(at) <= close) return x;
    if (at < 0.0) {
      low = x, at_low = at;
      weight_low = 1.0, weight_high *= 0.5;
    } else {
      high = x, at_high = at;
      weight_high = 1.0, weight_low *= 0.5;
    }
  }
  return std::abs(at_low) < std::abs(at_high) ? low : high;
}

// To the last digit, between two places of which one may already be beyond: then that one is the answer.
template <class Function>
double rising_root_between(double low, double high, Function value) {
  const double at_low = value(low), at_high = value(high);
  if (at_low >= 0.0) return low;
  if (at_high <= 0.0) return high;
  return rising_root_between(low, at_low, high, at_high, 0.0, 0.0, value);
}

}  // namespace coilwright
