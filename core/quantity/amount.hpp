// The steps that reading a length, an angle, a force and a number have in common: a number, perhaps with a
// fraction, and the word behind it. For the readers of this room; others use length_text and number_text.
#pragma once

#include <coilwright/quantity/finding.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace coilwright {

// Why a text cannot be read, from which character on (1-based), and what would do instead.
struct Refusal {
  int column = 1;
  std::string reason;   // goes on behind a colon: "a comma stands in the number"
  std::string instead;  // a whole sentence
};

template <class T>
using Reading = tl::expected<T, Refusal>;

// The one finding for a text that is no `kind` ("length").
tl::unexpected<Findings> refuse_text(std::string_view about, std::string_view text, std::string_view kind,
                                     const Refusal& refusal);

struct Amount {
  double value = 0.0;  // finite, not negative
  bool whole = false;  // written with digits only
  int column = 1;      // where it begins
};

// A text under reading. Every mark that means the same becomes one: spaces ' ', dashes '-', feet marks
// '\'', inch marks '"', degree marks U'°', the fraction slash '/', and the vulgar fractions their digits
// with a space on either side, so that 5½ reads as "5 1/2 " and ½5 stays two numbers.
class TextUnderReading {
 public:
  // `instead` is the sentence that says what can be written; refusals without a better one end in it.
  TextUnderReading(std::string_view text, std::string_view instead);

  // Set if the text is not UTF-8 or too long to be a quantity; to be asked before anything else.
  [[nodiscard]] const std::optional<Refusal>& unreadable() const { return unreadable_; }

  [[nodiscard]] bool at_end() const { return at_ == glyphs_.size(); }
  [[nodiscard]] char32_t peek() const { return at_end() ? U'\0' : glyphs_[at_].code; }
  [[nodiscard]] int column() const;  // of what `peek` shows; one behind the last character at the end
  void skip_spaces();
  bool take(char32_t code);  // whether it stood there; if so it is passed
  // +1 or -1: a sign, if any, and the spaces around it.
  double sign();
  // A run of letters in lower case, perhaps empty.
  std::string word();
  // A decimal number without a sign. Refuses nan, inf, overflow and commas.
  Reading<Amount> decimal();
  // The same, or a fraction, or a whole number with a fraction behind a space or a hyphen.
  Reading<Amount> amount();
  // Why what stands here cannot stand here; `wanted` says what could ("a unit is expected").
  [[nodiscard]] Refusal unexpected(std::string_view wanted) const;

 private:
  struct Glyph {
    char32_t code;
    int column;
  };
  [[nodiscard]] char32_t peek(std::size_t ahead) const;
  std::string digits();
  // How many glyphs ahead a fraction begins that belongs to the whole number just read.
  [[nodiscard]] std::optional<std::size_t> fraction_ahead() const;
  Reading<double> fraction(const std::string& numerator, int column);

  std::vector<Glyph> glyphs_;
  std::size_t at_ = 0;
  int columns_ = 0;
  std::string instead_;
  std::optional<Refusal> unreadable_;
};

// An amount with one of `units` behind it (word in lower case and its size), as value times size.
// Refused beyond +-`limit`; `limit_rule` says so.
struct UnitWord {
  std::string_view word;
  double size;
};
struct UnitRule {
  std::string_view kind;     // "angle"
  std::string_view instead;  // "Write an angle as 90 deg, 1.57 rad or 1.1 turns."
  double limit;
  std::string_view limit_rule;  // "an angle is at most 100000 turns"
};
Reading<double> read_with_unit(std::string_view text, const std::vector<UnitWord>& units,
                               const UnitRule& rule);

}  // namespace coilwright
