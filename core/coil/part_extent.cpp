#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <coilwright/coil/part.hpp>
#include <numbers>

namespace coilwright {
namespace {

// The largest value between a and c, above both of which b lies, by golden section.
template <class Function>
double highest(double a, double c, Function f) {
  constexpr double ratio = 0.6180339887498949;
  double x1 = c - ratio * (c - a), x2 = a + ratio * (c - a), f1 = f(x1), f2 = f(x2);
  for (int i = 0; i < 60; ++i) {
    if (f1 > f2) {
      c = x2, x2 = x1, f2 = f1, x1 = c - ratio * (c - a), f1 = f(x1);
    } else {
      a = x1, x1 = x2, f1 = f2, x2 = a + ratio * (c - a), f2 = f(x2);
    }
  }
  return std::max(f1, f2);
}

bool round(const StockFaces& faces) {
  return faces.inner == faces.outer && faces.height == faces.inner + faces.outer;
}

// How far the stock reaches from its centreline in a direction: a disc, or the rectangle of its faces.
double stock_reach_mm(const StockFaces& faces, const CurveFrame& f, const Eigen::Vector3d& direction) {
  if (round(faces)) {
    const double t = direction.dot(f.tangent);
    return faces.inner.mm() * std::sqrt(std::max(0.0, 1.0 - t * t));
  }
  const double across = direction.dot(f.normal);
  return (across > 0.0 ? faces.inner.mm() : faces.outer.mm()) * std::abs(across) +
         0.5 * faces.height.mm() * std::abs(direction.dot(f.binormal));
}

}  // namespace

double extent_mm(const Centreline& curve, const Eigen::Vector3d& direction, const StockFaces& faces) {
  const auto reach = [&](double side, double along) {
    const CurveFrame f = curve.frame(along);
    return side * direction.dot(f.point) + stock_reach_mm(faces, f, side * direction);
  };
  double total = 0.0;
  for (const double side : {1.0, -1.0}) {
    double best = -std::numeric_limits<double>::infinity();
    for (const auto& s : curve.segments()) {
      // A twelfth of a right angle: between two such steps a coordinate turns back at most once.
      const double turn = s.curve.greatest_curvature() * s.curve.length_mm();
      const int steps = 4 + static_cast<int>(std::min(1e6, std::ceil(turn / (std::numbers::pi / 24.0))));
      std::vector<double> values(static_cast<std::size_t>(steps) + 1);
      const double step = s.curve.length_mm() / steps;
      for (std::size_t i = 0; i < values.size(); ++i) {
        values[i] = reach(side, s.from_mm + step * static_cast<double>(i));
        best = std::max(best, values[i]);
      }
      const double near = best - step;  // no point lies farther than half a step from a sample
      for (std::size_t i = 1; i + 1 < values.size(); ++i)
        if (values[i] >= values[i - 1] && values[i] >= values[i + 1] && values[i] >= near)
          best = std::max(best, highest(s.from_mm + step * static_cast<double>(i - 1),
                                        s.from_mm + step * static_cast<double>(i + 1),
                                        [&](double along) { return reach(side, along); }));
      // The highest point may lie between an end and its neighbour.
      if (values.size() > 1) {
        best = std::max(best, highest(s.from_mm, s.from_mm + step, [&](double a) { return reach(side, a); }));
        best = std::max(best, highest(s.to_mm() - step, s.to_mm(), [&](double a) { return reach(side, a); }));
      }
    }
    total += best;
  }
  return total;
}

namespace {

Extent extent(const Part& part, const StockFaces& faces) {
  const Centreline& c = part.centreline();
  const Eigen::Vector3d up = part.up_direction();
  const Eigen::Vector3d start = c.frame(0.0).tangent;
  const Eigen::Vector3d x = (start - up * up.dot(start)).normalized();
  const Eigen::Vector3d y = up.cross(x);
  return {Length::mm(extent_mm(c, x, faces)), Length::mm(extent_mm(c, y, faces)), Length::mm(extent_mm(c, up, faces))};
}

}  // namespace

Extent Part::centreline_extent() const {
  return extent(*this, Length());
}

Extent Part::overall_extent() const {
  return extent(*this, faces_);
}

}  // namespace coilwright
