// A round tube swept along points of a centreline, as a closed mesh with outward normals.
#pragma once

#include <Eigen/Core>
#include <array>
#include <optional>
#include <vector>
#include <vtkSmartPointer.h>

class vtkPolyData;

namespace coilwright::view {

// How a section that is not round lies: its depth toward the inside of the bend, and the way along the shafts.
struct SectionDirections {
  Eigen::Vector3d inward, shafts;
};

// One cross-section: where, which way the tube runs there, and the clearance it is coloured by.
struct Ring {
  Eigen::Vector3d centre, tangent;  // unit tangent
  double clearance_mm = 0.0;
  double lag_mm = 0.0;
  std::optional<SectionDirections> section = {};  // of stock that is not round
};

inline constexpr int tube_sides = 28;

// The two directions that span a ring: side = tangent x z, up = side x tangent. They never flip along a
// helix as a curve's own normal does on a straight; for a vertical tangent, where tangent x z vanishes, the
// direction before it is kept.
struct RingAxes {
  Eigen::Vector3d side, up;
};
RingAxes ring_axes(const Eigen::Vector3d& tangent, const std::optional<RingAxes>& before);

// At least two rings. Points by ring, then around; two capped ends with points of their own, so that the
// ends are shaded flat. The array "clearance_mm" has one value a point. Quads: (rings - 1) * tube_sides,
// and two caps of tube_sides corners.
vtkSmartPointer<vtkPolyData> swept_tube(const std::vector<Ring>& rings, double radius_mm);

// A section that is not round: its loops as points (x along the shafts, y toward the inside of the bend), the
// outside first and to the left, holes to the right.
using SectionLoops = std::vector<std::vector<std::array<double, 2>>>;

// The same for such a section, which lies as its rings say. Every face has points of its own, so that edges are sharp; the
// ends are closed over, holes too.
vtkSmartPointer<vtkPolyData> swept_section(const std::vector<Ring>& rings, const SectionLoops& loops);

// Stock with a section, or round where that is empty; standing so far off its surface on all sides, then without its bore.
vtkSmartPointer<vtkPolyData> swept_stock(const std::vector<Ring>& rings, const SectionLoops& section, double tube_radius_mm,
                                         double off_mm = 0.0);

}  // namespace coilwright::view
