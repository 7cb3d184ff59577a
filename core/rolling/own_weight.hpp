// How far a bent part hangs down under its own weight beyond what last carries it, and what must carry it.
//
// Taken as a flat arc, level, clamped where it is carried, with a straight end of length L ahead of it. With u the angle
// back from where the straight begins, w the weight by length, a place of the arc is bent by
//     M = w (R^2 (1 - cos u) + L R sin u + L^2 / 2 cos u)
// and twisted by
//     T = w (R^2 (u - sin u) + L R (1 - cos u) + L^2 / 2 sin u),
// and the end hangs by the integral of (M m / EI + T t / GJ) R du, m = R sin u + L cos u, t = R (1 - cos u) + L sin u, and
// the straight's own w L^4 / 8 EI (Castigliano's theorem; without the straight
//     w R^4 ((1 - cos theta)^2 / (2 EI) + (theta - sin theta)^2 / (2 GJ)) ).
// EI is that of bending up and down. A coil that climbs is bent by less, the cosine of its slope: safe side.
//
// However a length s is bent, its moments are no more than w s^2 / 2 and its arms no more than s, so that its end hangs by
// no more than w s^4 / 8 over the lesser of EI and GJ.
#pragma once

#include <coilwright/quantity/quantity.hpp>
#include <coilwright/stock/stock.hpp>
#include <optional>

namespace coilwright {

struct HangingEnd {
  Length sag;             // of the very end
  double share_of_yield;  // greatest stress of the arc, of the yield strength; where the section is not round, at most so
};

// Bend radius > 0, arc >= 0, straight >= 0.
HangingEnd hanging_end(const Stock& stock, Length bend_radius, Angle arc, Length straight);
// Of any length, however it is bent: an upper bound.
HangingEnd hanging_end(const Stock& stock, Length length);

// What must carry a part as it grows beyond its last roll.
struct Carrying {
  // Along the part, from one prop to the next and from the last one to where the straight front end begins. None: the part
  // is so short and stiff that nothing needs to carry it.
  std::optional<Length> at_least_every;
  HangingEnd then;  // so carried, its free end
  HangingEnd left;  // left alone, over a full turn at most
};

// A coil that reaches `beyond` past its last roll: no prop, or one every turn, half, quarter or eighth of a turn, the fewest
// that leave the free end no lower than `allowed` and stressed to no more than half the yield (judgement: what rolling
// leaves behind makes a bent bar yield early). Where not even an eighth of a turn does, an eighth of a turn.
Carrying carry_coil(const Stock& stock, Length bend_radius, Length beyond, Length straight, Length allowed);
// A part of any bends: likewise with none, or one at each half, quarter and so on of what is beyond, to a 64th.
Carrying carry_part(const Stock& stock, Length beyond, Length straight, Length allowed);

}  // namespace coilwright
