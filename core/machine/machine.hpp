// A three-roll bending machine: two outer rolls at a locked spacing, a centre roll pushed in between,
// shafts upright, an outboard roll that lifts the part. Frame M as in shape.hpp.
#pragma once

#include <coilwright/coil/direction.hpp>
#include <coilwright/machine/shape.hpp>
#include <coilwright/quantity/finding.hpp>
#include <coilwright/quantity/quantity.hpp>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace coilwright {

enum class StockTurns { held, by_friction, free };  // may the stock turn about its own axis

// Seen by someone facing the rolls from the centre-roll side. From the right makes the right-hand screw
// (feed +x), from the left the left-hand one.
enum class FeedSide { from_the_left, from_the_right };
FeedSide feed_side_for(Hand hand);
std::string_view feed_side_text(FeedSide side);  // "from the left" | "from the right"

struct Rolls {
  Length outer_spacing;  // axis to axis
  Length outer_radius;   // at the groove bottom
  Length centre_radius;  // likewise
  std::optional<Length> groove;  // diameter of the half-round groove about z = 0; none: plain rolls
  std::optional<Length> outer_flange_radius;   // cylinder beyond the groove; default radius + groove/2
  std::optional<Length> centre_flange_radius;
  Length outer_height_above, outer_height_below;    // from z = 0
  Length centre_height_above, centre_height_below;
  struct Drive {
    double entry = 0.5, centre = 0.0, exit = 0.5;  // shares; normalised, all zero means 0.5 / 0 / 0.5
  } drive;
  double friction = 0.15;
  std::optional<double> feed_mm_per_s, centre_roll_mm_per_s;  // of the stock; of the slide. None: not known
  std::optional<double> frame_stiffness_kn_per_mm;  // none: no give
  Length exit_play_up = Length::mm(0.5), exit_play_down = Length::mm(0.5);
  Length exit_height;  // exit groove against the entry-centre line
  StockTurns stock_turns = StockTurns::by_friction;
  std::vector<Length> spacing_positions;  // outer spacings at which the machine can be locked; empty: not known
};

struct Reach { Length plan_distance; };  // exit-roll axis to the tube's centreline where it crosses the roll
struct Position { Length x, y; };        // the same point, for feed +x
struct PastExit { Angle azimuth; };      // about the coil axis, from the exit roll
struct OutboardRoll {
  std::variant<Reach, Position, PastExit> place;
  std::optional<Length> radius;  // at its groove bottom; axis horizontal, square to the tube in plan
};

struct Limits {
  std::optional<Force> centre_roll_force;
  std::optional<Length> centre_roll_travel;
  std::optional<Length> roll_lift;
  std::optional<Force> outer_roll_force = {};  // on either outer roll: shafts and bearings
};

struct Room {
  std::optional<Length> floor;    // z in M
  std::optional<Length> ceiling;
};

struct Machine {
  std::string name;
  std::vector<FeedSide> feed;  // at least one
  Rolls rolls;
  std::optional<OutboardRoll> outboard_roll;
  Limits limits;
  Room room;
  std::vector<Solid> solids;
  // Values that stand in for something the file did not say: printed as assumptions.
  std::vector<std::string> assumptions;

  [[nodiscard]] bool makes(Hand hand) const;
};

// The invented machine that ships with the program: mid-size, complete with rims, caps, shafts, frame,
// slide, table, outboard arm, floor and ceiling.
const Machine& example_machine();

// The three bending rolls as convex bodies with the centre roll pushed in by `travel`, stock neutral axis
// on z = 0. The half-round groove is covered by a stack of frusta that lies outside the true flank by at
// most groove_cover_mm(): never smaller than the roll.
enum class RollPlace { entry, centre, exit };  // named by the feed; entry at -x for feed +x
std::vector<Shape> roll_bodies(const Rolls& rolls, RollPlace place, Length centre_roll_axis_y);
double groove_cover_mm(const Rolls& rolls);

}  // namespace coilwright
