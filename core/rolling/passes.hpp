// A helix rolled in one pass or several: settings and the state of the stock from pass to pass.
//
// Pass i of N rolls the similar helix of curvature and torsion (i/N) kappa, (i/N) tau: plan radius R N/i,
// pitch p N/i, the same slope, so that curvature and twist grow in proportion and the path law of
// twist_law.hpp stays valid. Twist only in the last pass would take most of the yield in torsion. Not
// verified by any calculation or trial. Every pass is fed from the same side from the same start.
#pragma once

#include <coilwright/machine/machine.hpp>
#include <coilwright/rolling/lift.hpp>
#include <coilwright/rolling/placement.hpp>
#include <coilwright/rolling/steady_rolling.hpp>
#include <coilwright/stock/stock.hpp>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

namespace coilwright {

// What every pass of a job shares.
struct RollingSetup {
  MomentCurvature law;
  RollGeometry rolls;
  double torsion_stiffness;  // GJ, N mm^2
  double stock_radius_mm;    // half the outside diameter
  double friction;
  StockTurns stock_turns;
  ExitHold hold;
  double entry_slope_rad;
  std::optional<OutboardRoll> outboard_roll;

  static RollingSetup of(const Stock& stock, const Machine& machine, Angle stock_slope);
};

// A lift solved for the place of the outboard roll: the arc reaches exactly there.
struct LiftSolution {
  std::shared_ptr<const LiftModel> model;
  LiftState state;
  Eigen::Vector3d roll_point_F;  // of the centreline at the roll
};

// Why there is no lift, with the numbers.
struct OutOfReach {
  double wanted_mm, farthest_mm;  // plan distance from the exit roll; the finished coil gets no farther
};
struct OffTheRoll {
  double distance_mm;  // of the nearest point of the part from the given position, in plan
};
struct NoEquilibrium {};
using LiftOutcome = std::variant<LiftSolution, OutOfReach, OffTheRoll, NoEquilibrium>;

// One way the rest of the machine may hold the part: a corner of the band.
struct LiftAssumption {
  std::optional<ExitHold> hold;  // none: nothing holds the part in height at the exit roll
  // Torque the stock carries, at most what is needed. None: by stock_turns and friction of the setup.
  struct ByFriction {
    double friction;
  };
  struct Held {};
  struct None {};
  std::optional<std::variant<ByFriction, Held, None>> torque;
};

// The six corners of the working band: exit play half a millimetre less (at least 0) and more, by torque
// with friction 0.05 and 0.30 and with the stock held. The half millimetre and the frictions are judgement.
std::vector<LiftAssumption> working_corners(const RollingSetup& setup);

// Phi is found so that the posed curve crosses the roll where it stands; helix with pitch > 0.
LiftOutcome solve_lift(const RollingSetup& setup, const Helix& helix, const SteadyState& rolling,
                       const LiftAssumption& assumption);
// The state of a solved model under an assumption.
std::optional<LiftState> lift_at(const LiftModel& model, const RollingSetup& setup, const LiftAssumption& assumption);
// The lift of a helix with the roll at a given Phi: for derivatives and inverses at one place of the roll.
// None without an equilibrium, or where this helix would leave the exit roll only beyond Phi.
std::optional<double> lift_at_roll_mm(const RollingSetup& setup, const Helix& helix, double roll_theta,
                                      const LiftAssumption& assumption);

// The curvature to aim for while the rolls hold the part sideways, so that it comes out with `free_curvature`
// when they let go: an angle gives back part of its springback in the plane as it bows sideways. The same
// for every section whose plane of bending is a principal plane.
double held_curvature(const MomentCurvature& law, double free_curvature);

struct RolledPass {
  Helix helix;  // of this pass, right-hand
  BendHistory before;
  SteadyState rolling;
  std::optional<LiftSolution> lift;
};

// All passes; or why not, at which pass (1-based).
struct NoPass {
  int pass;
  std::variant<WrapsTheRoll, TooTight, OutOfReach, OffTheRoll, NoEquilibrium> why;
};
using PassesOutcome = std::variant<std::vector<RolledPass>, NoPass>;
// `rolled`: states of the first passes where they are known; one that was solved for another curvature is solved again.
PassesOutcome roll_in_passes(const RollingSetup& setup, const Helix& right_hand_helix, int passes,
                             std::span<const SteadyState> rolled = {});

// The pitch that a lift gives at the same place of the roll, plan radius kept: the inverse of the lift.
// None when no pitch up to a slope of 60 degrees needs that lift.
std::optional<double> pitch_for_lift_mm(const RollingSetup& setup, const Helix& helix, double roll_theta,
                                        const LiftAssumption& assumption, double lift_mm);

}  // namespace coilwright
