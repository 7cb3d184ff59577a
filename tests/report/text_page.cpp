#include <catch2/catch.hpp>
#include <coilwright/report/safe_text.hpp>
#include <coilwright/report/text_page.hpp>

using namespace coilwright;

TEST_CASE("a number is not parted from its unit", "[text_page][property]") {
  CHECK(wrapped("the travel is 20.50 mm here", 18) == std::vector<std::string>{"the travel is", "20.50 mm here"});
  CHECK(wrapped("long 2'-7 1/2\"", 11) == std::vector<std::string>{"long", "2'-7 1/2\""});
}

TEST_CASE("a word longer than the column is cut, by letters and not by bytes", "[text_page][property]") {
  CHECK(wrapped("abcdefgh", 3) == std::vector<std::string>{"abc", "def", "gh"});
  CHECK(wrapped("\xC3\xA4\xC3\xB6\xC3\xBC", 2) == std::vector<std::string>{"\xC3\xA4\xC3\xB6", "\xC3\xBC"});
  CHECK(wrapped("", 10).empty());
}

TEST_CASE("safe text keeps what is good and marks what is not", "[safe_text][input]") {
  CHECK(safe_text("caf\xC3\xA9 42.4\xC2\xB0 \xF0\x9F\x94\xA7") == "caf\xC3\xA9 42.4\xC2\xB0 \xF0\x9F\x94\xA7");
  CHECK(safe_text("a\tb\nc") == "a b c");
  const std::string mark = "\xEF\xBF\xBD";
  CHECK(safe_text("\x1b[0m") == mark + "[0m");
  CHECK(safe_text("\xC0\xAF") == mark + mark);               // overlong
  CHECK(safe_text("\xED\xA0\x80") == mark + mark + mark);    // half of a surrogate pair
  CHECK(safe_text("\xF4\x90\x80\x80") == mark + mark + mark + mark);  // beyond the last code point
  CHECK(safe_text("\xE2\x82") == mark + mark);               // cut short
  CHECK(safe_text("\xC2\x9B" "31m") == mark + "31m");        // the one-byte form of an escape
  CHECK(safe_text("\xE2\x80\xAEtxt") == mark + "txt");       // text turned right to left
}
