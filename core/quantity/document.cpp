#include <toml++/toml.h>
#if TOML_HEADER_ONLY
#error "Link tomlplusplus::tomlplusplus, whose parser is compiled once: header-only it may differ from it."
#endif

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <coilwright/quantity/characters.hpp>
#include <coilwright/quantity/document.hpp>
#include <coilwright/quantity/document_check.hpp>
#include <coilwright/quantity/require.hpp>
#include <fstream>
#include <system_error>

namespace coilwright {
namespace {

constexpr double largest_whole = 9007199254740992.0;  // 2^53: beyond it a double skips whole numbers

// The lines of the text, to cut out what stands between two positions (counted in characters, as TOML's
// parser does).
class Lines {
 public:
  explicit Lines(std::string_view text) : text_(text) {
    starts_.push_back(0);
    for (std::size_t i = 0; i < text.size(); ++i)
      if (text[i] == '\n') starts_.push_back(i + 1);
  }
  [[nodiscard]] std::string between(const toml::source_region& region) const {
    const std::size_t begin = offset(region.begin);
    const std::size_t end = offset(region.end);
    return std::string(text_.substr(begin, std::max(begin, end) - begin));
  }
  [[nodiscard]] std::string_view line(std::size_t number) const {
    if (number < 1 || number > starts_.size()) return "";
    const std::string_view rest = text_.substr(starts_[number - 1]);
    return rest.substr(0, rest.find_first_of("\r\n"));
  }

 private:
  [[nodiscard]] std::size_t offset(const toml::source_position& position) const {
    if (position.line < 1 || position.line > starts_.size()) return text_.size();
    std::size_t at = starts_[position.line - 1];
    for (auto column = position.column; column > 1 && at < text_.size(); --column) {
      const auto character = first_character(text_.substr(at));
      at += character ? character->bytes : 1;
    }
    return at;
  }

  std::string_view text_;
  std::vector<std::size_t> starts_;
};

class Translation {
 public:
  Translation(std::string_view text, const std::string& name) : lines_(text), name_(name) {}

  DocumentValue value(const toml::node& node, const Place& key_place, const std::string& path) {
    DocumentValue out;
    out.place = place(node.source().begin);
    out.key_place = key_place;
    switch (node.type()) {
      case toml::node_type::table:
        out.value = table(*node.as_table(), path);
        break;
      case toml::node_type::array:
        out.value = array(*node.as_array(), path);
        break;
      case toml::node_type::string:
        out.value = node.as_string()->get();
        out.written = lines_.between(node.source());
        break;
      case toml::node_type::boolean:
        out.value = node.as_boolean()->get();
        break;
      case toml::node_type::integer:
        out.value = static_cast<double>(node.as_integer()->get());
        if (std::abs(std::get<double>(out.value)) >= largest_whole)
          complain(node, path, "has more digits than can be kept exactly. Whole numbers go up to 2^53.");
        break;
      case toml::node_type::floating_point:
        out.value = node.as_floating_point()->get();
        if (!std::isfinite(std::get<double>(out.value)))
          complain(node, path, "is not a number that can be measured. Write a plain number.");
        if (vanished(node, std::get<double>(out.value)))
          complain(node, path, "is too small to hold. Write a plain number.");
        break;
      default:
        complain(node, path,
                 "is a date or a time, which nothing here asks for. Text stands in quotation marks.");
    }
    return out;
  }

  [[nodiscard]] Place place(const toml::source_position& position) const {
    return Place{name_, static_cast<int>(position.line), static_cast<int>(position.column)};
  }
  [[nodiscard]] const Lines& lines() const { return lines_; }
  // Down the file.
  [[nodiscard]] Findings findings() const {
    Findings sorted = findings_;
    std::stable_sort(sorted.begin(), sorted.end(), [](const Finding& a, const Finding& b) {
      return std::pair(a.place->line, a.place->column) < std::pair(b.place->line, b.place->column);
    });
    return sorted;
  }

 private:
  DocumentTable table(const toml::table& from, const std::string& path) {
    DocumentTable to;
    for (const auto& [key, node] : from) {
      const std::string name(key.str());
      const std::string inner = path.empty() ? printable(name) : path + "." + printable(name);
      to.push_back({name, value(node, place(key.source().begin), inner)});
    }
    // The library sorts by name; a reader of the findings goes down the file.
    std::stable_sort(to.begin(), to.end(), [](const auto& a, const auto& b) {
      const Place& first = a.value.key_place;
      const Place& second = b.value.key_place;
      return std::pair(first.line, first.column) < std::pair(second.line, second.column);
    });
    return to;
  }

  DocumentArray array(const toml::array& from, const std::string& path) {
    DocumentArray to;
    for (const auto& node : from) to.push_back(value(node, place(node.source().begin), path));
    return to;
  }

  // The parser makes 1e-999 a zero without a word.
  [[nodiscard]] bool vanished(const toml::node& node, double number) const {
    const std::string written = lines_.between(node.source());
    return number == 0.0 &&
           written.substr(0, written.find_first_of("eE")).find_first_of("123456789") != std::string::npos;
  }

  void complain(const toml::node& node, const std::string& path, const std::string& why) {
    findings_.push_back(
        {Level::fault, path, quoted(lines_.between(node.source())) + " " + why, place(node.source().begin)});
  }

  Lines lines_;
  std::string name_;
  Findings findings_;
};

// What would do instead, for the mistakes that people make most. The parser's wording only chooses the
// advice; where it is not known there is none.
std::string advice(std::string_view description) {
  const auto says = [&](std::string_view part) { return description.find(part) != std::string_view::npos; };
  if (says("cannot redefine")) return " Every key and every table can be given once only.";
  if (says("expected '='")) return " Write one key = value on a line.";
  if (says("unescaped")) return " A string ends on the line on which it begins.";
  if (says("escape"))
    return " Inside double quotation marks write \\\" for an inch mark and \\\\ for a backslash.";
  if (says("saw ','")) return " Write a point for decimals.";
  if (says("saw '.'")) return " Write a digit in front of the point: 0.5.";
  if (says("end-of-file")) return " Something was opened and not closed, or a value is missing.";
  // A number with a unit behind it, half read as a number, a date or a time.
  if (says("expected a comment or whitespace") || says("could not determine value type") || says("integer") ||
      says("floating-point") || says("date") || says("time"))
    return " Text and values with a unit stand in quotation marks: \"800 mm\".";
  return "";
}

Finding syntax_fault(const toml::parse_error& error, const Translation& translation) {
  std::string_view description = error.description();
  constexpr std::string_view preamble = "Error while parsing ";
  if (description.substr(0, preamble.size()) == preamble) description.remove_prefix(preamble.size());
  const Place place = translation.place(error.source().begin);
  const std::string_view line = translation.lines().line(error.source().begin.line);
  return {Level::fault, "contents",
          "This is not valid TOML: " + printable(description, 200) + "; the line reads " + quoted(line) +
              "." + advice(description),
          place};
}

}  // namespace

const DocumentValue* DocumentValue::find(std::string_view key) const {
  const auto* table = std::get_if<DocumentTable>(&value);
  if (table == nullptr) return nullptr;
  const auto entry = std::find_if(table->begin(), table->end(), [&](const auto& e) { return e.key == key; });
  return entry == table->end() ? nullptr : &entry->value;
}

Place DocumentValue::place_of(int character) const {
  if (written.empty() || character < 1) return place;
  std::string_view rest = written;
  Place at = place;
  const auto pass = [&](std::size_t count) {
    for (; count > 0 && !rest.empty(); --count) {
      const auto next = first_character(rest);
      ++at.column;
      if (rest.front() == '\n') {
        ++at.line;
        at.column = 1;
      }
      rest.remove_prefix(next ? next->bytes : 1);
    }
  };
  const char quote = rest.front();
  const std::string three(3, quote);
  const std::size_t marks = rest.size() >= 6 && rest.substr(0, 3) == three ? 3 : 1;
  rest.remove_suffix(std::min(marks, rest.size() - 1));
  pass(marks);
  if (marks == 3 && rest.substr(0, 1) == "\n") pass(1);  // TOML drops a line end behind the opening marks
  if (marks == 3 && rest.substr(0, 2) == "\r\n") pass(2);
  for (int passed = 1;; ++passed) {
    const bool escape = rest.size() > 1 && rest.front() == '\\' && quote == '"';
    const char kind = escape ? rest[1] : '\0';
    const bool folded = kind == ' ' || kind == '\t' || kind == '\r' || kind == '\n';
    if (folded || (rest.empty() && passed < character)) return place;
    if (passed == character) return at;
    pass(!escape ? 1 : kind == 'u' ? 6 : kind == 'U' ? 10 : 2);
  }
}

Result<DocumentValue> read_document(std::string_view text, const std::string& name) {
  constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
  if (text.substr(0, byte_order_mark.size()) == byte_order_mark) text.remove_prefix(byte_order_mark.size());
  Findings findings = check_document_text(text, name);
  if (!findings.empty()) return refuse(std::move(findings));
  Translation translation(text, name);
  try {
    const toml::table root = toml::parse(text, std::string_view(name));
    DocumentValue document = translation.value(root, Place{name, 1, 1}, "");
    document.place = Place{name, 1, 1};
    if (!translation.findings().empty()) return refuse(translation.findings());
    return document;
  } catch (const toml::parse_error& error) {
    return refuse({syntax_fault(error, translation)});
  }
}

Result<DocumentValue> read_document_file(const std::string& path) {
  errno = 0;
  std::ifstream file(path, std::ios::binary);
  // One byte more than is allowed tells a file that is too large, without reading all of it.
  std::string text(largest_document_bytes + 1, '\0');
  if (file) file.read(text.data(), static_cast<std::streamsize>(text.size()));
  if (file.bad() || (!file.is_open())) {
    const std::string reason = std::generic_category().message(errno != 0 ? errno : EIO);
    return refuse(
        Findings{{Level::fault, "file", "The file " + quoted(path) + " cannot be read: " + reason + ".",
                  Place{path, 0, 0}}});
  }
  text.resize(static_cast<std::size_t>(file.gcount()));
  return read_document(text, path);
}

}  // namespace coilwright
