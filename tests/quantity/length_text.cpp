#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/require.hpp>
#include <cstdint>
#include <limits>
#include <random>

using namespace coilwright;

namespace {

double read_mm(const std::string& text) {
  const auto length = read_length(text, "coil.radius");
  CAPTURE(text);
  REQUIRE(length.has_value());
  return length->mm();
}

Finding refusal(const std::string& text, std::optional<LengthUnit> bare = std::nullopt) {
  const auto length = read_length(text, "coil.radius", bare);
  CAPTURE(text);
  REQUIRE_FALSE(length.has_value());
  REQUIRE(length.error().size() == 1);
  CHECK(length.error()[0].level == Level::fault);
  CHECK(length.error()[0].about == "coil.radius");
  REQUIRE(length.error()[0].place);
  return length.error()[0];
}

// Uniform and the same on every machine; the library's distributions are not.
double uniform(std::mt19937_64& random, double low, double high) {
  return low + (high - low) * (static_cast<double>(random() >> 11) * 0x1p-53);
}

}  // namespace

TEST_CASE("metric lengths", "[length_text][input]") {
  CHECK(read_mm("600 mm") == 600.0);
  CHECK(read_mm("600mm") == 600.0);
  CHECK(read_mm("  600.5 mm ") == 600.5);
  CHECK(read_mm("2.7 m") == 2700.0);
  CHECK(read_mm("80 cm") == 800.0);
  CHECK(read_mm("6 metres") == 6000.0);
  CHECK(read_mm("6 Meter") == 6000.0);
  CHECK(read_mm("6000 MM") == 6000.0);
  CHECK(read_mm("1e3 mm") == 1000.0);
  CHECK(read_mm("2.5E-1 m") == 250.0);
  CHECK(read_mm("0 mm") == 0.0);
  CHECK(read_mm("2 1/2 mm") == 2.5);
  CHECK(read_mm("600\tmm") == 600.0);
}

TEST_CASE("feet, inches and fractions in every way they are written", "[length_text][oracle]") {
  // Each text means the number of inches beside it; all of them are exact in binary.
  struct Case {
    const char* text;
    double inches;
  };
  const Case cases[] = {{"5'-4 1/2\"", 64.5},
                        {"5' 4 1/2\"", 64.5},
                        {"5'4 1/2\"", 64.5},
                        {"5'-4-1/2\"", 64.5},
                        {"5 ft 4-1/2 in", 64.5},
                        {"5'-4\"", 64.0},
                        {"5'-4", 64.0},
                        {"5' - 4\"", 64.0},
                        {"5'4", 64.0},
                        {"64\"", 64.0},
                        {"5'", 60.0},
                        {"5' 0\"", 60.0},
                        {"2ft6in", 30.0},
                        {"2 ft 6 in", 30.0},
                        {"2ft. 6in.", 30.0},
                        {"2 FT 6 IN", 30.0},
                        {"2 feet 6 inches", 30.0},
                        {"1 foot 1 inch", 13.0},
                        {"2.5 ft", 30.0},
                        {"2 1/2 ft", 30.0},
                        {"23-5/8\"", 23.625},
                        {"23 5/8 in", 23.625},
                        {"1-1/4 in", 1.25},
                        {"1 1/4\"", 1.25},
                        {"5/8\"", 0.625},
                        {"5/4 in", 1.25},
                        {"0.125 in", 0.125},
                        {"5''", 5.0},
                        {"0'-6\"", 6.0},
                        {"0' 1/2\"", 0.5},
                        {"12' 11 63/64\"", 155.984375},
                        {"100'-0\"", 1200.0}};
  for (const Case& c : cases) {
    CAPTURE(c.text);
    CHECK(read_mm(c.text) == c.inches * 25.4);
  }
}

TEST_CASE("typographic marks mean what the plain ones mean", "[length_text][oracle]") {
  for (const char* text : {"5′-4½″", "5′–4½″", "5′\u20114 1⁄2″", "5’ 4 ½”", "5’4½“", "5‘-4 ½”", "5´ 4½″",
                           "5′\u00A04\u00A01⁄2″", "5\u202Fft\u20094\u2009½\u2009in", "5ʹ 4½ʺ", "5′-4 ½″"}) {
    CAPTURE(text);
    CHECK(read_mm(text) == 64.5 * 25.4);
  }
  struct Case {
    const char* mark;
    double over, under;
  };
  const Case cases[] = {{"½", 1, 2}, {"¼", 1, 4}, {"¾", 3, 4}, {"⅛", 1, 8}, {"⅜", 3, 8}, {"⅝", 5, 8},
                        {"⅞", 7, 8}, {"⅓", 1, 3}, {"⅔", 2, 3}, {"⅕", 1, 5}, {"⅖", 2, 5}, {"⅗", 3, 5},
                        {"⅘", 4, 5}, {"⅙", 1, 6}, {"⅚", 5, 6}, {"⅐", 1, 7}, {"⅑", 1, 9}, {"⅒", 1, 10}};
  for (const Case& c : cases) {
    CAPTURE(c.mark);
    CHECK(read_mm(std::string(c.mark) + "″") == c.over / c.under * 25.4);
    CHECK(read_mm("3" + std::string(c.mark) + " in") == (3.0 + c.over / c.under) * 25.4);
  }
}

TEST_CASE("lengths below zero", "[length_text][oracle]") {
  CHECK(read_mm("-900 mm") == -900.0);
  CHECK(read_mm("- 900 mm") == -900.0);
  CHECK(read_mm("−900 mm") == -900.0);
  CHECK(read_mm("+900 mm") == 900.0);
  CHECK(read_mm("-5'-4 1/2\"") == -64.5 * 25.4);  // the sign is that of the whole length
  CHECK(read_mm("-½ in") == -12.7);
  CHECK_FALSE(std::signbit(read_mm("-0 mm")));
}

TEST_CASE("a bare number is read only where its unit was said", "[length_text][input]") {
  CHECK(read_length("600", "a", LengthUnit::mm).value().mm() == 600.0);
  CHECK(read_length("23-5/8", "a", LengthUnit::inch).value().mm() == 23.625 * 25.4);
  CHECK(read_length("-3", "a", LengthUnit::inch).value().mm() == -3.0 * 25.4);
  // A unit that stands there wins.
  CHECK(read_length("600 mm", "a", LengthUnit::inch).value().mm() == 600.0);
  CHECK(read_length("5'-4", "a", LengthUnit::mm).value().mm() == 64.0 * 25.4);
  const Finding finding = refusal("600");
  CHECK(finding.place->column == 4);
  CHECK(finding.text.find("600 mm") != std::string::npos);
}

TEST_CASE("a text that is no length is refused where it goes wrong, with the reason",
          "[length_text][input]") {
  struct Case {
    const char* text;
    int column;
    const char* reason;
  };
  const Case cases[] = {
      {"", 1, "the text ends"},
      {"   ", 4, "the text ends"},
      {"mm", 1, "a number is expected"},
      {"-", 2, "the text ends"},
      {"nan", 1, "not a number that can be measured"},
      {"nan mm", 1, "not a number that can be measured"},
      {"-inf mm", 2, "not a number that can be measured"},
      {"INFINITY in", 1, "not a number that can be measured"},
      {"1e999", 1, "too large or too small"},
      {"1e999 mm", 1, "too large or too small"},
      {"1e-999 mm", 1, "too large or too small"},
      {"600,5", 4, "comma"},
      {"600,5 mm", 4, "comma"},
      {"1,200 mm", 2, "comma"},
      {"5', 4\"", 3, "comma"},
      {"1/2,5 in", 4, "comma"},
      {"1/0", 3, "divides by zero"},
      {"1/0 in", 3, "divides by zero"},
      {"5' 1/000\"", 6, "divides by zero"},
      {"2' 13\"", 4, "less than 12"},
      {"2' 12\"", 4, "less than 12"},
      {"2' 11 5/4\"", 7, "less than one"},
      {"2' 1 mm", 6, "only inches"},
      {"2' 1 x", 6, "only inches"},
      {"1'200 mm", 7, "only inches"},
      {"2' 1'", 5, "only inches"},
      {"1.5' 3\"", 1, "whole number"},
      {"1 1/2' 3\"", 1, "whole number"},
      {"5'-", 4, "the text ends"},
      {"5'+4\"", 3, "sign"},
      {"5'--4\"", 4, "sign"},
      {"5-4 in", 2, "sign"},
      {"--5 mm", 2, "sign"},
      {"5 -mm", 3, "sign"},
      {"1 200 mm", 3, "side by side"},
      {"1\u2009200 mm", 3, "side by side"},
      {"1.2.3 mm", 4, "side by side"},
      {"½5 in", 2, "side by side"},
      {"1½⅛ in", 3, "side by side"},
      {"1.5-1/4 in", 5, "whole number only"},
      {"1.5/2 in", 4, "no decimals above"},
      {"1/2.5 in", 4, "no decimals"},
      {"1/2/3 in", 4, "one bar"},
      {"1 5/4 in", 3, "less than one"},
      {"1 4/4 in", 3, "less than one"},
      {"5 / 4 in", 3, "without spaces"},
      {"5/ 4 in", 3, "below the bar"},
      {"/4 in", 1, "both sides"},
      {"3 yd", 3, "a unit is expected"},
      {"10 km", 4, "\"km\""},
      {"3 inc", 3, "\"inc\""},
      {"0x10 mm", 2, "a unit is expected"},
      {"1e mm", 2, "a unit is expected"},
      {"5 mm x", 6, "nothing can follow"},
      {"5 mm 3 mm", 6, "side by side"},
      {"3 in 2 ft", 6, "side by side"},
      {"5 mm.", 5, "nothing can follow a length"},
      {"5' 4\" 3", 7, "side by side"},
      {"2 x 4 mm", 3, "\"x\""},
      {"3\x01 mm", 2, "<U+0001>"},
      {"3\u200Bmm", 2, "<U+200B>"},
      {"½ x", 3, "\"x\""},
      {"′5 mm", 1, "a number is expected"},
      {"３ mm", 1, "a number is expected"},
      {"\xFF", 1, "UTF-8"},
      {"5′\xC3 4", 3, "UTF-8"},
  };
  for (const Case& c : cases) {
    const Finding finding = refusal(c.text);
    CAPTURE(c.text, finding.text);
    CHECK(finding.place->column == c.column);
    CHECK(finding.text.find(c.reason) != std::string::npos);
    CHECK(finding.text.back() == '.');
  }
}

TEST_CASE("a length beyond ten kilometres is a slip of the pen", "[length_text][input]") {
  CHECK(read_mm("1e7 mm") == 1e7);
  CHECK(read_mm("-10000 m") == -1e7);
  for (const char* text : {"10000001 mm", "-10000001 mm", "1e300 m", "1e308 ft", "-1e308 in", "40000 ft"}) {
    const Finding finding = refusal(text);
    CAPTURE(text, finding.text);
    CHECK(finding.text.find("at most 10000 m") != std::string::npos);
  }
  refusal("1e300", LengthUnit::inch);
}

TEST_CASE("a text of any size is answered at once", "[length_text][input]") {
  CHECK(refusal(std::string(1000000, '1') + " mm").place->column == 201);
  CHECK(refusal(std::string(1000000, ' ')).place->column == 201);
  CHECK(refusal(std::string(1000000, '\'')).place->column == 201);
  CHECK(refusal(std::string(150, '9') + " mm").text.size() < 500);
  CHECK(read_mm(std::string(150, '0') + "5 mm") == 5.0);
}

TEST_CASE("millimetres are printed with fixed decimals and no negative zero", "[length_text][oracle]") {
  CHECK(mm_text(Length::mm(7546.3)) == "7546.3 mm");
  CHECK(mm_text(Length::mm(7546.3), 0) == "7546 mm");
  CHECK(mm_text(Length::mm(-0.04)) == "0.0 mm");
  CHECK(mm_text(Length::inches(1.0), 6) == "25.400000 mm");
  CHECK_THROWS_AS(mm_text(Length::mm(1.0), 7), InternalError);
  CHECK_THROWS_AS(mm_text(Length::mm(1.0), -1), InternalError);
}

TEST_CASE("feet and inches to the nearest sixteenth", "[length_text][oracle]") {
  // By hand: 8997.19 / 25.4 = 354.2201 = 29 x 12 + 6 + 3.52/16; 900: 35.4331 = 2 x 12 + 11 + 6.93/16;
  // 3000: 118.1102 = 9 x 12 + 10 + 1.76/16; 6000: 236.2205 = 19 x 12 + 8 + 3.53/16.
  CHECK(feet_inch_text(Length::mm(8997.19)) == "29'-6 1/4\"");
  CHECK(feet_inch_text(Length::mm(900.0)) == "2'-11 7/16\"");
  CHECK(feet_inch_text(Length::mm(3000.0)) == "9'-10 1/8\"");
  CHECK(feet_inch_text(Length::mm(6000.0)) == "19'-8 1/4\"");
  CHECK(feet_inch_text(Length::feet(20.0)) == "20'-0\"");
}

TEST_CASE("feet and inches at their edges", "[length_text][oracle]") {
  CHECK(feet_inch_text(Length()) == "0\"");
  CHECK(feet_inch_text(Length::mm(-0.5)) == "0\"");  // less than half a sixteenth, 0.79 mm
  CHECK(feet_inch_text(Length::mm(-0.8)) == "-1/16\"");
  CHECK(feet_inch_text(Length::inches(0.5)) == "1/2\"");
  CHECK(feet_inch_text(Length::inches(9.125)) == "9 1/8\"");
  CHECK(feet_inch_text(Length::inches(12.0625)) == "1'-0 1/16\"");
  CHECK(feet_inch_text(Length::inches(-64.5)) == "-5'-4 1/2\"");
  // Rounding carries over: 11 31/32 to the foot, 12 31/32 to the inch.
  CHECK(feet_inch_text(Length::inches(11.98)) == "1'-0\"");
  CHECK(feet_inch_text(Length::inches(12.98)) == "1'-1\"");
  CHECK(feet_inch_text(Length::inches(11.98), 64) == "11 63/64\"");
  CHECK(feet_inch_text(Length::inches(11.98), 1) == "1'-0\"");
  CHECK(feet_inch_text(Length::inches(11.3), 2) == "11 1/2\"");
  // Far beyond every part it still prints, to the inch that a double can hold.
  CHECK(feet_inch_text(Length::inches(12e15)) == "1000000000000000'-0\"");
  CHECK_FALSE(feet_inch_text(Length::mm(std::numeric_limits<double>::max())).empty());
}

TEST_CASE("feet and inches of what cannot be is a caller's bug", "[length_text][property]") {
  CHECK_THROWS_AS(feet_inch_text(Length::mm(std::numeric_limits<double>::infinity())), InternalError);
  CHECK_THROWS_AS(feet_inch_text(Length::mm(std::numeric_limits<double>::quiet_NaN())), InternalError);
  for (const int denominator : {0, -2, 3, 10, 128})
    CHECK_THROWS_AS(feet_inch_text(Length(), denominator), InternalError);
}

TEST_CASE("lengths in the system that was asked for, or in both", "[length_text][oracle]") {
  const Length length = Length::mm(7546.3);  // 297.0984 in = 24 x 12 + 9 + 1.57/16
  CHECK(length_text(length, Show::mm) == "7546.3 mm");
  CHECK(length_text(length, Show::inch) == "24'-9 1/8\"");
  CHECK(length_text(length, Show::both) == "7546.3 mm (24'-9 1/8\")");
  // 0.42 / 25.4 = 0.016535...
  CHECK(length_text(Length::mm(0.42), Show::both, 2) == "0.42 mm (0.0165 in)");
  CHECK(length_text(Length::mm(0.42), Show::inch, 3) == "0.01654 in");
  CHECK(length_text(Length::mm(-0.001), Show::both, 2) == "0.00 mm (0.0000 in)");
}

TEST_CASE("what is printed in feet and inches is read back within half a part", "[length_text][property]") {
  std::mt19937_64 random(20240517);
  double worst_parts = 0.0;
  for (int i = 0; i < 10000; ++i) {
    const Length length = Length::mm(uniform(random, -50000.0, 50000.0) * std::pow(10.0, -(i % 5)));
    const int denominator = 1 << (i % 7);
    const std::string text = feet_inch_text(length, denominator);
    const double read = read_mm(text);
    // Half a part, and the rounding of three multiplications.
    const double rounding_mm = 4 * std::numeric_limits<double>::epsilon() * std::abs(length.mm());
    const double half_part_mm = 25.4 / denominator / 2.0;
    CAPTURE(length.mm(), denominator, text);
    REQUIRE(std::abs(read - length.mm()) <= half_part_mm + rounding_mm);
    worst_parts = std::max(worst_parts, std::abs(read - length.mm()) / half_part_mm);
    // Nothing is lost where nothing was rounded.
    REQUIRE(feet_inch_text(Length::mm(read), denominator) == text);
  }
  CHECK(worst_parts > 0.99);  // the bound is met, so the test can see it crossed
}

TEST_CASE("what is printed in millimetres is read back within half the last digit",
          "[length_text][property]") {
  std::mt19937_64 random(20240518);
  for (int i = 0; i < 10000; ++i) {
    const Length length = Length::mm(uniform(random, -1e5, 1e5) * std::pow(10.0, -(i % 6)));
    const int decimals = i % 7;
    const double rounding_mm = 2 * std::numeric_limits<double>::epsilon() * std::abs(length.mm());
    CAPTURE(length.mm(), decimals);
    REQUIRE(std::abs(read_mm(mm_text(length, decimals)) - length.mm()) <=
            0.5 * std::pow(10.0, -decimals) + rounding_mm);
  }
}
