// Stock that an earlier pass has bent, on its way in.
#pragma once

#include <Eigen/Geometry>
#include <coilwright/rolling/pose.hpp>

namespace coilwright {

// The stock behind the entry contact when the pass before has left it as `before`, told as a part of its own that runs
// the other way: lag grows from the centre-roll contact against the feed, the loaded spans are those of `rolling`, and
// its stage `coil` begins at the entry contact. Steady feeding moves a helix along itself, so it stands still.
//
// It leaves the entry contact level, its bend in the plane of the rolls as it was when it was bent, upright: nothing
// holds it there but hands and props. A right-hand screw that climbs ahead of the rolls hangs down behind them. Frame F.
PosedPart incoming_bent(const PosedPart& rolling, const Helix& before);

// Where stock that is bent any way comes to the entry contact, likewise level and upright: its Frenet frame there, told
// from the front end of the bar, x against the feed, y toward the centre roll, z down. Frame F.
struct EntryContact {
  Eigen::Isometry3d X_FE = Eigen::Isometry3d::Identity();
  double span_in_mm = 0.0;  // from there to the centre-roll contact

  static EntryContact of(const PosedPart& rolling);
  // Of a straight that lies through the rolls along x, at this height.
  static EntryContact of_straight(double span_in_mm, double y_mm);
};

}  // namespace coilwright
