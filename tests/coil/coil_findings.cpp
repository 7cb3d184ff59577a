// What Coil::from answers when a coil cannot be made, and what it remarks when one can.
#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/coil/coil.hpp>
#include <limits>
#include <numbers>
#include <string>
#include <vector>

using namespace coilwright;

namespace {

Length mm(double v) {
  return Length::mm(v);
}

CoilSpec right_hand() {
  CoilSpec spec;
  spec.hand = Hand::right_screw;
  return spec;
}

Findings refusal(const CoilSpec& spec, double outside_mm = 42.4) {
  const auto made = Coil::from(spec, mm(outside_mm));
  REQUIRE_FALSE(made.has_value());
  REQUIRE(made.error().front().level == Level::fault);
  return made.error();
}

std::vector<std::string> notes(const CoilSpec& spec, double outside_mm = 42.4) {
  const auto made = Coil::from(spec, mm(outside_mm));
  if (!made) FAIL(made.error().front().text);
  return made->notes();
}

bool has(const std::string& text, std::string_view part) {
  INFO(text);
  return text.find(part) != std::string::npos;
}

std::vector<std::string> asked(const Findings& findings) {
  std::vector<std::string> about;
  for (const Finding& f : findings)
    if (f.level == Level::question) {
      about.push_back(f.about);
      // Each is a sentence for a letter.
      CHECK(f.text.back() == '?');
      CHECK(std::isupper(static_cast<unsigned char>(f.text.front())) != 0);
    }
  return about;
}

}  // namespace

TEST_CASE("too few measures raise the questions to ask", "[coil][input]") {
  using Keys = std::vector<std::string>;
  CoilSpec spec;
  CHECK(asked(refusal(spec)) == Keys{"coil.radius", "coil.pitch", "coil.turns", "coil.climbs"});

  spec = right_hand();
  CHECK(asked(refusal(spec)) == Keys{"coil.radius", "coil.pitch", "coil.turns"});

  spec.radius = mm(800);
  Findings f = refusal(spec);
  CHECK(asked(f) == Keys{"coil.pitch", "coil.turns"});
  CHECK(has(f[0].text, "the pitch and the turns"));
  CHECK(f[1].text ==
        "What is the pitch, the rise in one full turn, in mm or in feet and inches? Or the total rise "
        "and the total turn?");

  spec.turns = 1.1;
  f = refusal(spec);
  CHECK(asked(f) == Keys{"coil.pitch"});
  CHECK(has(f[0].text, "the bend radius, the pitch, the rise, the slope or the length"));
  CHECK(has(f[1].text, "Or the total rise from end to end?"));

  spec.turns.reset();
  spec.pitch = mm(2700);
  f = refusal(spec);
  CHECK(asked(f) == Keys{"coil.turns"});
  CHECK(has(f[0].text, "the turns, the rise, the sweep or the length"));
  CHECK(has(f[1].text, "total rise?"));

  // Many measures that say the same are not enough.
  spec = right_hand();
  spec.pitch = mm(2700);
  spec.turns = 1.1;
  spec.rise = mm(2970);
  spec.sweep = Angle::deg(396);
  CHECK(asked(refusal(spec)) == Keys{"coil.radius"});

  // A bend radius in place of the plan radius: the pitch is what drawings have.
  spec = right_hand();
  spec.bend_radius = mm(1000);
  spec.turns = 1.1;
  CHECK(asked(refusal(spec)) == Keys{"coil.pitch"});

  // A flat coil is not asked about its climb.
  spec = CoilSpec();
  spec.pitch = mm(0);
  f = refusal(spec);
  CHECK(asked(f) == Keys{"coil.radius", "coil.turns"});
  CHECK_FALSE(has(f.back().text, "total rise"));
}

TEST_CASE("a coil that climbs needs its direction", "[coil][input]") {
  CoilSpec spec;
  spec.radius = mm(800);
  spec.pitch = mm(2700);
  spec.turns = 1.1;
  const Findings f = refusal(spec);
  CHECK(f[0].about == "coil.climbs");
  CHECK(has(f[0].text, "counter-clockwise"));
  CHECK(asked(f) == std::vector<std::string>{"coil.climbs"});
}

TEST_CASE("measures that disagree are told with their numbers", "[coil][input]") {
  CoilSpec spec = right_hand();
  spec.radius = mm(800);
  spec.pitch = mm(2700);
  spec.turns = 1.1;
  spec.rise = mm(3000);
  Findings f = refusal(spec);
  REQUIRE(f.size() == 1);
  CHECK(f[0].about == "coil.rise");
  // 1.1 x 2700; 3000 / 1.1; 3000 / 2700.
  CHECK(has(f[0].text, "2970.00 mm"));
  CHECK(has(f[0].text, "3000.00 mm"));
  CHECK(has(f[0].text, "the pitch to 2727.27 mm"));
  CHECK(has(f[0].text, "the turns to 1.11111"));
  CHECK_FALSE(has(f[0].text, "the radius to"));

  // Each change that is offered makes a coil.
  spec.pitch = mm(3000 / 1.1);
  CHECK(Coil::from(spec, mm(42.4)).has_value());
  spec.pitch = mm(2700);
  spec.turns = 3000.0 / 2700.0;
  CHECK(Coil::from(spec, mm(42.4)).has_value());

  // Two that disagree, and no single change helps both but one of the radius cannot either.
  spec.turns = 1.1;
  spec.sweep = Angle::deg(400);
  f = refusal(spec);
  CHECK(f.size() == 2);
  CHECK(has(f[1].text, "Leave"));

  spec = right_hand();
  spec.radius = mm(800);
  spec.diameter = mm(1500);
  spec.pitch = mm(2700);
  spec.turns = 1.1;
  f = refusal(spec);
  CHECK(f[0].about == "coil.diameter");
  CHECK(has(f[0].text, "1600.00 mm"));

  // A pitch of 0 beside a rise.
  spec = right_hand();
  spec.radius = mm(800);
  spec.pitch = mm(0);
  spec.turns = 1.0;
  spec.rise = mm(3000);
  f = refusal(spec);
  CHECK(f[0].about == "coil.rise");
  CHECK(has(f[0].text, "the pitch to 3000.00 mm"));
}

TEST_CASE("measures no coil can have are told with the limit", "[coil][input]") {
  const double pi = std::numbers::pi;
  // Shorter than its circle: 1.1 turns at 800 take 5529.20 mm.
  CoilSpec spec = right_hand();
  spec.radius = mm(800);
  spec.turns = 1.1;
  spec.length = mm(5000);
  CHECK(refusal(spec)[0].about == "coil.length");
  CHECK(has(refusal(spec)[0].text, "5529.20 mm"));
  spec.length = mm(1.1 * 2.0 * pi * 800.0 + 1.0);
  CHECK(Coil::from(spec, mm(42.4)).has_value());
  // A ten-thousand-millionth longer is a pitch of 2 pi R sqrt(2e-10), not yet rounding.
  spec.length = mm(1.1 * 2.0 * pi * 800.0 * (1.0 + 1e-10));
  CHECK(Coil::from(spec, mm(42.4))->helix().pitch().mm() ==
        Approx(2.0 * pi * 800.0 * std::sqrt(2e-10)).epsilon(1e-4));

  // Longer than the bend radius allows: 2 pi 1000.
  spec = right_hand();
  spec.bend_radius = mm(1000);
  spec.turns = 1.0;
  spec.length = mm(6300);
  CHECK(has(refusal(spec)[0].text, "6283.19 mm"));

  // A pitch beyond pi times the bend radius: 942.48 for 300.
  spec = right_hand();
  spec.bend_radius = mm(300);
  spec.pitch = mm(943);
  spec.turns = 1.0;
  CHECK(refusal(spec)[0].about == "coil.pitch");
  CHECK(has(refusal(spec)[0].text, "942.48 mm"));
  spec.pitch = mm(942);
  CHECK(Coil::from(spec, mm(42.4)).has_value());
  // At the limit itself the two plan radii are one, half the bend radius, at 45 degrees.
  spec.pitch = mm(300.0 * pi);
  CHECK(Coil::from(spec, mm(42.4))->helix().slope().deg() == Approx(45.0).epsilon(1e-7));

  // A bend radius below the plan radius.
  spec = right_hand();
  spec.radius = mm(800);
  spec.bend_radius = mm(799);
  spec.turns = 1.0;
  CHECK(refusal(spec)[0].about == "coil.bend_radius");
  CHECK(has(refusal(spec)[0].text, "never smaller"));
  // Equal to it, the coil is flat, and cannot rise.
  spec.bend_radius = mm(800);
  CHECK(Coil::from(spec, mm(42.4))->helix().pitch() == Length());
  spec.turns.reset();
  spec.rise = mm(100);
  CHECK(refusal(spec)[0].about == "coil.rise");

  // Longer than high, always.
  spec = right_hand();
  spec.radius = mm(800);
  spec.rise = mm(3000);
  spec.length = mm(3000);
  CHECK(refusal(spec)[0].about == "coil.length");
  spec = right_hand();
  spec.turns = 1.0;
  spec.rise = mm(3000);
  spec.length = mm(2999);
  CHECK(refusal(spec)[0].about == "coil.length");
}

TEST_CASE("a plan radius must leave room for the stock", "[coil][input]") {
  CoilSpec spec = right_hand();
  spec.radius = mm(20);
  spec.pitch = mm(100);
  spec.turns = 3.0;
  Findings f = refusal(spec);
  CHECK(f[0].about == "coil.radius");
  CHECK(has(f[0].text, "short by 1.20 mm"));
  CHECK(has(f[0].text, "More than 21.20 mm"));

  spec.radius = mm(21.2);
  CHECK(refusal(spec)[0].about == "coil.radius");
  spec.radius = mm(21.3);
  CHECK(Coil::from(spec, mm(42.4)).has_value());

  spec.radius = mm(40);
  spec.measured_to = MeasuredTo::outside;
  CHECK(has(refusal(spec)[0].text, "more than 42.40 mm (1.6693 in) to the outside"));
  spec.measured_to = MeasuredTo::inside;
  CHECK(Coil::from(spec, mm(42.4)).has_value());

  // A radius that comes out of other measures: 45.0 cos^2(70 degrees) = 5.26 mm.
  spec = right_hand();
  spec.bend_radius = mm(45);
  spec.slope = Angle::deg(70);
  spec.turns = 1.0;
  f = refusal(spec);
  CHECK(f[0].about == "coil.radius");
  CHECK(has(f[0].text, "5.26 mm"));
}

TEST_CASE("steeper than 80 degrees is refused, given or computed", "[coil][input]") {
  CoilSpec spec = right_hand();
  spec.radius = mm(100);
  spec.slope = Angle::deg(80);
  spec.turns = 1.0;
  CHECK(refusal(spec)[0].about == "coil.slope");
  spec.slope = Angle::deg(79.99);
  CHECK(Coil::from(spec, mm(42.4)).has_value());
  spec.slope.reset();
  spec.pitch = mm(10000);
  // 2 pi 100 tan 80 degrees = 3563.4 mm; atan(10000 / 2 pi 100) = 86.405 degrees.
  CHECK(refusal(spec)[0].about == "coil.slope");
  CHECK(has(refusal(spec)[0].text, "86.405 degrees"));
  CHECK(has(refusal(spec)[0].text, "less than 3563.4 mm"));
  spec.pitch = mm(3563);
  CHECK(Coil::from(spec, mm(42.4)).has_value());
}

TEST_CASE("values that cannot be measures are all refused at once", "[coil][input]") {
  const double nan = std::numeric_limits<double>::quiet_NaN(), inf = std::numeric_limits<double>::infinity();
  CoilSpec spec = right_hand();
  spec.radius = mm(nan);
  spec.pitch = mm(-5);
  spec.turns = 0.0;
  const Findings f = refusal(spec);
  REQUIRE(f.size() == 3);
  CHECK(f[0].about == "coil.radius");
  CHECK(f[1].about == "coil.pitch");
  CHECK(has(f[1].text, "climbs"));
  CHECK(f[2].about == "coil.turns");

  for (const double bad : {nan, inf, -inf, -1.0, 0.0, 1e-7, 1.1e7}) {
    CAPTURE(bad);
    spec = right_hand();
    spec.pitch = mm(2700);
    spec.turns = 1.1;
    spec.radius = mm(bad);
    CHECK(refusal(spec)[0].about == "coil.radius");
    spec.radius.reset();
    spec.diameter = mm(bad == 1.1e7 ? bad : 2.0 * bad);
    CHECK(refusal(spec)[0].about == "coil.diameter");
    spec.diameter.reset();
    spec.bend_radius = mm(bad);
    CHECK(refusal(spec)[0].about == "coil.bend_radius");
    spec.bend_radius.reset();
    spec.length = mm(bad);
    CHECK(refusal(spec)[0].about == "coil.length");
    spec.length.reset();
    spec.radius = mm(800);
    spec.turns.reset();
    spec.sweep = Angle::turns(bad);
    CHECK(refusal(spec)[0].about == "coil.sweep");
    spec.sweep.reset();
    spec.turns = bad == 1.1e7 ? 100001.0 : bad;
    CHECK(refusal(spec)[0].about == "coil.turns");
    spec.turns.reset();
    if (bad == 0.0) continue;  // pitch, rise and slope may be 0
    spec.sweep = Angle::turns(1);
    spec.pitch = mm(bad);
    CHECK(refusal(spec)[0].about == "coil.pitch");
    spec.pitch.reset();
    spec.rise = mm(bad);
    CHECK(refusal(spec)[0].about == "coil.rise");
    spec.rise.reset();
    spec.slope = Angle::rad(bad);
    CHECK(refusal(spec)[0].about == "coil.slope");
  }
}

TEST_CASE("a bend radius and a pitch that fit two coils are remarked", "[coil]") {
  // R^2 - 1012.579 R + (2000 / 2 pi)^2 = 0: 900.0 and 112.6 mm, climbing at 19.5 and 70.5 degrees.
  CoilSpec spec = right_hand();
  spec.bend_radius = mm(1012.579);
  spec.pitch = mm(2000);
  spec.turns = 1.5;
  auto said = notes(spec);
  REQUIRE(said.size() == 1);
  for (const char* part : {"900.0 mm", "112.6 mm", "19.5 degrees", "70.5 degrees"}) CHECK(has(said[0], part));
  CHECK(Coil::from(spec, mm(42.4))->helix().plan_radius().mm() == Approx(900.0).epsilon(1e-6));

  // The same from a length in place of the turns, or a rise and a turn in place of the pitch.
  spec.turns.reset();
  spec.length = mm(8997.189);
  CHECK(notes(spec).size() == 1);
  spec = right_hand();
  spec.bend_radius = mm(1012.579);
  spec.rise = mm(3000);
  spec.turns = 1.5;
  CHECK(notes(spec).size() == 1);

  // Not where the smaller could not be: in a tube of 240 mm, or at more than 80 degrees.
  CHECK(notes(spec, 240).empty());
  spec = right_hand();
  spec.bend_radius = mm(1000);
  spec.pitch = mm(500);
  spec.turns = 1.0;
  CHECK(notes(spec, 5).empty());

  // Not where another measure decides; and then the smaller can be had.
  spec = right_hand();
  spec.bend_radius = mm(1012.579);
  spec.slope = Angle::deg(70.5225);
  spec.turns = 1.0;
  spec.pitch = mm(2000);
  const auto steep = Coil::from(spec, mm(42.4));
  REQUIRE(steep.has_value());
  CHECK(steep->helix().plan_radius().mm() == Approx(112.579).epsilon(1e-4));
  CHECK(steep->notes().empty());
}

TEST_CASE("measures that settle another poorly are remarked with the size of it", "[coil]") {
  // Radius 900, bend radius 900.2: c^2 = R (B - R) = 180, pitch 84.2978. A tenth more of B: c^2 = 270, pitch
  // 103.243, 18.9 more; a tenth more of R: c^2 = 90.01, pitch 59.611, 24.7 less.
  CoilSpec spec = right_hand();
  spec.radius = mm(900);
  spec.bend_radius = mm(900.2);
  spec.turns = 1.5;
  auto said = notes(spec);
  REQUIRE(said.size() == 2);
  CHECK(has(said[0], "in the radius moves the pitch by 24.7 mm"));
  CHECK(has(said[1], "in the bend radius moves the pitch by 18.9 mm"));

  // A nearly flat length: 1 turn at 800 in 5026.6 mm, 0.052 mm longer than the circle.
  spec = right_hand();
  spec.radius = mm(800);
  spec.turns = 1.0;
  spec.length = mm(5026.6);
  CHECK(has(notes(spec).back(), "in the length moves the pitch"));

  // Usual drawings raise none.
  spec = right_hand();
  spec.radius = mm(800);
  spec.rise = mm(2970);
  spec.sweep = Angle::deg(396);
  CHECK(notes(spec).empty());
  spec.rise.reset();
  spec.slope = Angle::deg(28.2);
  CHECK(notes(spec).empty());
  spec.slope.reset();
  spec.length = mm(6276.4);
  CHECK(notes(spec).empty());
}
