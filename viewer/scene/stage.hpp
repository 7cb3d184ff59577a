// What the machine stands on: a round floor with a light grid, the shadows on it, the line nobody may
// cross, and the ceiling as a dashed circle. Never a slab that hides the part.
#pragma once

#include <vector>
#include <viewer/scene/sweep.hpp>
#include <vtkSmartPointer.h>

class vtkPolyData;

namespace coilwright::view {

inline constexpr double grid_mm = 500.0;

struct Disc {
  Eigen::Vector2d centre;
  double radius_mm, z_mm;
};

vtkSmartPointer<vtkPolyData> filled(const Disc& disc);
// The rim, and lines every `step_mm` through the origin of M, clipped to the disc.
vtkSmartPointer<vtkPolyData> grid_on(const Disc& disc, double step_mm);
// A circle of `count` dashes, `width_mm` broad, with a low upright edge so that it is seen from the side too.
vtkSmartPointer<vtkPolyData> dashed_circle(const Disc& disc, double width_mm, int count);
// Straight down onto z: outlines of bodies and the ribbon under the part, as wide as its section (empty: round) lies.
vtkSmartPointer<vtkPolyData> shadows_of(const std::vector<std::vector<Eigen::Vector2d>>& outlines, double z_mm);
vtkSmartPointer<vtkPolyData> shadow_under(const std::vector<std::vector<Ring>>& tubes, const SectionLoops& section, double tube_radius_mm,
                                          double z_mm);

}  // namespace coilwright::view
