#include <algorithm>
#include <array>
#include <coilwright/quantity/require.hpp>
#include <coilwright/report/safe_text.hpp>
#include <coilwright/report/text_page.hpp>

namespace coilwright {
namespace {

constexpr std::size_t label_columns = 26;
constexpr std::size_t first_column = 30;

std::string_view escape(Tone tone) {
  switch (tone) {
    case Tone::plain:
      return "";
    case Tone::strong:
      return "\x1b[1m";
    case Tone::good:
      return "\x1b[1;32m";
    case Tone::warning:
      return "\x1b[1;33m";
    case Tone::bad:
      return "\x1b[1;31m";
  }
  throw InternalError("unknown tone");
}

std::vector<std::string_view> words(std::string_view text) {
  std::vector<std::string_view> out;
  while (true) {
    const std::size_t from = text.find_first_not_of(' ');
    if (from == std::string_view::npos) return out;
    const std::size_t to = std::min(text.find(' ', from), text.size());
    out.push_back(text.substr(from, to - from));
    text.remove_prefix(to);
  }
}

bool is_unit(std::string_view word) {
  while (!word.empty() && std::string_view(",.;:)]").find(word.back()) != std::string_view::npos)
    word.remove_suffix(1);
  constexpr std::array units{"mm", "in", "m",   "kg", "lb",    "kN", "N",    "lbf",   "kip",  "deg",
                             "%",  "m2", "ft2", "MPa", "ksi", "turns", "mm/mm"};
  return std::find(units.begin(), units.end(), word) != units.end();
}

// "3 1/2"": a fraction stays with its whole inches.
bool is_fraction(std::string_view word) {
  const std::size_t slash = word.find('/');
  return slash != std::string_view::npos && slash > 0 && word.front() >= '0' && word.front() <= '9';
}

bool ends_in_digit(std::string_view word) { return !word.empty() && word.back() >= '0' && word.back() <= '9'; }

// Where the first `count` columns of valid UTF-8 end.
std::size_t byte_of_column(std::string_view utf8, std::size_t count) {
  std::size_t i = 0;
  for (; i < utf8.size(); ++i)
    if ((static_cast<unsigned char>(utf8[i]) & 0xC0) != 0x80 && count-- == 0) break;
  return i;
}

std::string padded_right(std::string text, std::size_t to) {
  const std::size_t have = columns(text);
  if (have < to) text.append(to - have, ' ');
  return text;
}

std::string padded_left(std::string text, std::size_t to) {
  const std::size_t have = columns(text);
  if (have < to) text.insert(0, to - have, ' ');
  return text;
}

}  // namespace

std::vector<std::string> wrapped(std::string_view raw, std::size_t width) {
  require(width >= 2, "a column of text needs some width");
  const std::string text = safe_text(raw);
  std::vector<std::string> chunks;  // what must not be parted
  for (const std::string_view word : words(text)) {
    if (!chunks.empty() && ends_in_digit(chunks.back()) && (is_unit(word) || is_fraction(word)) &&
        columns(chunks.back()) + 1 + columns(word) <= width)
      chunks.back().append(" ").append(word);
    else
      chunks.emplace_back(word);
  }
  std::vector<std::string> lines;
  for (std::string_view chunk : chunks) {
    if (!lines.empty() && columns(lines.back()) + 1 + columns(chunk) <= width) {
      lines.back().append(" ").append(chunk);
      continue;
    }
    while (columns(chunk) > width) {
      const std::size_t cut = byte_of_column(chunk, width);
      lines.emplace_back(chunk.substr(0, cut));
      chunk.remove_prefix(cut);
    }
    lines.emplace_back(chunk);
  }
  return lines;
}

void TextPage::put(std::string_view line, Tone tone) {
  const bool inked = ink_ == Ink::coloured && tone != Tone::plain && !line.empty();
  if (inked) text_ += escape(tone);
  text_ += line;
  if (inked) text_ += "\x1b[0m";
  text_ += '\n';
}

void TextPage::gap() {
  if (!text_.empty() && !text_.ends_with("\n\n")) text_ += '\n';
}

void TextPage::title(std::string_view text) {
  for (const std::string& line : wrapped(text, width)) put(line, Tone::strong);
  put(std::string(width, '='), Tone::plain);
}

void TextPage::heading(std::string_view text) {
  gap();
  for (const std::string& line : wrapped(text, width)) {
    put(line, Tone::strong);
    put(std::string(columns(line), '-'), Tone::plain);
  }
}

void TextPage::subheading(std::string_view text) {
  gap();
  line(text, Tone::strong);
}

void TextPage::hang(std::string_view first, std::size_t indent, std::string_view text, Tone tone) {
  bool begun = false;
  for (const std::string& line : wrapped(text, width - indent)) {
    put((begun ? std::string(indent, ' ') : padded_right(std::string(first), indent)) + line, tone);
    begun = true;
  }
  if (!begun) put(first, tone);
}

void TextPage::line(std::string_view text, Tone tone, std::size_t indent) { hang("", indent, text, tone); }

void TextPage::row(std::string_view label, std::string_view text, Tone tone) {
  const std::vector<std::string> lines = wrapped(label, label_columns);
  for (std::size_t i = 0; i + 1 < lines.size(); ++i) put("  " + lines[i], tone);
  hang("  " + (lines.empty() ? std::string() : lines.back()), 2 + label_columns + 2, text, tone);
}

void TextPage::card(const std::vector<CardRow>& rows) {
  constexpr std::size_t inside = width - 6, label_width = 22;  // "  | " before, " |" behind
  const std::string rule = "  +" + std::string(inside + 2, '-') + "+";
  put(rule, Tone::strong);
  for (const CardRow& row : rows) {
    std::vector<std::string> labels = wrapped(row.label, label_width);
    std::vector<std::string> texts = wrapped(row.text, inside - label_width - 2);
    const std::size_t lines = std::max(labels.size(), texts.size());
    labels.resize(lines);
    texts.resize(lines);
    for (std::size_t i = 0; i < lines; ++i)
      put("  | " + padded_right(padded_right(labels[i], label_width + 2) + texts[i], inside) + " |", Tone::strong);
    if (lines == 0) put("  | " + std::string(inside, ' ') + " |", Tone::strong);
  }
  put(rule, Tone::strong);
}

void TextPage::item(std::string_view mark, std::string_view text, Tone tone, std::size_t indent) {
  const std::string first = std::string(indent, ' ') + safe_text(mark) + " ";
  hang(first, columns(first), text, tone);
}

void TextPage::table(const std::vector<std::vector<std::string>>& rows) {
  if (rows.empty()) return;
  std::vector<std::size_t> wide(rows.front().size(), 0);
  for (const auto& row : rows) {
    require(row.size() == wide.size(), "every row of a table has the same columns");
    for (std::size_t c = 0; c < row.size(); ++c) wide[c] = std::max(wide[c], columns(safe_text(row[c])));
  }
  wide.front() = std::min(wide.front(), first_column);
  for (std::size_t r = 0; r < rows.size(); ++r) {
    std::vector<std::string> first = wrapped(rows[r].front(), first_column);
    if (first.empty()) first.emplace_back();
    for (std::size_t i = 0; i < first.size(); ++i) {
      std::string line = "  " + padded_right(first[i], wide.front());
      if (i == 0)
        for (std::size_t c = 1; c < wide.size(); ++c) line += "  " + padded_left(safe_text(rows[r][c]), wide[c]);
      line.erase(line.find_last_not_of(' ') + 1);
      require(columns(line) <= width, "a table wider than the page");
      put(line, r == 0 ? Tone::strong : Tone::plain);
    }
  }
}

}  // namespace coilwright
