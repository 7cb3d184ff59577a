// Which stretch of the part belongs to its contact with a roll and is not counted against that roll.
//
// At a roll the part touches by design, and as it leaves, its distance to the roll starts at nothing. What
// counts is where the part comes back to the roll. Walking away from the contact, on each side, the stretch
// that is not counted goes on
//   * for the first outside diameter of length, whatever the distance: there the groove holds the tube;
//   * then as long as the tube does not come back: with M the greatest distance met so far on that side,
//     the distance stays above M - play once M is more than the play, and above -play before that;
//   * at most half a turn of arc on the coil side, and to the end of the stock on the other.
// It ends where M was met, or, when the tube still lies within the play of the roll, at the place from which
// it goes deeper into the roll than the play: that overlap then counts.
// Between the distances looked at (never farther apart than the outside diameter or a quarter of the
// distance, whichever is greater) the rule is proved with the bounds of stretch.hpp, to the tolerance.
//
// The straight front end, which continues the centreline at every fed length, leaves a roll more slowly. On
// the coil side it is not counted as long as it, too, is proved to stay above the same limit over its whole
// length: a straight that leaves a convex body keeps leaving it. From the first fed length for which that
// does not hold, the front end counts in full. Before the contact (an outboard roll that the front end has
// yet to reach) it is on its way on to the roll, guided by hand, and is not counted.
//
// Whoever only asks what is nearer than `enough_mm` need not walk on from where M is more than that, the play and the
// tolerance together: all that the rule would still set aside from there on is proved to be farther than enough.
#pragma once

#include <coilwright/clearance/section_box.hpp>
#include <coilwright/clearance/shape_distance.hpp>
#include <coilwright/clearance/stretch.hpp>
#include <cstddef>
#include <limits>
#include <span>

namespace coilwright {

struct ContactSpec {
  std::span<const ConvexBody> bodies;  // of the roll
  std::span<const Stretch> part;       // the whole part by growing lag, without gaps
  double contact_lag_mm;
  double play_mm;
  double tube_radius_mm;
  double front_end_mm;
  double half_turn_mm;  // of arc
  double tolerance_mm;
  double enough_mm = std::numeric_limits<double>::infinity();
  SectionBox section{};  // with edges: distances are from it
};

// Lags that are not counted; of the front end, the fed lengths at which it is not counted. The contact lies
// within both. Empty (all at the contact) when the part is too short to reach it.
struct NotCounted {
  double from_mm, to_mm;
  double front_end_from_mm, front_end_to_mm;
  std::size_t evaluations;
};

NotCounted not_counted_at_contact(const ContactSpec& spec);

}  // namespace coilwright
