#include <algorithm>
#include <cmath>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/quantity/require.hpp>
#include <coilwright/report/printed_sum.hpp>
#include <cstdint>
#include <numeric>

namespace coilwright {
namespace {

// A value with its decimals as a whole number of last digits, as printed.
std::int64_t printed_units(double value, int decimals) {
  std::int64_t units = 0;
  for (const char c : number_text(value, decimals))
    if (c >= '0' && c <= '9') units = units * 10 + (c - '0');
  return units;
}

std::string units_text(std::int64_t units, int decimals) {
  std::string digits = std::to_string(units);
  const auto places = static_cast<std::size_t>(decimals);
  if (places == 0) return digits;
  if (digits.size() <= places) digits.insert(0, places + 1 - digits.size(), '0');
  digits.insert(digits.size() - places, ".");
  return digits;
}

}  // namespace

PrintedSum printed_sum(const std::vector<double>& parts, double total, int decimals) {
  require(decimals >= 0 && decimals <= 3, "a sum is printed with 0 to 3 decimals");
  const double scale = std::pow(10.0, decimals);
  // Adding n numbers that are not negative errs by at most n - 1 roundings, in any order.
  const double sum = std::accumulate(parts.begin(), parts.end(), 0.0);
  require(std::abs(sum - total) <= 2.0 * static_cast<double>(parts.size()) * 0x1p-53 * sum,
          "the total of a printed sum is not the sum of its parts");
  std::vector<std::int64_t> units;
  std::vector<double> remainder;
  for (const double part : parts) {
    require(std::isfinite(part) && part >= 0.0 && part < 1e12, "parts of a printed sum are finite and not negative");
    const double down = std::floor(part * scale);
    units.push_back(static_cast<std::int64_t>(down));
    remainder.push_back(part * scale - down);
  }
  std::int64_t missing = printed_units(total, decimals) - std::accumulate(units.begin(), units.end(), std::int64_t{0});
  require(missing >= 0 && missing <= static_cast<std::int64_t>(parts.size()), "a printed sum that cannot add up");
  std::vector<std::size_t> order(parts.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return remainder[a] > remainder[b]; });
  for (const std::size_t i : order) {
    if (missing == 0) break;
    ++units[i];
    --missing;
  }
  PrintedSum out;
  for (const std::int64_t n : units) out.parts.push_back(units_text(n, decimals));
  out.total = number_text(total, decimals);
  return out;
}

}  // namespace coilwright
