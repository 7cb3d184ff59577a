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

// The outside of an outline, so much farther out on all its sides.
SectionLoops grown_outside(const SectionLoops& loops, double by_mm) {
  SectionLoops grown{loops.front()};
  auto& loop = grown.front();
  const auto outward = [](const std::array<double, 2>& a, const std::array<double, 2>& b) -> Eigen::Vector2d {
    return Eigen::Vector2d(b[1] - a[1], a[0] - b[0]).normalized();  // material to the left
  };
  constexpr double sharpest = 0.2;  // of what sharper corners there are the mitre is cut short
  for (std::size_t k = 0; k < loop.size(); ++k) {
    const auto& at = loops.front()[k];
    const Eigen::Vector2d before = outward(loops.front()[(k + loop.size() - 1) % loop.size()], at),
                          after = outward(at, loops.front()[(k + 1) % loop.size()]);
    const Eigen::Vector2d corner = by_mm / std::max(sharpest, 1.0 + before.dot(after)) * (before + after);
    loop[k] = {at[0] + corner.x(), at[1] + corner.y()};
  }
  return grown;
}

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

vtkSmartPointer<vtkPolyData> swept_section(const std::vector<Ring>& rings, const SectionLoops& loops) {
  require(rings.size() >= 2 && !loops.empty(), "a swept section needs two rings and an outline");
  require(std::all_of(rings.begin(), rings.end(), [](const Ring& ring) { return ring.section.has_value(); }),
          "every ring of a section says how it lies");
  SweptMesh swept;
  const auto in_space = [&](std::size_t i, double x, double y) -> Eigen::Vector3d {
    return y * rings[i].section->inward + x * rings[i].section->shafts;
  };
  // The loops run to the left as seen against the tangent, or, in the mirror, as seen along it.
  const auto& first = *rings.front().section;
  const bool against = first.shafts.cross(first.inward).dot(rings.front().tangent) > 0.0;
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
          swept.faces->InsertNextCell(4, against ? quad : turned);
        }
        before[0] = here[0], before[1] = here[1];
      }
    }
  const auto cap = [&](std::size_t i, const Eigen::Vector3d& normal) {
    std::vector<vtkIdType> corners;
    for (const auto& at : loops.front()) corners.push_back(add(i, at, normal));
    if ((normal.dot(rings[i].tangent) > 0.0) != against) std::reverse(corners.begin(), corners.end());
    swept.faces->InsertNextCell(static_cast<vtkIdType>(corners.size()), corners.data());
  };
  cap(0, -rings.front().tangent);
  cap(rings.size() - 1, rings.back().tangent);
  return swept.mesh();
}

vtkSmartPointer<vtkPolyData> swept_stock(const std::vector<Ring>& rings, const SectionLoops& section, double tube_radius_mm, double off_mm) {
  if (section.empty()) return swept_tube(rings, tube_radius_mm + off_mm);
  return swept_section(rings, off_mm > 0.0 ? grown_outside(section, off_mm) : section);
}

}  // namespace coilwright::view
