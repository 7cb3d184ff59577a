#include <catch2/catch.hpp>
#include <coilwright/quantity/document_check.hpp>

using namespace coilwright;

namespace {

std::string repeated(const std::string& piece, int count) {
  std::string text;
  for (int i = 0; i < count; ++i) text += piece;
  return text;
}

// The line and column of the one complaint.
std::pair<int, int> place_of_complaint(const std::string& text, const std::string& reason) {
  const Findings findings = check_document_text(text, "job.toml");
  CAPTURE(text.substr(0, 200));
  REQUIRE(findings.size() == 1);
  CAPTURE(findings[0].text);
  CHECK(findings[0].level == Level::fault);
  CHECK(findings[0].about == "contents");
  CHECK(findings[0].text.find(reason) != std::string::npos);
  CHECK(findings[0].place->file == "job.toml");
  return {findings[0].place->line, findings[0].place->column};
}

bool passes(const std::string& text) {
  return check_document_text(text, "job.toml").empty();
}

using At = std::pair<int, int>;

}  // namespace

TEST_CASE("ordinary files pass", "[document_check][input]") {
  CHECK(passes(""));
  CHECK(passes("a = 1\r\nb\t= 'x'\n"));
  CHECK(passes("a = \"5′ ½″\" # ⌀ 42\nb = '½'\nc = \"\"\"\n½\n\"\"\"\nd = '''\n½\n'''\n\"½\" = 1\n"));
  CHECK(passes("[machine.rolls]\nx = [[1.5, 2.5], [3.5, 4.5]]\ny = { a = { b = 1 } }\n"));
}

TEST_CASE("the size of file and line", "[document_check][bound]") {
  CHECK(passes(repeated(std::string(1023, '#') + "\n", 256)));
  CHECK(place_of_complaint(repeated(std::string(1023, '#') + "\n", 256) + "#", "256 KiB") == At(0, 0));
  CHECK(passes(std::string(4096, '#')));
  CHECK(place_of_complaint("a = 1\n" + std::string(4097, '#') + "\nb = 2", "4096 bytes") == At(2, 4097));
  // Bytes, not characters: each ½ has two.
  CHECK(passes("#" + repeated("½", 2047)));
  CHECK(place_of_complaint("#" + repeated("½", 2048), "4096 bytes") == At(1, 2049));
}

TEST_CASE("bytes that are no UTF-8", "[document_check][input]") {
  CHECK(place_of_complaint("a = '\xFF'", "UTF-8") == At(1, 6));
  CHECK(place_of_complaint("# ½ \xC3", "UTF-8") == At(1, 5));
  CHECK(place_of_complaint("\n# \xED\xA0\x80 \xFF", "UTF-8") == At(2, 3));  // one complaint for a line
  CHECK(place_of_complaint(std::string("\xFF\xFE"
                                       "a\0=\0",
                                       6),
                           "UTF-8") == At(1, 1));  // UTF-16
}

TEST_CASE("control characters, wherever they stand", "[document_check][input]") {
  for (const int code : {0x00, 0x01, 0x08, 0x0B, 0x0C, 0x0E, 0x1B, 0x1F, 0x7F}) {
    const std::string control(1, static_cast<char>(code));
    CAPTURE(code);
    CHECK(place_of_complaint("a" + control, "control") == At(1, 2));
    CHECK(place_of_complaint("a = '" + control + "'", "control") == At(1, 6));
    CHECK(place_of_complaint("#" + control, "control") == At(1, 2));
  }
  CHECK(place_of_complaint("a = 1\rb = 2", "<U+000D>") == At(1, 6));
  CHECK(place_of_complaint("a = 1\r", "<U+000D>") == At(1, 6));
  CHECK(place_of_complaint("# \u0085", "<U+0085>") == At(1, 3));
  CHECK(place_of_complaint("# \u2028", "<U+2028>") == At(1, 3));  // a parser may take it for a line end
}

TEST_CASE("characters beyond ASCII outside strings and comments", "[document_check][input]") {
  CHECK(place_of_complaint("r = “800 mm”", "straight quotation marks") == At(1, 5));
  CHECK(place_of_complaint("r\u00A0= 1", "ordinary space") == At(1, 2));
  CHECK(place_of_complaint("a = 1\nrädius = 1", "\"ä\"") == At(2, 2));
  CHECK(place_of_complaint("a = '½'½", "\"½\"") == At(1, 8));
  CHECK(place_of_complaint("a = \"\\\"½\"½", "\"½\"") == At(1, 10));
  CHECK(place_of_complaint("# ½\n½", "\"½\"") == At(2, 1));
  CHECK(place_of_complaint("a = \"½\n½", "\"½\"") ==
        At(2, 1));  // a string that was not closed ends with its line
  CHECK(place_of_complaint("a = \"\"\"x\"\"\"\"\"½", "\"½\"") ==
        At(1, 14));  // two marks belong to the string
  CHECK(place_of_complaint("a = '''\n'½' ''' ½", "\"½\"") == At(2, 9));
  CHECK(place_of_complaint("a = \"\"½", "\"½\"") == At(1, 7));
}

TEST_CASE("names joined by dots", "[document_check][bound]") {
  CHECK(passes("a" + repeated(".a", 15) + " = 1.5"));
  CHECK(place_of_complaint("a" + repeated(".a", 16) + " = 1", "16 names") == At(1, 32));
  CHECK(place_of_complaint("[a" + repeated(".a", 40) + "]", "16 names") == At(1, 33));
  CHECK(place_of_complaint("a = { a" + repeated(" . \"a\"", 16) + " = 1 }", "16 names") == At(1, 99));
  CHECK(passes("a = '" + repeated(".", 100) + "' # " + repeated(".", 100)));
  CHECK(passes(repeated("a.b.c = 1\n", 100)));
  CHECK(passes("a = [" + repeated("1.5, ", 100) + "]"));
  // Behind a string whose end is easily missed.
  CHECK(place_of_complaint("a = [\"\"\"x\"\"\"\", {a" + repeated(".a", 40) + "=1}]", "16 names") ==
        At(1, 48));
  CHECK(place_of_complaint("a = [\"\\\\\", {a" + repeated(".a", 40) + "=1}]", "16 names") == At(1, 44));
}

TEST_CASE("brackets inside each other", "[document_check][bound]") {
  CHECK(passes("a = " + repeated("[", 16) + repeated("]", 16)));
  CHECK(place_of_complaint("a = " + repeated("[", 17), "16 brackets") == At(1, 21));
  CHECK(place_of_complaint("a = " + repeated("[\n", 17), "16 brackets") == At(17, 1));
  CHECK(place_of_complaint("a = " + repeated("{a=[", 9), "16 brackets") == At(1, 37));
  CHECK(passes(repeated("[[a]]\n", 100)));
  CHECK(passes("a = '" + repeated("[", 100) + "' # " + repeated("{", 100)));
  CHECK(passes(repeated("]", 20) + repeated("[", 16)));
}

TEST_CASE("many complaints: the first of each line, ten at most", "[document_check][input]") {
  const Findings findings = check_document_text("a\x01\x02\nb\n\x03\n", "job.toml");
  REQUIRE(findings.size() == 2);
  CHECK(findings[0].place == Place{"job.toml", 1, 2});
  CHECK(findings[1].place == Place{"job.toml", 3, 1});
  CHECK(check_document_text(repeated("\xFF\n", 1000), "job.toml").size() == 10);
}
