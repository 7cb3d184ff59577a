// What tests share: comparison with a number as it stands printed in a table, and seeded random numbers.
#pragma once

#include <charconv>
#include <cmath>
#include <random>
#include <stdexcept>
#include <string_view>

// How far `value` lies from the printed number, in halves of its last digit: at most 1 where the table was
// rounded from it.
inline double halves_off(double value, std::string_view printed) {
  double number = 0.0;
  const auto read = std::from_chars(printed.data(), printed.data() + printed.size(), number);
  if (read.ptr != printed.data() + printed.size()) throw std::invalid_argument("not a printed number");
  const std::size_t point = printed.find('.');
  const auto decimals = point == std::string_view::npos ? 0 : static_cast<int>(printed.size() - point - 1);
  return std::abs(value - number) / (0.5 * std::pow(10.0, -decimals));
}

// A value that falls between two printed ones is rounded either way; the rest is rounding in binary.
inline constexpr double half_a_digit = 1.0 + 1e-6;

// Uniform in [low, high) and the same on every machine; the library's distributions are not.
inline double uniform(std::mt19937_64& random, double low, double high) {
  return low + (high - low) * (static_cast<double>(random() >> 11) * 0x1p-53);
}
