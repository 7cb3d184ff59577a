#include <algorithm>
#include <cmath>
#include <coilwright/machine/check_machine.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <limits>
#include <set>

namespace coilwright {
namespace {

class Check {
 public:
  void that(bool holds, const std::string& about, const std::string& text) {
    if (!holds) findings_.push_back({Level::fault, about, text, std::nullopt});
  }
  void positive(Length length, const std::string& about, const std::string& what) {
    that(length.finite() && length > Length{}, about,
         what + " must be greater than zero; it is " + said(length) + ".");
  }
  static std::string said(Length length) {
    return length.finite() ? mm_text(length) : std::string("not a number");
  }
  Findings take() { return std::move(findings_); }

 private:
  Findings findings_;
};

// One roll: its rim against its groove, its height against the groove's edge.
void check_roll(Check& check, const std::string& which, Length radius, const std::optional<Length>& flange,
                const std::optional<Length>& groove, Length above, Length below) {
  const std::string rolls = which == "centre" ? "the centre roll" : "the outer rolls";
  check.positive(radius, "rolls." + which + "_radius", "The radius of " + rolls + " at the groove bottom");
  if (flange)
    check.that(flange->finite() && *flange >= radius, "rolls." + which + "_flange_radius",
               "The flange of " + rolls + " (radius " + Check::said(*flange) +
                   ") lies below the bottom of its groove (radius " + Check::said(radius) +
                   "). Give the radius of the rim, not its depth.");
  const Length edge = groove ? *groove / 2.0 : Length{};
  for (const auto& [height, side] : {std::pair(above, "above"), std::pair(below, "below")})
    check.that(height.finite() && height > Length{} && height >= edge, "rolls." + which + "_height_" + side,
               "Height of " + rolls + " " + side + " pass height: " + Check::said(height) +
                   (groove ? ", but half the groove is " + Check::said(edge) +
                                 ". A roll reaches at least to the edge of its groove."
                           : ". It must be greater than zero."));
}

void check_rolls(Check& check, const Rolls& rolls) {
  check.positive(rolls.outer_spacing, "rolls.outer_spacing", "The spacing of the outer rolls");
  if (rolls.groove) check.positive(*rolls.groove, "rolls.groove", "The diameter of the groove");
  check_roll(check, "outer", rolls.outer_radius, rolls.outer_flange_radius, rolls.groove,
             rolls.outer_height_above, rolls.outer_height_below);
  check_roll(check, "centre", rolls.centre_radius, rolls.centre_flange_radius, rolls.groove,
             rolls.centre_height_above, rolls.centre_height_below);
  const Length rim = rolls.outer_flange_radius
                         ? *rolls.outer_flange_radius
                         : rolls.outer_radius + (rolls.groove ? *rolls.groove / 2.0 : Length{});
  check.that(rolls.outer_spacing > 2.0 * rim, "rolls.outer_spacing",
             "The outer rolls overlap: they stand " + Check::said(rolls.outer_spacing) +
                 " apart, axis to axis, and their rims are " + Check::said(2.0 * rim) + " across.");
  for (const Length position : rolls.spacing_positions)
    check.that(position > 2.0 * rim, "rolls.spacing_positions",
               "At a spacing of " + Check::said(position) + " the outer rolls overlap: their rims are " +
                   Check::said(2.0 * rim) + " across.");
  const auto& [entry, centre, exit] = rolls.drive;
  for (const double share : {entry, centre, exit})
    check.that(std::isfinite(share) && share >= 0.0, "rolls.drive",
               "A share of the drive must not be negative.");
  check.that(std::isfinite(rolls.friction) && rolls.friction >= 0.0, "rolls.friction",
             "Friction must not be negative.");
  if (rolls.frame_stiffness_kn_per_mm)
    check.that(std::isfinite(*rolls.frame_stiffness_kn_per_mm) && *rolls.frame_stiffness_kn_per_mm > 0.0,
               "rolls.frame_stiffness_kn_per_mm",
               "The frame stiffness must be greater than zero; leave it out for a frame that does not give.");
  for (const auto& [play, side] :
       {std::pair(rolls.exit_play_up, "up"), std::pair(rolls.exit_play_down, "down")})
    check.that(
        play.finite() && play >= Length{}, std::string("rolls.exit_play_") + side,
        "The play of the tube in the exit groove must not be negative; it is " + Check::said(play) + ".");
  check.that(rolls.exit_height.finite(), "rolls.exit_height",
             "The height of the exit groove must be a number.");
}

void check_outboard_roll(Check& check, const OutboardRoll& roll, const Rolls& rolls) {
  if (roll.radius) check.positive(*roll.radius, "outboard_roll.radius", "The radius of the outboard roll");
  if (const auto* reach = std::get_if<Reach>(&roll.place)) {
    check.positive(reach->plan_distance, "outboard_roll.reach", "The reach of the outboard roll");
  } else if (const auto* position = std::get_if<Position>(&roll.place)) {
    check.that(
        position->x.finite() && position->y.finite() && position->x > rolls.outer_spacing / 2.0,
        "outboard_roll.position",
        "The outboard roll stands at x = " + Check::said(position->x) +
            ", not beyond the exit roll, whose axis is at x = " + Check::said(rolls.outer_spacing / 2.0) +
            ". Give the point for stock fed toward +x; it is carried over for the other side.");
  } else if (const auto* past = std::get_if<PastExit>(&roll.place)) {
    check.that(past->azimuth.finite() && past->azimuth > Angle{} && past->azimuth < Angle::turns(1.0),
               "outboard_roll.past_exit",
               "The outboard roll must stand between 0 and 360 degrees past the exit roll; it is given at " +
                   (past->azimuth.finite() ? number_text(past->azimuth.deg(), 1) : std::string("?")) +
                   " degrees.");
  }
}

// The largest edge of the box that holds a body with volume; infinite when it has none or no end.
double size_mm(const Shape& shape) {
  const double none = std::numeric_limits<double>::infinity();
  double size = none;
  if (const auto* c = std::get_if<Cylinder>(&shape)) size = std::max((c->to - c->from).norm(), 2.0 * c->radius_mm);
  if (const auto* f = std::get_if<Frustum>(&shape))
    size = std::max({(f->to - f->from).norm(), 2.0 * f->from_radius_mm, 2.0 * f->to_radius_mm});
  if (const auto* b = std::get_if<Box>(&shape); b && (b->min.array() < b->max.array()).all())
    size = (b->max - b->min).maxCoeff();
  if (const auto* h = std::get_if<ConvexHull>(&shape)) {
    size = 0.0;
    for (const Eigen::Vector3d& p : h->points) size = std::max(size, (p - h->points.front()).norm());
  }
  return size > 0.0 ? size : none;
}

void check_solid(Check& check, const Solid& solid) {
  const std::string about = "solid." + solid.name;
  const std::string name = "\"" + solid.name + "\"";
  const auto axis = [&](const Eigen::Vector3d& from, const Eigen::Vector3d& to) {
    check.that(from.allFinite() && to.allFinite() && from != to, about,
               "The two ends of the axis of " + name + " are the same point.");
  };
  if (const auto* cylinder = std::get_if<Cylinder>(&solid.shape)) {
    axis(cylinder->from, cylinder->to);
    check.positive(Length::mm(cylinder->radius_mm), about, "The radius of " + name);
  } else if (const auto* frustum = std::get_if<Frustum>(&solid.shape)) {
    axis(frustum->from, frustum->to);
    check.that(frustum->from_radius_mm >= 0.0 && frustum->to_radius_mm >= 0.0 &&
                   std::max(frustum->from_radius_mm, frustum->to_radius_mm) > 0.0,
               about,
               "The two radii of " + name + " must not be negative, and one of them greater than zero.");
  } else if (const auto* box = std::get_if<Box>(&solid.shape)) {
    check.that(
        box->min.allFinite() && box->max.allFinite() && (box->min.array() < box->max.array()).all(), about,
        "The box " + name + " is inside out: every coordinate of its min must be less than that of its max.");
  } else if (const auto* half_space = std::get_if<HalfSpace>(&solid.shape)) {
    // The square of a normal that was made a unit vector is off by a few roundings at most.
    check.that(half_space->point.allFinite() && std::abs(half_space->normal.squaredNorm() - 1.0) < 1e-12,
               about, "The normal of " + name + " must be a direction pointing out of the material.");
  }
  // A machine 2 m high whose solids are given in metres under keys that end in _mm.
  constexpr double smallest_mm = 3.0;  // judgement
  const double size = size_mm(solid.shape);
  if (size < smallest_mm)
    check.that(false, about,
               "All of " + name + " is within " + mm_text(Length::mm(size)) +
                   ": its measures look like metres. Keys that end in _mm take millimetres; _m takes metres.");
}

}  // namespace

Findings check_machine(const Machine& machine) {
  Check check;
  check.that(!machine.feed.empty(), "feed", "The machine must be fed from at least one side.");
  check_rolls(check, machine.rolls);
  if (machine.outboard_roll) check_outboard_roll(check, *machine.outboard_roll, machine.rolls);
  if (machine.limits.centre_roll_force)
    check.that(*machine.limits.centre_roll_force > Force{}, "limits.centre_roll_force",
               "The largest centre-roll force must be greater than zero.");
  if (machine.limits.outer_roll_force)
    check.that(*machine.limits.outer_roll_force > Force{}, "limits.outer_roll_force",
               "The largest force on an outer roll must be greater than zero.");
  if (machine.limits.centre_roll_travel)
    check.positive(*machine.limits.centre_roll_travel, "limits.centre_roll_travel",
                   "The largest centre-roll travel");
  if (machine.limits.roll_lift)
    check.positive(*machine.limits.roll_lift, "limits.roll_lift", "The largest roll lift");
  const Rolls& rolls = machine.rolls;
  if (machine.room.floor)
    check.that(*machine.room.floor <= -std::max(rolls.outer_height_below, rolls.centre_height_below),
               "room.floor",
               "The floor, at " + Check::said(*machine.room.floor) +
                   " from the stock's centreline, is above the underside of the rolls.");
  if (machine.room.ceiling)
    check.that(*machine.room.ceiling >= std::max(rolls.outer_height_above, rolls.centre_height_above),
               "room.ceiling",
               "The ceiling, at " + Check::said(*machine.room.ceiling) +
                   " from the stock's centreline, is below the top of the rolls.");
  std::set<std::string> names;
  for (const Solid& solid : machine.solids) {
    check.that(!solid.name.empty(), "solid", "Every solid needs a name.");
    check.that(names.insert(solid.name).second, "solid." + solid.name,
               "There are two solids named \"" + solid.name + "\".");
    check_solid(check, solid);
  }
  return check.take();
}

Findings check_fit(const Rolls& rolls, const Section& section) {
  constexpr Length widest_gap = Length::mm(1);  // common practice, no source
  const Length diameter = section.outside_diameter();
  const auto say = [](Level level, std::string text) {
    return Findings{{level, "rolls.groove", std::move(text), std::nullopt}};
  };
  if (!section.round()) {
    if (!rolls.groove) return {};
    return say(Level::fault, "A half-round groove does not seat " + section.text() + ": it would ride on its edges. Use plain "
                             "rolls, or rolls shaped for it (common practice, no source).");
  }
  if (!rolls.groove)
    return say(Level::caution,
               "The rolls are plain: nothing holds round stock in height, and it flattens where it lies on "
               "them. Rolls with a groove of " +
                   mm_text(diameter) + " to " + mm_text(diameter + widest_gap) + " would.");
  if (*rolls.groove < diameter)
    return say(Level::fault, "The groove, " + mm_text(*rolls.groove) + " wide, does not take stock of " +
                                 mm_text(diameter) + ": it would ride on the edges and be marked. Use a roll set of " +
                                 mm_text(diameter) + " to " + mm_text(diameter + widest_gap) +
                                 " (common practice, no source).");
  if (*rolls.groove > diameter + widest_gap)
    return say(Level::caution, "The groove, " + mm_text(*rolls.groove) + " wide, is loose on stock of " +
                                   mm_text(diameter) + ": the stock flattens more, and its play in height moves the lift. "
                                   "A groove at most 1 mm wider than the stock fits (common practice, no source).");
  return {};
}

}  // namespace coilwright
