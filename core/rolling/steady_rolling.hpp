// Steady rolling between three rolls: how far the centre roll goes in for a wanted curvature, and what
// the rolls carry.
//
// Model: an inextensible rod with the moment-curvature law of the section, drawn through three rolls,
// every cross-section taking the same path. The incoming half follows the loading curve of material that
// may have been bent before, the outgoing half unloads elastically, so only that half is an arc of nearly
// constant curvature. That is why the travel is far smaller than the arc through three rolls says. No
// contact or local denting, no real machine behind it: verify with a trial piece.
//
// Integration: along a span the internal force is constant; with curvature as the independent variable
// its normal part N and shear Q follow in closed form from N = T + int k dM, and one quadrature is left.
// Derived in DEVELOPERS.md ("Steady rolling").
//
// Frame F (rolling/pose.hpp): x along the feed from entry to exit roll, y toward the centre-roll side,
// origin midway between the outer-roll axes. mm, N, rad, 1/mm.
#pragma once

#include <Eigen/Core>
#include <coilwright/machine/machine.hpp>
#include <coilwright/rolling/moment_curvature.hpp>
#include <coilwright/rolling/pose.hpp>
#include <variant>
#include <vector>

namespace coilwright {

// The set-up: what does not change from pass to pass.
struct RollGeometry {
  double half_spacing_mm;    // a: half the outer-roll axis distance
  double outer_radius_mm;    // r_o, at the groove bottom
  double centre_radius_mm;   // r_c
  double outer_face_mm;      // c_o: neutral axis to outer face of the stock
  double inner_face_mm;      // c_i
  double entry_share, centre_share, exit_share;  // of the drive, summing to 1

  static RollGeometry of(const Rolls& rolls, const Section& section);
  // Height of the centre-roll axis over the outer-roll axes when the stock just touches: r_o + h + r_c.
  [[nodiscard]] double touch_height_mm() const {
    return outer_radius_mm + outer_face_mm + inner_face_mm + centre_radius_mm;
  }
};

// What the material remembers: its curvature when free, and the largest it has been bent to.
struct BendHistory {
  double free_curvature;
  double largest_curvature;
};
BendHistory virgin(const MomentCurvature& law);

struct SteadyState {
  double travel_mm;  // of the centre roll from touch, positive inward
  double free_curvature, loaded_curvature;  // after release; largest, under the centre roll
  double entry_force_n, centre_force_n, exit_force_n;  // normal to the face
  double entry_drive_n, centre_drive_n, exit_drive_n;  // tangential, forward on the stock
  double peak_moment_n_mm;
  double entry_direction_rad, centre_direction_rad, exit_direction_rad;  // of the tangent in plan
  Eigen::Vector2d entry_point, centre_point, exit_point;  // P1, P2, P3 on the neutral axis
  double span_in_mm, span_out_mm;  // neutral axis P1 to P2, P2 to P3
  double centre_axis_y_mm;         // where the centre-roll axis stands
  BendHistory after;
  int law_points;  // points of the loading curve at which the law was evaluated: what the answer cost

  [[nodiscard]] double drive_n() const { return entry_drive_n + centre_drive_n + exit_drive_n; }
  // Largest ratio of tangential to normal force at a driven roll: slips above the friction coefficient.
  [[nodiscard]] double traction() const;
};

// No physical answer, with the numbers.
struct WrapsTheRoll {
  double loaded_radius_mm, least_radius_mm;  // the loaded radius would not exceed r_c + c_i
};
struct TooTight {
  double free_radius_mm;  // the three rolls cannot hold this curvature between them: no equilibrium
};
struct DoesNotTouch {
  double touch_travel_mm;  // the stock, bent as it comes in, meets the centre roll only at this travel
};
struct StaysElastic {
  double yield_travel_mm;  // below this travel the stock springs back to what it was
};
using RollingOutcome = std::variant<SteadyState, WrapsTheRoll, TooTight, DoesNotTouch, StaysElastic>;

// The pass that leaves the stock with `free_curvature` (above the history's): the travel it needs.
RollingOutcome roll_to_curvature(const MomentCurvature& law, const RollGeometry& rolls, const BendHistory& before,
                                 double free_curvature);

// The other way round: what a given travel makes of the stock. Solved on roll_to_curvature, since travel
// rises with curvature.
RollingOutcome roll_at_travel(const MomentCurvature& law, const RollGeometry& rolls, const BendHistory& before,
                              double travel_mm);

// The loaded neutral axis from P1 to P3 as a table for PosedPart.
std::vector<PosedPart::Station> span_stations(const MomentCurvature& law, const RollGeometry& rolls,
                                              const BendHistory& before, const SteadyState& state);

// Travel by the circle through three rolls, neutral radius R: s = a^2 / ((R + p) + sqrt((R + p)^2 - a^2)),
// p = c_o + r_o. Elementary geometry; for reference only, it overshoots a first pass by far. R + p > a.
double arc_rule_travel_mm(const RollGeometry& rolls, double radius_mm);

}  // namespace coilwright
