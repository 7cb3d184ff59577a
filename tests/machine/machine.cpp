#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/machine/machine.hpp>
#include <string>

using namespace coilwright;

namespace {

Rolls grooved_rolls(Length groove) {
  Rolls rolls;
  rolls.outer_spacing = Length::mm(500);
  rolls.outer_radius = Length::mm(100);
  rolls.centre_radius = Length::mm(90);
  rolls.groove = groove;
  rolls.outer_height_above = rolls.outer_height_below = Length::mm(40);
  rolls.centre_height_above = Length::mm(45);
  rolls.centre_height_below = Length::mm(39);
  return rolls;
}

// The true outline, written down independently of the code: distance of the surface from the axis.
double true_radius(double bottom, double groove_radius, double rim, double z) {
  if (std::abs(z) >= groove_radius) return rim;
  return std::min(rim, bottom + groove_radius - std::sqrt(groove_radius * groove_radius - z * z));
}

// Radius of a body of revolution about the vertical axis x, y at height z; none outside its height.
std::optional<double> radius_at(const Shape& shape, double z) {
  if (const auto* c = std::get_if<Cylinder>(&shape)) {
    if (z < std::min(c->from.z(), c->to.z()) || z > std::max(c->from.z(), c->to.z())) return std::nullopt;
    return c->radius_mm;
  }
  const Frustum& f = std::get<Frustum>(shape);
  const double x = (z - f.from.z()) / (f.to.z() - f.from.z());
  if (x < 0.0 || x > 1.0) return std::nullopt;
  return f.from_radius_mm + x * (f.to_radius_mm - f.from_radius_mm);
}

double covered_radius(const std::vector<Shape>& bodies, double z) {
  double radius = 0.0;
  for (const Shape& body : bodies) radius = std::max(radius, radius_at(body, z).value_or(0.0));
  return radius;
}

}  // namespace

TEST_CASE("The bodies of a roll hold all of the roll, and reach outside it by the stated cover at most",
          "[bound]") {
  for (const double groove : {10.0, 42.4, 76.1})
    for (const double rim_share : {0.3, 0.95, 1.0, 1.2})
      for (const RollPlace place : {RollPlace::entry, RollPlace::centre, RollPlace::exit}) {
        Rolls rolls = grooved_rolls(Length::mm(groove));
        const double groove_radius = 0.5 * groove;
        const double bottom = place == RollPlace::centre ? 90.0 : 100.0;
        const double rim = bottom + rim_share * groove_radius;
        rolls.outer_flange_radius = Length::mm(100.0 + rim_share * groove_radius);
        rolls.centre_flange_radius = Length::mm(90.0 + rim_share * groove_radius);
        const auto bodies = roll_bodies(rolls, place, Length::mm(242));
        const double above = place == RollPlace::centre ? 45.0 : 40.0,
                     below = place == RollPlace::centre ? 39.0 : 40.0;
        double worst = 0.0;
        for (int i = 0; i <= 4000; ++i) {
          const double z = -below + (above + below) * i / 4000.0;
          const double covered = covered_radius(bodies, z), roll = true_radius(bottom, groove_radius, rim, z);
          CHECK(covered >= roll - 1e-12 * rim);  // roundings of a radius
          // Off the true flank measured square to it: along the radius of the groove's own circle. Where the
          // rim cuts the groove off, the flank ends and the bodies do too.
          if (covered < rim - 1e-9)
            worst = std::max(worst, groove_radius - std::hypot(bottom + groove_radius - covered, z));
        }
        CHECK(worst <= groove_cover_mm(rolls) * (1.0 + 1e-9));
        CHECK(covered_radius(bodies, above + 1e-6) == 0.0);
        CHECK(covered_radius(bodies, -below - 1e-6) == 0.0);
      }
}

TEST_CASE("The worst cover of a full groove is reached: the bound is not loose", "[bound]") {
  const Rolls rolls = grooved_rolls(Length::mm(42.4));
  const auto bodies = roll_bodies(rolls, RollPlace::entry, Length::mm(242));
  double worst = 0.0;
  for (int i = 0; i <= 20000; ++i) {
    const double z = 21.2 * i / 20000.0;
    worst = std::max(worst, 21.2 - std::hypot(121.2 - covered_radius(bodies, z), z));
  }
  CHECK(worst > 0.99 * groove_cover_mm(rolls));
  CHECK(groove_cover_mm(rolls) < 0.2);
}

TEST_CASE("Plain rolls are one cylinder each and need no cover", "[oracle]") {
  Rolls rolls = grooved_rolls(Length::mm(42.4));
  rolls.groove.reset();
  for (const RollPlace place : {RollPlace::entry, RollPlace::centre, RollPlace::exit}) {
    const auto bodies = roll_bodies(rolls, place, Length::mm(230));
    REQUIRE(bodies.size() == 1);
    CHECK(std::get<Cylinder>(bodies.front()).radius_mm == (place == RollPlace::centre ? 90.0 : 100.0));
  }
  CHECK(groove_cover_mm(rolls) == 0.0);
}

TEST_CASE(
    "The rolls stand where they belong: entry at -x, exit at +x and at its own height, centre pushed in",
    "[property]") {
  Rolls rolls = grooved_rolls(Length::mm(42.4));
  rolls.groove.reset();
  rolls.exit_height = Length::mm(1.5);
  const auto axis = [&](RollPlace place) {
    return std::get<Cylinder>(roll_bodies(rolls, place, Length::mm(200)).front());
  };
  CHECK(axis(RollPlace::entry).from == Eigen::Vector3d(-250, 0, -40));
  CHECK(axis(RollPlace::exit).from == Eigen::Vector3d(250, 0, -38.5));
  CHECK(axis(RollPlace::exit).to == Eigen::Vector3d(250, 0, 41.5));
  CHECK(axis(RollPlace::centre).to == Eigen::Vector3d(0, 200, 45));
}

TEST_CASE("Each hand is made from its own side", "[property]") {
  Machine machine = example_machine();
  CHECK(machine.makes(Hand::right_screw));
  CHECK(machine.makes(Hand::left_screw));
  machine.feed = {FeedSide::from_the_right};
  CHECK(machine.makes(Hand::right_screw));
  CHECK_FALSE(machine.makes(Hand::left_screw));
  CHECK(feed_side_text(feed_side_for(Hand::left_screw)) == "from the left");
}
