// The place where an increasing function reaches zero.
#pragma once

#include <cmath>

namespace coilwright {

// value(low) <= 0 <= value(high), increasing between. Secant steps inside a bracket that is at least halved
// every other step; ends when no number lies between its ends any more.
template <class Function>
double increasing_root(double low, double high, Function value) {
  double at_low = value(low), at_high = value(high);
  if (at_low >= 0.0) return low;
  if (at_high <= 0.0) return high;
  for (int i = 0; i < 400; ++i) {
    const double middle = 0.5 * (low + high);
    if (!(middle > low && middle < high)) break;
    double x = i % 2 == 0 ? low - at_low * ((high - low) / (at_high - at_low)) : middle;
    if (!(x > low && x < high)) x = middle;
    const double at = value(x);
    if (at == 0.0) return x;
    (at < 0.0 ? low : high) = x;
    (at < 0.0 ? at_low : at_high) = at;
  }
  return std::abs(at_low) < std::abs(at_high) ? low : high;
}

}  // namespace coilwright
