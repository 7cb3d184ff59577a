#include <Eigen/Geometry>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <viewer/scene/bodies.hpp>
#include <vtkIdList.h>
#include <vtkMassProperties.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkPolyData.h>
#include <vtkTriangleFilter.h>

using namespace coilwright;
using namespace coilwright::view;
using Eigen::Vector3d;

namespace {

double volume(vtkPolyData* mesh) {
  const vtkNew<vtkTriangleFilter> triangles;
  triangles->SetInputData(mesh);
  const vtkNew<vtkMassProperties> mass;
  mass->SetInputConnection(triangles->GetOutputPort());
  mass->Update();
  return mass->GetVolume();
}

// Every face is wound so that its corners' normals lie on its outer side.
bool faces_outward(vtkPolyData* mesh) {
  const vtkNew<vtkIdList> ids;
  for (vtkIdType f = 0; f < mesh->GetNumberOfCells(); ++f) {
    mesh->GetCellPoints(f, ids);
    Vector3d a, b, c, n;
    mesh->GetPoint(ids->GetId(0), a.data());
    mesh->GetPoint(ids->GetId(1), b.data());
    mesh->GetPoint(ids->GetId(2), c.data());
    mesh->GetPointData()->GetNormals()->GetTuple(ids->GetId(0), n.data());
    if ((b - a).cross(c - a).dot(n) < 0.0) return false;
  }
  return true;
}

const std::vector<Shape> cylinder{Cylinder{{10, 20, -30}, {40, -20, 60}, 25}};
const std::vector<Shape> frustum{Frustum{{0, 0, 0}, {0, 0, 50}, 30, 12}};
const std::vector<Shape> box{Box{{-10, -20, -30}, {30, 50, 40}, 0.7}};

}  // namespace

TEST_CASE("bodies have the volume of their shape, mirrored or not, wound outward", "[oracle]") {
  // A circle is drawn with 72 corners: its area is smaller by sin(x)/x, x = 2 pi / 72.
  const double x = 2.0 * std::numbers::pi / 72.0, round = std::sin(x) / x;
  for (const Mirror mirror : {Mirror::none, Mirror::in_x}) {
    const auto c = mesh_of(cylinder, mirror), f = mesh_of(frustum, mirror), b = mesh_of(box, mirror);
    const double length = Vector3d(30, -40, 90).norm();
    CHECK(volume(c.faces) == Approx(round * std::numbers::pi * 625.0 * length).epsilon(1e-4));
    CHECK(volume(f.faces) == Approx(round * std::numbers::pi * 50.0 / 3.0 * (900.0 + 360.0 + 144.0)).epsilon(1e-4));
    CHECK(volume(b.faces) == Approx(40.0 * 70.0 * 70.0).epsilon(1e-4));
    for (const auto& mesh : {c, f, b}) CHECK(faces_outward(mesh.faces));
  }
}

TEST_CASE("mirroring in x changes the sign of x and nothing else", "[property]") {
  const auto plain = mesh_of(box, Mirror::none), mirrored = mesh_of(box, Mirror::in_x);
  REQUIRE(plain.outline.size() == mirrored.outline.size());
  for (std::size_t i = 0; i < plain.outline.size(); ++i) {
    CHECK(mirrored.outline[i].x() == -plain.outline[i].x());
    CHECK(mirrored.outline[i].y() == plain.outline[i].y());
    CHECK(mirrored.outline[i].z() == plain.outline[i].z());
  }
}

TEST_CASE("a box is inked along twelve edges, a cylinder along two circles", "[property]") {
  CHECK(ink_of(box, Mirror::none, 1.0).edges->GetNumberOfLines() == 12);
  CHECK(ink_of(cylinder, Mirror::none, 1.0).edges->GetNumberOfLines() == 2);
}

TEST_CASE("a circle that two bodies share is inked once, and only where there is a corner", "[property]") {
  const std::vector<Shape> smooth{Cylinder{{0, 0, 0}, {0, 0, 10}, 5}, Cylinder{{0, 0, 10}, {0, 0, 30}, 5}};
  CHECK(ink_of(smooth, Mirror::none, 0.1).edges->GetNumberOfLines() == 2);
  const std::vector<Shape> corner{Cylinder{{0, 0, 0}, {0, 0, 10}, 5}, Frustum{{0, 0, 10}, {0, 0, 14}, 5, 1}};
  CHECK(ink_of(corner, Mirror::none, 0.1).edges->GetNumberOfLines() == 3);
}

TEST_CASE("the plan hull of points is convex and holds them all", "[property]") {
  std::vector<Eigen::Vector2d> points;
  unsigned seed = 7;
  for (int i = 0; i < 200; ++i) {
    seed = seed * 1664525u + 1013904223u;  // Numerical Recipes, quick generator
    const double a = seed / 4294967296.0;
    seed = seed * 1664525u + 1013904223u;
    points.emplace_back(a, seed / 4294967296.0);
  }
  const auto hull = plan_hull(points);
  REQUIRE(hull.size() >= 3);
  for (std::size_t i = 0; i < hull.size(); ++i) {
    const Eigen::Vector2d a = hull[i], d = hull[(i + 1) % hull.size()] - a;
    for (const auto& p : points) REQUIRE(d.x() * (p - a).y() - d.y() * (p - a).x() >= -1e-15);
  }
}

TEST_CASE("a hull and a mesh are drawn with their volume, mirrored or not, their sharp edges inked", "[oracle]") {
  // A cube of 40, as the hull of its corners and as the mesh of that hull's faces, moved and mirrored.
  std::vector<Vector3d> corners;
  for (const double x : {0.0, 40.0})
    for (const double y : {0.0, 40.0})
      for (const double z : {0.0, 40.0}) corners.emplace_back(x, y, z);
  const ConvexHull hull = hull_of(corners).value();
  std::vector<TriangleMesh::Triangle> faces(hull.faces.begin(), hull.faces.end());
  const MeshBody drawn{std::make_shared<const TriangleMesh>(TriangleMesh::from(hull.points, faces).value())};
  for (const Shape& body : {Shape(hull), Shape(drawn), moved(drawn, {100, 0, 0}), mirrored_in_x(drawn)})
    for (const Mirror mirror : {Mirror::none, Mirror::in_x}) {
      const BodyMesh mesh = mesh_of({body}, mirror);
      CHECK(volume(mesh.faces) == Approx(64000.0).epsilon(1e-6));
      CHECK(faces_outward(mesh.faces));
      CHECK(ink_of({body}, mirror, 1.0).edges->GetNumberOfCells() == 12);  // not the diagonals of its faces
      CHECK(spanning_points(body).size() == 8);
    }
}
