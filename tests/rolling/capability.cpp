#include <coilwright/rolling/capability.hpp>

#include <catch2/catch.hpp>
#include <cmath>

#include "fixture.hpp"

using namespace coilwright;
using namespace coilwright::rolling_fixture;

namespace {

const MachineLimits free_machine{10.0, {}, {}, {}, Length::mm(1)};

}  // namespace

TEST_CASE("splitting a bend lowers the traction, not the force", "[capability][oracle]") {
  // 42.4 x 2.6 to R 900 at a spacing of 500, yield 300, hardening 2100: traction 0.122, 0.061, 0.040 in one, two,
  // three passes and 11.9, 12.1, 12.1 kN, by a separate program.
  const Section section = tube(42.4, 2.6);
  const MomentCurvature m = law(section, 300, 2100);
  const RollGeometry g = rolls(500, 100, section);
  const double traction[] = {.122, .061, .040}, force[] = {11.9, 12.1, 12.1};
  for (int n = 1; n <= 3; ++n) {
    const FlatPasses flat = roll_flat(m, g, 1 / 900.0, n);
    REQUIRE_FALSE(flat.stopped);
    const SteadyState& last = flat.passes.back();
    CHECK(last.traction() == Approx(traction[n - 1]).margin(0.000501));
    CHECK(last.centre_force_n / 1000 == Approx(force[n - 1]).margin(0.0501));
  }
  MachineLimits limits = free_machine;
  limits.friction = 0.10;
  CHECK(choose_passes(m, g, limits, 1 / 900.0).passes == 2);
  limits.friction = 0.15;
  CHECK(choose_passes(m, g, limits, 1 / 900.0).passes == 1);
  limits.centre_roll_force = Force::kilonewtons(11);  // no number of passes lowers the force
  const PassChoice none = choose_passes(m, g, limits, 1 / 900.0);
  CHECK_FALSE(none.passes);
  CHECK(none.one->centre_roll_force > Force::kilonewtons(11));
}

TEST_CASE("the smallest bend is where its limit is met", "[capability][property]") {
  const Section section = tube(42.4, 2.6);
  const MomentCurvature m = law(section, 300, 2100);
  const RollGeometry g = rolls(500, 100, section);
  MachineLimits limits = free_machine;
  const auto at = [&](double share) {
    const SmallestBend bend = smallest_bend(m, g, limits, 1);
    REQUIRE(bend.bend_radius);
    const FlatPasses flat = roll_flat(m, g, 1 / (share * bend.bend_radius->mm()), 1);
    REQUIRE_FALSE(flat.stopped);
    return std::pair{bend, demand_of(flat.passes, g, limits)};
  };
  SECTION("slip") {
    limits.friction = 0.15;
    CHECK(at(1).first.stopped_by == Obstruction::slip);
    CHECK(at(1).second.traction <= 0.15);
    CHECK(at(0.998).second.traction > 0.15);
  }
  SECTION("force") {
    limits.centre_roll_force = Force::kilonewtons(12);
    CHECK(at(1).first.stopped_by == Obstruction::centre_roll_force);
    CHECK(at(0.998).second.centre_roll_force > *limits.centre_roll_force);
  }
  SECTION("travel, with what the frame gives") {
    limits.centre_roll_travel = Length::mm(20.5087 + 11853.0 / 40000);
    limits.frame_stiffness_n_per_mm = 40000;
    CHECK(at(1).first.stopped_by == Obstruction::centre_roll_travel);
    CHECK(at(1).first.bend_radius->mm() == Approx(900).epsilon(0.0015));  // the travel that rolls R 900
  }
  SECTION("an outer roll") {
    limits.outer_roll_force = Force::kilonewtons(6);
    CHECK(at(1).first.stopped_by == Obstruction::outer_roll_force);
    CHECK(at(1).second.outer_roll_force <= *limits.outer_roll_force);
    CHECK(at(0.998).second.outer_roll_force > *limits.outer_roll_force);
  }
  SECTION("rims") {
    limits.rims_meet = Length::mm(330);  // the axes come together: 347.9 mm at touch
    CHECK(at(1).first.stopped_by == Obstruction::rims_meet);
  }
}

TEST_CASE("the smallest bend does not depend on where the search begins", "[capability][property]") {
  const Section section = tube(42.4, 2.6);
  const MomentCurvature m = law(section, 300, 2100);
  const RollGeometry g = rolls(500, 100, section);
  for (const double friction : {0.02, 0.15, 0.30, 10.0}) {
    MachineLimits limits = free_machine;
    limits.friction = friction;
    const SmallestBend from_afar = smallest_bend(m, g, limits, 1);
    REQUIRE(from_afar.bend_radius);
    for (const double radius : {110.0, 500.0, 3000.0, 1e6}) {
      const SmallestBend bend = smallest_bend(m, g, limits, 1, 1 / radius);
      CAPTURE(friction, radius);
      REQUIRE(bend.bend_radius);
      // Each is within 0.1 % of the true one.
      CHECK(bend.bend_radius->mm() == Approx(from_afar.bend_radius->mm()).epsilon(2e-3));
      CHECK(bend.stopped_by == from_afar.stopped_by);
    }
  }
}

TEST_CASE("a cylinder that cannot bend the stock at all is said", "[capability][property]") {
  const Section section = tube(42.4, 2.6);
  const MomentCurvature m = law(section, 300, 2100);
  MachineLimits limits = free_machine;
  limits.centre_roll_force = Force::newtons(500);
  const SmallestBend bend = smallest_bend(m, rolls(500, 100, section), limits, 1);
  CHECK_FALSE(bend.bend_radius);
  CHECK(bend.stopped_by == Obstruction::centre_roll_force);
}

TEST_CASE("more passes reach a smaller radius while slip is what stops", "[capability][property]") {
  const Section section = tube(42.4, 2.6);
  const MomentCurvature m = law(section, 300, 2100);
  MachineLimits limits = free_machine;
  limits.friction = 0.15;
  const auto bends = smallest_bends(m, rolls(500, 100, section), limits);
  REQUIRE(bends.size() >= 2);
  for (std::size_t i = 1; i < bends.size(); ++i) CHECK(*bends[i].bend_radius < *bends[i - 1].bend_radius);
}

TEST_CASE("a wider spacing lowers the force and raises traction and flat ends", "[capability][property]") {
  const Section section = tube(42.4, 2.6);
  const MomentCurvature m = law(section, 300, 2100);
  MachineLimits limits = free_machine;
  limits.friction = 0.15;
  std::vector<Length> spacings;
  for (const double mm : {400.0, 500.0, 600.0, 700.0}) spacings.push_back(Length::mm(mm));
  const auto effects = spacing_effects(m, rolls(500, 100, section), limits, 1 / 900.0, spacings);
  for (std::size_t i = 1; i < effects.size(); ++i) {
    CHECK(effects[i].demand->centre_roll_force < effects[i - 1].demand->centre_roll_force);
    CHECK(effects[i].demand->centre_roll_travel > effects[i - 1].demand->centre_roll_travel);
    CHECK(*effects[i].flat_ends > *effects[i - 1].flat_ends);
    if (effects[i].passes == effects[i - 1].passes)
      CHECK(effects[i].demand->traction > effects[i - 1].demand->traction);
  }
  CHECK(recommended_spacing(effects, Length::mm(42.4)) == Length::mm(400));
  // Three diameters to a side at least.
  CHECK(recommended_spacing(effects, Length::mm(70)) == Length::mm(500));
}
