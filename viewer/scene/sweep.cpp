#include <Eigen/Geometry>
#include <algorithm>
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
namespace {

// Points with their normals and the clearance they are coloured by, and the faces between them.
struct SweptMesh {
  vtkSmartPointer<vtkPoints> points = vtkSmartPointer<vtkPoints>::New();
  vtkSmartPointer<vtkFloatArray> normals = vtkSmartPointer<vtkFloatArray>::New();
  vtkSmartPointer<vtkDoubleArray> clearance = vtkSmartPointer<vtkDoubleArray>::New();
  vtkSmartPointer<vtkCellArray> faces = vtkSmartPointer<vtkCellArray>::New();

  SweptMesh() {
    points->SetDataTypeToDouble();
    normals->SetNumberOfComponents(3);
    normals->SetName("Normals");
    clearance->SetName("clearance_mm");
  }
  vtkIdType point(const Eigen::Vector3d& p, const Eigen::Vector3d& normal, double clearance_mm) {
    normals->InsertNextTuple3(normal.x(), normal.y(), normal.z());
    clearance->InsertNextValue(clearance_mm);
    return points->InsertNextPoint(p.data());
  }
  [[nodiscard]] vtkSmartPointer<vtkPolyData> mesh() const {
    const auto out = vtkSmartPointer<vtkPolyData>::New();
    out->SetPoints(points);
    out->SetPolys(faces);
    out->GetPointData()->SetNormals(normals);
    out->GetPointData()->SetScalars(clearance);
    return out;
  }
};

}  // namespace

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
  SweptMesh swept;
  const auto add = [&](const Ring& ring, const Eigen::Vector3d& out, const Eigen::Vector3d& normal) {
    return swept.point(ring.centre + radius_mm * out, normal, ring.clearance_mm);
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
      swept.faces->InsertNextCell(4, quad);
    }
  // Caps: corners run so that each faces away from the tube.
  const auto cap = [&](const Ring& ring, const RingAxes& at, const Eigen::Vector3d& normal, int step) {
    swept.faces->InsertNextCell(tube_sides);
    for (int k = 0; k < tube_sides; ++k) swept.faces->InsertCellPoint(add(ring, around(at, step * k), normal));
  };
  cap(rings.front(), *first, -rings.front().tangent, 1);
  cap(rings.back(), *axes, rings.back().tangent, -1);

  return swept.mesh();
}

vtkSmartPointer<vtkPolyData> swept_section(const std::vector<Ring>& rings, const SectionLoops& loops, InsideOfBend inside) {
  require(rings.size() >= 2 && !loops.empty(), "a swept section needs two rings and an outline");
  const double inward = inside == InsideOfBend::at_side ? 1.0 : -1.0;
  SweptMesh swept;
  std::vector<RingAxes> axes;
  for (const Ring& ring : rings) axes.push_back(ring_axes(ring.tangent, axes.empty() ? std::nullopt : std::optional(axes.back())));
  const auto in_space = [&](std::size_t i, double x, double y) -> Eigen::Vector3d {
    if (const auto& lies = rings[i].section) return y * lies->inward + x * lies->shafts;
    return inward * y * axes[i].side + x * axes[i].up;
  };
  const auto add = [&](std::size_t i, const std::array<double, 2>& at, const Eigen::Vector3d& normal) {
    return swept.point(rings[i].centre + in_space(i, at[0], at[1]), normal, rings[i].clearance_mm);
  };
  for (const auto& loop : loops)
    for (std::size_t k = 0; k < loop.size(); ++k) {
      const auto &a = loop[k], &b = loop[(k + 1) % loop.size()];
      // Loops run with the material to the left: outward is to the right of a side.
      const Eigen::Vector2d out = Eigen::Vector2d(b[1] - a[1], a[0] - b[0]).normalized();
      vtkIdType before[2] = {0, 0};
      for (std::size_t i = 0; i < rings.size(); ++i) {
        const Eigen::Vector3d normal = in_space(i, out.x(), out.y());
        const vtkIdType here[2] = {add(i, a, normal), add(i, b, normal)};
        if (i > 0) {
          // Corners run so that each face is seen from outside.
          const vtkIdType quad[4] = {before[0], before[1], here[1], here[0]};
          const vtkIdType turned[4] = {here[0], here[1], before[1], before[0]};
          swept.faces->InsertNextCell(4, inside == InsideOfBend::at_side ? quad : turned);
        }
        before[0] = here[0], before[1] = here[1];
      }
    }
  const auto cap = [&](std::size_t i, const Eigen::Vector3d& normal) {
    std::vector<vtkIdType> corners;
    for (const auto& at : loops.front()) corners.push_back(add(i, at, normal));
    // The loop, to the left, faces along the tangent where the inside is at the side.
    if ((normal.dot(rings[i].tangent) > 0.0) != (inside == InsideOfBend::at_side)) std::reverse(corners.begin(), corners.end());
    swept.faces->InsertNextCell(static_cast<vtkIdType>(corners.size()), corners.data());
  };
  cap(0, -rings.front().tangent);
  cap(rings.size() - 1, rings.back().tangent);
  return swept.mesh();
}

}  // namespace coilwright::view
