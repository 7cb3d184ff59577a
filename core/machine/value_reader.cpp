#include <array>
#include <charconv>
#include <cmath>
#include <coilwright/machine/value_reader.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/quantity/require.hpp>
#include <type_traits>

namespace coilwright {
namespace {

std::string shortest_text(double value) {
  std::array<char, 32> buffer{};
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value).ptr;
  return {buffer.data(), end};
}

// A value as it stands in the file, short enough for a sentence.
std::string shown(const DocumentValue& value) {
  if (const auto* text = std::get_if<std::string>(&value.value)) return "\"" + *text + "\"";
  if (const auto* number = std::get_if<double>(&value.value)) return shortest_text(*number);
  if (const auto* yes = std::get_if<bool>(&value.value)) return *yes ? "true" : "false";
  return std::holds_alternative<DocumentTable>(value.value) ? "a table" : "a list";
}

std::string last_part(const std::string& key) {
  return key.substr(key.rfind('.') + 1);
}

// How each kind of quantity is read from text, and from a plain number under a key with a unit's ending.
template <class Q>
struct Reading;

template <>
struct Reading<Length> {
  static constexpr const char* kind = "length";
  static constexpr const char* example = "\"600 mm\"";
  static Result<Length> text(std::string_view text, std::string_view about, std::optional<LengthUnit> bare) {
    return read_length(text, about, bare);
  }
  static std::optional<Length> bare(double v, std::optional<LengthUnit> unit) {
    if (!unit) return std::nullopt;
    return *unit == LengthUnit::mm ? Length::mm(v) : Length::inches(v);
  }
  static Length in(double v, const std::string& unit) {
    if (unit == "m") return Length::metres(v);
    if (unit == "cm") return Length::mm(10.0 * v);
    if (unit == "in") return Length::inches(v);
    if (unit == "ft") return Length::feet(v);
    return Length::mm(v);
  }
};

template <>
struct Reading<Angle> {
  static constexpr const char* kind = "angle";
  static constexpr const char* example = "\"90 deg\"";
  static Result<Angle> text(std::string_view text, std::string_view about, std::optional<LengthUnit>) {
    return read_angle(text, about);
  }
  static std::optional<Angle> bare(double, std::optional<LengthUnit>) { return std::nullopt; }
  static Angle in(double v, const std::string& unit) { return unit == "rad" ? Angle::rad(v) : Angle::deg(v); }
};

template <>
struct Reading<Force> {
  static constexpr const char* kind = "force";
  static constexpr const char* example = "\"60 kN\"";
  static Result<Force> text(std::string_view text, std::string_view about, std::optional<LengthUnit>) {
    return read_force(text, about);
  }
  static std::optional<Force> bare(double, std::optional<LengthUnit>) { return std::nullopt; }
  static Force in(double v, const std::string& unit) {
    return unit == "n" ? Force::newtons(v) : Force::kilonewtons(v);
  }
};

template <>
struct Reading<Stress> {
  static constexpr const char* kind = "stress";
  static constexpr const char* example = "\"235 MPa\"";
  static Result<Stress> text(std::string_view text, std::string_view about, std::optional<LengthUnit>) {
    return read_stress(text, about);
  }
  static std::optional<Stress> bare(double, std::optional<LengthUnit>) { return std::nullopt; }
  static Stress in(double v, const std::string& unit) {
    return unit == "ksi" ? Stress::ksi(v) : Stress::mpa(v);
  }
};

}  // namespace

void ValueReader::fault(const std::string& key, const std::string& text) {
  const GivenValue* given = values_.find(key);
  faults_.push_back({Level::fault, about_prefix_ + key, text,
                     given ? std::optional<Place>(given->value.place) : std::nullopt});
}

void ValueReader::fault_at(const std::string& key, const DocumentValue& value, const std::string& text) {
  faults_.push_back({Level::fault, about_prefix_ + key, text, value.place});
}

void ValueReader::missing(const std::string& key, const std::string& text) {
  faults_.push_back({Level::fault, about_prefix_ + key, text, std::nullopt});
}

void ValueReader::adopt(const std::string& key, const DocumentValue& value, Findings findings) {
  for (Finding& finding : findings) {
    finding.about = about_prefix_ + key;
    const int character = finding.place ? finding.place->column : 0;
    if (value.place.line > 0)
      finding.place = value.place_of(character);
    else
      finding.place = Place{value.place.file, 0, character};
    faults_.push_back(std::move(finding));
  }
}

void ValueReader::adopt(const std::string& key, Findings findings) {
  const GivenValue* given = values_.find(key);
  require(given != nullptr, "findings about a value that was not given");
  adopt(key, given->value, std::move(findings));
}

std::string ValueReader::as_given(const std::string& key) const {
  const GivenValue* given = values_.find(key);
  return given == nullptr ? "nothing" : shown(given->value);
}

template <class Q>
std::optional<Q> ValueReader::quantity(const std::string& key, const DocumentValue& value,
                                       const std::string& unit, Allowed allowed, const char* kind,
                                       const char* example) {
  std::optional<Q> result;
  if (const auto* text = std::get_if<std::string>(&value.value)) {
    if (unit.empty()) {
      Result<Q> read = Reading<Q>::text(*text, about_prefix_ + key, bare_);
      if (!read) return adopt(key, value, read.error()), std::nullopt;
      result = *read;
    } else {
      const Result<double> read = read_number(*text, about_prefix_ + key);
      if (!read) return adopt(key, value, read.error()), std::nullopt;
      result = Reading<Q>::in(*read, unit);
    }
  } else if (const auto* number = std::get_if<double>(&value.value)) {
    result = unit.empty() ? Reading<Q>::bare(*number, bare_) : Reading<Q>::in(*number, unit);
    if (!result) {
      fault_at(key, value,
               "The number " + shortest_text(*number) +
                   " does not say its unit. Write it as a text with the unit, such as " + example +
                   ", or under a key that ends in one, such as " + last_part(key) + '_' +
                   unit_endings(std::is_same_v<Q, Length>   ? ValueKind::length
                                : std::is_same_v<Q, Angle>  ? ValueKind::angle
                                : std::is_same_v<Q, Stress> ? ValueKind::stress
                                                            : ValueKind::force)
                       .front() +
                   " = " + shortest_text(*number) + ".");
      return std::nullopt;
    }
  } else {
    fault_at(key, value,
             std::string("This must be ") + (kind[0] == 'a' ? "an " : "a ") + kind + ", such as " + example +
                 ", not " + shown(value) + ".");
    return std::nullopt;
  }
  if (!result->finite())
    return fault_at(key, value, "This is too large to be a " + std::string(kind) + "."), std::nullopt;
  if (allowed == Allowed::positive && !(*result > Q{}))
    return fault_at(key, value, shown(value) + " is not possible here: it must be greater than zero."),
           std::nullopt;
  if (allowed == Allowed::not_negative && *result < Q{})
    return fault_at(key, value, shown(value) + " is not possible here: it must not be negative."),
           std::nullopt;
  return result;
}

std::optional<Length> ValueReader::length(const std::string& key, Allowed allowed) {
  const GivenValue* given = values_.find(key);
  if (given == nullptr) return std::nullopt;
  return quantity<Length>(key, given->value, given->unit, allowed, Reading<Length>::kind,
                          Reading<Length>::example);
}

std::optional<Angle> ValueReader::angle(const std::string& key, Allowed allowed) {
  const GivenValue* given = values_.find(key);
  if (given == nullptr) return std::nullopt;
  return quantity<Angle>(key, given->value, given->unit, allowed, Reading<Angle>::kind,
                         Reading<Angle>::example);
}

std::optional<Force> ValueReader::force(const std::string& key, Allowed allowed) {
  const GivenValue* given = values_.find(key);
  if (given == nullptr) return std::nullopt;
  return quantity<Force>(key, given->value, given->unit, allowed, Reading<Force>::kind,
                         Reading<Force>::example);
}

std::optional<Stress> ValueReader::stress(const std::string& key, Allowed allowed) {
  const GivenValue* given = values_.find(key);
  if (given == nullptr) return std::nullopt;
  return quantity<Stress>(key, given->value, given->unit, allowed, Reading<Stress>::kind,
                          Reading<Stress>::example);
}

std::vector<Length> ValueReader::lengths(const std::string& key, Allowed allowed) {
  const GivenValue* given = values_.find(key);
  std::vector<Length> read;
  if (given == nullptr) return read;
  const auto* list = std::get_if<DocumentArray>(&given->value.value);
  for (const DocumentValue& value : list ? *list : DocumentArray{given->value})
    if (const auto one = quantity<Length>(key, value, given->unit, allowed, Reading<Length>::kind,
                                          Reading<Length>::example))
      read.push_back(*one);
  return read;
}

std::optional<double> ValueReader::number(const std::string& key, Allowed allowed) {
  const GivenValue* given = values_.find(key);
  if (given == nullptr) return std::nullopt;
  double number = 0.0;
  if (const auto* text = std::get_if<std::string>(&given->value.value)) {
    const Result<double> read = read_number(*text, about_prefix_ + key);
    if (!read) return adopt(key, read.error()), std::nullopt;
    number = *read;
  } else if (const auto* plain = std::get_if<double>(&given->value.value)) {
    number = *plain;
  } else {
    return fault(key, "This must be a number, not " + as_given(key) + "."), std::nullopt;
  }
  if (allowed == Allowed::positive && !(number > 0.0))
    return fault(key, as_given(key) + " is not possible here: it must be greater than zero."), std::nullopt;
  if (allowed == Allowed::not_negative && number < 0.0)
    return fault(key, as_given(key) + " is not possible here: it must not be negative."), std::nullopt;
  return number;
}

std::vector<double> ValueReader::numbers(const std::string& key) {
  const GivenValue* given = values_.find(key);
  std::vector<double> read;
  if (given == nullptr) return read;
  const auto* list = std::get_if<DocumentArray>(&given->value.value);
  for (const DocumentValue& value : list ? *list : DocumentArray{given->value}) {
    if (const auto* number = std::get_if<double>(&value.value))
      read.push_back(*number);
    else
      fault_at(key, value, "This must be a list of numbers, not " + shown(value) + ".");
  }
  return read;
}

std::optional<int> ValueReader::whole_number(const std::string& key, int least, int most) {
  const std::optional<double> value = number(key, Allowed::any);
  if (!value) return std::nullopt;
  if (*value != std::floor(*value) || *value < least || *value > most)
    return fault(key, as_given(key) + " is not possible here: it must be a whole number from " +
                          std::to_string(least) + " to " + std::to_string(most) + "."),
           std::nullopt;
  return static_cast<int>(*value);
}

std::optional<std::string> ValueReader::words(const std::string& key) {
  const GivenValue* given = values_.find(key);
  if (given == nullptr) return std::nullopt;
  if (const auto* text = std::get_if<std::string>(&given->value.value)) return *text;
  return fault(key, "This must be a text in quotation marks, not " + as_given(key) + "."), std::nullopt;
}

std::vector<std::string> ValueReader::word_list(const std::string& key) {
  const GivenValue* given = values_.find(key);
  std::vector<std::string> read;
  if (given == nullptr) return read;
  const auto* list = std::get_if<DocumentArray>(&given->value.value);
  for (const DocumentValue& value : list ? *list : DocumentArray{given->value}) {
    if (const auto* text = std::get_if<std::string>(&value.value))
      read.push_back(*text);
    else
      fault_at(key, value, "This must be a list of texts in quotation marks, not " + shown(value) + ".");
  }
  return read;
}

void ValueReader::not_a_choice(const std::string& key, const std::string& word,
                               const std::vector<std::string>& names) {
  std::vector<std::string> quoted;
  for (const std::string& name : names) quoted.push_back("\"" + name + "\"");
  std::string text = "\"" + word + "\" is not one of the choices: " + or_list(quoted) + ".";
  if (const std::string nearest = nearest_word(word, names); !nearest.empty())
    text += " Did you mean \"" + nearest + "\"?";
  fault(key, text);
}

}  // namespace coilwright
