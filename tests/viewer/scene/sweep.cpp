#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <viewer/scene/sweep.hpp>
#include <vtkIdList.h>
#include <vtkMassProperties.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkPolyData.h>
#include <vtkTriangleFilter.h>

using namespace coilwright::view;
using Eigen::Vector3d;

namespace {

std::vector<Ring> helix_rings(double radius, double c, int count) {
  std::vector<Ring> out;
  for (int i = 0; i < count; ++i) {
    const double a = 0.1 * i;
    out.push_back({{radius * std::cos(a), radius * std::sin(a), c * a},
                   Vector3d(-radius * std::sin(a), radius * std::cos(a), c).normalized(),
                   1.0 * i,
                   a});
  }
  return out;
}

Vector3d point(vtkPolyData* mesh, vtkIdType id) {
  Vector3d p;
  mesh->GetPoint(id, p.data());
  return p;
}

Vector3d normal(vtkPolyData* mesh, vtkIdType id) {
  Vector3d n;
  mesh->GetPointData()->GetNormals()->GetTuple(id, n.data());
  return n;
}

// Worst agreement of a face's winding with the normals at its corners; must be positive.
double worst_winding(vtkPolyData* mesh) {
  double worst = 1.0;
  const vtkNew<vtkIdList> ids;
  for (vtkIdType f = 0; f < mesh->GetNumberOfCells(); ++f) {
    mesh->GetCellPoints(f, ids);
    const Vector3d a = point(mesh, ids->GetId(0)), b = point(mesh, ids->GetId(1)), c = point(mesh, ids->GetId(2));
    const Vector3d face = (b - a).cross(c - a).normalized();
    for (vtkIdType k = 0; k < ids->GetNumberOfIds(); ++k)
      worst = std::min(worst, face.dot(normal(mesh, ids->GetId(k))));
  }
  return worst;
}

// 100 mm along x, its section lying so.
std::vector<Ring> straight(const Vector3d& inward, const Vector3d& shafts) {
  return {{{0, 0, 0}, Vector3d::UnitX(), 0, 0, SectionDirections{inward, shafts}},
          {{100, 0, 0}, Vector3d::UnitX(), 0, 100, SectionDirections{inward, shafts}}};
}

}  // namespace

TEST_CASE("a swept tube has the cells it should, its points on the tube, its faces outward", "[property]") {
  const auto rings = helix_rings(200.0, 40.0, 50);
  const auto mesh = swept_tube(rings, 15.0);
  CHECK(mesh->GetNumberOfCells() == 49 * tube_sides + 2);
  CHECK(mesh->GetNumberOfPoints() == 50 * tube_sides + 2 * tube_sides);
  for (int i = 0; i < 50; ++i)
    for (int k = 0; k < tube_sides; ++k) {
      const Vector3d out = point(mesh, i * tube_sides + k) - rings[static_cast<std::size_t>(i)].centre;
      REQUIRE(out.norm() == Approx(15.0).epsilon(1e-12));
      REQUIRE(std::abs(out.dot(rings[static_cast<std::size_t>(i)].tangent)) < 1e-9);
      REQUIRE(mesh->GetPointData()->GetScalars()->GetTuple1(i * tube_sides + k) == 1.0 * i);
    }
  CHECK(worst_winding(mesh) > 0.9);
}

TEST_CASE("the volume of a swept straight is that of a prism: closed, and wound outward", "[oracle]") {
  const std::vector<Ring> rings{{{0, 0, 0}, Vector3d::UnitX(), 0, 0}, {{100, 0, 0}, Vector3d::UnitX(), 0, 100}};
  const vtkNew<vtkTriangleFilter> triangles;
  triangles->SetInputData(swept_tube(rings, 10.0));
  const vtkNew<vtkMassProperties> mass;
  mass->SetInputConnection(triangles->GetOutputPort());
  mass->Update();
  // A regular polygon with n corners on a circle: n/2 r^2 sin(2 pi / n).
  const double area = 0.5 * tube_sides * 100.0 * std::sin(2.0 * M_PI / tube_sides);
  CHECK(mass->GetVolume() == Approx(area * 100.0).epsilon(1e-6));
}

TEST_CASE("a vertical tangent keeps the directions before it, and passing over it does not flip them", "[property]") {
  // An upright half circle, from just after one vertical tangent through the next one.
  std::optional<RingAxes> before;
  double worst = 1.0;
  for (int i = 5; i <= 200; ++i) {
    const double a = i * M_PI / 180.0;
    const Vector3d t(std::sin(a), 0.0, std::cos(a));
    const RingAxes axes = ring_axes(t, before);
    REQUIRE(axes.side.norm() == Approx(1.0));
    REQUIRE(std::abs(axes.side.dot(t)) < 1e-12);
    if (before) worst = std::min(worst, axes.side.dot(before->side));
    before = axes;
  }
  CHECK(worst > 0.9);
  CHECK(ring_axes(Vector3d::UnitZ(), std::nullopt).side.norm() == Approx(1.0));
}

TEST_CASE("a tube of one ring is a caller's bug", "[input]") {
  CHECK_THROWS_AS(swept_tube({{{0, 0, 0}, Vector3d::UnitX(), 0, 0}}, 5.0), coilwright::InternalError);
}

TEST_CASE("a square swept along a straight is a closed box with its normals outward", "[sweep][oracle]") {
  // 40 x 40 about the centre, 100 long: 2 x 1600 + 4 x 4000.
  const SectionLoops square{{{-20, -20}, {20, -20}, {20, 20}, {-20, 20}}};
  // The inside of the bend to the left of travel, and in the mirror to the right.
  for (const double left : {1.0, -1.0}) {
    const auto mesh = swept_section(straight(left * Vector3d::UnitY(), Vector3d::UnitZ()), square);
    REQUIRE(mesh->GetNumberOfCells() == 6);
    double area = 0.0;
    for (vtkIdType c = 0; c < mesh->GetNumberOfCells(); ++c) {
      vtkIdType count = 0;
      const vtkIdType* ids = nullptr;
      mesh->GetCellPoints(c, count, ids);
      REQUIRE(count == 4);
      const auto at = [&](vtkIdType k) { return Vector3d(mesh->GetPoint(ids[k])); };
      const Vector3d face = 0.5 * (at(2) - at(0)).cross(at(3) - at(1));
      area += face.norm();
      const Vector3d middle = 0.25 * (at(0) + at(1) + at(2) + at(3));
      const Vector3d normal(mesh->GetPointData()->GetNormals()->GetTuple3(ids[0]));
      CHECK(normal.dot(middle - Vector3d(50, 0, 0)) > 0.0);
      CHECK(face.dot(normal) > 0.0);  // seen from outside
    }
    CHECK(area == Approx(2 * 1600.0 + 4 * 4000.0).epsilon(1e-12));
  }
}

TEST_CASE("an angle swept along a bend has its leg on the inside", "[sweep][oracle]") {
  // All of the section lies at y > 0, toward the inside of a bend to the left of travel.
  const SectionLoops section{{{0, 10}, {5, 10}, {5, 30}, {0, 30}}};
  const auto mesh = swept_section(straight(Vector3d::UnitY(), Vector3d::UnitZ()), section);
  for (vtkIdType i = 0; i < mesh->GetNumberOfPoints(); ++i) CHECK(mesh->GetPoint(i)[1] >= 10.0 - 1e-9);
}

TEST_CASE("a section lies as its rings say, and not upright", "[sweep][property]") {
  // Turned by 30 degrees about the way it runs: a flat bar of 50 x 10, its 50 along the shafts.
  const double c = std::cos(M_PI / 6), s = std::sin(M_PI / 6);
  const Vector3d inward(0, c, s), shafts(0, -s, c);
  const auto mesh = swept_section(straight(inward, shafts), {{{-25, -5}, {25, -5}, {25, 5}, {-25, 5}}});
  for (vtkIdType i = 0; i < mesh->GetNumberOfPoints(); ++i) {
    CHECK(std::abs(point(mesh, i).dot(inward)) == Approx(5.0));
    CHECK(std::abs(point(mesh, i).dot(shafts)) == Approx(25.0));
  }
  CHECK_THROWS_AS(swept_section({{{0, 0, 0}, Vector3d::UnitX(), 0, 0}, {{100, 0, 0}, Vector3d::UnitX(), 0, 100}}, {{{-5, -5}, {5, -5}, {5, 5}}}),
                  coilwright::InternalError);
}

TEST_CASE("what stands off a section does so on every side, and off a round tube by its radius", "[sweep][oracle]") {
  // An L: 40 x 40 with legs of 10; 2 mm off it every side moves out by 2 mm, also at the corner that goes in.
  const SectionLoops angle{{{0, 0}, {40, 0}, {40, 10}, {10, 10}, {10, 40}, {0, 40}}};
  const auto mesh = swept_stock(straight(Vector3d::UnitY(), Vector3d::UnitZ()), angle, 30.0, 2.0);
  std::vector<std::array<double, 2>> wanted{{-2, -2}, {42, -2}, {42, 12}, {12, 12}, {12, 42}, {-2, 42}};
  for (const auto& at : wanted) {
    bool found = false;
    for (vtkIdType i = 0; i < mesh->GetNumberOfPoints(); ++i)
      found = found || (point(mesh, i) - Vector3d(0, at[1], at[0])).norm() < 1e-9;
    CHECK(found);
  }
  const auto tube = swept_stock(straight(Vector3d::UnitY(), Vector3d::UnitZ()), {}, 30.0, 2.0);
  for (vtkIdType i = 0; i < tube->GetNumberOfPoints(); ++i) CHECK(point(tube, i).tail<2>().norm() == Approx(32.0));
}
