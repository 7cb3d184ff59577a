// Given values turned into quantities, by one set of rules for files and options.
#pragma once

#include <coilwright/machine/keyed_values.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/quantity.hpp>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace coilwright {

enum class Allowed { any, not_negative, positive };

// Turns given values into quantities. What cannot be understood is added to `faults`, about its key, with
// its place; the value then counts as not given, so that one run reports everything.
class ValueReader {
 public:
  // `bare` says how to read a length without a unit; without it that is refused.
  ValueReader(const KeyedValues& values, std::optional<LengthUnit> bare, Findings& faults,
              std::string about_prefix = "")
      : values_(values), bare_(bare), faults_(faults), about_prefix_(std::move(about_prefix)) {}

  std::optional<Length> length(const std::string& key, Allowed allowed);
  std::vector<Length> lengths(const std::string& key, Allowed allowed);
  std::optional<Angle> angle(const std::string& key, Allowed allowed);
  std::optional<Force> force(const std::string& key, Allowed allowed);
  std::optional<Stress> stress(const std::string& key, Allowed allowed);
  std::optional<double> number(const std::string& key, Allowed allowed);
  std::vector<double> numbers(const std::string& key);
  std::optional<int> whole_number(const std::string& key, int least, int most);
  std::optional<std::string> words(const std::string& key);
  std::vector<std::string> word_list(const std::string& key);

  // One of a few words.
  template <class T>
  std::optional<T> choice(const std::string& key, const std::vector<std::pair<std::string, T>>& choices) {
    const std::optional<std::string> word = words(key);
    if (!word) return std::nullopt;
    std::vector<std::string> names;
    for (const auto& [name, value] : choices) {
      if (name == *word) return value;
      names.push_back(name);
    }
    not_a_choice(key, *word, names);
    return std::nullopt;
  }

  // A fault about a key, at the place where it was given if it was.
  void fault(const std::string& key, const std::string& text);
  // Findings of a reader of text, which know only the column in it, moved to where the text stands.
  void adopt(const std::string& key, Findings findings);
  // Says that something needed is missing.
  void missing(const std::string& key, const std::string& text);
  // A short text for the value as it was given, for use in sentences.
  [[nodiscard]] std::string as_given(const std::string& key) const;
  [[nodiscard]] const KeyedValues& values() const { return values_; }
  [[nodiscard]] std::optional<LengthUnit> bare() const { return bare_; }
  [[nodiscard]] std::size_t fault_count() const { return faults_.size(); }

 private:
  void fault_at(const std::string& key, const DocumentValue& value, const std::string& text);
  void adopt(const std::string& key, const DocumentValue& value, Findings findings);
  void not_a_choice(const std::string& key, const std::string& word, const std::vector<std::string>& names);
  template <class Q>
  std::optional<Q> quantity(const std::string& key, const DocumentValue& value, const std::string& unit,
                            Allowed allowed, const char* kind, const char* example);

  const KeyedValues& values_;
  std::optional<LengthUnit> bare_;
  Findings& faults_;
  std::string about_prefix_;
};

}  // namespace coilwright
