#include <catch2/catch.hpp>
#include <coilwright/quantity/document.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <cstdio>
#include <filesystem>

#include "scratch_folder.hpp"

using namespace coilwright;

template <>
struct Catch::StringMaker<Place> {
  static std::string convert(const Place& place) {
    return place.file + ":" + std::to_string(place.line) + ":" + std::to_string(place.column);
  }
};

namespace {

DocumentValue read(const std::string& text) {
  auto document = read_document(text, "job.toml");
  CAPTURE(text, document ? "" : document.error()[0].text);
  REQUIRE(document.has_value());
  return *document;
}

Findings refused(const std::string& text) {
  const auto document = read_document(text, "job.toml");
  CAPTURE(text);
  REQUIRE_FALSE(document.has_value());
  REQUIRE_FALSE(document.error().empty());
  for (const Finding& finding : document.error()) {
    CHECK(finding.level == Level::fault);
    CHECK_FALSE(finding.about.empty());
    REQUIRE(finding.place);
    CHECK(finding.place->file == "job.toml");
  }
  return document.error();
}

// What stands under keys in tables, one below the other.
const DocumentValue& at(const DocumentValue& root, const std::vector<std::string>& keys) {
  const DocumentValue* value = &root;
  for (const std::string& key : keys) {
    CAPTURE(key);
    value = value->find(key);
    REQUIRE(value != nullptr);
  }
  return *value;
}

Place in_job(int line, int column) {
  return Place{"job.toml", line, column};
}

// A file of its own, gone with the test.
class ScratchFile {
 public:
  explicit ScratchFile(const std::string& bytes) : path_(folder_.file("document.toml", bytes)) {}
  [[nodiscard]] const std::string& path() const { return path_; }

 private:
  ScratchFolder folder_;
  std::string path_;
};

// Columns counted by hand below.
const std::string job = R"(# a rail
[coil]
radius = "800 mm"  # to the ½ of the tube
  turns = 1.1
measured.to = "inside"

[stock]
lengths = [6000, "24 ft",
  true]
drive = { entry = 0.5, exit = -3 }

[[solid]]
name = 'cap "A"'
[[solid]]
"shape of it" = "box"
)";

}  // namespace

TEST_CASE("a document gives every kind of value", "[document][input]") {
  const DocumentValue root = read(job);
  CHECK(std::get<std::string>(at(root, {"coil", "radius"}).value) == "800 mm");
  CHECK(std::get<double>(at(root, {"coil", "turns"}).value) == 1.1);
  CHECK(std::get<std::string>(at(root, {"coil", "measured", "to"}).value) == "inside");
  CHECK(std::get<double>(at(root, {"stock", "drive", "exit"}).value) == -3.0);
  const auto& lengths = std::get<DocumentArray>(at(root, {"stock", "lengths"}).value);
  REQUIRE(lengths.size() == 3);
  CHECK(std::get<double>(lengths[0].value) == 6000.0);
  CHECK(std::get<std::string>(lengths[1].value) == "24 ft");
  CHECK(std::get<bool>(lengths[2].value));
  const auto& solids = std::get<DocumentArray>(at(root, {"solid"}).value);
  REQUIRE(solids.size() == 2);
  CHECK(std::get<std::string>(at(solids[0], {"name"}).value) == "cap \"A\"");
  CHECK(std::get<std::string>(at(solids[1], {"shape of it"}).value) == "box");
}

TEST_CASE("every value and key knows its line and column", "[document][input]") {
  const DocumentValue root = read(job);
  CHECK(root.place == in_job(1, 1));
  CHECK(root.key_place == in_job(1, 1));
  CHECK(at(root, {"coil"}).place == in_job(2, 1));
  CHECK(at(root, {"coil"}).key_place == in_job(2, 2));
  CHECK(at(root, {"coil", "radius"}).place == in_job(3, 10));
  CHECK(at(root, {"coil", "radius"}).key_place == in_job(3, 1));
  CHECK(at(root, {"coil", "turns"}).place == in_job(4, 11));
  CHECK(at(root, {"coil", "turns"}).key_place == in_job(4, 3));
  CHECK(at(root, {"coil", "measured"}).key_place == in_job(5, 1));
  CHECK(at(root, {"coil", "measured", "to"}).key_place == in_job(5, 10));
  CHECK(at(root, {"coil", "measured", "to"}).place == in_job(5, 15));
  CHECK(at(root, {"stock", "drive", "entry"}).key_place == in_job(10, 11));
  CHECK(at(root, {"stock", "drive", "exit"}).place == in_job(10, 31));
}

TEST_CASE("members of arrays and arrays of tables know their place", "[document][input]") {
  const DocumentValue root = read(job);
  const auto& lengths = std::get<DocumentArray>(at(root, {"stock", "lengths"}).value);
  CHECK(lengths[0].place == in_job(8, 12));
  CHECK(lengths[0].key_place == in_job(8, 12));
  CHECK(lengths[1].place == in_job(8, 18));
  CHECK(lengths[2].place == in_job(9, 3));
  CHECK(at(root, {"solid"}).key_place == in_job(12, 3));
  const auto& solids = std::get<DocumentArray>(at(root, {"solid"}).value);
  CHECK(solids[0].place == in_job(12, 1));
  CHECK(solids[1].place == in_job(14, 1));
  CHECK(solids[1].key_place == in_job(14, 1));
  CHECK(at(solids[0], {"name"}).place == in_job(13, 8));
  CHECK(at(solids[1], {"shape of it"}).place == in_job(15, 17));
}

TEST_CASE("columns count characters, and Windows line ends count as one", "[document][input]") {
  const DocumentValue root = read("\"½″\" = '′′′'\r\nk = [ 'ü', 3 ] # ü\r\nl = 1\r\n");
  CHECK(at(root, {"½″"}).place == in_job(1, 8));
  CHECK(std::get<DocumentArray>(at(root, {"k"}).value)[1].place == in_job(2, 12));
  CHECK(at(root, {"l"}).place == in_job(3, 5));
}

TEST_CASE("a byte order mark in front is passed over", "[document][input]") {
  CHECK(at(read("\xEF\xBB\xBF"
                "a = 1"),
           {"a"})
            .place == in_job(1, 5));
  CHECK(refused("a = 1\n\xEF\xBB\xBF"
                "b = 1")[0]
            .place == in_job(2, 1));
}

TEST_CASE("tables keep the order of the file", "[document][property]") {
  const DocumentValue root = read("z = 1\na = 2\nm.y = 3\nm.b = 4\n[q]\n[k]\nj = 5\nc = 6\n");
  std::string order;
  for (const auto& [key, value] : std::get<DocumentTable>(root.value)) order += key;
  CHECK(order == "zamqk");
  order.clear();
  for (const auto& [key, value] : std::get<DocumentTable>(at(root, {"k"}).value)) order += key;
  CHECK(order == "jc");
}

TEST_CASE("what is not there is not found", "[document][property]") {
  const DocumentValue root = read("a = 1\n");
  CHECK(root.find("b") == nullptr);
  CHECK(root.find("") == nullptr);
  CHECK(at(root, {"a"}).find("b") == nullptr);  // a number holds no keys
  CHECK(std::get<DocumentTable>(read("").value).empty());
}

TEST_CASE("a column inside a string is found in the file", "[document][input]") {
  const DocumentValue root = read(
      "a = \"5'-4 1/2\\\" x\"\n"  // the inch mark is written with a backslash
      "b = '600,5 mm'\n"
      "c = \"\\u00bd\\\" x\"\n"
      "d = \"\"\"\n5 ft\n  x\"\"\"\n"
      "e = \"\"\"5 \\\n  x\"\"\"\n"
      "f = ''\n"
      "g = 3\n"
      "h = \"\"\"5' x\"\"\"\n"
      "i = '½ x'\n");
  CHECK(at(root, {"a"}).place_of(1) == in_job(1, 6));
  CHECK(at(root, {"a"}).place_of(9) == in_job(1, 14));   // the backslash of the inch mark
  CHECK(at(root, {"a"}).place_of(11) == in_job(1, 17));  // x
  CHECK(at(root, {"a"}).place_of(12) == in_job(1, 18));  // where the text ends
  CHECK(at(root, {"a"}).place_of(13) == in_job(1, 5));   // no such character: the value
  CHECK(at(root, {"a"}).place_of(0) == in_job(1, 5));
  CHECK(at(root, {"b"}).place_of(4) == in_job(2, 9));
  CHECK(at(root, {"c"}).place_of(4) == in_job(3, 15));
  CHECK(at(root, {"d"}).place_of(1) == in_job(5, 1));
  CHECK(at(root, {"d"}).place_of(8) == in_job(6, 3));
  CHECK(at(root, {"e"}).place_of(2) == in_job(7, 9));
  CHECK(at(root, {"e"}).place_of(3) == in_job(7, 5));  // folded: the value
  CHECK(at(root, {"f"}).place_of(1) == in_job(9, 6));
  CHECK(at(root, {"g"}).place_of(1) == in_job(10, 5));  // not a string
  CHECK(at(root, {"h"}).place_of(4) == in_job(11, 11));
  CHECK(at(root, {"i"}).place_of(3) == in_job(12, 8));
}

TEST_CASE("a wrong length in a file is shown at its very character", "[document][oracle]") {
  const std::string line = "radius = \"5'-4 1/2\\\" 600,5\"";
  const DocumentValue radius = at(read(line), {"radius"});
  const auto length = read_length(std::get<std::string>(radius.value), "coil.radius");
  REQUIRE_FALSE(length.has_value());
  const Place place = radius.place_of(length.error()[0].place->column);
  CHECK(line.substr(static_cast<std::size_t>(place.column) - 1, 3) == "600");
}

TEST_CASE("nan, inf and numbers that cannot be held are refused, all of them, down the file",
          "[document][input]") {
  const Findings findings =
      refused("z.friction = nan\na = [1, -inf, +inf]\nb = 9007199254740993\nc = 1e-999\nd = -nan\n");
  REQUIRE(findings.size() == 6);
  CHECK(findings[0].about == "z.friction");
  CHECK(findings[0].place == in_job(1, 14));
  CHECK(findings[0].text.find("\"nan\"") != std::string::npos);
  CHECK(findings[1].place == in_job(2, 9));
  CHECK(findings[1].about == "a");
  CHECK(findings[2].place == in_job(2, 15));
  CHECK(findings[3].place == in_job(3, 5));
  CHECK(findings[4].place == in_job(4, 5));
  CHECK(findings[5].place == in_job(5, 5));
}

TEST_CASE("whole numbers are exact up to 2^53, and zero is zero however it is written", "[document][bound]") {
  CHECK(std::get<double>(at(read("a = 9007199254740991"), {"a"}).value) == 9007199254740991.0);
  CHECK(std::get<double>(at(read("a = -9007199254740991"), {"a"}).value) == -9007199254740991.0);
  refused("a = 9007199254740992");
  refused("a = -9223372036854775808");
  CHECK(std::get<double>(at(read("a = 0.0e5"), {"a"}).value) == 0.0);
  CHECK(std::get<double>(at(read("a = 0x1F"), {"a"}).value) == 31.0);
  CHECK(std::get<double>(at(read("a = 1_000"), {"a"}).value) == 1000.0);
}

TEST_CASE("dates are refused with their place", "[document][input]") {
  for (const char* text : {"a = 2024-05-17", "a = 07:32:00", "a = 2024-05-17T07:32:00Z"}) {
    const Findings findings = refused(text);
    CHECK(findings[0].place == in_job(1, 5));
    CHECK(findings[0].about == "a");
  }
}

TEST_CASE("what TOML refuses is refused with line, column, the line itself and advice", "[document][input]") {
  struct Case {
    const char* text;
    int line;
    int column;
    const char* advice;
  };
  const Case cases[] = {
      {"a = 1\na = 2", 2, 5, "once only"},
      {"[a]\nb = 1\n[a]", 3, 1, "once only"},
      {"a = 1\n[a]", 2, 1, "once only"},
      {"[[s]]\n[s]", 2, 1, "once only"},
      {"a.b = 1\na.b.c = 2", 2, 3, "once only"},
      {"t = { a = 1, a = 2 }", 1, 18, "once only"},
      {"a = 5 mm", 1, 7, "in quotation marks"},
      {"a = -900 mm", 1, 10, "in quotation marks"},
      {"a = 5'-4\"", 1, 6, "in quotation marks"},
      {"a = 42.4x2.6 mm", 1, 9, "in quotation marks"},
      {"a = mm", 1, 5, "in quotation marks"},
      {"a = 90 deg", 1, 8, "in quotation marks"},
      {"a = 600,5", 1, 8, "point for decimals"},
      {"a = .5", 1, 5, "0.5"},
      {"a = 1e999", 1, 10, "valid TOML"},
      {"a = \"5\\'\"", 1, 8, "\\\" for an inch mark"},
      {"a = \"x", 1, 7, "not closed"},
      {"a = [1", 1, 7, "not closed"},
      {"a =", 1, 4, "missing"},
      {"a = \"x\ny\"", 1, 7, "ends on the line"},
      {"a b = 3", 1, 3, "key = value"},
      {"= 3", 1, 1, "valid TOML"},
      {"[a", 1, 3, "not closed"},
      {"a = 99999999999999999999", 1, 25, "valid TOML"},
      {"a = 1\r\nb = \"\\q\"", 2, 7, "backslash"},
  };
  for (const Case& c : cases) {
    const Findings findings = refused(c.text);
    CAPTURE(c.text, findings[0].text);
    CHECK(findings.size() == 1);
    CHECK(findings[0].about == "contents");
    CHECK(findings[0].place == in_job(c.line, c.column));
    CHECK(findings[0].text.find("the line reads") != std::string::npos);
    CHECK(findings[0].text.find(c.advice) != std::string::npos);
  }
}

TEST_CASE("what the text check refuses never reaches the parser", "[document][input]") {
  std::string names = "a";
  for (int i = 0; i < 2000; ++i) names += ".a";
  CHECK(refused(names + " = 1")[0].text.find("joined by dots") != std::string::npos);
  CHECK(refused("a = " + std::string(200000, '['))[0].place == in_job(1, 21));
  CHECK(refused("a = \xFF")[0].text.find("UTF-8") != std::string::npos);
}

TEST_CASE("a document mutilated at random is read or refused", "[document][property]") {
  std::mt19937 random(11);
  int read_count = 0;
  int refused_count = 0;
  for (int i = 0; i < 5000; ++i) {
    std::string text = job;
    for (std::size_t changes = 1 + random() % 3; changes > 0; --changes) {
      const std::size_t where = random() % text.size();
      switch (random() % 4) {
        case 0:
          text[where] = static_cast<char>(random() & 0xFF);
          break;
        case 1:
          text.erase(where, 1 + random() % 8);
          break;
        case 2:
          text.insert(where, text.substr(random() % text.size(), random() % 12));
          break;
        default:
          text.insert(where, 1, "[]{}\"'=.,#\\\n"[random() % 12]);
      }
    }
    const auto document = read_document(text, "job.toml");
    ++(document ? read_count : refused_count);
    if (document) continue;
    for (const Finding& finding : document.error()) {
      CAPTURE(text, finding.text);
      REQUIRE(finding.place);
      REQUIRE(finding.place->line >= 1);
      REQUIRE(finding.place->column >= 1);
    }
  }
  CHECK(read_count > 100);
  CHECK(refused_count > 100);
}

TEST_CASE("a document comes from a file too", "[document][input]") {
  const ScratchFile file("[coil]\npitch = nan\n");
  const auto document = read_document_file(file.path());
  REQUIRE_FALSE(document.has_value());
  CHECK(document.error()[0].place == Place{file.path(), 2, 9});
  const ScratchFile good("a = 1\n");
  REQUIRE(read_document_file(good.path()).has_value());
  const ScratchFile empty("");
  CHECK(read_document_file(empty.path()).has_value());
}

TEST_CASE("a file of 256 KiB is read, one byte more is refused", "[document][bound]") {
  std::string lines;
  while (lines.size() < 256 * 1024) lines += "#23456789abcdef\n";
  REQUIRE(lines.size() == 256 * 1024);
  const ScratchFile largest(lines);
  CHECK(read_document_file(largest.path()).has_value());
  const ScratchFile larger(lines + "\n");
  const auto document = read_document_file(larger.path());
  REQUIRE_FALSE(document.has_value());
  CHECK(document.error()[0].text.find("256 KiB") != std::string::npos);
}

TEST_CASE("a file that cannot be read is a fault about the file", "[document][input]") {
  const std::string folder = std::filesystem::temp_directory_path().string();
  for (const std::string& path : {std::string(""), folder + "/coilwright-no-such-file.toml", folder}) {
    const auto document = read_document_file(path);
    CAPTURE(path);
    REQUIRE_FALSE(document.has_value());
    REQUIRE(document.error().size() == 1);
    const Finding& finding = document.error()[0];
    CHECK(finding.level == Level::fault);
    CHECK(finding.about == "file");
    CHECK(finding.place == Place{path, 0, 0});
    CHECK(finding.text.find("cannot be read") != std::string::npos);
  }
}
