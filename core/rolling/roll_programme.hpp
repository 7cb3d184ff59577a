// What the machine is set to along a part of several segments: travel and lift against fed length, pass by pass.
//
// Each segment is rolled at the steady setting of its own curvature and torsion; a taper at settings that follow
// its radius. From one to the next the centre roll moves while the stock feeds. Between the rolls lies a loaded
// stretch of stock: the new radius holds only when everything up to the exit contact has been formed by the
// new setting. So a change takes the length over which the roll moves and the length from the centre roll to the
// exit contact; in that length no radius is promised (curvature_reached.hpp computes it).
#pragma once

#include <coilwright/coil/centreline.hpp>
#include <coilwright/rolling/passes.hpp>
#include <cstddef>
#include <optional>
#include <variant>
#include <vector>

namespace coilwright {

// What the machine is set to at one place of the part, and what that leaves.
struct ProgrammeSetting {
  double travel_mm;                      // from touch; 0 for a straight
  std::optional<double> lift_mm;         // of the centreline; none without an outboard roll
  double curvature;                      // free, 1/mm; of this pass
  double centre_force_n = 0.0;           // under which the frame gives way
  std::optional<double> roll_rise_mm = {};  // of the outboard roll itself; none where its radius is not known
};

struct ProgrammeStep {
  enum class Kind {
    hold,    // settings stand still
    follow,  // they follow a taper
    change,  // from one segment to the next
  };
  Kind kind;
  std::size_t segment;            // of a change: the one that is begun
  double fed_from_mm, fed_to_mm;  // length of the part that has passed the centre roll
  ProgrammeSetting from, to;
  double feed_mm_per_s;           // slower where the centre roll cannot keep up
  double seconds;
};

// A change of radius that the rolls force between two segments.
struct Transition {
  std::size_t before;              // index of the segment before it
  double from_mm, to_mm;           // along the part: in here the radius is not promised; what is computed to be off is in it
  double moving_mm, clearing_mm;   // while the roll moves; until the exit span holds the new radius alone
  // Where the curvature really left is off by more than a hundredth of what it should be, of a straight by a hundredth
  // of the other segment's (judgement); none where no such place was computed. Set by whoever marches
  // (curvature_reached.hpp).
  std::optional<double> reached_from_mm = {}, reached_to_mm = {};
  std::optional<double> tightest = {};  // greatest curvature left from from_mm to to_mm, 1/mm; none where not computed
};

struct RollProgramme {
  std::vector<std::vector<ProgrammeStep>> passes;
  std::vector<Transition> transitions;  // of the last pass
  double seconds;                       // of all passes, feeding only
};

struct RollSpeeds {
  double feed_mm_per_s, centre_roll_mm_per_s;  // both > 0
};

// Where a machine does not say its own (judgement).
inline constexpr double usual_feed_mm_per_s = 50.0, usual_centre_roll_mm_per_s = 2.0;

// The machine's own speeds, or the usual ones.
RollSpeeds roll_speeds(const Machine& machine);

// Why a segment cannot be rolled.
struct NoSetting {
  std::size_t segment;
  NoPass why;
};

// `part` in the feed frame (right-hand, every bend inward), in the order of feeding.
std::variant<RollProgramme, NoSetting> roll_programme(const RollingSetup& setup, const Centreline& part, int passes,
                                                      const RollSpeeds& speeds);

// Places of a segment, from its start, at which settings are solved: its middle where curvature and torsion stay, steps
// along a taper.
std::vector<double> setting_places_mm(const SegmentCurve& curve);

// The fewest steps in which a taper is followed: one for each eighth of a turn, at most this many.
inline constexpr std::size_t most_taper_steps = 48;

}  // namespace coilwright
