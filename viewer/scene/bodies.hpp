// Meshes of machine parts: faces with outward normals, and the lines a draughtsman would ink.
#pragma once

#include <coilwright/machine/shape.hpp>
#include <vector>
#include <viewer/scene/subject.hpp>
#include <vtkSmartPointer.h>

class vtkPolyData;

namespace coilwright::view {

struct BodyMesh {
  vtkSmartPointer<vtkPolyData> faces;   // with normals
  std::vector<Eigen::Vector3d> outline; // points that span it, for fitting and for shadows
};

enum class Mirror { none, in_x };

// Bodies other than half-spaces.
BodyMesh mesh_of(const std::vector<Shape>& bodies, Mirror mirror);

// Their ink, standing `off_mm` outside of the faces so that it is not lost in them.
struct BodyInk {
  vtkSmartPointer<vtkPolyData> edges;   // lines; a circle that two bodies share only where a corner is
  vtkSmartPointer<vtkPolyData> shells;  // flanks of bodies of revolution: of them only the far side is drawn
};
BodyInk ink_of(const std::vector<Shape>& bodies, Mirror mirror, double off_mm);

// Corner points of the plan outline (convex) of one body, for its shadow.
std::vector<Eigen::Vector2d> plan_hull(std::vector<Eigen::Vector2d> points);

// Points on the surface of one body, not mirrored.
std::vector<Eigen::Vector3d> spanning_points(const Shape& body);

}  // namespace coilwright::view
