// The part of a later pass against the stock that comes in bent by the pass before.
#pragma once

#include <coilwright/clearance/self_distance.hpp>
#include <coilwright/rolling/pose.hpp>

namespace coilwright {

// Lags of `out` grow with the feed, those of `in` against it (rolling/incoming.hpp). Of the bent length `rolled_mm` what
// has passed the centre roll and what is still to pass add up to no more than all of it. With their straight ends.
struct BentStockScene {
  const PosedPart* out;  // neither owned nor null
  const PosedPart* in;
  double rolled_mm, front_end_mm, back_end_mm;
};

// The least distance of the two centrelines: a proved lower bound. Fed in slices, each with the most that either side
// has during it, which errs to the safe side by what a slice is long. The two straight ends are not compared with each
// other.
LeastPair distance_to_bent_stock(const BentStockScene& scene, double tolerance_mm);

}  // namespace coilwright
