// What the machine is set to: the passes, the lift, and the bands around them. Plain values.
#pragma once

#include <Eigen/Core>
#include <coilwright/machine/machine.hpp>
#include <coilwright/quantity/quantity.hpp>
#include <optional>
#include <vector>

namespace coilwright {

// One pass, in feed order. Radii are bend radii of the neutral axis, what a gauge on the rail reads.
struct PassPlan {
  FeedSide feed = FeedSide::from_the_right;
  Length travel;                     // of the centre roll, from touch, without frame give
  std::optional<Length> frame_give;  // F2 / stiffness; add it to the travel
  Length free_radius, loaded_radius;
  Force centre_roll_force, entry_roll_force, exit_roll_force;
  Force drive_force;   // sum of the tangential forces
  double traction = 0; // largest tangential / normal force of a driven roll
  std::optional<Length> roll_lift;   // nominal; none without an outboard roll
  Length span_in, span_out;          // neutral axis from P1 to P2, from P2 to P3
  // The whole travel pressed in at a standstill: force, and the bend radius of the kink it leaves. None: the
  // stock would fold round the centre roll.
  std::optional<Force> press_in_force;
  std::optional<Length> press_in_radius;
};

// One equilibrium of the lifted part.
struct LiftState {
  Length lift;                 // rise of the centreline at the outboard roll above pass height
  Force outboard_force;        // F, up on the part
  Force exit_vertical_force;   // V, negative: the exit groove holds the part down
  Angle side_lean;             // beta
  double slope_rad = 0;        // epsilon, of the tangent at the bend point
  Length exit_height;          // of the centreline at the exit roll
  Moment torque;               // T carried by the stock
  double turning_share = 0;    // 1 - T / T_need
  bool held = false;           // groove-held: a flank of the exit groove carries V
  double exit_utilisation = 0; // of first yield at the exit roll
};

struct LiftPlan {
  LiftState nominal;           // exit play as given, torque as the stock may turn
  std::optional<Length> working_low, working_high;  // over the six working corners; none: a corner has no state
  std::optional<Length> low, high;                  // groove-held without torque; not held with all of it
  Length upright_rule;         // pitch * Phi / 2 pi
  Angle forward_lean;          // alpha, of the coil's axis
  Angle bend_point_to_roll;    // Phi
  Angle bend_point_to_exit;    // theta1
  double pitch_per_lift = 0;   // dp/dh, mm of pitch per mm of lift
  // The pitch that the ends of the working band would give in the nominal state, plan radius kept.
  std::optional<Length> pitch_at_working_low, pitch_at_working_high;
  double worst_utilisation = 0;  // over the working corners
  double moment_factor = 1;    // sqrt(1 - (12/pi^2) (T/M0)^2): what twist leaves of the bending moment
  Eigen::Vector2d roll_position_mm{0, 0};  // where the centreline crosses the roll, frame F
  std::optional<Length> roll_top_lift;     // lift of the roll's own height, when its radius is known
  Length lead_arc;             // rho * Phi
};

}  // namespace coilwright
