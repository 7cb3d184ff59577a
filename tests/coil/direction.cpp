#include <catch2/catch.hpp>
#include <coilwright/coil/direction.hpp>
#include <string>

using namespace coilwright;

namespace {

Finding hand_refusal(std::string_view text) {
  const auto read = read_hand(text);
  CAPTURE(std::string(text));
  REQUIRE_FALSE(read.has_value());
  REQUIRE(read.error().size() == 1);
  CHECK(read.error().front().about == "coil.hand");
  return read.error().front();
}

Finding climbs_refusal(std::string_view text) {
  const auto read = read_climbs(text);
  CAPTURE(std::string(text));
  REQUIRE_FALSE(read.has_value());
  REQUIRE(read.error().size() == 1);
  CHECK(read.error().front().about == "coil.climbs");
  return read.error().front();
}

bool has(const Finding& f, std::string_view part) {
  return f.text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("the hand is a screw or a climb, and each says the other", "[direction][input]") {
  for (const char* text :
       {"right-screw", "right screw", "Right-Hand Screw", "right_screw", " right-handed screw "})
    CHECK(read_hand(text) == Hand::right_screw);
  for (const char* text : {"left-screw", "LEFT SCREW", "left-hand screw"})
    CHECK(read_hand(text) == Hand::left_screw);
  for (const char* text : {"counter-clockwise", "counterclockwise", "Anti-Clockwise", "anticlockwise",
                           "counter clockwise", "ccw"})
    CHECK(read_climbs(text) == Hand::right_screw);
  for (const char* text : {"clockwise", "CW"}) CHECK(read_climbs(text) == Hand::left_screw);
  for (const Hand hand : {Hand::right_screw, Hand::left_screw}) {
    CHECK(read_hand(hand_text(hand)) == hand);
    CHECK(read_climbs(climbs_text(hand)) == hand);
  }
}

TEST_CASE("the sentence says it all, both ways", "[direction][published]") {
  // DXF reference, HELIX entity, group 290: 1 = counter-clockwise = right-handed.
  CHECK(direction_sentence(Hand::right_screw) ==
        "right-hand screw; climbs counter-clockwise seen from above; going up you turn left; a rail on the "
        "outside of the stair is at your right hand");
  CHECK(
      direction_sentence(Hand::left_screw) ==
      "left-hand screw; climbs clockwise seen from above; going up you turn right; a rail on the outside of "
      "the stair is at your left hand");
}

TEST_CASE("a bare right or left is refused with the choices spelt out", "[direction][input]") {
  for (const char* text : {"right", "left", "Right-Hand", "left hand", "RH", "lh"}) {
    for (const Finding& f : {hand_refusal(text), climbs_refusal(text)}) {
      CHECK(has(f, "one country"));
      CHECK(has(f, "\"counter-clockwise\""));
      CHECK(has(f, "\"clockwise\""));
      CHECK(has(f, "\"right-screw\""));
      CHECK(has(f, "\"left-screw\""));
    }
  }
}

TEST_CASE("a direction under the wrong key is told where it belongs", "[direction][input]") {
  CHECK(has(hand_refusal("clockwise"), "climbs = \"clockwise\""));
  CHECK(has(hand_refusal("clockwise"), "hand = \"left-screw\""));
  CHECK(has(climbs_refusal("right-screw"), "hand = \"right-screw\""));
  CHECK(has(climbs_refusal("right-screw"), "climbs = \"counter-clockwise\""));
}

TEST_CASE("a mistyped direction gets the nearest", "[direction][input]") {
  CHECK(has(climbs_refusal("clokwise"), "\"clockwise\" meant"));
  CHECK(has(climbs_refusal("counter-clockwize"), "\"counter-clockwise\" meant"));
  CHECK(has(hand_refusal("rihgt-screw"), "\"right-screw\" meant"));
  CHECK_FALSE(has(climbs_refusal("upwards"), "meant"));
  CHECK_FALSE(has(climbs_refusal(""), "meant"));
}
