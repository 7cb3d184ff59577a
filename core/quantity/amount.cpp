#include <algorithm>
#include <charconv>
#include <cmath>
#include <coilwright/quantity/amount.hpp>
#include <coilwright/quantity/characters.hpp>
#include <system_error>

namespace coilwright {
namespace {

constexpr int longest_text = 200;  // characters; no quantity needs a quarter of it

bool is_digit(char32_t code) {
  return code >= U'0' && code <= U'9';
}
bool is_letter(char32_t code) {
  return (code >= U'a' && code <= U'z') || (code >= U'A' && code <= U'Z');
}

struct Fraction {
  char32_t code;
  std::string_view digits;
};
constexpr Fraction vulgar_fractions[] = {
    {U'½', "1/2"}, {U'¼', "1/4"}, {U'¾', "3/4"}, {U'⅛', "1/8"}, {U'⅜', "3/8"}, {U'⅝', "5/8"},
    {U'⅞', "7/8"}, {U'⅓', "1/3"}, {U'⅔', "2/3"}, {U'⅕', "1/5"}, {U'⅖', "2/5"}, {U'⅗', "3/5"},
    {U'⅘', "4/5"}, {U'⅙', "1/6"}, {U'⅚', "5/6"}, {U'⅐', "1/7"}, {U'⅑', "1/9"}, {U'⅒', "1/10"}};

// The one character that stands for all that mean the same.
char32_t plain(char32_t code) {
  switch (code) {
    case U'\t':
    case U'\u00A0':  // no-break space
    case U'\u202F':  // narrow no-break space
    case U'\u205F':  // mathematical space
    case U'\u3000':  // ideographic space
      return U' ';
    case U'‐':
    case U'‑':
    case U'‒':
    case U'–':
    case U'—':
    case U'−':
      return U'-';
    case U'′':
    case U'‘':
    case U'’':
    case U'´':
    case U'ʹ':
      return U'\'';
    case U'″':
    case U'“':
    case U'”':
    case U'ʺ':
      return U'"';
    case U'⁄':
    case U'∕':
      return U'/';
    case U'º':
    case U'˚':
      return U'°';
    default:
      return code >= U'\u2000' && code <= U'\u200A' ? U' ' : code;  // en, em, thin, figure ... spaces
  }
}

}  // namespace

tl::unexpected<Findings> refuse_text(std::string_view about, std::string_view text, std::string_view kind,
                                     const Refusal& refusal) {
  const std::string sentence = quoted(text) + " cannot be read as " + std::string(kind) + ", character " +
                               std::to_string(refusal.column) + ": " + refusal.reason + ". " +
                               refusal.instead;
  return refuse(Findings{{Level::fault, std::string(about), sentence, Place{"", 0, refusal.column}}});
}

TextUnderReading::TextUnderReading(std::string_view text, std::string_view instead) : instead_(instead) {
  while (!text.empty() && !unreadable_) {
    ++columns_;
    const auto character = first_character(text);
    if (!character) {
      unreadable_ = Refusal{columns_, "this is not UTF-8 text", "Save or type it as UTF-8."};
    } else if (columns_ > longest_text) {
      unreadable_ =
          Refusal{columns_, "the text is longer than " + std::to_string(longest_text) + " characters",
                  "Write one value only."};
    } else {
      const auto* vulgar = std::find_if(std::begin(vulgar_fractions), std::end(vulgar_fractions),
                                        [&](const Fraction& f) { return f.code == character->code; });
      if (vulgar == std::end(vulgar_fractions)) {
        glyphs_.push_back({plain(character->code), columns_});
      } else {
        glyphs_.push_back({U' ', columns_});
        for (const char c : vulgar->digits) glyphs_.push_back({static_cast<char32_t>(c), columns_});
        glyphs_.push_back({U' ', columns_});
      }
      text.remove_prefix(character->bytes);
    }
  }
}

int TextUnderReading::column() const {
  return at_end() ? columns_ + 1 : glyphs_[at_].column;
}

char32_t TextUnderReading::peek(std::size_t ahead) const {
  return at_ + ahead < glyphs_.size() ? glyphs_[at_ + ahead].code : U'\0';
}

void TextUnderReading::skip_spaces() {
  while (peek() == U' ') ++at_;
}

bool TextUnderReading::take(char32_t code) {
  if (at_end() || peek() != code) return false;
  ++at_;
  return true;
}

double TextUnderReading::sign() {
  skip_spaces();
  const double sign = take(U'-') ? -1.0 : 1.0;
  if (sign > 0.0) take(U'+');
  skip_spaces();
  return sign;
}

std::string TextUnderReading::word() {
  std::string letters;
  for (; is_letter(peek()); ++at_)
    letters.push_back(static_cast<char>(peek() | 0x20));  // lower case in ASCII
  return letters;
}

std::string TextUnderReading::digits() {
  std::string run;
  for (; is_digit(peek()); ++at_) run.push_back(static_cast<char>(peek()));
  return run;
}

Refusal TextUnderReading::unexpected(std::string_view wanted) const {
  if (at_end()) return {column(), std::string(wanted) + " but the text ends", instead_};
  if (peek() == U',')
    return {column(), "a comma stands here, which is a decimal mark in one country and not in another",
            "Write a point for decimals (600.5) and nothing between thousands."};
  if (peek() == U'-' || peek() == U'+')
    return {column(), "a sign can stand only in front of the whole value", instead_};
  if (peek() == U'/')
    return {column(), "a fraction has digits on both sides of its bar, without spaces", instead_};
  if (is_digit(peek()) || peek() == U'.')
    return {column(), "two numbers stand side by side", "Write nothing between thousands. " + instead_};
  TextUnderReading rest = *this;
  const std::string letters = rest.word();
  return {column(), std::string(wanted) + " but found " + (letters.empty() ? shown(peek()) : quoted(letters)),
          instead_};
}

Reading<Amount> TextUnderReading::decimal() {
  const int begin = column();
  TextUnderReading ahead = *this;
  const std::string letters = ahead.word();
  if (letters == "nan" || letters == "inf" || letters == "infinity")
    return tl::unexpected(
        Refusal{begin, quoted(letters) + " is not a number that can be measured", instead_});
  std::string number = digits();
  bool whole = true;
  if (peek() == U'.' && (!number.empty() || is_digit(peek(1)))) {
    whole = false;
    ++at_;
    number += "." + digits();
  }
  if (number.empty()) return tl::unexpected(unexpected("a number is expected"));
  const bool exponent_sign = peek(1) == U'-' || peek(1) == U'+';
  if ((peek() == U'e' || peek() == U'E') && is_digit(peek(exponent_sign ? 2 : 1))) {
    whole = false;
    number += peek(1) == U'-' ? "e-" : "e";
    at_ += exponent_sign ? 2 : 1;
    number += digits();
  }
  if (peek() == U',') return tl::unexpected(unexpected(""));
  double value = 0.0;
  const auto [end, error] = std::from_chars(number.data(), number.data() + number.size(), value);
  if (error != std::errc{} || end != number.data() + number.size())
    return tl::unexpected(
        Refusal{begin, "the number " + quoted(number) + " is too large or too small to hold", instead_});
  return Amount{value, whole, begin};
}

std::optional<std::size_t> TextUnderReading::fraction_ahead() const {
  std::size_t begin = 0;
  const auto pass_spaces = [&] {
    while (peek(begin) == U' ') ++begin;
  };
  pass_spaces();
  if (peek(begin) == U'-') ++begin;
  pass_spaces();
  std::size_t bar = begin;
  while (is_digit(peek(bar))) ++bar;
  return begin > 0 && bar > begin && peek(bar) == U'/' ? std::optional(begin) : std::nullopt;
}

// The bar stands next; both numbers are digits only.
Reading<double> TextUnderReading::fraction(const std::string& numerator, int column_of_numerator) {
  take(U'/');
  const int column_of_denominator = column();
  const std::string denominator = digits();
  constexpr std::string_view instead = "Write a fraction such as 1/2.";
  if (denominator.empty()) return tl::unexpected(unexpected("digits are expected below the bar"));
  double over = 0.0;
  double under = 0.0;
  const auto hold = [](const std::string& run, double& value) {
    return std::from_chars(run.data(), run.data() + run.size(), value).ec == std::errc{};
  };
  if (!hold(numerator, over) || !hold(denominator, under))
    return tl::unexpected(
        Refusal{column_of_numerator, "the fraction is too large to hold", std::string(instead)});
  if (under == 0.0)
    return tl::unexpected(
        Refusal{column_of_denominator, "the fraction divides by zero", std::string(instead)});
  if (peek() == U'.' || peek() == U'/')
    return tl::unexpected(Refusal{column(), "a fraction has one bar and no decimals", std::string(instead)});
  if (peek() == U',') return tl::unexpected(unexpected(""));
  return over / under;
}

Reading<Amount> TextUnderReading::amount() {
  const int begin = column();
  const std::size_t from = at_;
  auto number = decimal();
  if (!number) return number;
  const auto text_of = [&](std::size_t first) {
    std::string run;
    for (std::size_t i = first; i < at_; ++i) run.push_back(static_cast<char>(glyphs_[i].code));
    return run;
  };
  if (peek() == U'/') {
    if (!number->whole)
      return tl::unexpected(
          Refusal{column(), "a fraction has no decimals above its bar", "Write a fraction such as 1/2."});
    const auto part = fraction(text_of(from), begin);
    if (!part) return tl::unexpected(part.error());
    return Amount{*part, false, begin};
  }
  const auto ahead = fraction_ahead();
  if (!ahead) return number;
  at_ += *ahead;
  const int fraction_column = column();
  if (!number->whole)
    return tl::unexpected(
        Refusal{fraction_column, "a fraction can follow a whole number only", "Write 1-1/4 or 1.25."});
  const std::size_t numerator = at_;
  digits();
  const auto part = fraction(text_of(numerator), fraction_column);
  if (!part) return tl::unexpected(part.error());
  if (*part >= 1.0)
    return tl::unexpected(Refusal{fraction_column, "the fraction behind a whole number must be less than one",
                                  "Write 1-1/4 or 1.25."});
  return Amount{number->value + *part, false, begin};
}

Reading<double> read_with_unit(std::string_view text, const std::vector<UnitWord>& units,
                               const UnitRule& rule) {
  TextUnderReading reading(text, rule.instead);
  if (reading.unreadable()) return tl::unexpected(*reading.unreadable());
  const double sign = reading.sign();
  const auto amount = reading.amount();
  if (!amount) return tl::unexpected(amount.error());
  reading.skip_spaces();
  TextUnderReading ahead = reading;
  const std::string word = ahead.take(U'°') ? "°" : ahead.word();
  const auto unit =
      std::find_if(units.begin(), units.end(), [&](const UnitWord& u) { return u.word == word; });
  if (unit == units.end()) return tl::unexpected(reading.unexpected("a unit is expected"));
  reading = ahead;
  reading.skip_spaces();
  if (!reading.at_end()) return tl::unexpected(reading.unexpected("nothing can follow the unit"));
  const double value = sign * amount->value * unit->size;
  if (!(std::abs(value) <= rule.limit))
    return tl::unexpected(
        Refusal{amount->column, std::string(rule.limit_rule), "Look at the number and at its unit."});
  return value;
}

}  // namespace coilwright
