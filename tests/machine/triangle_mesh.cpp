#include <catch2/catch.hpp>
#include <coilwright/machine/triangle_mesh.hpp>
#include <random>

using namespace coilwright;
using Eigen::Vector3d;

namespace {

struct Soup {
  std::vector<Vector3d> points;
  std::vector<TriangleMesh::Triangle> triangles;
};

// A box from 0 to (4, 6, 8), its sides cut in n x n squares of two triangles each; every triangle has its own
// corners.
Soup box(int n) {
  Soup soup;
  const Vector3d size(4, 6, 8);
  for (int axis = 0; axis < 3; ++axis)
    for (const int end : {0, 1})
      for (int i = 0; i < n; ++i)
        for (int j = 0; j < n; ++j) {
          const auto at = [&](int u, int v) {
            Vector3d p;
            p[axis] = end;
            p[(axis + 1) % 3] = static_cast<double>(i + u) / n;
            p[(axis + 2) % 3] = static_cast<double>(j + v) / n;
            return Vector3d(p.cwiseProduct(size));
          };
          const auto add = [&](const Vector3d& a, const Vector3d& b, const Vector3d& c) {
            const auto k = static_cast<std::uint32_t>(soup.points.size());
            soup.points.insert(soup.points.end(), {a, end ? b : c, end ? c : b});
            soup.triangles.push_back({k, k + 1, k + 2});
          };
          add(at(0, 0), at(1, 0), at(1, 1));
          add(at(0, 0), at(1, 1), at(0, 1));
        }
  return soup;
}

TriangleMesh mesh_of(const Soup& soup) { return TriangleMesh::from(soup.points, soup.triangles).value(); }

}  // namespace

TEST_CASE("equal corners are one, and a box is closed", "[machine][oracle]") {
  const TriangleMesh mesh = mesh_of(box(3));
  CHECK(mesh.triangles().size() == 6 * 9 * 2);
  CHECK(mesh.points().size() == 6 * 9 + 2);  // Euler: V - E + F = 2 with E = 3 F / 2
  CHECK(mesh.closed());
  CHECK(mesh.edges().branched == 0);
  CHECK(mesh.edges().turned == 0);
  CHECK(mesh.nodes().front().min == Vector3d(0, 0, 0));
  CHECK(mesh.nodes().front().max == Vector3d(4, 6, 8));
}

TEST_CASE("inside a mesh, also along its edges and corners", "[machine][oracle]") {
  const TriangleMesh mesh = mesh_of(box(4));
  std::mt19937_64 engine(5);
  for (int i = 0; i < 4000; ++i) {
    // A grid that the squares' corners, edges and diagonals lie on, moved off the surface by a half step.
    const auto number = [&](int from, int to) { return from + static_cast<int>(engine() % (to - from + 1u)); };
    const Vector3d p(0.5 * number(-3, 11) + 0.25, 0.75 * number(-3, 11) + 0.375, 1.0 * number(-3, 11) + 0.5);
    const bool truth = p.x() > 0 && p.x() < 4 && p.y() > 0 && p.y() < 6 && p.z() > 0 && p.z() < 8;
    CHECK(mesh.inside(p) == truth);
  }
}

TEST_CASE("what the edges of a mesh say", "[machine][input]") {
  Soup open = box(1);
  open.triangles.pop_back();
  CHECK(mesh_of(open).edges().open == 3);
  CHECK_FALSE(mesh_of(open).closed());

  Soup turned = box(1);
  std::swap(turned.triangles[0][1], turned.triangles[0][2]);
  CHECK(mesh_of(turned).closed());
  CHECK(mesh_of(turned).edges().turned == 3);

  Soup twice = box(1);  // a second box that shares one edge with the first
  const Soup other = box(1);
  for (const auto& t : other.triangles) {
    for (const std::uint32_t corner : t) twice.points.push_back(other.points[corner] + Vector3d(4, 6, 0));
    const auto k = static_cast<std::uint32_t>(twice.points.size()) - 3;
    twice.triangles.push_back({k, k + 1, k + 2});
  }
  CHECK(mesh_of(twice).edges().branched == 1);
  CHECK(mesh_of(twice).closed());

  Soup thin = box(1);
  thin.triangles.push_back({0, 0, 1});
  CHECK(mesh_of(thin).left_out() == 1);
  CHECK(mesh_of(thin).closed());
}

TEST_CASE("what makes no mesh", "[machine][input]") {
  const std::vector<Vector3d> corners{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}};
  CHECK_FALSE(TriangleMesh::from(corners, {}).has_value());
  CHECK_FALSE(TriangleMesh::from(corners, {{0, 1, 3}}).has_value());
  CHECK_FALSE(TriangleMesh::from(corners, {{1, 1, 2}}).has_value());
  CHECK_FALSE(TriangleMesh::from({{0, 0, 0}, {1, 0, 0}, {0, std::nan(""), 0}}, {{0, 1, 2}}).has_value());
  CHECK_FALSE(TriangleMesh::from(corners, std::vector<TriangleMesh::Triangle>(most_triangles + 1, {0, 1, 2})).has_value());
}
