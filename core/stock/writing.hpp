// A text taken apart for reading. For read_tube and read_bar.
#pragma once

#include <coilwright/quantity/characters.hpp>
#include <string>
#include <string_view>
#include <vector>

namespace coilwright {

// A text with one plain letter for each of its characters, so that a place found in the plain letters is
// a column, and leads back to the text as written.
class Writing {
 public:
  static constexpr char fraction = '\x01', diameter_sign = '\x02';

  explicit Writing(std::string_view text) : text_(text) {
    for (std::size_t at = 0; at < text.size();) {
      const auto character = first_character(text.substr(at));
      if (!character) {
        readable_ = false;
        return;
      }
      plain_ += plain_letter(character->code);
      starts_.push_back(at);
      at += character->bytes;
    }
    starts_.push_back(text.size());
  }
  [[nodiscard]] bool readable() const { return readable_; }
  [[nodiscard]] const std::string& plain() const { return plain_; }
  // What was written from plain letter `from` up to `to`.
  [[nodiscard]] std::string_view written(std::size_t from, std::size_t to) const {
    return text_.substr(starts_[from], starts_[to] - starts_[from]);
  }

 private:
  static char plain_letter(char32_t code) {
    if (code >= U'A' && code <= U'Z') return static_cast<char>(code - U'A' + U'a');
    if (code == U'\u00D7' || code == U'*') return 'x';
    if (code == U'\u00A0' || code == U'\u2009' || code == U'\u202F' || code == U'\t') return ' ';
    if ((code >= U'\u00BC' && code <= U'\u00BE') || (code >= U'\u2150' && code <= U'\u215E')) return fraction;
    if (code == U'\u00D8' || code == U'\u00F8' || code == U'\u2300') return diameter_sign;
    if (code >= U'\u2010' && code <= U'\u2015') return '-';
    return code >= 0x20 && code < 0x7F ? static_cast<char>(code) : unknown;
  }
  static constexpr char unknown = '\x03';
  std::string_view text_;
  std::string plain_;
  std::vector<std::size_t> starts_;
  bool readable_ = true;
};

}  // namespace coilwright
