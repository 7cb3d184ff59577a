// The exact outline of a cross-section: closed loops of straight lines and circular arcs.
//
// Axes of a section: y is the depth, positive toward the centre-roll side (the inside of the bend); x runs
// along the shafts. mm.
#pragma once

#include <array>
#include <coilwright/quantity/finding.hpp>
#include <string_view>
#include <vector>

namespace coilwright {

// A point of a loop, and how the loop goes on from it: bulge 0 straight to the next point, otherwise on a
// circular arc that turns by 4 atan(bulge), positive to the left. 1 is a half circle.
struct OutlinePoint {
  double x_mm = 0.0, y_mm = 0.0, bulge = 0.0;
};
using OutlineLoop = std::vector<OutlinePoint>;

// A corner of a polygon with the radius it is rounded to; 0 leaves it sharp.
struct RoundedCorner {
  double x_mm = 0.0, y_mm = 0.0, radius_mm = 0.0;
};

// Integrals over an area, the second ones about its centroid.
struct AreaMoments {
  double area_mm2 = 0.0;
  double x_mm = 0.0, y_mm = 0.0;  // centroid
  double yy_mm4 = 0.0;            // int y^2: bending in the plane of the depth
  double xx_mm4 = 0.0;            // int x^2: sideways
  double xy_mm4 = 0.0;            // int x y
};

// Valid by construction: no loop crosses or touches itself or another, the holes lie in the outside loop.
class Outline {
 public:
  // The first loop is the outside, the others are holes in it; each may run either way round. Refused: fewer
  // than 2 points (3 without an arc), numbers that are not finite or above 10 m, points that coincide,
  // loops that cross or touch, holes outside, arcs with |bulge| below 0.005
  // (the rise over the chord less than 1/400 of it) or above 1000. The findings are about `about`.
  static Result<Outline> from(std::vector<OutlineLoop> loops, std::string_view about);

  // Outside first and to the left, holes to the right.
  [[nodiscard]] const std::vector<OutlineLoop>& loops() const { return loops_; }
  // Exact: chords by Green's theorem, and the circular segments between chord and arc in closed form.
  [[nodiscard]] const AreaMoments& moments() const { return moments_; }
  [[nodiscard]] double outside_perimeter_mm() const;
  [[nodiscard]] double hole_perimeter_mm() const;
  [[nodiscard]] double outside_area_mm2() const;  // holes not taken off
  struct Extent {
    double lowest, highest;
  };
  [[nodiscard]] Extent depth_mm() const;         // along y
  [[nodiscard]] Extent along_shafts_mm() const;  // along x
  // Of the smallest circle about a point that holds the whole section.
  [[nodiscard]] double radius_about_mm(double x_mm, double y_mm) const;

  [[nodiscard]] Outline moved(double dx_mm, double dy_mm) const;
  // Each loop as points in order, arcs replaced by chords that stay within `chord_rise_mm` > 0 of them, the
  // arc's ends exact. For drawing.
  [[nodiscard]] std::vector<std::vector<std::array<double, 2>>> points(double chord_rise_mm) const;

 private:
  explicit Outline(std::vector<OutlineLoop> loops);
  std::vector<OutlineLoop> loops_;
  AreaMoments moments_;
};

// One side of a loop.
struct OutlineSide {
  OutlinePoint from;
  double to_x_mm, to_y_mm;
  [[nodiscard]] bool straight() const { return from.bulge == 0.0; }
  [[nodiscard]] double length_mm() const;
  // Of an arc: centre, radius, direction from the centre to its start, and turn (positive to the left).
  struct Arc {
    double x_mm, y_mm, radius_mm, start_rad, turn_rad;
    // Whether the arc passes the direction, within a rounding of 1e-12 rad.
    [[nodiscard]] bool passes(double direction_rad) const;
  };
  [[nodiscard]] Arc arc() const;
};
std::vector<OutlineSide> sides_of(const OutlineLoop& loop);
AreaMoments moments_of(const std::vector<OutlineLoop>& loops);  // of loops that run as Outline's do

// A polygon with rounded corners; empty where a radius does not fit between its neighbours.
OutlineLoop rounded(const std::vector<RoundedCorner>& corners);
OutlineLoop circle(double x_mm, double y_mm, double radius_mm);

}  // namespace coilwright
