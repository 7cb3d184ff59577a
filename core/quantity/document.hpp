// A TOML file as a tree of values that know where they stand, so that every later complaint can name
// file, line and column. The only place that knows the TOML library.
#pragma once

#include <coilwright/quantity/finding.hpp>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace coilwright {

struct DocumentValue;
using DocumentTable = std::vector<std::pair<std::string, DocumentValue>>;  // in the order of the file
using DocumentArray = std::vector<DocumentValue>;

struct DocumentValue {
  std::variant<std::string, double, bool, DocumentTable, DocumentArray> value;  // integers as double
  Place place;      // of the value
  Place key_place;  // of its key; the value's own in arrays

  [[nodiscard]] const DocumentValue* find(std::string_view key) const;  // in a table; null if absent
};

// `name` is how the file is called in findings. Before the parser runs the text is checked: at most
// 256 KiB, lines of at most 4096 bytes, valid UTF-8, no control characters, non-ASCII only inside strings
// and comments. Refuses what TOML refuses (with line and column) and nan and inf.
Result<DocumentValue> read_document(std::string_view text, const std::string& name);
// The same from a file; a file that cannot be read is a fault about "file".
Result<DocumentValue> read_document_file(const std::string& path);

}  // namespace coilwright
