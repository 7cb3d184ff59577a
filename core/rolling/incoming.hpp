// Stock that an earlier pass has bent, on its way in.
#pragma once

#include <coilwright/rolling/pose.hpp>

namespace coilwright {

// The stock behind the entry contact when the pass before has left it as `before`, told as a part of its own that runs
// the other way: lag grows from the centre-roll contact against the feed, the loaded spans are those of `rolling`, and
// its stage `coil` begins at the entry contact. Steady feeding moves a helix along itself, so it stands still.
//
// It leaves the entry contact level, its bend in the plane of the rolls as it was when it was bent, upright: nothing
// holds it there but hands and props. A right-hand screw that climbs ahead of the rolls hangs down behind them. Frame F.
PosedPart incoming_bent(const PosedPart& rolling, const Helix& before);

}  // namespace coilwright
