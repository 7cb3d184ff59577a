// The bodies that machine parts are described with, in mm in the machine frame M: convex ones, and meshes.
//
// Frame M: x along the line through the two outer-roll axes, origin midway between them; y toward the
// centre-roll side (the coil's inside), y = 0 on that line; z up along the shafts, z = 0 at the height of
// the stock's centreline as it lies in the grooves.
#pragma once

#include <Eigen/Core>
#include <array>
#include <coilwright/machine/triangle_mesh.hpp>
#include <cstdint>
#include <memory>
#include <string>
#include <variant>

namespace coilwright {

struct Cylinder {
  Eigen::Vector3d from, to;  // ends of the axis, apart
  double radius_mm;          // > 0
};
struct Frustum {
  Eigen::Vector3d from, to;
  double from_radius_mm, to_radius_mm;  // >= 0, one of them > 0
};
struct Box {
  Eigen::Vector3d min, max;  // before turning; min < max in every coordinate
  double turned_rad = 0.0;   // about the vertical through its own centre, counter-clockwise from above
};
struct HalfSpace {
  Eigen::Vector3d point;
  Eigen::Vector3d normal;  // unit, pointing out of the material
};
// The smallest convex body that holds some points: made by hull_of.
struct ConvexHull {
  std::vector<Eigen::Vector3d> points;                // corners only
  std::vector<std::array<std::uint32_t, 3>> faces;    // counter-clockwise seen from outside
};
// A mesh, where it was drawn or in the mirror (x -> -x), then moved.
struct MeshBody {
  enum class Side { as_drawn, mirrored };
  std::shared_ptr<const TriangleMesh> mesh;  // not null
  Eigen::Vector3d by = Eigen::Vector3d::Zero();
  Side side = Side::as_drawn;

  [[nodiscard]] Eigen::Vector3d placed(const Eigen::Vector3d& p) const {
    return {(side == Side::mirrored ? -p.x() : p.x()) + by.x(), p.y() + by.y(), p.z() + by.z()};
  }
};
using Shape = std::variant<Cylinder, Frustum, Box, HalfSpace, ConvexHull, MeshBody>;

// The hull of at most `most_hull_points` points. Refuses fewer than four, too many, and points that lie in a
// plane as far as can be told. Faces narrower than a millionth of the hull may be left out.
inline constexpr std::size_t most_hull_points = 100;
Result<ConvexHull> hull_of(const std::vector<Eigen::Vector3d>& points);

// The same body moved by a vector, or mirrored in x (x -> -x).
Shape moved(const Shape& shape, const Eigen::Vector3d& by);
Shape mirrored_in_x(const Shape& shape);

// What a solid is fixed to: the centre slide moves by -travel in y, the outboard arm by +roll lift in z
// (and is carried over to the other side for the left hand).
enum class Rides { frame, centre_slide, outboard_arm };

struct Solid {
  std::string name;
  Shape shape;  // with the slide at touch and the arm at pass height
  Rides rides = Rides::frame;
};

}  // namespace coilwright
