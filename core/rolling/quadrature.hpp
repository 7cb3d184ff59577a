// Gauss-Legendre points on the unit interval, for the integrals of the bending models.
#pragma once

#include <span>

namespace coilwright {

struct QuadraturePoint {
  double x;       // in (0, 1)
  double weight;  // all weights sum to 1
};

// 20 points, exact for polynomials up to degree 39; ordered by x.
std::span<const QuadraturePoint> gauss_20();
// 7 points, exact up to degree 13: for many short panels.
std::span<const QuadraturePoint> gauss_7();

}  // namespace coilwright
