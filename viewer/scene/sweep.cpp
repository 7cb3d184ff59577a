#include <Eigen/Geometry>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <numbers>
#include <viewer/scene/sweep.hpp>
#include <vtkCellArray.h>
#include <vtkDoubleArray.h>
#include <vtkFloatArray.h>
#include <vtkPointData.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>

namespace coilwright::view {

RingAxes ring_axes(const Eigen::Vector3d& tangent, const std::optional<RingAxes>& before) {
  Eigen::Vector3d side = tangent.cross(Eigen::Vector3d::UnitZ());
  // Within half a degree of the vertical its direction says nothing: keep the one before.
  if (side.norm() < 0.01) {
    const Eigen::Vector3d kept = before ? before->side : Eigen::Vector3d::UnitX();
    side = kept - kept.dot(tangent) * tangent;
  } else if (before && side.dot(before->side) < 0.0 && std::abs(tangent.z()) > 0.5) {
    side = -side;  // the tangent passed over the vertical
  }
  side.normalize();
  return {side, side.cross(tangent)};
}

vtkSmartPointer<vtkPolyData> swept_tube(const std::vector<Ring>& rings, double radius_mm) {
  require(rings.size() >= 2, "a swept tube needs two rings");
  const auto points = vtkSmartPointer<vtkPoints>::New();
  points->SetDataTypeToDouble();
  const auto normals = vtkSmartPointer<vtkFloatArray>::New();
  normals->SetNumberOfComponents(3);
  normals->SetName("Normals");
  const auto clearance = vtkSmartPointer<vtkDoubleArray>::New();
  clearance->SetName("clearance_mm");
  const auto faces = vtkSmartPointer<vtkCellArray>::New();

  const auto add = [&](const Ring& ring, const Eigen::Vector3d& out, const Eigen::Vector3d& normal) {
    const Eigen::Vector3d p = ring.centre + radius_mm * out;
    normals->InsertNextTuple3(normal.x(), normal.y(), normal.z());
    clearance->InsertNextValue(ring.clearance_mm);
    return points->InsertNextPoint(p.data());
  };
  const auto around = [](const RingAxes& axes, int k) -> Eigen::Vector3d {
    const double angle = 2.0 * std::numbers::pi * k / tube_sides;
    return std::cos(angle) * axes.side + std::sin(angle) * axes.up;
  };

  std::optional<RingAxes> axes, first;
  for (const Ring& ring : rings) {
    axes = ring_axes(ring.tangent, axes);
    if (!first) first = axes;
    for (int k = 0; k < tube_sides; ++k) add(ring, around(*axes, k), around(*axes, k));
  }
  const auto count = static_cast<vtkIdType>(rings.size());
  for (vtkIdType i = 0; i + 1 < count; ++i)
    for (vtkIdType k = 0; k < tube_sides; ++k) {
      const vtkIdType next = (k + 1) % tube_sides, a = i * tube_sides, b = a + tube_sides;
      const vtkIdType quad[4] = {a + k, b + k, b + next, a + next};
      faces->InsertNextCell(4, quad);
    }
  // Caps: corners run so that each faces away from the tube.
  const auto cap = [&](const Ring& ring, const RingAxes& at, const Eigen::Vector3d& normal, int step) {
    faces->InsertNextCell(tube_sides);
    for (int k = 0; k < tube_sides; ++k) faces->InsertCellPoint(add(ring, around(at, step * k), normal));
  };
  cap(rings.front(), *first, -rings.front().tangent, 1);
  cap(rings.back(), *axes, rings.back().tangent, -1);

  const auto mesh = vtkSmartPointer<vtkPolyData>::New();
  mesh->SetPoints(points);
  mesh->SetPolys(faces);
  mesh->GetPointData()->SetNormals(normals);
  mesh->GetPointData()->SetScalars(clearance);
  return mesh;
}

}  // namespace coilwright::view
