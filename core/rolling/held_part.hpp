// How the machine holds a part of several segments while each place of it is in the bend.
#pragma once

#include <Eigen/Geometry>
#include <coilwright/coil/centreline.hpp>
#include <coilwright/rolling/incoming.hpp>
#include <coilwright/rolling/passes.hpp>
#include <coilwright/rolling/pose.hpp>
#include <memory>
#include <optional>
#include <variant>
#include <vector>

namespace coilwright {

// One pass, at one place of the part. Frame F, mm.
struct HeldPlace {
  double within_mm;                       // from the start of its segment
  std::shared_ptr<const PosedPart> bent;  // as if the whole part were bent like here; null: straight, at touch
  Eigen::Isometry3d X_FB;                 // the Frenet frame at the bend point, x from the front end toward the stock
  double travel_mm, lift_mm;
  double span_in_mm, span_out_mm;
  double sprung_mm;  // how far the free arc up to the outboard roll stands off the rigid part, at most
  EntryContact entry;  // for stock that an earlier pass has bent
};
using HeldSegment = std::vector<HeldPlace>;  // by growing place; one for a segment of constant curvature

struct NotHeld {
  std::size_t segment;
  std::optional<NoPass> why;  // none: no equilibrium under the assumption
};

// One of so many passes, counted from 1.
struct PassOf {
  int pass, passes;
  static PassOf last(int passes) { return {passes, passes}; }
};

// `part` in the feed frame (right-hand, every bend inward), in the order of feeding. Without an assumption as the
// setup has it; with one the lift is what gives the same part under it.
std::variant<std::vector<HeldSegment>, NotHeld> hold_part(const RollingSetup& setup, const Centreline& part, PassOf which,
                                                          const std::optional<LiftAssumption>& assumption = std::nullopt);

}  // namespace coilwright
