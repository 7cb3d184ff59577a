#include <coilwright/report/safe_text.hpp>
#include <cstdint>

namespace coilwright {
namespace {

constexpr std::string_view replacement = "\xEF\xBF\xBD";  // U+FFFD

struct CodePoint {
  std::uint32_t value = 0;
  std::size_t bytes = 0;  // 0: not UTF-8 here
};

// One code point by the table of well-formed sequences (Unicode Standard, table 3-7): no overlong forms,
// no surrogates, nothing above U+10FFFF.
CodePoint decode(std::string_view s) {
  const auto byte = [&](std::size_t i) { return static_cast<std::uint32_t>(static_cast<unsigned char>(s[i])); };
  const std::uint32_t first = byte(0);
  if (first < 0x80) return {first, 1};
  const std::size_t n = first >= 0xF0 ? 4 : first >= 0xE0 ? 3 : 2;
  if (first < 0xC2 || first > 0xF4 || s.size() < n) return {};
  std::uint32_t value = first & (0xFFu >> (n + 1));
  for (std::size_t i = 1; i < n; ++i) {
    if ((byte(i) & 0xC0) != 0x80) return {};
    value = value << 6 | (byte(i) & 0x3F);
  }
  constexpr std::uint32_t smallest[] = {0, 0, 0x80, 0x800, 0x10000};
  if (value < smallest[n] || value > 0x10FFFF || (value >= 0xD800 && value <= 0xDFFF)) return {};
  return {value, n};
}

bool is_control(std::uint32_t c) {
  return c < 0x20 || (c >= 0x7F && c < 0xA0) || (c >= 0x2028 && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069) ||
         c == 0x200E || c == 0x200F;
}

}  // namespace

std::string safe_text(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  while (!text.empty()) {
    const CodePoint c = decode(text);
    const std::size_t bytes = c.bytes == 0 ? 1 : c.bytes;
    if (c.bytes == 0)
      out += replacement;
    else if (c.value == '\t' || c.value == '\n' || c.value == '\r')
      out += ' ';
    else if (is_control(c.value))
      out += replacement;
    else
      out += text.substr(0, bytes);
    text.remove_prefix(bytes);
  }
  return out;
}

std::size_t columns(std::string_view utf8) {
  std::size_t n = 0;
  for (const char c : utf8) n += (static_cast<unsigned char>(c) & 0xC0) != 0x80;
  return n;
}

}  // namespace coilwright
