// The signed distance from a point to the surface of a convex body.
//
// Negative inside. As the body is convex, the signed distance is 1-Lipschitz and convex, inside too, so at
// any point p it gives two bounds for every other point x, with the direction g returned for p:
//     d(x) >= d(p) - |x - p|            d(x) >= d(p) + g . (x - p)
// The second is the distance to a supporting half-space of the body.
#pragma once

#include <Eigen/Core>
#include <coilwright/machine/shape.hpp>
#include <limits>
#include <memory>
#include <optional>
#include <span>
#include <vector>

namespace coilwright {

struct SurfaceDistance {
  double distance_mm;  // negative inside
  // Unit; a subgradient of the distance. The nearest surface point is p - distance * direction.
  Eigen::Vector3d direction;
};

// A convex body with its frame worked out once, so that one distance is cheap.
class ConvexBody {
 public:
  // Demands a convex body with volume: positive radii and edges, ends apart, a unit normal. For a mesh see
  // mesh_distance.hpp.
  explicit ConvexBody(const Shape& shape);
  // All points within `radius_mm` of a straight line from one point to another; a ball when they coincide.
  static ConvexBody capsule(const Eigen::Vector3d& from, const Eigen::Vector3d& to, double radius_mm);

  [[nodiscard]] SurfaceDistance distance(const Eigen::Vector3d& p) const;
  // A ball that holds the body; without end round a half-space.
  struct Ball {
    Eigen::Vector3d centre = Eigen::Vector3d::Zero();
    double radius_mm = std::numeric_limits<double>::infinity();
  };
  [[nodiscard]] const Ball& ball() const { return ball_; }
  // Size of the numbers that describe the body: rounding of a distance is relative to it.
  [[nodiscard]] double extent_mm() const { return extent_; }

 private:
  enum class Kind { cylinder, frustum, box, half_space, capsule, hull };
  // Of a hull: corners of its triangles and the plane of each, outward.
  struct Face {
    Eigen::Vector3d a, b, c, normal;
  };
  ConvexBody() = default;
  void set_axis(const Eigen::Vector3d& from, const Eigen::Vector3d& to);
  void set_ball();
  [[nodiscard]] SurfaceDistance hull_distance(const Eigen::Vector3d& p) const;

  Kind kind_ = Kind::half_space;
  Eigen::Vector3d centre_ = Eigen::Vector3d::Zero();  // of the body, or a point of the plane
  Eigen::Vector3d axis_ = Eigen::Vector3d::UnitZ();   // of revolution, first edge of a box, outward normal
  Eigen::Vector3d side_ = Eigen::Vector3d::UnitX();   // square to the axis; second edge of a box
  Eigen::Vector3d half_ = Eigen::Vector3d::Zero();    // half edges of a box; half length of a body of revolution in x
  double from_radius_ = 0.0, to_radius_ = 0.0;
  double slant_length_ = 0.0;                         // of a frustum
  Eigen::Vector2d slant_ = Eigen::Vector2d::Zero();   // unit, along its side in (radial, axial)
  struct Hull {
    std::vector<Face> faces;
    std::vector<Eigen::Vector3d> corners;
  };
  std::shared_ptr<const Hull> hull_;
  Ball ball_;
  double extent_ = 0.0;
};

// The point of a triangle nearest to p, also where the triangle is as thin as a line.
// C. Ericson, Real-Time Collision Detection (2005), 5.1.5.
Eigen::Vector3d nearest_on_triangle(const Eigen::Vector3d& p, const Eigen::Vector3d& a, const Eigen::Vector3d& b,
                                    const Eigen::Vector3d& c);
// Of a body by its corners and its point nearest to a point p apart from it, so near that rounding has turned the way
// there: the way turned back until all corners lie behind the plane square to it, within `rounding_mm`, and the distance
// to that plane where it is less. None where the way has no digits left.
std::optional<SurfaceDistance> turned_behind(const Eigen::Vector3d& p, const Eigen::Vector3d& nearest,
                                             std::span<const Eigen::Vector3d> corners, double rounding_mm);
// The distance to a box with edges along the axes; a subgradient as for convex bodies.
SurfaceDistance box_distance(const Eigen::Vector3d& from_middle, const Eigen::Vector3d& half_edges);

}  // namespace coilwright
