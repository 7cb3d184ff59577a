// Where the part stands in the machine, from the incoming stock to the far end of the coil.
//
// Frame F, the feed frame: the machine frame M when the stock is fed along +x, its mirror image in x when
// it is fed along -x (left-hand screw). In F the part is always a right-hand screw fed along +x; whoever
// shows or compares with parts of the machine mirrors at the border, once.
//
// Coordinate along the part: lag, the length of neutral axis from the centre-roll contact P2, positive
// for what has passed it:
//     lag < -span_in            incoming stock, straight, at its slope, ends at the entry contact P1
//     -span_in .. span_out      the loaded spans P1 - P2 - P3, in the plane z = 0
//     span_out .. outboard_lag  free arc from the exit contact to the outboard roll, sprung by its forces
//     >= outboard_lag           the finished helix, rigid
// Steady rolling: every cross-section follows the same curve, so a point that left P2 a length w ago
// stands at lag w whatever the fed length.
//
// A section that is not round lies in the rolls with its depth level and the shafts' way upright, also where the plane
// of the bend leans sideways: flat faces cannot turn there. It is formed so, and what is formed is rigid: from the bend
// point on the section keeps its angle to normal and binormal of the helix, and turns with them about the coil's axis.
// On the spans it turns with their direction, on the sprung arc by the linear rotation of its springing besides.
#pragma once

#include <Eigen/Core>
#include <Eigen/Geometry>
#include <cmath>
#include <coilwright/coil/helix.hpp>
#include <vector>

namespace coilwright {

enum class Stage { stock, spans, arc, coil };

// A point of the centreline with its first and second derivative by length, frame F, mm. In `arc` the
// parameter is the length of the unsprung curve (the strain of bending it is below 1e-3).
struct CurvePoint {
  Eigen::Vector3d p, d1, d2;
};

class PosedPart {
 public:
  // One station of the loaded spans: lag, direction in plan, curvature (linear between stations within
  // the accuracy of the table), position.
  struct Station {
    double lag_mm, direction_rad, curvature_per_mm;
    Eigen::Vector2d p;
  };
  // A node of the elastic displacement of the free arc by length along it: u and its derivatives.
  struct Node {
    double lag_mm;
    Eigen::Vector3d u, du, ddu;
    // The rotation of the section and its derivative by length.
    Eigen::Vector3d turned = Eigen::Vector3d::Zero(), dturned = Eigen::Vector3d::Zero();
  };
  struct Spec {
    Helix helix;                        // right hand, as finished
    std::vector<Station> spans;         // by growing lag, from P1 to P3, at least two
    std::vector<Node> elastic;          // by growing lag from span_out to outboard_lag; empty: no such stage
    double outboard_lag_mm;             // equal to the last station's lag when nothing lifts the part
    Eigen::Isometry3d X_FC_unsprung;    // places the unsprung helix (stage arc, without u)
    Eigen::Isometry3d X_FC;             // places the finished helix (stage coil)
    double arc_second_bound_per_mm;     // proved bound of |d2| on stage arc
    double arc_third_bound_per_mm2;     // and of the third derivative
    double delta_rad = 0.0;             // turn in plan that joins the helix to the loaded span
    double stock_slope_rad = 0.0;       // of the incoming stock along the feed, upward; it ends at z = 0 at P1
    double upright_lag_mm = 0.0;        // where on the unsprung helix the section lies level and upright
  };
  explicit PosedPart(Spec spec);

  // Evaluates the formula of one stage at a lag; meaningful within that stage's range.
  [[nodiscard]] CurvePoint at(Stage stage, double lag_mm) const;
  // The stage that a lag belongs to, boundaries counted to the later one.
  [[nodiscard]] Stage stage_at(double lag_mm) const;
  [[nodiscard]] CurvePoint at(double lag_mm) const { return at(stage_at(lag_mm), lag_mm); }

  [[nodiscard]] double span_in_mm() const { return -spec_.spans.front().lag_mm; }   // P1 to P2
  [[nodiscard]] double span_out_mm() const { return spec_.spans.back().lag_mm; }    // P2 to P3
  [[nodiscard]] double outboard_lag_mm() const { return spec_.outboard_lag_mm; }
  [[nodiscard]] double delta_rad() const { return spec_.delta_rad; }
  [[nodiscard]] double exit_theta() const { return span_out_mm() / spec_.helix.arc_per_radian_mm(); }
  [[nodiscard]] const Helix& helix() const { return spec_.helix; }
  [[nodiscard]] const Eigen::Isometry3d& X_FC() const { return spec_.X_FC; }
  [[nodiscard]] const std::vector<Station>& spans() const { return spec_.spans; }
  [[nodiscard]] double spans_second_bound_per_mm() const { return spans_second_bound_; }
  [[nodiscard]] double arc_second_bound_per_mm() const { return spec_.arc_second_bound_per_mm; }
  [[nodiscard]] double arc_third_bound_per_mm2() const { return spec_.arc_third_bound_per_mm2; }
  // Lower bound of |X'| along the free arc between two lags: lag is length everywhere but there, where springing to first
  // order turns X' without keeping its size. Below the least |X'| by no more than rounding and what a cubic from node to
  // node misses of its square.
  [[nodiscard]] double least_arc_speed(double from_mm, double to_mm) const;
  [[nodiscard]] const Eigen::Isometry3d& X_FC_unsprung() const { return spec_.X_FC_unsprung; }

  // The directions of the section at a lag: its depth, toward the inside of the bend, and the way along the shafts. Unit
  // and square to the centreline but for what springing turns.
  struct SectionAxes {
    Eigen::Vector3d inward, shafts;
  };
  [[nodiscard]] SectionAxes section_axes(Stage stage, double lag_mm) const;
  // Takes (inward, along the shafts) to (normal, binormal) of the helix, as it is the same all along it.
  [[nodiscard]] const Eigen::Matrix2d& section_in_helix() const { return section_in_helix_; }
  // A quantity with its derivative by lag.
  template <class Value>
  struct Turning {
    Value value, rate;
  };
  // The direction in plan of the loaded spans: between stations the cubic that meets direction and curvature at both,
  // and proved bounds of its first and second derivative.
  [[nodiscard]] Turning<double> spans_direction(double lag_mm) const;
  struct TurningBounds {
    double value = 0.0, rate = 0.0, change = 0.0;
  };
  [[nodiscard]] const TurningBounds& spans_turning() const { return spans_turning_; }
  // The rotation of the section by the springing of the arc, likewise; zero without springing.
  [[nodiscard]] Turning<Eigen::Vector3d> arc_turned(double lag_mm) const;
  [[nodiscard]] const TurningBounds& arc_turning() const { return arc_turning_; }
  // 1 where inward lies to the left of growing lag, -1 to the right (bent stock, walked against the feed).
  [[nodiscard]] double inward_side() const { return inward_side_; }

  // The same part moved as a whole by a vector of F.
  [[nodiscard]] PosedPart shifted(const Eigen::Vector3d& by) const;
  // What lies beyond the outboard roll lowered, all of it alike; there the part then has a step.
  [[nodiscard]] PosedPart sunk(double by_mm) const;

 private:
  void find_section();

  Spec spec_;
  std::vector<Eigen::Vector2d> span_tangents_;  // at the stations
  double spans_second_bound_;
  Eigen::Matrix2d section_in_helix_ = Eigen::Matrix2d::Identity();
  double inward_side_ = 1.0;
  TurningBounds spans_turning_, arc_turning_;
};

}  // namespace coilwright
