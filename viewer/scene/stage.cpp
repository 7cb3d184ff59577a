#include <algorithm>
#include <cmath>
#include <numbers>
#include <viewer/scene/stage.hpp>
#include <vtkCellArray.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>

namespace coilwright::view {
namespace {

using Eigen::Vector2d;

// Polygons or lines at one height.
class Flat {
 public:
  explicit Flat(double z_mm) : z_mm_(z_mm) { points_->SetDataTypeToDouble(); }
  // From a to b, standing `height` high.
  void add_upright(const Vector2d& a, const Vector2d& b, double height) {
    cells_->InsertNextCell(4);
    for (const auto& [p, up] : {std::pair(a, 0.0), std::pair(b, 0.0), std::pair(b, height), std::pair(a, height)})
      cells_->InsertCellPoint(points_->InsertNextPoint(p.x(), p.y(), z_mm_ + up));
  }
  void add(const std::vector<Vector2d>& chain) {
    cells_->InsertNextCell(static_cast<int>(chain.size()));
    for (const Vector2d& p : chain) cells_->InsertCellPoint(points_->InsertNextPoint(p.x(), p.y(), z_mm_));
  }
  vtkSmartPointer<vtkPolyData> faces() const { return mesh(&vtkPolyData::SetPolys); }
  vtkSmartPointer<vtkPolyData> lines() const { return mesh(&vtkPolyData::SetLines); }

 private:
  vtkSmartPointer<vtkPolyData> mesh(void (vtkPolyData::*set)(vtkCellArray*)) const {
    const auto out = vtkSmartPointer<vtkPolyData>::New();
    out->SetPoints(points_);
    (out.Get()->*set)(cells_);
    return out;
  }
  double z_mm_;
  vtkSmartPointer<vtkPoints> points_ = vtkSmartPointer<vtkPoints>::New();
  vtkSmartPointer<vtkCellArray> cells_ = vtkSmartPointer<vtkCellArray>::New();
};

Vector2d on_circle(const Vector2d& centre, double radius, double turn) {
  const double a = 2.0 * std::numbers::pi * turn;
  return centre + radius * Vector2d(std::cos(a), std::sin(a));
}

}  // namespace

vtkSmartPointer<vtkPolyData> filled(const Disc& disc) {
  Flat flat(disc.z_mm);
  std::vector<Vector2d> rim;
  for (int k = 0; k < 180; ++k) rim.push_back(on_circle(disc.centre, disc.radius_mm, k / 180.0));
  flat.add(rim);
  return flat.faces();
}

vtkSmartPointer<vtkPolyData> grid_on(const Disc& disc, double step_mm) {
  Flat flat(disc.z_mm);
  std::vector<Vector2d> rim;
  for (int k = 0; k <= 180; ++k) rim.push_back(on_circle(disc.centre, disc.radius_mm, k / 180.0));
  flat.add(rim);
  for (int axis = 0; axis < 2; ++axis) {
    const double mid = disc.centre[axis];
    for (double at = std::ceil((mid - disc.radius_mm) / step_mm) * step_mm; at < mid + disc.radius_mm; at += step_mm) {
      const double half = std::sqrt(std::max(0.0, disc.radius_mm * disc.radius_mm - (at - mid) * (at - mid)));
      Vector2d a, b;
      a[axis] = b[axis] = at;
      a[1 - axis] = disc.centre[1 - axis] - half;
      b[1 - axis] = disc.centre[1 - axis] + half;
      flat.add({a, b});
    }
  }
  return flat.lines();
}

vtkSmartPointer<vtkPolyData> dashed_circle(const Disc& disc, double width_mm, int count) {
  Flat flat(disc.z_mm);
  const double in = disc.radius_mm - 0.5 * width_mm, out = disc.radius_mm + 0.5 * width_mm;
  constexpr int parts = 4;
  for (int k = 0; k < count; ++k)
    for (int i = 0; i < parts; ++i) {
      const double a = (k + 0.62 * i / parts) / count, b = (k + 0.62 * (i + 1) / parts) / count;
      flat.add({on_circle(disc.centre, in, a), on_circle(disc.centre, out, a), on_circle(disc.centre, out, b),
                on_circle(disc.centre, in, b)});
      flat.add_upright(on_circle(disc.centre, out, a), on_circle(disc.centre, out, b), 0.6 * width_mm);
    }
  return flat.faces();
}

vtkSmartPointer<vtkPolyData> shadows_of(const std::vector<std::vector<Vector2d>>& outlines, double z_mm) {
  Flat flat(z_mm);
  for (const auto& outline : outlines)
    if (outline.size() >= 3) flat.add(outline);
  return flat.faces();
}

vtkSmartPointer<vtkPolyData> shadow_under(const std::vector<std::vector<Ring>>& tubes, const SectionLoops& section, double tube_radius_mm,
                                          double z_mm) {
  Flat flat(z_mm);
  for (const auto& tube : tubes)
    for (std::size_t i = 0; i + 1 < tube.size(); ++i) {
      const auto edge = [&](const Ring& ring, double side) -> Vector2d {
        Vector2d across(-ring.tangent.y(), ring.tangent.x());
        const double size = across.norm();
        across = size > 1e-9 ? Vector2d(across / size) : Vector2d::Zero();
        double reach = section.empty() ? tube_radius_mm : 0.0;
        if (!section.empty() && ring.section)
          for (const auto& at : section.front())
            reach = std::max(reach, side * across.dot((at[0] * ring.section->shafts + at[1] * ring.section->inward).head<2>()));
        return ring.centre.head<2>() + side * reach * across;
      };
      flat.add({edge(tube[i], 1), edge(tube[i], -1), edge(tube[i + 1], -1), edge(tube[i + 1], 1)});
    }
  return flat.faces();
}

}  // namespace coilwright::view
