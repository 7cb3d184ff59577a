#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <coilwright/quantity/amount.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/quantity/require.hpp>
#include <limits>
#include <numbers>

namespace coilwright {
namespace {

constexpr double newtons_per_pound_force = 4.4482216152605;  // exact: 0.45359237 kg x 9.80665 m/s^2
constexpr double mpa_per_ksi = Stress::ksi(1.0).mpa();

// Beyond these a value is a slip of the pen: no shop, press or material comes near them.
constexpr double most_turns = 1e5;
constexpr double most_newtons = 1e9;
constexpr double most_mpa = 1e7;

template <class Quantity>
Result<Quantity> read_quantity(std::string_view text, std::string_view about,
                               const std::vector<UnitWord>& units, const UnitRule& rule,
                               Quantity (*make)(double)) {
  const auto value = read_with_unit(text, units, rule);
  if (!value) return refuse_text(about, text, rule.kind, value.error());
  return make(*value);
}

}  // namespace

Result<double> read_number(std::string_view text, std::string_view about) {
  const std::string_view kind = "a number";
  TextUnderReading reading(text, "Write a plain decimal number without a unit, such as 1.5.");
  if (reading.unreadable()) return refuse_text(about, text, kind, *reading.unreadable());
  const double sign = reading.sign();
  const auto amount = reading.decimal();
  if (!amount) return refuse_text(about, text, kind, amount.error());
  reading.skip_spaces();
  if (!reading.at_end())
    return refuse_text(about, text, kind, reading.unexpected("nothing can follow the number"));
  return sign * amount->value + 0.0;  // + 0.0 turns a negative zero into zero
}

Result<Angle> read_angle(std::string_view text, std::string_view about) {
  constexpr double degree = std::numbers::pi / 180.0;
  constexpr double turn = 2.0 * std::numbers::pi;
  static const std::vector<UnitWord> units = {{"deg", degree},  {"degree", degree}, {"degrees", degree},
                                              {"°", degree},    {"rad", 1.0},       {"radian", 1.0},
                                              {"radians", 1.0}, {"turn", turn},     {"turns", turn}};
  return read_quantity<Angle>(text, about, units,
                              {"an angle", "Write an angle as 90 deg, 1.57 rad or 1.1 turns.",
                               most_turns * turn, "an angle is at most 100000 turns"},
                              Angle::rad);
}

Result<Force> read_force(std::string_view text, std::string_view about) {
  static const std::vector<UnitWord> units = {{"n", 1.0},
                                              {"kn", 1e3},
                                              {"lbf", newtons_per_pound_force},
                                              {"kip", 1e3 * newtons_per_pound_force},
                                              {"kips", 1e3 * newtons_per_pound_force}};
  return read_quantity<Force>(text, about, units,
                              {"a force", "Write a force as 60 kN, 500 N, 13.5 kip or 200 lbf.", most_newtons,
                               "a force is at most 1000000 kN"},
                              Force::newtons);
}

Result<Stress> read_stress(std::string_view text, std::string_view about) {
  static const std::vector<UnitWord> units = {
      {"mpa", 1.0}, {"gpa", 1e3}, {"ksi", mpa_per_ksi}, {"psi", mpa_per_ksi / 1e3}};
  return read_quantity<Stress>(text, about, units,
                               {"a stress", "Write a stress as 235 MPa, 210 GPa, 36 ksi or 36000 psi.",
                                most_mpa, "a stress is at most 10000000 MPa"},
                               Stress::mpa);
}

std::string number_text(double value, int decimals) {
  require(std::isfinite(value), "number_text needs a finite value");
  require(decimals >= 0 && decimals <= 20, "number_text takes 0 to 20 decimals");
  // The longest: a sign, 309 digits, the point and the decimals.
  std::array<char, std::numeric_limits<double>::max_exponent10 + 24> digits{};
  const auto [end, error] =
      std::to_chars(digits.data(), digits.data() + digits.size(), value, std::chars_format::fixed, decimals);
  require(error == std::errc{}, "number_text has room for every double");
  std::string text(digits.data(), end);
  const bool zero = text.find_first_not_of("-0.") == std::string::npos;
  return zero && text.front() == '-' ? text.substr(1) : text;
}

std::string nearest_word(std::string_view word, const std::vector<std::string>& known) {
  const std::size_t most = word.size() / 3;
  std::size_t best = most + 1;
  std::string nearest;
  for (const std::string& candidate : known) {
    const std::size_t longer = std::max(word.size(), candidate.size());
    if (longer - std::min(word.size(), candidate.size()) > most) continue;
    // Edit distance with neighbours exchanged counted once, row by row; the last two rows suffice.
    std::vector<std::size_t> before;
    std::vector<std::size_t> above(candidate.size() + 1);
    for (std::size_t j = 0; j < above.size(); ++j) above[j] = j;
    for (std::size_t i = 1; i <= word.size(); ++i) {
      std::vector<std::size_t> row(candidate.size() + 1, i);
      for (std::size_t j = 1; j <= candidate.size(); ++j) {
        const std::size_t change = word[i - 1] == candidate[j - 1] ? 0 : 1;
        row[j] = std::min({above[j] + 1, row[j - 1] + 1, above[j - 1] + change});
        if (i > 1 && j > 1 && word[i - 1] == candidate[j - 2] && word[i - 2] == candidate[j - 1])
          row[j] = std::min(row[j], before[j - 2] + 1);
      }
      before = std::move(above);
      above = std::move(row);
    }
    if (above.back() < best) {
      best = above.back();
      nearest = candidate;
    }
  }
  return nearest;
}

}  // namespace coilwright
