#include <coilwright/quantity/characters.hpp>
#include <coilwright/quantity/require.hpp>

namespace coilwright {
namespace {

constexpr std::size_t longest_quotation = 60;

std::string hex(unsigned value, int least_digits) {
  std::string digits;
  for (; value != 0 || static_cast<int>(digits.size()) < least_digits; value /= 16)
    digits.insert(digits.begin(), "0123456789ABCDEF"[value % 16]);
  return digits;
}

// Controls, and characters that leave no ink or reorder their neighbours on a screen.
bool visible(char32_t code) {
  const auto within = [code](char32_t first, char32_t last) { return first <= code && code <= last; };
  return !(code < 0x20 || within(0x7F, 0x9F) || code == 0xAD || within(0x200B, 0x200F) ||
           within(0x2028, 0x202E) || within(0x2060, 0x206F) || within(0xD800, 0xF8FF) ||
           within(0xFE00, 0xFE0F) || code == 0xFEFF || within(0xFFF0, 0xFFFB) || within(0xE0000, 0x10FFFF));
}

void append_utf8(std::string& to, char32_t code) {
  const auto put = [&to](char32_t byte) {
    to.push_back(static_cast<char>(static_cast<unsigned char>(byte)));
  };
  if (code < 0x80) {
    put(code);
  } else if (code < 0x800) {
    put(0xC0 | code >> 6);
    put(0x80 | (code & 0x3F));
  } else if (code < 0x10000) {
    put(0xE0 | code >> 12);
    put(0x80 | (code >> 6 & 0x3F));
    put(0x80 | (code & 0x3F));
  } else {
    put(0xF0 | code >> 18);
    put(0x80 | (code >> 12 & 0x3F));
    put(0x80 | (code >> 6 & 0x3F));
    put(0x80 | (code & 0x3F));
  }
}

void append_shown(std::string& to, char32_t code) {
  if (visible(code)) {
    append_utf8(to, code);
  } else {
    to += "<U+" + hex(static_cast<unsigned>(code), 4) + ">";
  }
}

}  // namespace

std::optional<Character> first_character(std::string_view text) {
  require(!text.empty(), "first_character needs a text that is not empty");
  const auto byte = [text](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned lead = byte(0);
  if (lead < 0x80) return Character{lead, 1};
  // How many bytes, and which value is the least that needs so many.
  std::size_t bytes = 0;
  char32_t code = 0;
  char32_t least = 0;
  if (lead >= 0xC2 && lead < 0xE0) {
    bytes = 2, code = lead & 0x1F, least = 0x80;
  } else if (lead >= 0xE0 && lead < 0xF0) {
    bytes = 3, code = lead & 0x0F, least = 0x800;
  } else if (lead >= 0xF0 && lead < 0xF5) {
    bytes = 4, code = lead & 0x07, least = 0x10000;
  }
  if (bytes == 0 || text.size() < bytes) return std::nullopt;
  for (std::size_t i = 1; i < bytes; ++i) {
    if ((byte(i) & 0xC0) != 0x80) return std::nullopt;
    code = code << 6 | (byte(i) & 0x3FU);
  }
  const bool surrogate = code >= 0xD800 && code < 0xE000;
  if (code < least || surrogate || code > 0x10FFFF) return std::nullopt;
  return Character{code, bytes};
}

std::string quoted(std::string_view text) {
  std::string out = "\"";
  for (std::size_t count = 0; !text.empty(); ++count) {
    if (count == longest_quotation) {
      out += "...";
      break;
    }
    const auto character = first_character(text);
    if (character) {
      append_shown(out, character->code);
    } else {
      out += "<byte " + hex(static_cast<unsigned char>(text.front()), 2) + ">";
    }
    text.remove_prefix(character ? character->bytes : 1);
  }
  return out + "\"";
}

std::string shown(char32_t code) {
  std::string out;
  append_shown(out, code);
  return visible(code) ? "\"" + out + "\"" : out;
}

}  // namespace coilwright
