// The certified least distance of a bar that changes its shape while the machine moves: a chain of rigid pieces, each on its
// own screw motion from pose to pose.
//
// Frame F, mm, distances from the surface of the stock as clearance.hpp takes them. What rides on the outboard arm is told
// as at pass height; the part then comes near to it as seen from the arm, so that no step of the arm's own counts. Between
// two poses a piece goes the shortest way, by one screw, in the frame of what it is held against; whoever makes the steps
// answers for how near that comes to the true way. Two pieces are held against each other in the frame of one of them, as
// far apart along the bar as they must be to meet (self_distance.hpp).
#pragma once

#include <Eigen/Core>
#include <Eigen/Geometry>
#include <coilwright/clearance/clearance.hpp>
#include <coilwright/clearance/segment_law.hpp>
#include <optional>
#include <vector>

namespace coilwright {

struct MovingPiece {
  ScrewSegment shape;            // from its leading end toward the stock
  Eigen::Isometry3d from, to;    // the Frenet frame where it ends toward the stock, x toward the stock
  double lag_mm;                 // of that end behind the bend point, where the step begins
  Piece piece;
  Eigen::Matrix2d section = Eigen::Matrix2d::Identity();  // as GrowingScene::section_in_segment
};

struct MovingStep {
  std::vector<MovingPiece> pieces;
  double fed_mm;                      // of the blank from its front end, where the step begins
  double arm_from_mm, arm_to_mm;      // how high the outboard arm stands above pass height
};

struct MovingObstacle {
  enum class Stands { still, on_the_arm };
  Obstacle obstacle;    // on the arm: as at pass height. Of its contact only the lag below counts
  Stands stands;
  double from_lag_mm;   // what lies less far behind the bend point is not counted against it
};

struct MovingScene {
  std::vector<MovingStep> steps;  // at least one
  std::vector<MovingObstacle> obstacles;
  double tube_radius_mm;
  std::optional<SectionBox> section = {};  // none: round
  double front_end_mm;            // of the blank, ahead of the centre roll when feeding begins
  const PosedPart* resting = nullptr;  // spans and stock as they lie all the while; not owned. Null: not looked at
  double stock_mm = 0.0;          // straight stock behind the entry contact before rolling starts
  double greatest_curvature_per_mm;  // of all pieces, > 0

  [[nodiscard]] SectionBox box() const { return section.value_or(SectionBox::round(tube_radius_mm)); }
};

// As certify() of one helix; self_at_end is not told apart.
ClearanceResult certify(const MovingScene& scene, double tolerance_mm = 0.01);
// Only what is nearer than a limit: the least distance (proved lower bound, within tolerance), or none.
std::optional<double> nearer_than_mm(const MovingScene& scene, double limit_mm, double tolerance_mm = 0.1);

}  // namespace coilwright
