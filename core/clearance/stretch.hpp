// A stretch of the part's centreline within one stage of its pose, with proved bounds of how far it can
// go in a direction: what the certified search stands on.
//
// With m = X(w0), derivatives t = X'(w0), n = X''(w0), |X''| <= K and |X'''| <= J on the stretch, for all
// |w - w0| <= h and any vector g no longer than 1:
//     g . (X(w) - m) >= -|g . t| h - K h^2 / 2                            second derivative bounded
//     g . (X(w) - m) >= q(g . t, g . n, h) - J h^3 / 6                    third derivative bounded
// on the loaded spans, which lie in the plane z = 0, with K times the part of g in that plane. And
//     g . (X(w) - m) >= -chord(h)                                         a helix: its chord over h
// q(a, b, h) = min of a x + b x^2 / 2 over |x| <= h. A helix of plan radius R, c = pitch / 2 pi,
// rho = sqrt(R^2 + c^2) has J = R / rho^3, and X + l X' is again a coaxial helix, of radius
// R sqrt(1 + (l / rho)^2).
//
// A point that keeps its place in the section (its axes turn as rolling/pose.hpp says) runs beside the centreline. On a
// helix it runs along a coaxial helix. On the sprung arc its rotation with the springing is known to first order only, on
// the spans the direction as a cubic from station to station: what is left of second order is `loose_per_mm`, by which
// every bound above is less by loose h^2 / 2.
#pragma once

#include <Eigen/Core>
#include <cmath>
#include <coilwright/rolling/pose.hpp>

namespace coilwright {

// A point of a curve with its derivatives by lag and their bounds on the whole stretch.
struct BoundedPoint {
  CurvePoint c;                // d2 is meaningful only where `third_bound` is finite
  double second_bound_per_mm;
  double third_bound_per_mm2;  // infinite where the second derivative is not known or jumps
  double chord_radius_mm;      // of a helix; infinite for other curves
  double loose_per_mm = 0.0;   // counted in `second_bound_per_mm`, not in `third_bound_per_mm2`
};

// A point of the section, or of the straight that continues it.
struct SectionPoint {
  Eigen::Vector2d across;  // inward, along the shafts
  double ahead_mm = 0.0;
};

class Stretch {
 public:
  // Lag from <= to, both within the stage. The part must outlive the stretch.
  Stretch(const PosedPart& part, Stage stage, double from_mm, double to_mm);

  [[nodiscard]] Stage stage() const { return stage_; }
  [[nodiscard]] double from_mm() const { return from_; }
  [[nodiscard]] double to_mm() const { return to_; }
  [[nodiscard]] Stretch within(double from_mm, double to_mm) const { return {*part_, stage_, from_mm, to_mm}; }

  // The centreline.
  [[nodiscard]] BoundedPoint at(double lag_mm) const;
  // The end of a straight of `length_mm` that continues the centreline from a point of it, as that point
  // moves along the stretch: X + length X'. Only for free arc and coil.
  [[nodiscard]] BoundedPoint ahead(const BoundedPoint& from, double length_mm) const;

  // A point fixed in the section, as the section moves along the stretch. Ahead only for free arc and coil.
  [[nodiscard]] BoundedPoint at(double lag_mm, const SectionPoint& point) const;

  // How far along X' a straight must be taken so that from every lag of the stretch it covers `length_mm`: the length
  // over a lower bound of |X'| (PosedPart::least_arc_speed).
  [[nodiscard]] double straight_covering(double length_mm) const;

  // Lower bound of g . (curve(w) - point) for |w - w0| <= half, |g| <= 1.
  [[nodiscard]] double least_rise(const BoundedPoint& point, const Eigen::Vector3d& g, double half_mm) const;
  // Upper bound of |curve(w) - point| for |w - w0| <= half.
  [[nodiscard]] double reach(const BoundedPoint& point, double half_mm) const;

  // Lower bound of how far the curve, with a straight of `straight_mm` ahead of each of its points, stays from a point p
  // over |w - w0| <= half: on a helix by the cylinder that it lies on and the tangents leave outward. Nothing (-infinity)
  // on other curves.
  [[nodiscard]] double least_away(const Eigen::Vector3d& p, double lag_mm, double half_mm, double straight_mm) const;

  // Size of the numbers met on the stretch (coordinates, lag): rounding is relative to it.
  [[nodiscard]] double extent_mm() const { return extent_; }

 private:
  const PosedPart* part_;
  Stage stage_;
  double from_, to_;
  double second_bound_ = 0.0, third_bound_ = 0.0;
  double extent_ = 0.0;
  // Of a helix stage: the point of the axis at lag 0, x and y axes of frame C, its z axis, all in F.
  Eigen::Vector3d axis_point_ = Eigen::Vector3d::Zero(), ex_ = axis_point_, ey_ = axis_point_, ez_ = axis_point_;
  double plan_radius_ = 0.0, climb_ = 0.0, rho_ = 1.0, half_turn_ = 0.0;
};

// The least of a x + b x^2 / 2 over |x| <= h.
inline double least_quadratic(double a, double b, double h) {
  const double size = std::abs(a);
  if (b > 0.0 && size < b * h) return -0.5 * a * a / b;
  return -size * h + 0.5 * b * h * h;
}

}  // namespace coilwright
