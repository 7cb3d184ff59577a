#include <algorithm>
#include <array>
#include <cmath>
#include <coilwright/machine/machine.hpp>
#include <coilwright/quantity/require.hpp>
#include <numbers>

namespace coilwright {
namespace {

// Frusta per flank of a groove. Six keep the cover below 0.2 mm on a 42.4 mm groove, a tenth of what a roll
// shaft floats in its bearings, at a cost in clearance that does not show.
constexpr int frusta_per_flank = 6;

// The outline of one roll from its axis: groove bottom, half-round groove about z = 0, rim.
struct Outline {
  double bottom_mm, groove_radius_mm, rim_mm;
  double above_mm, below_mm;

  // The azimuth on the groove's own circle, from its bottom, at which the rim begins: a quarter turn when
  // the rim is as high as the groove is deep, less when it is lower.
  [[nodiscard]] double rim_azimuth() const {
    if (groove_radius_mm <= 0.0) return 0.0;
    const double depth = std::min(rim_mm - bottom_mm, groove_radius_mm);
    return std::acos(1.0 - depth / groove_radius_mm);
  }
  [[nodiscard]] double rim_z_mm() const { return groove_radius_mm * std::sin(rim_azimuth()); }
};

Outline outline(const Rolls& rolls, RollPlace place) {
  const bool centre = place == RollPlace::centre;
  const Length bottom = centre ? rolls.centre_radius : rolls.outer_radius;
  const std::optional<Length> rim = centre ? rolls.centre_flange_radius : rolls.outer_flange_radius;
  const double groove_radius = rolls.groove ? 0.5 * rolls.groove->mm() : 0.0;
  return {bottom.mm(), groove_radius, rim ? rim->mm() : bottom.mm() + groove_radius,
          (centre ? rolls.centre_height_above : rolls.outer_height_above).mm(),
          (centre ? rolls.centre_height_below : rolls.outer_height_below).mm()};
}

}  // namespace

FeedSide feed_side_for(Hand hand) {
  return hand == Hand::right_screw ? FeedSide::from_the_right : FeedSide::from_the_left;
}

std::string_view feed_side_text(FeedSide side) {
  return side == FeedSide::from_the_left ? "from the left" : "from the right";
}

bool Machine::makes(Hand hand) const {
  return std::find(feed.begin(), feed.end(), feed_side_for(hand)) != feed.end();
}

std::vector<Shape> roll_bodies(const Rolls& rolls, RollPlace place, Length centre_roll_axis_y) {
  const Outline roll = outline(rolls, place);
  require(roll.bottom_mm > 0.0 && roll.rim_mm >= roll.bottom_mm,
          "a roll needs a radius, and a rim not below its groove");
  const double half_spacing = 0.5 * rolls.outer_spacing.mm();
  Eigen::Vector3d axis(0.0, centre_roll_axis_y.mm(), 0.0);
  if (place == RollPlace::entry) axis = {-half_spacing, 0.0, 0.0};
  if (place == RollPlace::exit) axis = {half_spacing, 0.0, rolls.exit_height.mm()};
  const auto at = [&](double z) { return Eigen::Vector3d(axis.x(), axis.y(), axis.z() + z); };

  // The flank curves away from its chord on the side of the groove, so a frustum through two of its points
  // holds all of the roll between them.
  std::vector<Shape> bodies;
  const double rim_azimuth = roll.rim_azimuth();
  if (rim_azimuth > 0.0)
    for (const double side : {1.0, -1.0})
      for (int i = 0; i < frusta_per_flank; ++i) {
        const auto point = [&](int k) {
          const double azimuth = rim_azimuth * k / frusta_per_flank;
          const double half = std::sin(0.5 * azimuth);
          return std::pair(side * roll.groove_radius_mm * std::sin(azimuth),
                           roll.bottom_mm + 2.0 * roll.groove_radius_mm * half * half);
        };
        const auto [z_from, r_from] = point(i);
        const auto [z_to, r_to] = point(i + 1);
        bodies.emplace_back(Frustum{at(z_from), at(z_to), r_from, r_to});
      }
  const double edge = roll.rim_z_mm();
  if (edge == 0.0) {
    bodies.emplace_back(Cylinder{at(-roll.below_mm), at(roll.above_mm), roll.rim_mm});
    return bodies;
  }
  if (roll.above_mm > edge) bodies.emplace_back(Cylinder{at(edge), at(roll.above_mm), roll.rim_mm});
  if (roll.below_mm > edge) bodies.emplace_back(Cylinder{at(-roll.below_mm), at(-edge), roll.rim_mm});
  return bodies;
}

double groove_cover_mm(const Rolls& rolls) {
  // Height of a chord's arc: r (1 - cos(half the step)).
  double cover = 0.0;
  for (const RollPlace place : {RollPlace::entry, RollPlace::centre}) {
    const Outline roll = outline(rolls, place);
    const double half = std::sin(0.25 * roll.rim_azimuth() / frusta_per_flank);
    cover = std::max(cover, 2.0 * roll.groove_radius_mm * half * half);
  }
  return cover;
}

}  // namespace coilwright
