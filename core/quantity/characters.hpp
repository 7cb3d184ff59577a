// Text from outside, character by character: UTF-8 taken apart, and a safe way to repeat it in a message.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace coilwright {

struct Character {
  char32_t code;      // a Unicode scalar value
  std::size_t bytes;  // 1 to 4, as it stands in the text
};

// The first character of a text that is not empty; none if it does not begin with valid UTF-8 (overlong
// forms, surrogates and values beyond U+10FFFF are not valid: RFC 3629, section 3).
std::optional<Character> first_character(std::string_view text);

// The text in double quotation marks for a message: always valid UTF-8 on one line, at most 60 characters
// (the rest as "..."), control and invisible characters as <U+200B>, invalid bytes as <byte FF>.
std::string quoted(std::string_view text);

// One character for a message: "x", or its number where it cannot be seen.
std::string shown(char32_t code);

}  // namespace coilwright
