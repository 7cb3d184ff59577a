// The lead arc on its way from lying flat to the lift: the shapes that the bar can have ahead of the exit contact.
//
// The lead arc comes out flat until its front end lies on the outboard roll. Then the roll is raised from pass height to the
// lift while more is fed, which is formed with the twist of the coil. What is known all the while is how the bar leaves the
// exit roll, where the outboard roll stands, and how high it holds the bar. How the bar makes up for the height between the
// two nobody knows; so there are several ways to, each of which meets the height exactly and ends, when what is formed
// reaches the outboard roll, in the steady pose of placement.hpp:
//   twists   what is formed has just so much of the coil's twist, the roll so much of the steady force, and the bar leaves
//            the exit roll with so much of the steady lean, that it lies on the roll
//   springs  what is formed has all its twist, and the roll's force springs the arc between exit roll and outboard roll,
//            held at the exit roll
//   turns    likewise, but the bar turns at the exit roll about its own tangent there
//   tilts    likewise, about the level way square to that tangent
//   turns_and_tilts   about the axis halfway between the two
// Except with `springs` the roll's force grows in step with what is formed.
//
// The bar is a chain of pieces, each a screw; springing turns it at the joints, by what Castigliano's theorem gives there: with
// the vertical force F at r_c, B = (1 - t t') / EI + t t' / GJ, a length ds turns what is beyond it by
// B ((r_c - r) x F) ds, r and t of the bar not sprung. The sum over joints is the trapezoidal rule: of a straight cantilever it
// is off by (piece / length)^2 / 2 of its deflection. Beyond the outboard roll the bar is rigid. Frame F, mm, N, rad.
#pragma once

#include <Eigen/Core>
#include <Eigen/Geometry>
#include <coilwright/rolling/pose.hpp>
#include <optional>
#include <vector>

namespace coilwright {

class RaisedLeadArc {
 public:
  struct Spec {
    const PosedPart& lying;   // bent like the lead arc, flat
    const PosedPart& lifted;  // as it runs, with an outboard roll
    double lift_mm;           // > 0, of the centreline at the outboard roll in `lifted`
    double bending_stiffness, torsion_stiffness;
    double flat_mm;           // length of the lead arc, > 0
    double straight_mm;       // of the straight front end ahead of it
    int pieces;               // into which the lead arc is divided, >= 2
  };
  // None: flat, the bar does not come to the outboard roll; or it cannot be held at the lift.
  static std::optional<RaisedLeadArc> of(const Spec& spec);

  enum class Way { twists, springs, turns, tilts, turns_and_tilts };

  // The Frenet frame, x toward the stock, y toward the centre of curvature, at a length behind the bend point. From here
  // to the next node the bar is one screw.
  struct Node {
    double lag_mm;
    Eigen::Isometry3d X;
  };
  struct State {
    int formed;                   // pieces formed since the roll took hold
    double height_mm;             // of the centreline at the outboard roll
    double amount;                // of the way: a share, N, or rad
    double outboard_force_N;      // up on the bar
    double torsion_per_mm;        // of what is formed
    double contact_lag_mm;        // where the bar lies on the outboard roll
    std::vector<Node> nodes;      // from the exit contact to where the straight front end begins
  };
  // None: this way does not bring it to that height. 0 <= formed <= pieces.
  [[nodiscard]] std::optional<State> at(Way way, int formed, double height_mm) const;
  // `twists` by its amount: the height is what comes of it.
  [[nodiscard]] std::optional<State> twisted(int formed, double share) const;

  [[nodiscard]] double piece_mm() const { return piece_; }
  [[nodiscard]] int pieces() const { return pieces_; }
  [[nodiscard]] double lift_mm() const { return lift_; }
  [[nodiscard]] double curvature_per_mm() const { return curvature_; }
  [[nodiscard]] double torsion_per_mm() const { return torsion_; }
  [[nodiscard]] double steady_force_N() const { return steady_force_; }
  // The shape of the bar from one node of a state to the next, by the torsion it has: near node 0, 1, ...
  [[nodiscard]] double torsion_after(const State& state, std::size_t node) const;

 private:
  struct Met {
    double lag;
    Eigen::Vector3d point;
  };
  explicit RaisedLeadArc(const Spec& spec);
  [[nodiscard]] Eigen::Isometry3d exit_frame(double share) const;
  enum class Extent { to_the_roll, whole };  // as far as the node behind the roll, where it is met before the straight
  // Ahead of an exit frame, sprung by a force.
  [[nodiscard]] std::vector<Node> chain(const Eigen::Isometry3d& exit, int formed, double torsion, double force_N, Extent extent) const;
  template <class Turned>
  [[nodiscard]] std::vector<Node> chain_turned(const Eigen::Isometry3d& exit, int formed, double torsion, Extent extent, Turned turned) const;
  // How far beyond the outboard roll, in plan.
  [[nodiscard]] double past(const Node& node) const;
  // Where it crosses the outboard roll in plan.
  [[nodiscard]] std::optional<Met> met(const std::vector<Node>& nodes, int formed, double torsion) const;
  [[nodiscard]] std::optional<State> tried(Way way, int formed, double amount, Extent extent) const;

  double lift_, EI_, GJ_, piece_, straight_, curvature_, torsion_, span_out_;
  int pieces_;
  Eigen::Isometry3d flat_exit_, steady_exit_;
  Eigen::Vector3d roll_, along_;  // the steady part at the outboard roll: its place, and its way there in plan
  double steady_force_ = 0.0;
};

}  // namespace coilwright
