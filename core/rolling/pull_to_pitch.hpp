// Rolled flat and pulled to pitch: the other way to a helix where nothing lifts the part in the machine.
//
// The bar is rolled to a flat coil of radius R / cos(slope) and one end is drawn along the axis until the rise is
// right, the turn in plan held (common practice, no source). The length of the bar stays, its curvature and
// twist settle together. Drawing it twists the bar: torque F R along it. As long as the bar stays elastic it is
// an open-coiled spring, k = G J / (2 pi R^3) per turn (elementary spring theory, Wahl, from memory); it keeps its
// pitch only where the twist is plastic, at most the fully plastic torque.
#pragma once

#include <coilwright/coil/helix.hpp>
#include <coilwright/quantity/quantity.hpp>
#include <coilwright/stock/stock.hpp>

namespace coilwright {

struct PullToPitch {
  Length flat_radius;      // of the centreline, after springback: what to roll
  Force most_force;        // along the axis, at the plan radius: not more than the fully plastic torque gives
  Length springs_back;     // pitch lost per turn when that force is let go: draw this much farther
  Length elastic_pitch;    // per turn, that comes and goes without any lasting pitch (first yield in torsion)
};

// Helix with pitch > 0; shear yield by von Mises, yield / sqrt(3).
PullToPitch pull_to_pitch(const Stock& stock, const Helix& helix);

}  // namespace coilwright
