// The part of a later pass against the stock that comes in bent by the pass before.
#pragma once

#include <Eigen/Core>
#include <coilwright/rolling/pose.hpp>
#include <cstddef>
#include <limits>
#include <optional>

namespace coilwright {

// Lags of `out` grow with the feed, those of `in` against it (rolling/incoming.hpp), both in F, mm. Of the bent length
// `rolled_mm` what has passed the centre roll and what is still to pass add up to no more than all of it. With their
// straight ends.
struct BentStockScene {
  const PosedPart* out;  // neither owned nor null
  const PosedPart* in;
  double rolled_mm, front_end_mm, back_end_mm;  // >= 0
};

// A place of the part and a place of the stock, and the fed length at which both are first there.
struct BentStockMeeting {
  double fed_mm;
  double out_lag_mm, out_ahead_mm;  // ahead along the front end, behind along the flat back end
  double in_lag_mm, in_behind_mm;
  Eigen::Vector3d out_point, in_point;
};

// Of the two centrelines.
struct BentStockDistance {
  double lower_mm = std::numeric_limits<double>::infinity();  // proved
  double error_mm = 0.0;                                      // the truth lies at most this above it
  std::optional<BentStockMeeting> meeting;                    // none: never both there
  std::size_t evaluations = 0;
};

// Fed in slices, each with the most that either side has during it: on the safe side, and by how much is in the error.
// The two straight ends are not compared with each other.
BentStockDistance distance_to_bent_stock(const BentStockScene& scene, double tolerance_mm);

}  // namespace coilwright
