// A page of plain text: at most 100 columns, labels and numbers aligned, a number never parted from its
// unit by a line end. All text goes through safe_text, so whatever a file called its machine is harmless.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace coilwright {

// How a line is meant. On a page without colour all look alike: the words carry the meaning.
enum class Tone { plain, strong, good, warning, bad };

class TextPage {
 public:
  static constexpr std::size_t width = 100;
  enum class Ink { plain, coloured };

  explicit TextPage(Ink ink) : ink_(ink) {}

  void title(std::string_view text);
  void heading(std::string_view text);     // an empty line before it, a rule under it
  void subheading(std::string_view text);  // an empty line before it
  void gap();                              // one empty line, never two
  // A paragraph, wrapped.
  void line(std::string_view text, Tone tone = Tone::plain, std::size_t indent = 2);
  // A label in the left column, its text in the right one.
  void row(std::string_view label, std::string_view text, Tone tone = Tone::plain);
  // The same inside a frame, for what must be found at a glance.
  struct CardRow {
    std::string label, text;
  };
  void card(const std::vector<CardRow>& rows);
  // A mark ("1.", "-") and a paragraph that hangs beside it.
  void item(std::string_view mark, std::string_view text, Tone tone = Tone::plain, std::size_t indent = 2);
  // The first row is the head. First column to the left, wrapped at 30 columns; the others to the right.
  void table(const std::vector<std::vector<std::string>>& rows);

  [[nodiscard]] const std::string& text() const { return text_; }

 private:
  void hang(std::string_view first, std::size_t indent, std::string_view text, Tone tone);
  void put(std::string_view line, Tone tone);
  Ink ink_;
  std::string text_;
};

// Words put on lines of at most `width` columns. A word that is longer is cut; a number stays with its unit.
std::vector<std::string> wrapped(std::string_view text, std::size_t width);

}  // namespace coilwright
