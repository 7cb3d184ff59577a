// The certified least distance of the part to itself and to the stock it is rolled from.
//
// Two places of the part whose lags differ by less than pi / curvature cannot touch without the bend
// itself closing: a pair of points whose chord is square to the curve at both has a total curvature of at
// least pi between them (Fenchel's theorem for the arc closed by its chord, from memory; used for the
// thickness of knots by Litherland, Simon, Durumeric and Rawdon 1999). The search starts there.
// Distances here are between centrelines.
#pragma once

#include <Eigen/Core>
#include <coilwright/clearance/stretch.hpp>
#include <cstddef>
#include <limits>
#include <optional>
#include <span>

namespace coilwright {

// The least distance of a long helix from one turn to the next: at azimuth f near a full turn with
//     sin f + (c / R)^2 f = 0,   D^2 = 2 R^2 (1 - cos f) + c^2 f^2
// (Przybyl and Pieranski, Eur. Phys. J. E 4, 445 (2001)). None above a pitch of 1.464 plan diameters, where
// the distance only grows along the helix. It is less than pitch x cos(slope).
struct TurnToTurn {
  double azimuth_rad, distance_mm;
};
std::optional<TurnToTurn> turn_to_turn(const Helix& helix);

// Pairs of a lag v of `near` and a lag w of `far` at least `apart_mm` behind it. With a straight, the far
// side is the straight that continues the part from w.
struct PairCourse {
  Stretch near, far;
  double straight_mm = 0.0;
  double apart_mm = 0.0;
};

struct PairMeeting {
  double near_lag_mm, far_lag_mm, ahead_mm;  // ahead along the straight
  Eigen::Vector3d near_point, far_point;
  double distance_mm;
  double within_mm;  // half size of the piece it was found in: how well the place is known
};

struct LeastPair {
  double lower_mm = std::numeric_limits<double>::infinity();
  double upper_mm = std::numeric_limits<double>::infinity();
  std::optional<PairMeeting> meeting;
  std::size_t evaluations = 0;
};

// Searches only for what is nearer than the cutoff; terms as in certified_minimum.hpp.
LeastPair least_pair(std::span<const PairCourse> courses, double tolerance_mm,
                     double cutoff_mm = std::numeric_limits<double>::infinity());

}  // namespace coilwright
