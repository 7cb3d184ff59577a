#include <algorithm>
#include <coilwright/quantity/characters.hpp>
#include <coilwright/quantity/document_check.hpp>
#include <iterator>

namespace coilwright {
namespace {

constexpr std::size_t most_findings = 10;

// Where the eye stands in TOML: knows strings and comments from the rest, and how deep it is nested.
// One character after another; the text need not be valid TOML.
class Scanner {
 public:
  // Takes the next character of the text that begins with it. Whether the character stands in the open,
  // outside strings and comments, is asked with `in_the_open` before.
  void take(std::string_view text) {
    const char c = text.front();
    if (skip_ > 0) {
      --skip_;
    } else if (in_the_open()) {
      take_in_the_open(text);
    } else if (c == '\n' && !several_lines_) {
      quote_ = '\0';  // a comment ends here; a string that was not closed does too
      comment_ = false;
    } else if (!comment_) {
      take_in_string(text);
    }
    if (c == '\n' && in_the_open()) dots_ = 0;
  }
  [[nodiscard]] bool in_the_open() const { return !comment_ && quote_ == '\0'; }
  [[nodiscard]] int dots() const { return dots_; }
  [[nodiscard]] int brackets() const { return brackets_; }

 private:
  void take_in_the_open(std::string_view text) {
    const char c = text.front();
    if (c == '#') comment_ = true;
    if (c == '"' || c == '\'') {
      quote_ = c;
      several_lines_ = text.substr(1, 2) == std::string(2, c);
      skip_ = several_lines_ ? 2 : 0;
    }
    if (c == '.') ++dots_;
    if (c == '=' || c == ',' || c == '[' || c == '{') dots_ = 0;
    if (c == '[' || c == '{') ++brackets_;
    if (c == ']' || c == '}') brackets_ = std::max(0, brackets_ - 1);
  }

  void take_in_string(std::string_view text) {
    const char c = text.front();
    if (c == '\\' && quote_ == '"') {
      const bool line_ends = text.size() > 1 && (text[1] == '\n' || text[1] == '\r');
      skip_ = line_ends ? 0 : 1;
    } else if (c == quote_ && !several_lines_) {
      quote_ = '\0';
    } else if (c == quote_ && text.substr(1, 2) == std::string(2, c)) {
      // Up to two more quotation marks in front of the closing three belong to the string.
      skip_ = 2;
      while (skip_ < 4 && text.substr(static_cast<std::size_t>(skip_) + 1, 1) == std::string(1, c)) ++skip_;
      quote_ = '\0';
      several_lines_ = false;
    }
  }

  char quote_ = '\0';
  bool several_lines_ = false;
  bool comment_ = false;
  int skip_ = 0;
  int dots_ = 0;
  int brackets_ = 0;
};

bool is_control(char32_t code) {
  return (code < 0x20 && code != U'\t') || (code >= 0x7F && code <= 0x9F) || code == 0x2028 || code == 0x2029;
}

std::string outside_hint(char32_t code) {
  switch (code) {
    case U'“':
    case U'”':
    case U'„':
    case U'«':
    case U'»':
    case U'‘':
    case U'’':
    case U'′':
    case U'″':
      return "Write straight quotation marks.";
    case U'\u00A0':
    case U'\u2009':
    case U'\u202F':
      return "Write an ordinary space.";
    default:
      return "Put the text into straight quotation marks.";
  }
}

// What is wrong with the character that `text` begins with, if anything.
std::string complaint(std::string_view text, const std::optional<Character>& character,
                      const Scanner& scanner) {
  if (!character)
    return "Here stands " + printable(text.substr(0, 1)) +
           ", which is not UTF-8 text. Save the file as UTF-8.";
  const char32_t code = character->code;
  const bool line_end = code == U'\n' || text.substr(0, 2) == "\r\n";
  if (is_control(code) && !line_end)
    return "The control character " + shown(code) +
           " stands here. Only tabs and line ends are allowed; write it as an escape or leave it out.";
  if (code >= 0x80 && scanner.in_the_open())
    return "The character " + shown(code) + " can stand only in strings and comments. " + outside_hint(code);
  if (scanner.in_the_open() && text.front() == '.' && scanner.dots() >= most_document_nesting - 1)
    return "More than " + std::to_string(most_document_nesting) +
           " names are joined by dots here. Job and machine files need two.";
  if (scanner.in_the_open() && (text.front() == '[' || text.front() == '{') &&
      scanner.brackets() >= most_document_nesting)
    return "More than " + std::to_string(most_document_nesting) +
           " brackets stand inside each other here. Job and machine files need three.";
  return "";
}

}  // namespace

Findings check_document_text(std::string_view text, const std::string& name) {
  Findings findings;
  const auto complain = [&](const std::string& sentence, int line, int column) {
    const bool again = !findings.empty() && findings.back().place->line == line;
    if (!again) findings.push_back({Level::fault, "contents", sentence, Place{name, line, column}});
  };
  if (text.size() > largest_document_bytes)
    return {{Level::fault, "contents",
             "The file is larger than " + std::to_string(largest_document_bytes / 1024) +
                 " KiB, the most that is read. Is it a job or machine file?",
             Place{name, 0, 0}}};

  Scanner scanner;
  int line = 1;
  int column = 1;
  std::size_t line_bytes = 0;
  while (!text.empty() && findings.size() < most_findings) {
    const auto character = first_character(text);
    const std::string wrong = complaint(text, character, scanner);
    if (!wrong.empty()) complain(wrong, line, column);
    line_bytes += character ? character->bytes : 1;
    if (text.front() == '\n') line_bytes = 0;
    if (line_bytes > longest_document_line_bytes)
      complain("The line is longer than " + std::to_string(longest_document_line_bytes) +
                   " bytes, the most that is read. Break it into several.",
               line, column);
    scanner.take(text);
    ++column;
    if (text.front() == '\n') {
      ++line;
      column = 1;
    }
    text.remove_prefix(character ? character->bytes : 1);
  }
  return findings;
}

}  // namespace coilwright
