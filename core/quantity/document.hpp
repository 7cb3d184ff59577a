// A TOML file as a tree of values that know where they stand, so that every later complaint can name
// file, line and column. The only place that knows the TOML library.
#pragma once

#include <coilwright/quantity/finding.hpp>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace coilwright {

struct DocumentValue;
struct DocumentEntry;
using DocumentTable = std::vector<DocumentEntry>;  // in the order of the file
using DocumentArray = std::vector<DocumentValue>;

struct DocumentValue {
  std::variant<std::string, double, bool, DocumentTable, DocumentArray> value;  // integers as double
  Place place;      // of the value
  Place key_place;  // of its key; the value's own in arrays

  std::string written{};  // a string as it stands in the file, with its quotation marks and escapes

  [[nodiscard]] const DocumentValue* find(std::string_view key) const;  // in a table; null if absent
  // Where a character (1-based) of this string stands in the file, escapes counted as they are written:
  // for findings of readers that speak of a column inside the text. The value's own place where the
  // string has no such character or is folded over several lines with backslashes.
  [[nodiscard]] Place place_of(int character) const;
};

struct DocumentEntry {
  std::string key;
  DocumentValue value;
};

// `name` is how the file is called in findings. Before the parser runs the text is checked: at most
// 256 KiB, lines of at most 4096 bytes, valid UTF-8, no control characters, non-ASCII only inside strings
// and comments, at most 16 names joined by dots and 16 brackets inside each other. Refuses what TOML
// refuses, and nan, inf, dates and whole numbers beyond 2^53, each with line and column (in characters).
Result<DocumentValue> read_document(std::string_view text, const std::string& name);
// The same from a file; a file that cannot be read is a fault about "file", one with
// wrong contents about "contents".
Result<DocumentValue> read_document_file(const std::string& path);

}  // namespace coilwright
