// Distance of a point to one convex body, negative inside; for colouring.
#pragma once

#include <coilwright/machine/shape.hpp>

namespace coilwright::view {

double body_distance_mm(const Shape& body, const Eigen::Vector3d& p);

}  // namespace coilwright::view
