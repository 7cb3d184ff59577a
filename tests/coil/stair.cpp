#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/coil/part.hpp>
#include <coilwright/coil/stair.hpp>
#include <numbers>

#include "numbers.hpp"

using namespace coilwright;

namespace {

const Length tube = Length::mm(42.4);

Length mm(double v) {
  return Length::mm(v);
}

StairSpec plain() {
  StairSpec spec;
  spec.riser_count = 16;
  spec.total_rise = mm(3000);
  spec.tread_angle = Angle::deg(27);
  spec.plan_radius = mm(800);
  spec.hand = Hand::right_screw;
  return spec;
}

Stair made(const StairSpec& spec) {
  const auto stair = Stair::from(spec, tube);
  if (!stair) FAIL(stair.error().front().text);
  return *stair;
}

bool says(const Findings& findings, const std::string& text) {
  for (const Finding& f : findings)
    if (f.text.find(text) != std::string::npos) return true;
  return false;
}

Findings refused(const StairSpec& spec) {
  const auto stair = Stair::from(spec, tube);
  REQUIRE_FALSE(stair.has_value());
  return stair.error();
}

}  // namespace

TEST_CASE("a diameter and a riser without degrees per tread are answered with the usual three",
          "[stair][oracle]") {
  // The public question: 5'-4" diameter and 8" risers. By hand: pitch 128, 106.7, 96 in;
  // slope 32.5, 27.9, 25.5 degrees; bend radius 45.0, 41.0, 39.3 in.
  StairSpec spec;
  spec.plan_radius = Length::inches(32);
  spec.riser_height = Length::inches(8);
  const Findings findings = refused(spec);
  CHECK(says(findings, "pitch 3251.2 mm (10'-8\"), slope 32.5 degrees"));
  CHECK(says(findings, "slope 27.9 degrees"));
  CHECK(says(findings, "pitch 2438.4 mm (8'-0\"), slope 25.5 degrees"));
  CHECK(says(findings, "bend radius 1142.2 mm"));  // 44.97 in
  CHECK(findings.front().level == Level::fault);
  CHECK(findings.size() == 4);  // risers, degrees, direction
}

TEST_CASE("a stair makes its rail however it is given", "[stair][property]") {
  const Stair stair = made(plain());
  CHECK(stair.sweep().deg() == Approx(432).epsilon(1e-13));
  CHECK(stair.rail().helix().pitch().mm() == Approx(2500).epsilon(1e-13));
  CHECK(stair.riser_height()->mm() == Approx(187.5).epsilon(1e-13));
  CHECK(stair.rise_per_quarter_turn().mm() == Approx(625).epsilon(1e-13));

  StairSpec by_width = plain();
  by_width.plan_radius.reset();
  by_width.newel_radius = mm(100);
  by_width.clear_width = mm(660);
  by_width.riser_count.reset();
  by_width.riser_height = mm(187.5);
  by_width.tread_angle.reset();
  by_width.walk_line = mm(500);
  by_width.going = mm(500 * 27 * std::numbers::pi / 180);
  const Stair other = made(by_width);
  CHECK(other.rail().helix().plan_radius().mm() == Approx(781.2).epsilon(1e-14));
  CHECK(other.riser_count() == 16);
  CHECK(other.sweep().deg() == Approx(432).epsilon(1e-13));
}

TEST_CASE("inputs of a stair that disagree say by how much", "[stair][input]") {
  StairSpec spec = plain();
  spec.riser_height = mm(190);
  CHECK(says(refused(spec), "make a total rise of 3040.0 mm"));
  spec = plain();
  spec.sweep = Angle::deg(400);
  CHECK(says(refused(spec), "make a sweep of 432.00 degrees"));
  spec = plain();
  spec.newel_radius = mm(100);
  spec.offset = mm(650);
  CHECK(says(refused(spec), "50.0 mm (1 15/16\") apart"));
  spec = plain();
  spec.offset = mm(650);
  CHECK(says(refused(spec), "give newel_radius or well_radius"));
}

TEST_CASE("a sweep from the first nosing to the landing's is recognised", "[stair][input]") {
  StairSpec spec = plain();
  spec.sweep = Angle::deg(15 * 27);
  const Stair stair = made(spec);
  CHECK(stair.total_rise().mm() == Approx(3000.0 * 15 / 16).epsilon(1e-13));
  CHECK(stair.riser_height()->mm() == Approx(187.5).epsilon(1e-13));
  REQUIRE(stair.notes().size() == 1);
}

TEST_CASE("the rail keeps its height over every nosing", "[stair][property]") {
  StairSpec spec = plain();
  spec.rail_height = mm(900);
  const auto line = made(spec).rail_line();
  REQUIRE(line.size() == 16);
  CHECK(line.front().rail_height.mm() == Approx(1087.5).epsilon(1e-13));
  CHECK(line.back().nosing_height.mm() == Approx(3000).epsilon(1e-13));
}

TEST_CASE("level ends come with their kink and an easing that takes it", "[stair][oracle]") {
  StairSpec spec = plain();
  spec.bottom_extension = *read_extension("300 mm level", "stair.bottom_extension");
  spec.top_extension = *read_extension("400 mm level", "stair.top_extension");
  for (const Hand hand : {Hand::right_screw, Hand::left_screw}) {
    spec.hand = hand;
    const Stair stair = made(spec);
    CHECK(stair.notes().size() == 2);
    const auto part = Part::from(stair.segments(), tube);
    REQUIRE(part.has_value());
    REQUIRE(part->segments().size() == 5);
    CHECK(part->centreline().frame(0).tangent.dot(part->up_direction()) == Approx(0).margin(1e-12));
    CHECK(part->centreline().end().tangent.dot(part->up_direction()) == Approx(0).margin(1e-12));
    const double slope = stair.rail().helix().slope().rad();
    CHECK(part->centreline_extent().height.mm() == Approx(3000 + 600 * (1 - std::cos(slope))).epsilon(1e-9));
  }
}

TEST_CASE("an extension is read in words", "[stair][input]") {
  CHECK_FALSE(read_extension("one tread at the slope", "stair.top_extension")->length.has_value());
  CHECK(read_extension("300 mm at the slope", "stair.top_extension")->run == ExtensionRun::at_the_slope);
  CHECK_FALSE(read_extension("300 mm", "stair.top_extension").has_value());
  CHECK_FALSE(read_extension("300 level", "stair.top_extension").has_value());
}

TEST_CASE("published limits caution and name their section", "[stair][published]") {
  // ADA Standards 2010, 505.4: 34 to 38 in; IBC spiral stairway: 26 in clear, 9-1/2 in riser.
  StairSpec spec = plain();
  spec.rail_height = Length::inches(34);
  CHECK(made(spec).cautions().empty());
  spec.rail_height = Length::inches(33.9);
  CHECK(says(made(spec).cautions(), "505.4"));
  spec = plain();
  spec.plan_radius.reset();
  spec.newel_radius = mm(100);
  spec.clear_width = mm(655);
  CHECK(says(made(spec).cautions(), "1011.10"));
  spec.clear_width = mm(661);
  CHECK(made(spec).cautions().empty());
  spec.total_rise = mm(16 * 242);
  CHECK(says(made(spec).cautions(), "9-1/2 in"));
  for (const Finding& f : made(spec).cautions()) CHECK(f.level == Level::caution);
}
