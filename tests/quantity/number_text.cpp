#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/quantity/require.hpp>
#include <limits>
#include <numbers>

using namespace coilwright;

namespace {

// The finding of a text that must be refused.
template <class T>
Finding refusal(const Result<T>& result) {
  REQUIRE_FALSE(result.has_value());
  REQUIRE(result.error().size() == 1);
  CHECK(result.error()[0].level == Level::fault);
  REQUIRE(result.error()[0].place);
  return result.error()[0];
}

}  // namespace

TEST_CASE("plain numbers are read as the nearest double", "[number_text][input]") {
  CHECK(read_number("1.1", "turns").value() == 1.1);
  CHECK(read_number("-0.15", "friction").value() == -0.15);
  CHECK(read_number("\xE2\x88\x92"
                    "2.5",
                    "x")
            .value() == -2.5);  // the typographic minus
  CHECK(read_number(" +3 ", "x").value() == 3.0);
  CHECK(read_number("2.1e5", "x").value() == 210000.0);
  CHECK(read_number("1E-3", "x").value() == 0.001);
  CHECK(read_number(".5", "x").value() == 0.5);
  CHECK(read_number("5.", "x").value() == 5.0);
  CHECK_FALSE(std::signbit(read_number("-0", "x").value()));
}

TEST_CASE("what is no plain number is refused where it goes wrong", "[number_text][input]") {
  struct Case {
    const char* text;
    int column;
  };
  const Case cases[] = {{"", 1},       {"  ", 3},    {"nan", 1},  {"-inf", 2}, {"Infinity", 1}, {"1e999", 1},
                        {"1e-999", 1}, {"600,5", 4}, {",5", 1},   {"1/2", 2},  {"1/0", 2},      {"1 2", 3},
                        {"1.2.3", 4},  {"0x10", 2},  {"3 mm", 3}, {"--3", 2},  {"3-", 2},       {"1e", 2},
                        {"1e+", 2},    {".", 1},     {"x", 1},    {"½", 1},    {"\xFF", 1},     {"3\xFF", 2},
                        {"1_000", 2},  {"٣", 1}};
  for (const Case& c : cases) {
    CAPTURE(c.text);
    const Finding finding = refusal(read_number(c.text, "coil.turns"));
    CHECK(finding.about == "coil.turns");
    CHECK(finding.place->column == c.column);
  }
}

TEST_CASE("angles are read in degrees, radians and turns", "[number_text][oracle]") {
  const double rounding = 2 * std::numeric_limits<double>::epsilon();
  const double quarter = std::numbers::pi / 2.0;
  for (const char* text :
       {"90 deg", "90°", "90 °", "90 degrees", "90\xC2\xBA", "0.25 turns", "1/4 turn", "¼ turn"}) {
    CAPTURE(text);
    CHECK(read_angle(text, "sweep").value().rad() == Approx(quarter).epsilon(rounding));
  }
  CHECK(read_angle("1.57 rad", "sweep").value().rad() == 1.57);
  CHECK(read_angle("-5 deg", "slope").value().deg() == Approx(-5.0).epsilon(rounding));
  CHECK(read_angle("1-1/2 turns", "sweep").value().turns() == Approx(1.5).epsilon(rounding));
}

TEST_CASE("a force in pounds is that of the published table", "[number_text][published]") {
  // NIST SP 811 (2008), appendix B.8, as tabulated in a published table: lbf 4.448 222 N, kip 4448.222 N.
  CHECK(read_force("1 lbf", "f").value().newtons() == Approx(4.448222).margin(0.5e-6).epsilon(0));
  CHECK(read_force("1 kip", "f").value().newtons() == Approx(4448.222).margin(0.5e-3).epsilon(0));
  CHECK(read_stress("1 psi", "f").value().mpa() == Approx(6.894757e-3).margin(0.5e-9).epsilon(0));
  CHECK(read_stress("36 ksi", "f").value().mpa() == Approx(36 * 6.894757).margin(36 * 0.5e-6).epsilon(0));
}

TEST_CASE("forces and stresses are read in metric units", "[number_text][input]") {
  CHECK(read_force("60 kN", "f").value().newtons() == 60000.0);
  CHECK(read_force("500N", "f").value().newtons() == 500.0);
  CHECK(read_stress("235 MPa", "s").value().mpa() == 235.0);
  CHECK(read_stress("210 GPa", "s").value().mpa() == 210000.0);
}

TEST_CASE("quantities without a known unit are refused and told what would do", "[number_text][input]") {
  const Finding bare = refusal(read_angle("90", "coil.sweep"));
  CHECK(bare.place->column == 3);
  CHECK(bare.text.find("90 deg, 1.57 rad or 1.1 turns") != std::string::npos);
  CHECK(refusal(read_angle("90 mm", "a")).place->column == 4);
  CHECK(refusal(read_force("5 kg", "f")).place->column == 3);
  CHECK(refusal(read_force("5 kN m", "f")).place->column == 6);
  CHECK(refusal(read_stress("235 N", "s")).place->column == 5);
  CHECK(refusal(read_stress("235,5 MPa", "s")).place->column == 4);
  CHECK(refusal(read_force("nan kN", "f")).place->column == 1);
  CHECK(refusal(read_angle("1/0 turns", "a")).place->column == 3);
}

TEST_CASE("values beyond every shop are refused before they overflow", "[number_text][input]") {
  CHECK(read_angle("100000 turns", "a").has_value());
  refusal(read_angle("100001 turns", "a"));
  refusal(read_angle("1e308 turns", "a"));
  CHECK(read_force("1000000 kN", "f").has_value());
  refusal(read_force("-1000001 kN", "f"));
  refusal(read_force("1e308 kip", "f"));
  CHECK(read_stress("1e7 MPa", "s").has_value());
  refusal(read_stress("1.1e7 MPa", "s"));
}

TEST_CASE("numbers are printed with fixed decimals, correctly rounded", "[number_text][oracle]") {
  CHECK(number_text(7546.25, 1) == "7546.2");  // a tie in binary: to even
  CHECK(number_text(7546.35, 1) == "7546.4");  // the double nearest to 7546.35 lies above it
  CHECK(number_text(0.125, 2) == "0.12");
  CHECK(number_text(2.0, 0) == "2");
  CHECK(number_text(2.0, 3) == "2.000");
  CHECK(number_text(-1.5, 1) == "-1.5");
  CHECK(number_text(1e21, 0) == "1000000000000000000000");
  CHECK(number_text(0.1, 20) == "0.10000000000000000555");  // the digits of the double nearest to 0.1
}

TEST_CASE("zero is printed without a sign", "[number_text][property]") {
  CHECK(number_text(-0.0, 0) == "0");
  CHECK(number_text(-0.04, 1) == "0.0");
  CHECK(number_text(-0.06, 1) == "-0.1");
  CHECK(number_text(-1e-300, 6) == "0.000000");
}

TEST_CASE("the largest double has room, and what is no number is a caller's bug", "[number_text][property]") {
  const std::string text = number_text(-std::numeric_limits<double>::max(), 20);
  CHECK(text.size() == 1 + 309 + 1 + 20);
  CHECK(text.substr(0, 8) == "-1797693");
  CHECK_THROWS_AS(number_text(std::numeric_limits<double>::quiet_NaN(), 1), InternalError);
  CHECK_THROWS_AS(number_text(std::numeric_limits<double>::infinity(), 1), InternalError);
  CHECK_THROWS_AS(number_text(1.0, -1), InternalError);
  CHECK_THROWS_AS(number_text(1.0, 21), InternalError);
}

TEST_CASE("the nearest known word is at most a third of the letters away", "[number_text][oracle]") {
  const std::vector<std::string> known = {"radius", "pitch", "turns", "climbs", "hand"};
  CHECK(nearest_word("radius", known) == "radius");
  CHECK(nearest_word("raduis", known) == "radius");  // neighbours exchanged: one step
  CHECK(nearest_word("rdius", known) == "radius");   // one left out
  CHECK(nearest_word("pitchh", known) == "pitch");   // one too many
  CHECK(nearest_word("radixx", known) == "radius");  // two wrong of six
  CHECK(nearest_word("raxxxs", known) == "");        // three wrong of six
  CHECK(nearest_word("hend", known) == "hand");      // one wrong of four
  CHECK(nearest_word("hxxd", known) == "");          // two wrong of four
  CHECK(nearest_word("", known) == "");
  CHECK(nearest_word("hand", {}) == "");
  CHECK(nearest_word("bat", {"cat", "rat"}) == "cat");  // the first of equals
  CHECK(nearest_word(std::string(100000, 'x'), known) == "");
}
