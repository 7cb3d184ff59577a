#include <catch2/catch.hpp>
#include <coilwright/quantity/characters.hpp>
#include <coilwright/quantity/require.hpp>

using namespace coilwright;

TEST_CASE("characters of every length are taken apart", "[characters][published]") {
  // RFC 3629 (2003), section 7: the examples "A<NOT IDENTICAL TO><ALPHA>." and U+233B4.
  CHECK(first_character("A")->code == 0x41);
  CHECK(first_character("\xE2\x89\xA2")->code == 0x2262);
  CHECK(first_character("\xCE\x91.")->code == 0x0391);
  CHECK(first_character("\xF0\xA3\x8E\xB4")->code == 0x233B4);
  CHECK(first_character("\xCE\x91.")->bytes == 2);
  CHECK(first_character("\xE2\x89\xA2")->bytes == 3);
  CHECK(first_character("\xF0\xA3\x8E\xB4")->bytes == 4);
}

TEST_CASE("the first and the last character of each length", "[characters][oracle]") {
  // From the table of RFC 3629, section 3.
  CHECK(first_character("\x7F")->code == 0x7F);
  CHECK(first_character("\xC2\x80")->code == 0x80);
  CHECK(first_character("\xDF\xBF")->code == 0x7FF);
  CHECK(first_character("\xE0\xA0\x80")->code == 0x800);
  CHECK(first_character("\xED\x9F\xBF")->code == 0xD7FF);
  CHECK(first_character("\xEE\x80\x80")->code == 0xE000);
  CHECK(first_character("\xEF\xBF\xBF")->code == 0xFFFF);
  CHECK(first_character("\xF0\x90\x80\x80")->code == 0x10000);
  CHECK(first_character("\xF4\x8F\xBF\xBF")->code == 0x10FFFF);
}

TEST_CASE("what is not UTF-8 is no character", "[characters][input]") {
  for (const char* bytes :
       {"\x80", "\xBF", "\xC0\x80", "\xC1\xBF", "\xC2", "\xC2g", "\xE0\x80\x80", "\xE0\x9F\xBF", "\xE2\x89",
        "\xED\xA0\x80", "\xED\xBF\xBF", "\xF0\x80\x80\x80", "\xF0\x8F\xBF\xBF", "\xF0\xA3\x8E",
        "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xFE", "\xFF"}) {
    CAPTURE(printable(bytes));
    CHECK_FALSE(first_character(bytes));
  }
  CHECK_THROWS_AS(first_character(""), InternalError);
}

TEST_CASE("a message repeats a text on one harmless line", "[characters][input]") {
  CHECK(quoted("600 mm") == "\"600 mm\"");
  CHECK(quoted("5′–4½″") == "\"5′–4½″\"");
  CHECK(quoted("a\nb\x1B[2J") == "\"a<U+000A>b<U+001B>[2J\"");
  CHECK(quoted("a\xFFz") == "\"a<byte FF>z\"");
  CHECK(quoted("\xE2\x80\xAE"
               "abc") == "\"<U+202E>abc\"");  // would turn the writing direction
  CHECK(quoted("\xEF\xBB\xBF") == "\"<U+FEFF>\"");
  CHECK(quoted("") == "\"\"");
  CHECK(shown(U'x') == "\"x\"");
  CHECK(shown(U'\u200B') == "<U+200B>");
}

TEST_CASE("a message repeats no more than the beginning of a long text", "[characters][input]") {
  CHECK(printable(std::string(60, 'x')) == std::string(60, 'x'));
  CHECK(printable(std::string(61, 'x')) == std::string(60, 'x') + "...");
  CHECK(printable("½½½", 2) == "½½...");
}
