// The equilibrium of the lifted part: how high the outboard roll stands for a wanted pitch.
//
// Model: beyond the bend point the part is the finished helix, tilted sideways by beta because the lift and
// the exit roll bend it out of plane, sprung by the two vertical forces V (exit roll) and F (outboard
// roll). Three unknowns F, V, beta; beta = atan(S / M) since plastic bending is coaxial. Derivation in
// DEVELOPERS.md ("Lift"). Not checked against a real machine: no published lift-against-pitch data was
// found, so a band is printed and a trial piece calibrates.
//
// Azimuths are counted from the bend point: exit roll at theta1 = a / rho, outboard roll at Phi. Base frame
// (t, n, b) of raised_arc.hpp, heights above pass height. mm, N, rad.
#pragma once

#include <coilwright/rolling/moment_curvature.hpp>
#include <coilwright/rolling/raised_arc.hpp>
#include <coilwright/rolling/rolling_plan.hpp>
#include <coilwright/rolling/twist_law.hpp>
#include <optional>

namespace coilwright {

// How the exit groove holds the part in height.
struct ExitHold {
  double height_mm;     // z0: the groove against the entry-centre line
  double play_up_mm;    // free way up before the upper flank holds, >= 0
  double play_down_mm;
};

class LiftModel {
 public:
  // `helix` right-hand with pitch > 0; 0 < theta1 < roll_theta; `twist` of this law, helix and spacing.
  LiftModel(const MomentCurvature& law, const TwistDemand& twist, double torsion_stiffness, const Helix& helix,
            double half_spacing_mm, double roll_theta, double entry_slope_rad = 0.0);

  // Torque the stock carries: all that is needed when held; at most 3 mu (M / a) r by friction of the
  // three rolls on stock of outside radius r; none when it turns freely.
  [[nodiscard]] double torque(StockTurns turns, double friction, double stock_radius_mm) const;

  // Held by a flank at this height of the centreline at the exit roll, either way. None: no equilibrium.
  [[nodiscard]] std::optional<LiftState> groove_held(double exit_height_mm, double torque) const;
  // Nothing holds it in height (V = 0). The state that grows out of T = 0 as the torque rises; none when
  // that branch ends before the torque is reached.
  [[nodiscard]] std::optional<LiftState> not_held(double torque) const;
  // What the groove does: not held within its play, otherwise held at the flank it meets. A part without
  // a free state runs up to the upper flank.
  [[nodiscard]] std::optional<LiftState> settled(const ExitHold& hold, double torque) const;

  [[nodiscard]] const TwistDemand& twist() const { return twist_; }
  [[nodiscard]] const RaisedArc& arc() const { return arc_; }
  [[nodiscard]] double lean() const { return alpha_; }  // forward lean of the coil's axis
  [[nodiscard]] Length upright_rule() const;            // pitch * Phi / 2 pi
  // Rise of the free helix at the roll with the exit held and no elasticity: a check by hand.
  [[nodiscard]] double geometric_lift_mm() const;

 private:
  struct Lean;
  struct Trial;
  [[nodiscard]] Trial held_at(double beta, double exit_height_mm) const;
  [[nodiscard]] Trial free_at(double beta) const;
  [[nodiscard]] Trial complete(const Lean& lean, double F, double V) const;
  [[nodiscard]] LiftState state(const Trial& trial, double torque, bool held) const;

  RaisedArc arc_;
  TwistDemand twist_;
  Length pitch_;
  double radius_mm_, alpha_, entry_slope_, yield_moment_;
};

}  // namespace coilwright
