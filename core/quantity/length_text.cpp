#include <algorithm>
#include <bit>
#include <cmath>
#include <coilwright/quantity/amount.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/quantity/require.hpp>

namespace coilwright {
namespace {

constexpr std::string_view instead =
    "Write a length with its unit: 600 mm, 2.7 m, 23-5/8 in, 5 ft or 5'-4 1/2\".";
constexpr double longest_mm = 1e7;  // beyond it a length is a slip of the pen

enum class Unit { none, mm, cm, m, inch, foot, unknown };

// The unit that stands next, passed; left standing if it is none or unknown.
Unit take_unit(TextUnderReading& text) {
  text.skip_spaces();
  if (text.at_end()) return Unit::none;
  if (text.take(U'"')) return Unit::inch;
  if (text.take(U'\'')) return text.take(U'\'') ? Unit::inch : Unit::foot;  // '' is typed for the inch mark
  TextUnderReading ahead = text;
  const std::string word = ahead.word();
  const auto is_one_of = [&](std::initializer_list<std::string_view> words) {
    return std::find(words.begin(), words.end(), word) != words.end();
  };
  Unit unit = Unit::unknown;
  if (is_one_of({"mm", "millimetre", "millimetres", "millimeter", "millimeters"})) unit = Unit::mm;
  if (is_one_of({"cm", "centimetre", "centimetres", "centimeter", "centimeters"})) unit = Unit::cm;
  if (is_one_of({"m", "metre", "metres", "meter", "meters"})) unit = Unit::m;
  if (is_one_of({"in", "inch", "inches"})) unit = Unit::inch;
  if (is_one_of({"ft", "foot", "feet"})) unit = Unit::foot;
  if (unit == Unit::unknown) return unit;
  text = ahead;
  if (unit == Unit::inch || unit == Unit::foot) text.take(U'.');  // the abbreviations "in." and "ft."
  return unit;
}

// What stands behind "5'": perhaps a hyphen, and inches with or without their mark. In inches.
Reading<double> read_inches_behind_feet(TextUnderReading& text, const Amount& feet) {
  text.skip_spaces();
  const bool hyphen = text.take(U'-');
  text.skip_spaces();
  if (text.at_end() && !hyphen) return 0.0;
  const auto inches = text.amount();
  if (!inches) return tl::unexpected(inches.error());
  text.skip_spaces();
  const int unit_column = text.column();
  const Unit unit = take_unit(text);
  if (unit == Unit::unknown) return tl::unexpected(text.unexpected("only inches can stand behind feet,"));
  if (unit != Unit::inch && unit != Unit::none)
    return tl::unexpected(Refusal{unit_column, "only inches can stand behind feet", std::string(instead)});
  if (!feet.whole)
    return tl::unexpected(
        Refusal{feet.column, "feet in front of inches must be a whole number", "Write 5'-6\" or 5.5 ft."});
  if (inches->value >= 12.0)
    return tl::unexpected(Refusal{inches->column, "inches behind feet must be less than 12",
                                  "Carry twelve inches over to the feet, as in 3'-1\" for 2' 13\"."});
  return inches->value;
}

Reading<Length> read_unsigned(TextUnderReading& text, std::optional<LengthUnit> bare) {
  const auto amount = text.amount();
  if (!amount) return tl::unexpected(amount.error());
  Length length;
  switch (take_unit(text)) {
    case Unit::mm:
      length = Length::mm(amount->value);
      break;
    case Unit::cm:
      length = Length::mm(amount->value * 10.0);
      break;
    case Unit::m:
      length = Length::metres(amount->value);
      break;
    case Unit::inch:
      length = Length::inches(amount->value);
      break;
    case Unit::foot: {
      const auto inches = read_inches_behind_feet(text, *amount);
      if (!inches) return tl::unexpected(inches.error());
      length = Length::inches(amount->value * 12.0 + *inches);
      break;
    }
    case Unit::none:
      if (!bare) return tl::unexpected(Refusal{text.column(), "the unit is missing", std::string(instead)});
      length = *bare == LengthUnit::mm ? Length::mm(amount->value) : Length::inches(amount->value);
      break;
    case Unit::unknown:
      return tl::unexpected(text.unexpected("a unit is expected"));
  }
  text.skip_spaces();
  if (!text.at_end()) return tl::unexpected(text.unexpected("nothing can follow a length"));
  if (!(length.mm() <= longest_mm))
    return tl::unexpected(
        Refusal{amount->column, "a length is at most 10000 m", "Look at the number and at its unit."});
  return length;
}

std::string decimal_inch_text(Length length, int decimals) {
  return number_text(length.inches(), decimals) + " in";
}

}  // namespace

Result<Length> read_length(std::string_view text, std::string_view about, std::optional<LengthUnit> bare) {
  const std::string_view kind = "a length";
  TextUnderReading reading(text, instead);
  if (reading.unreadable()) return refuse_text(about, text, kind, *reading.unreadable());
  const double sign = reading.sign();
  const auto length = read_unsigned(reading, bare);
  if (!length) return refuse_text(about, text, kind, length.error());
  return sign < 0.0 && *length > Length() ? -*length : *length;
}

std::string mm_text(Length length, int decimals) {
  require(decimals >= 0 && decimals <= 6, "mm_text takes 0 to 6 decimals");
  return number_text(length.mm(), decimals) + " mm";
}

std::string feet_inch_text(Length length, int denominator) {
  require(length.finite(), "feet_inch_text needs a finite length");
  require(denominator >= 1 && denominator <= 64 && std::has_single_bit(static_cast<unsigned>(denominator)),
          "feet_inch_text takes a power of two up to 64");
  const double inches = std::abs(length.inches());
  double whole = std::floor(inches);
  int parts = static_cast<int>(std::round((inches - whole) * denominator));
  if (parts == denominator) {
    whole += 1.0;
    parts = 0;
  }
  const double feet = std::floor(whole / 12.0);
  whole = std::fmod(whole, 12.0);

  std::string text = length < Length() && (feet > 0.0 || whole > 0.0 || parts > 0) ? "-" : "";
  if (feet > 0.0) text += number_text(feet, 0) + "'-";
  if (feet > 0.0 || whole > 0.0 || parts == 0) text += number_text(whole, 0) + (parts > 0 ? " " : "");
  if (parts > 0) {
    const int common = 1 << std::countr_zero(static_cast<unsigned>(parts));
    text += std::to_string(parts / common) + "/" + std::to_string(denominator / common);
  }
  return text + "\"";
}

std::string length_text(Length length, Show show, int decimals) {
  const std::string mm = mm_text(length, decimals);
  if (show == Show::mm) return mm;
  const std::string inches = decimals >= 2 ? decimal_inch_text(length, decimals + 2) : feet_inch_text(length);
  return show == Show::inch ? inches : mm + " (" + inches + ")";
}

}  // namespace coilwright
