#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/quantity/amount.hpp>
#include <coilwright/quantity/characters.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <functional>
#include <random>

using namespace coilwright;

namespace {

// How often a text was read and how often it was refused.
struct Tally {
  int read = 0;
  int refused = 0;
};

// Every character of a message can be shown: valid UTF-8 on one line.
bool harmless(std::string_view text) {
  while (!text.empty()) {
    const auto character = first_character(text);
    if (!character || character->code < 0x20 || (character->code >= 0x7F && character->code < 0xA0))
      return false;
    text.remove_prefix(character->bytes);
  }
  return true;
}

// What is wrong with an answer, if anything; asked a million times, so not assertion by assertion.
std::string complaint(const std::string& text, double value_or_nan, const Findings& findings) {
  if (findings.empty()) return std::isfinite(value_or_nan) ? "" : "a value that is not finite";
  if (findings.size() > 1) return "more than one finding";
  const Finding& finding = findings.front();
  if (finding.level != Level::fault || finding.about != "a value") return "another level or name";
  if (!finding.place || finding.place->column < 1) return "no column";
  if (finding.place->column > static_cast<int>(text.size()) + 1) return "a column beyond the text";
  if (!harmless(finding.text) || finding.text.size() > 1000) return "a text that cannot be shown";
  return "";
}

void check_outcome(const std::string& text, double value_or_nan, const Findings& findings, Tally& tally) {
  ++(findings.empty() ? tally.read : tally.refused);
  const std::string wrong = complaint(text, value_or_nan, findings);
  if (wrong.empty()) return;
  FAIL_CHECK(printable(text) + " is answered with " + wrong);
}

template <class T, class Number>
void check_reader(const std::string& text, const Result<T>& result, Number number, Tally& tally) {
  check_outcome(text, result ? number(*result) : std::nan(""), result ? Findings{} : result.error(), tally);
}

void check_all_readers(const std::string& text, Tally& tally) {
  check_reader(
      text, read_length(text, "a value"), [](Length l) { return l.mm(); }, tally);
  check_reader(
      text, read_length(text, "a value", LengthUnit::inch), [](Length l) { return l.mm(); }, tally);
  check_reader(
      text, read_angle(text, "a value"), [](Angle a) { return a.rad(); }, tally);
  check_reader(
      text, read_force(text, "a value"), [](Force f) { return f.newtons(); }, tally);
  check_reader(
      text, read_stress(text, "a value"), [](Stress s) { return s.mpa(); }, tally);
  check_reader(
      text, read_number(text, "a value"), [](double d) { return d; }, tally);
}

}  // namespace

TEST_CASE("random bytes are read or refused, never anything else", "[amount][property]") {
  std::mt19937 random(7);
  Tally tally;
  for (int i = 0; i < 20000; ++i) {
    std::string text(random() % 24, '\0');
    for (char& c : text) c = static_cast<char>(random() & 0xFF);
    check_all_readers(text, tally);
  }
  CHECK(tally.refused > 100000);
}

TEST_CASE("random rows of what quantities are made of are read or refused", "[amount][property]") {
  const std::vector<std::string> pieces = {
      "0", "1", "5",  "12", "600", ".",  ",",  "-",   "−",   "+", " ", "/",  "'", "\"",     "′",    "″",  "½",
      "⅛", "e", "mm", "m",  "in",  "ft", "kN", "MPa", "deg", "°", "⁄", "\t", "x", "\u00A0", "\xC3", "nan"};
  std::mt19937 random(8);
  Tally tally;
  for (int i = 0; i < 30000; ++i) {
    std::string text;
    for (std::size_t count = random() % 7; count > 0; --count) text += pieces[random() % pieces.size()];
    check_all_readers(text, tally);
  }
  // Both outcomes are met often enough for the test to mean something.
  CHECK(tally.read > 2000);
  CHECK(tally.refused > 100000);
}

TEST_CASE("one wrong byte in a good text is read or refused", "[amount][property]") {
  const std::vector<std::string> good = {"5'-4 1/2\"", "2ft6in",   "23-5/8\"",
                                         "−600.25 mm", "1½ turns", "13.5 kip"};
  Tally tally;
  for (const std::string& text : good)
    for (std::size_t at = 0; at < text.size(); ++at)
      for (int byte = 0; byte < 256; ++byte) {
        std::string wrong = text;
        wrong[at] = static_cast<char>(byte);
        check_all_readers(wrong, tally);
      }
  CHECK(tally.read > 0);
  CHECK(tally.refused > 0);
}

TEST_CASE("an amount is a decimal, a fraction or both", "[amount][oracle]") {
  struct Case {
    const char* text;
    double value;
    bool whole;
  };
  for (const Case& c : {Case{"600", 600.0, true}, Case{"600.", 600.0, false}, Case{"6e2", 600.0, false},
                        Case{"3/4", 0.75, false}, Case{"2 3/4", 2.75, false}, Case{"2 - 3/4", 2.75, false},
                        Case{"2-¾", 2.75, false}, Case{"2¾", 2.75, false}, Case{"0/3", 0.0, false}}) {
    CAPTURE(c.text);
    TextUnderReading text(c.text, "");
    const auto amount = text.amount();
    REQUIRE(amount.has_value());
    CHECK(amount->value == c.value);
    CHECK(amount->whole == c.whole);
    CHECK(amount->column == 1);
    text.skip_spaces();
    CHECK(text.at_end());
  }
}

TEST_CASE("columns count characters, not bytes", "[amount][input]") {
  TextUnderReading text("½ ′−x", "");
  REQUIRE(text.amount().has_value());
  text.skip_spaces();
  CHECK(text.column() == 3);
  CHECK(text.take(U'\''));
  CHECK(text.column() == 4);
  CHECK(text.take(U'-'));
  CHECK(text.column() == 5);
  CHECK(text.word() == "x");
  CHECK(text.at_end());
  CHECK(text.column() == 6);
}
