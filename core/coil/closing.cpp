#include <cctype>
#include <coilwright/coil/closing.hpp>
#include <coilwright/quantity/characters.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <vector>

namespace coilwright {
namespace {

struct Phrase {
  std::string_view text;
  ClosingWord word;
  bool takes_length;
};

constexpr Phrase phrases[] = {
    {"to level", ClosingWord::level, false},
    {"to slope", ClosingWord::slope, false},
    {"to parallel", ClosingWord::parallel, false},
    {"square", ClosingWord::square, false},
    {"to meet", ClosingWord::meet, false},
    {"to x", ClosingWord::x, true},
    {"to y", ClosingWord::y, true},
    {"to height", ClosingWord::height, true},
    {"to width", ClosingWord::width, true},
    {"to depth", ClosingWord::depth, true},
};

std::string lower(std::string_view text) {
  std::string result;
  for (const char c : text) result += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  while (!result.empty() && result.back() == ' ') result.pop_back();
  result.erase(0, result.find_first_not_of(' '));
  return result;
}

}  // namespace

bool begins_a_closing(std::string_view text) {
  const std::string words = lower(text);
  return words == "to" || words.starts_with("to ") || words.starts_with("sq");
}

Result<Closing> read_closing(std::string_view text, SegmentMeasure of, std::string_view about) {
  const std::string words = lower(text);
  std::vector<std::string> known;
  for (const Phrase& phrase : phrases) {
    known.push_back(std::string(phrase.text) + (phrase.takes_length ? " 500 mm" : ""));
    if (words == phrase.text && !phrase.takes_length) return Closing{of, phrase.word, {}};
    if (!phrase.takes_length || !words.starts_with(std::string(phrase.text) + " ")) continue;
    const Result<Length> to = read_length(std::string_view(words).substr(phrase.text.size() + 1), about);
    if (!to)
      return refuse(std::string(about), quoted(text) + " needs a length with its unit behind it, such as \"" +
                                            std::string(phrase.text) + " 500 mm\".");
    return Closing{of, phrase.word, *to};
  }
  std::string sentence = quoted(text) + " is no condition that a segment can be brought to. ";
  if (const std::string near = nearest_word(words, known); !near.empty())
    sentence += "Was \"" + near + "\" meant? ";
  sentence += "There are:";
  for (std::size_t i = 0; i < known.size(); ++i) sentence += (i == 0 ? " \"" : ", \"") + known[i] + "\"";
  return refuse(std::string(about), sentence + ".");
}

std::string closing_text(const Closing& closing) {
  for (const Phrase& phrase : phrases)
    if (phrase.word == closing.word)
      return std::string(phrase.text) +
             (phrase.takes_length ? " " + length_text(closing.to, Show::both) : "");
  return {};
}

}  // namespace coilwright
