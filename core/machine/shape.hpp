// The convex bodies that machine parts are described with, in mm in the machine frame M.
//
// Frame M: x along the line through the two outer-roll axes, origin midway between them; y toward the
// centre-roll side (the coil's inside), y = 0 on that line; z up along the shafts, z = 0 at the height of
// the stock's centreline as it lies in the grooves.
#pragma once

#include <Eigen/Core>
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
using Shape = std::variant<Cylinder, Frustum, Box, HalfSpace>;

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
