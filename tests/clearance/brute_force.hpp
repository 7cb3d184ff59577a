// The least distance found the plain way, as a second opinion: halving with nothing but "a distance changes
// no faster than its point moves". No derivative of the distance, none of the bounds under test.
#pragma once

#include <Eigen/Core>
#include <algorithm>
#include <coilwright/clearance/clearance.hpp>
#include <coilwright/clearance/shape_distance.hpp>
#include <coilwright/rolling/pose.hpp>
#include <functional>
#include <utility>
#include <vector>

namespace coilwright::bench {

// A surface of two parameters in a rectangle; `speeds` are upper bounds of how fast its point moves with each.
struct Surface {
  std::function<Eigen::Vector3d(double, double)> at;
  double from_v, to_v, from_w, to_w;
  double speed_v, speed_w;
};

// low <= least value over the surface <= high, high - low <= within. The value moves no faster than the point.
struct Enclosure {
  double low, high;
};
Enclosure least_by_halving(const Surface& surface, const std::function<double(const Eigen::Vector3d&)>& value,
                           double within);

// The centrelines of one piece as surfaces, one per stage it runs through. The front end is as long as it is
// (along the unit tangent).
std::vector<Surface> surfaces_of(const ClearanceScene& scene, Piece piece);

// The distance from one piece to a union of bodies, from the surface of the tube.
Enclosure least_to_bodies(const ClearanceScene& scene, Piece piece, const std::vector<Shape>& shapes, double within);

}  // namespace coilwright::bench
