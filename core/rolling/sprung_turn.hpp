// How far a turn may be lifted by hand, elastically, so that it passes over something.
//
// The turn is clamped at the bend point and lifted by a vertical force F at an azimuth theta from it. With u the angle
// back from the force, it bends by F R sin u and twists by F R (1 - cos u): the lift is
//     F R^3 (f_b / EI + f_t / GJ),   f_b = theta / 2 - sin(2 theta) / 4,
//                                    f_t = 3 theta / 2 - 2 sin theta + sin(2 theta) / 4
// (Castigliano, out-of-plane ring segment), and the greatest stress by von Mises for a round section
// F R c / I sqrt(sin^2 u + 3/4 (1 - cos u)^2). Half the yield is allowed: what rolling leaves behind makes a bent bar
// yield early (judgement). The turn's own weight is not in it.
#pragma once

#include <coilwright/quantity/quantity.hpp>
#include <coilwright/stock/stock.hpp>

namespace coilwright {

struct SprungTurn {
  Length rise;  // at the force
  Force force;  // that takes it there
};

// Round stock, bend radius > 0, azimuth > 0; beyond a full turn as at a full turn (safe side).
SprungTurn sprung_turn(const Stock& stock, Length bend_radius, Angle azimuth);

}  // namespace coilwright
