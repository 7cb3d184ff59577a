#include <catch2/catch.hpp>
#include <coilwright/stock/size_tables.hpp>
#include <coilwright/stock/stock_text.hpp>
#include <random>
#include <string>
#include <vector>

#include "numbers.hpp"

using namespace coilwright;

namespace {

struct Tube {
  double outside_mm, wall_mm;
  std::string source;
};

Tube tube(const std::string& text, std::optional<LengthUnit> bare = std::nullopt) {
  const auto read = read_tube(text, "stock.tube", bare);
  INFO(text);
  if (!read) FAIL(read.error().front().text);
  const auto& kind = std::get<RoundTube>(read->section.kind());
  return {kind.outside_diameter.mm(), kind.wall.mm(), read->size_source};
}

Finding refusal(const std::string& text, std::optional<LengthUnit> bare = std::nullopt) {
  const auto read = read_tube(text, "options --tube", bare);
  INFO(text);
  REQUIRE_FALSE(read.has_value());
  for (const Finding& f : read.error()) {
    CHECK(f.about == "options --tube");
    CHECK(f.level == Level::fault);
    CHECK_FALSE(f.text.empty());
  }
  return read.error().front();
}

int column(const std::string& text) {
  const Finding f = refusal(text);
  REQUIRE(f.place.has_value());
  return f.place->column;
}

bool says(const std::string& text, std::string_view part) {
  return refusal(text).text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("a tube by its two measures", "[stock_text][input]") {
  for (const char* text : {"42.4x2.6 mm", "42.4 x 2.6 mm", "42.4 mm x 2.6 mm", "42.4mm x 2.6", "42.4X2.6MM",
                           "42.4 \u00d7 2.6 mm", "\u00d842.4\u00d72.6 mm", "  42.4x2.6 mm ", "42.4*2.6 mm",
                           "CHS 42.4x2.6", "4.24 cm x 2.6 mm", "42.4\u00a0x\u202f2.6\u2009mm"}) {
    const Tube t = tube(text);
    CHECK(t.outside_mm == Approx(42.4).epsilon(1e-15));
    CHECK(t.wall_mm == Approx(2.6).epsilon(1e-15));
    CHECK(t.source.empty());
  }
  for (const char* text : {"1.66 x 0.140 in", "1.66in x 0.140in", "1.66\" x 0.140\"", "1.66x0.140\""}) {
    const Tube t = tube(text);
    CHECK(t.outside_mm == Approx(42.164).epsilon(1e-14));
    CHECK(t.wall_mm == Approx(3.556).epsilon(1e-14));
  }
  CHECK(tube("1-1/4 x 0.065 in").outside_mm == 31.75);
  CHECK(tube("1\u00bc x 0.065\"").outside_mm == 31.75);
  CHECK(tube("1 1/2 in x 2 mm").wall_mm == 2.0);
  CHECK(tube("42.4x2.6", LengthUnit::mm).outside_mm == 42.4);
  CHECK(tube("2x0.12", LengthUnit::inch).outside_mm == 50.8);
  // One unit written serves both, whatever a bare number means.
  CHECK(tube("42.4x2.6 mm", LengthUnit::inch).outside_mm == 42.4);
}

TEST_CASE("the designation is what was asked for", "[stock_text][input]") {
  CHECK(read_tube("  NPS 1-1/4 Sch 40 ", "stock.tube")->designation == "NPS 1-1/4 Sch 40");
  CHECK(read_bar(" 25 mm", "stock.bar")->designation == "25 mm");
}

TEST_CASE("a wall by the Birmingham gauge", "[stock_text][published]") {
  // 14 BWG = 0.083 in, 16 BWG = 0.065 in, as tabulated in a published table.
  for (const char* text : {"1-1/4 in x 14 BWG", "1-1/4\" x 14BWG", "1.25 in x BWG 14", "31.75 mm x 14 bwg"}) {
    CHECK(tube(text).outside_mm == 31.75);
    CHECK(tube(text).wall_mm == Approx(25.4 * 0.083).epsilon(1e-14));
    CHECK(tube(text).source.find("Birmingham") != std::string::npos);
  }
  CHECK(tube("1-1/2x16 BWG", LengthUnit::inch).wall_mm == Approx(1.651).epsilon(1e-14));
  CHECK(says("1-1/4 in x 14 ga", "14 BWG"));
  CHECK(says("1-1/4 in x 14 gauge", "14 BWG"));
  CHECK(says("1-1/4 in x 14 SWG", "14 BWG"));
  CHECK(says("1-1/4 in x 9 BWG", "10, 11, 12"));
  CHECK(says("1-1/4 x 14 BWG", "unit is missing"));
}

TEST_CASE("pipe by its nominal size", "[stock_text][published]") {
  // ASME B36.10M-2004, B36.19M-2004 as tabulated in a published table: NPS 1-1/4 is 42.2 mm over the outside.
  for (const char* text : {"NPS 1-1/4 Sch 40", "NPS 1 1/4 STD", "nps 1\u00bc sch 40", "NPS 1.25 Sch. 40",
                           "NPS1-1/4SCH40", "NPS 1-1/4\" Schedule 40", "NPS 1-1/4 in Sch STD", "DN 32 Sch 40",
                           "DN32 STD", "Pipe1-1/4STD", "NPS 1\u20111/4 Sch 40"}) {
    const Tube t = tube(text);
    CHECK(t.outside_mm == 42.2);
    CHECK(t.wall_mm == 3.56);
    CHECK(t.source.find("ASME B36.10M-2004") != std::string::npos);
  }
  CHECK(tube("DN 32 Sch 10S").wall_mm == 2.77);
  CHECK(tube("DN 32 Sch 10S").source.find("ASME B36.19M-2004") != std::string::npos);
  CHECK(tube("NPS 1/2 XS").wall_mm == 3.73);
  CHECK(tube("NPS 2 XXS").wall_mm == 11.07);
  CHECK(tube("NPS 6 Sch 80S").wall_mm == 10.97);
  CHECK(tube("NPS 2-1/2 Sch 5").wall_mm == 2.11);
}

TEST_CASE("a schedule or size that is not tabulated gets the nearest", "[stock_text][input]") {
  const std::string wrong = refusal("NPS 1-1/4 Sch 30").text;
  CHECK(wrong.find("nearest is 40") != std::string::npos);
  CHECK(wrong.find("5, 5S, 10, 10S, 40, 40S, STD, 80, 80S, XS, 160, XXS") != std::string::npos);
  CHECK(column("NPS 1-1/4 Sch 30") == 11);
  CHECK(says("NPS 2 Sch STDD", "nearest is STD"));
  CHECK(says("NPS 3-1/2 XXS", "Known: 5, 5S, 10, 10S, 40, 40S, STD, 80, 80S, XS."));
  CHECK(says("NPS 1-3/8 Sch 40", "NPS 1-1/4 and NPS 1-1/2"));
  CHECK(column("NPS 1-3/8 Sch 40") == 5);
  CHECK(says("NPS 8 Sch 40", "largest tabulated here is NPS 6"));
  CHECK(says("NPS 1/4 Sch 40", "smallest tabulated here is NPS 1/2"));
  CHECK(says("DN 30 Sch 40", "DN 25 and DN 32"));
  // An outside diameter written as a nominal size.
  CHECK(says("NPS 1.66 Sch 40", "NPS 1-1/4"));
  CHECK(says("DN 42 Sch 40", "DN 32"));
  CHECK(says("NPS 1-1/4", "schedule is missing"));
  CHECK(says("NPS Sch 40", "nominal size is missing"));
  CHECK(says("DN 1-1/4 Sch 40", "whole number"));
  CHECK(says("NPS q Sch 40", "nominal size"));
  // The trade's short form: the size is nominal, and must be said to be.
  CHECK(says("1-1/4\" Sch 40 pipe", "NPS 1-1/4 Sch 40"));
}

TEST_CASE("a size by its standard", "[stock_text][published]") {
  // Sizes as tabulated in published tables that cite EN 10219-2, EN 10210-2:2006, DIN 2448:1981 (now EN
  // 10220), AISC Shapes Database v15.0.
  CHECK(tube("EN 10219 42.4x2.5").wall_mm == 2.5);
  CHECK(tube("EN 10219 42.4x2.5").source.starts_with("EN 10219-2"));
  CHECK(tube("en 10219-2 42.4 x 2.5 mm").wall_mm == 2.5);
  CHECK(tube("EN 10210 42.4x2.6").source.starts_with("EN 10210-2:2006"));
  CHECK(tube("EN 10220 48.3x2.6").outside_mm == 48.3);
  CHECK(tube("DIN 2448 48.3x2.6").source.find("DIN 2448") != std::string::npos);
  CHECK(tube("HSS1.900X0.145").outside_mm == Approx(48.26).epsilon(1e-14));
  CHECK(tube("HSS 1.9 x 0.145").wall_mm == Approx(3.683).epsilon(1e-14));
  CHECK(says("EN 10219 42.4x2.6", "EN 10219 42.4x2.5"));
  CHECK(says("EN 10219 42.4x2.6", "leave the standard out"));
  CHECK(says("EN 10219 40x2", "42.4"));
  CHECK(says("EN 10305 40x2", "EN 10219"));
  CHECK(says("EN 42.4x2.6", "no sizes of this standard"));
  CHECK(says("HSS1.9x0.150", "HSS1.900X0.145"));
}

TEST_CASE("every tabulated name reads back as its size", "[stock_text][property]") {
  for (const RoundSize& size : known_round_sizes()) {
    const Tube t = tube(size.name);
    CHECK(t.outside_mm == size.outside_diameter.mm());
    CHECK(t.wall_mm == size.wall.mm());
    CHECK(t.source == size.source);
  }
}

TEST_CASE("measures that also name a pipe raise a question", "[stock_text][practice]") {
  // 1-1/4 in with the wall of schedule 40: in the trade that is as a rule pipe, 1.66 in over the outside.
  const auto read = read_tube("1-1/4 in x 0.140 in", "stock.tube");
  REQUIRE(read.has_value());
  REQUIRE(read->doubts.size() == 1);
  CHECK(read->doubts[0].level == Level::question);
  CHECK(read->doubts[0].text.find("NPS 1-1/4 Sch 40") != std::string::npos);
  CHECK(read->doubts[0].text.find("1.66 in (42.2 mm)") != std::string::npos);
  CHECK(std::get<RoundTube>(read->section.kind()).outside_diameter.mm() == 31.75);
  for (const char* plain : {"1-1/2 in x 0.065 in", "1-1/2 in x 12 BWG", "1.66 in x 0.140 in", "42.4x2.6 mm",
                            "NPS 1-1/4 Sch 40", "2 in x 0.120 in"}) {
    INFO(plain);
    CHECK(read_tube(plain, "stock.tube")->doubts.empty());
  }
}

TEST_CASE("wrong text gets its column and the reason", "[stock_text][input]") {
  CHECK(column("") == 1);
  CHECK(column("   ") == 1);
  CHECK(column("42.4") == 5);
  CHECK(column("42.4x") == 6);
  CHECK(column("x2.6 mm") == 1);
  CHECK(column("42.4x2.6x3 mm") == 9);
  CHECK(column("42.4x2.6") == 9);
  CHECK(column("42,4x2.6 mm") == 3);
  CHECK(column("42.4x2.q6 mm") == 8);
  CHECK(column("42.4x2.6 mm 3 turns") == 13);
  CHECK(column("nan x 2 mm") == 1);
  CHECK(column("42.4 x inf mm") == 8);
  CHECK(column("1e999x2 mm") == 1);
  CHECK(column("1/0x2 mm") >= 1);
  CHECK(says("42.4x2.6", "unit is missing"));
  CHECK(says("42,4x2.6 mm", "comma"));
  CHECK(says("2.6x42.4 mm", "outside diameter comes first"));
  CHECK(says("42.4x21.2 mm", "leaves no bore"));
  CHECK(says("-42.4x2.6 mm", "between 0.01 mm and 10 m"));
  CHECK(says(std::string("42.4\xff"
                         "2.6 mm"),
             "UTF-8"));
  // Both measures at once.
  const auto both = read_tube("4q mm x 2q mm", "stock.tube");
  REQUIRE_FALSE(both.has_value());
  CHECK(both.error().size() == 2);
}

TEST_CASE("a bar by its diameter", "[stock_text][input]") {
  const auto diameter = [](const char* text, std::optional<LengthUnit> bare = std::nullopt) {
    return std::get<RoundBar>(read_bar(text, "stock.bar", bare)->section.kind()).diameter.mm();
  };
  CHECK(diameter("25 mm") == 25.0);
  CHECK(diameter("1 in") == 25.4);
  CHECK(diameter("1-1/4\"") == 31.75);
  CHECK(diameter("\u00d825 mm") == 25.0);
  CHECK(diameter("25", LengthUnit::mm) == 25.0);
  for (const char* text : {"", "25", "25x2 mm", "25 mq", "-25 mm", "0 mm", "nan mm", "25 mm round"}) {
    INFO(text);
    const auto read = read_bar(text, "stock.bar");
    REQUIRE_FALSE(read.has_value());
    CHECK(read.error().front().about == "stock.bar");
  }
  CHECK(read_bar("25x2 mm", "stock.bar").error().front().text.find("tube") != std::string::npos);
}

TEST_CASE("any text is answered, never thrown at", "[stock_text][property]") {
  const std::vector<std::string> pieces = {
      "42.4",   "2.6",    "x",    " ",     "mm",    "in",  "\"", "'",     "NPS",    "DN",
      "EN",     "Sch",    "40",   "1-1/4", "STD",   "BWG", "14", "10219", "-",      "/",
      "\u00d7", "\u00bc", "\xff", "HSS",   "1e999", "nan", ".",  "CHS",   "\u00d8", "999999999999"};
  const std::vector<std::string> good = {"42.4x2.6 mm", "1-1/4 in x 14 BWG", "NPS 1-1/4 Sch 40",
                                         "EN 10219 42.4x2.5"};
  std::mt19937_64 random(77);
  int read = 0;
  for (int i = 0; i < 50000; ++i) {
    // Pieces in a row, or a text that reads with one piece put into it.
    std::string text = i % 2 == 0 ? std::string() : good[random() % good.size()];
    for (int n = i % 2 == 0 ? static_cast<int>(uniform(random, 0, 8)) : 1; n > 0; --n)
      text.insert(i % 2 == 0 ? text.size() : random() % (text.size() + 1), pieces[random() % pieces.size()]);
    const auto as_tube = read_tube(text, "a");
    const auto as_bar = read_bar(text, "b");
    if (as_tube) {
      ++read;
      const auto& kind = std::get<RoundTube>(as_tube->section.kind());
      REQUIRE(kind.outside_diameter > 2.0 * kind.wall);
      REQUIRE(kind.wall > Length());
    } else {
      REQUIRE_FALSE(as_tube.error().empty());
      for (const Finding& f : as_tube.error())
        if (f.place) REQUIRE((f.place->column >= 1 && f.place->column <= static_cast<int>(text.size()) + 1));
    }
    if (!as_bar) REQUIRE_FALSE(as_bar.error().empty());
  }
  CHECK(read > 100);
}
