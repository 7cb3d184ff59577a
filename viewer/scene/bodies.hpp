// Meshes of machine parts: faces with outward normals, and the edges a draughtsman would ink.
#pragma once

#include <coilwright/machine/shape.hpp>
#include <vector>
#include <viewer/scene/subject.hpp>
#include <vtkSmartPointer.h>

class vtkPolyData;

namespace coilwright::view {

struct BodyMesh {
  vtkSmartPointer<vtkPolyData> faces;   // with normals
  vtkSmartPointer<vtkPolyData> edges;   // lines
  std::vector<Eigen::Vector3d> outline; // points that span it, for fitting and for shadows
};

enum class Mirror { none, in_x };

// Bodies other than half-spaces; a circle that two bodies share is inked only where their flanks make a
// corner. `grown_mm` moves flanks of bodies of revolution outward (for the outline behind them).
BodyMesh mesh_of(const std::vector<Shape>& bodies, Mirror mirror, double grown_mm = 0.0);

// Corner points of the plan outline (convex) of one body, for its shadow.
std::vector<Eigen::Vector2d> plan_hull(std::vector<Eigen::Vector2d> points);

// Points on the surface of one body, not mirrored.
std::vector<Eigen::Vector3d> spanning_points(const Shape& body);

}  // namespace coilwright::view
