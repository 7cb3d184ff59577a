#include <catch2/catch.hpp>
#include <coilwright/coil/closing.hpp>

using namespace coilwright;

TEST_CASE("conditions are read from plain words", "[closing][input]") {
  const auto read = [](std::string_view text) {
    return read_closing(text, SegmentMeasure::length, "segment.1.length");
  };
  CHECK(read("to level")->word == ClosingWord::level);
  CHECK(read("Square")->word == ClosingWord::square);
  const auto width = read("to width 1200 mm");
  REQUIRE(width.has_value());
  CHECK(width->word == ClosingWord::width);
  CHECK(width->to.mm() == 1200.0);
  CHECK(read("to x -1 m")->to.mm() == -1000.0);
  CHECK(closing_text(*read("to height 3 ft")) == "to height 914.4 mm (3'-0\")");
  CHECK(begins_a_closing("to nowhere"));
  CHECK_FALSE(begins_a_closing("90 deg"));
}

TEST_CASE("words that are no condition are answered with those that are", "[closing][input]") {
  const auto wrong = read_closing("to levle", SegmentMeasure::angle, "segment.1.angle");
  REQUIRE_FALSE(wrong.has_value());
  CHECK(wrong.error().front().text.find("Was \"to level\" meant?") != std::string::npos);
  const auto bare = read_closing("to width 1200", SegmentMeasure::length, "segment.1.length");
  REQUIRE_FALSE(bare.has_value());
  CHECK(bare.error().front().text.find("with its unit") != std::string::npos);
}
