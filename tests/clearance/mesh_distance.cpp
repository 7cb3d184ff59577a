#include <catch2/catch.hpp>
#include <coilwright/clearance/certified_minimum.hpp>
#include <coilwright/clearance/mesh_distance.hpp>

#include "counted_scenes.hpp"

using namespace coilwright;
using bench::Dice;
using bench::grooved_roll;
using Eigen::Vector3d;

namespace {

constexpr double tolerance = 0.01;

MeshBody at(std::shared_ptr<const TriangleMesh> mesh, const Vector3d& by,
            MeshBody::Side side = MeshBody::Side::as_drawn) {
  return {std::move(mesh), by, side};
}

LeastDistance least(CertifiedMinimum& search, const Stretch& stretch, const MeshBody& mesh, double straight = 0.0) {
  const std::vector<MeshDistance> meshes{MeshDistance(mesh)};
  const std::vector<std::uint32_t> index{mesh_index(0)};
  const std::vector<Course> courses{{stretch, straight, index}};
  return search.find(courses, Scenery{{}, meshes});
}

// The nearest of all triangles to a point, one after the other.
double nearest_triangle(const MeshBody& body, const Vector3d& p) {
  double least_mm = 1e300;
  for (const auto& t : body.mesh->triangles())
    least_mm = std::min(least_mm, (p - nearest_on_triangle(p, body.placed(body.mesh->points()[t[0]]),
                                                           body.placed(body.mesh->points()[t[1]]),
                                                           body.placed(body.mesh->points()[t[2]])))
                                      .norm());
  return least_mm;
}

}  // namespace

TEST_CASE("pieces of a mesh hold what is in them", "[clearance][property]") {
  Dice dice(71);
  const MeshBody body = at(grooved_roll(12, 6), {30, 40, 50}, MeshBody::Side::mirrored);
  const MeshDistance mesh(body);
  for (int i = 0; i < 20; ++i) {
    const Vector3d p = dice.within(300), x = dice.within(300);
    std::vector<MeshDistance::Piece> stack{{}};
    double nearest = 1e300;
    while (!stack.empty()) {
      const MeshDistance::Piece piece = stack.back();
      stack.pop_back();
      const SurfaceDistance here = mesh.distance(piece, p), there = mesh.distance(piece, x);
      CHECK(there.distance_mm >= here.distance_mm + here.direction.dot(x - p) - 1e-9);
      CHECK(std::abs(there.distance_mm - here.distance_mm) <= (x - p).norm() + 1e-9);
      if (piece.kind == MeshDistance::Piece::Kind::triangle) {
        nearest = std::min(nearest, here.distance_mm);
        continue;
      }
      const auto parts = mesh.parts_of(piece);
      for (std::uint32_t k = 0; k < parts.count; ++k) {
        CHECK(mesh.distance(parts.piece[k], p).distance_mm >= here.distance_mm - 1e-9);
        stack.push_back(parts.piece[k]);
      }
    }
    CHECK(nearest == Approx(nearest_triangle(body, p)).margin(1e-9));
  }
}

TEST_CASE("the half-space of a triangle holds it, however near or thin", "[clearance][bound][attack]") {
  Dice dice(75);
  bench::Claim supports, lipschitz;
  const double rounding = 1e-11;  // coordinates up to 300 mm
  const auto speck = [&](double from) { return Vector3d(dice.within(std::pow(10.0, dice.between(from, 0)))); };
  for (int i = 0; i < 3000 * bench::effort(); ++i) {
    std::vector<Vector3d> corners{dice.within(100), dice.within(100), dice.within(100)};
    if (i % 4 == 1) corners[2] = corners[0] + dice.between(0, 1) * (corners[1] - corners[0]) + speck(-9);
    if (i % 4 == 2) corners[2] = corners[0] + speck(-9);
    if (i % 4 == 3)
      for (Vector3d& corner : corners) corner *= 0.01;
    const auto mesh = std::make_shared<const TriangleMesh>(TriangleMesh::from(corners, {{0, 1, 2}}).value());
    const MeshDistance distance(at(mesh, Vector3d::Zero()));
    const MeshDistance::Piece triangle{MeshDistance::Piece::Kind::triangle, 0};
    for (int k = 0; k < 6; ++k) {
      Vector3d p = dice.within(200);
      if (k % 3 == 1) {
        const SurfaceDistance found = distance.distance(triangle, p);
        p += speck(-12) - found.distance_mm * found.direction;
      } else if (k % 3 == 2) {
        const double a = dice.between(0, 1), b = dice.between(0, 1 - a);
        p = corners[0] + a * (corners[1] - corners[0]) + b * (corners[2] - corners[0]) + speck(-12);
      }
      const Vector3d x = k < 3 ? dice.within(200) : Vector3d(p + dice.within(1.0));
      const SurfaceDistance at_p = distance.distance(triangle, p), at_x = distance.distance(triangle, x);
      supports.hold(at_x.distance_mm - at_p.distance_mm - at_p.direction.dot(x - p) + rounding);
      lipschitz.hold((x - p).norm() - std::abs(at_x.distance_mm - at_p.distance_mm) + rounding);
    }
  }
  WARN("triangles: " << supports.tried << " samples, " << supports.broken + lipschitz.broken << " violations");
  CAPTURE(supports.least_room, lipschitz.least_room);
  CHECK(supports.broken == 0);
  CHECK(lipschitz.broken == 0);
}

TEST_CASE("a coil against a mesh agrees with dense sampling of all triangles", "[clearance][oracle]") {
  Dice dice(72);
  const auto roll = grooved_roll(16, 8);
  const PosedPart part = bench::forty_coil();
  for (int i = 0; i < 6 * bench::effort(); ++i) {
    const MeshBody body = at(roll, dice.within(900), i % 2 ? MeshBody::Side::mirrored : MeshBody::Side::as_drawn);
    const double from = dice.between(0, 15000), to = from + 900.0;
    CertifiedMinimum search(tolerance);
    const LeastDistance found = least(search, {part, Stage::coil, from, to}, body);
    double sampled = 1e300;
    for (double lag = from; lag <= to; lag += 2.0)
      sampled = std::min(sampled, nearest_triangle(body, part.at(Stage::coil, lag).p));
    CHECK(found.lower_mm <= sampled + 1e-9);
    CHECK(found.upper_mm >= sampled - 1.0 - 1e-9);  // half a step
    CHECK(found.upper_mm - found.lower_mm <= tolerance);
  }
}

TEST_CASE("a box as a mesh is as far as the box itself", "[clearance][oracle]") {
  Dice dice(73);
  const std::vector<Vector3d> corners{{-40, -30, -20}, {40, -30, -20}, {40, 30, -20}, {-40, 30, -20},
                                      {-40, -30, 20},  {40, -30, 20},  {40, 30, 20},  {-40, 30, 20}};
  const ConvexHull hull = hull_of(corners).value();
  const auto mesh = std::make_shared<const TriangleMesh>(TriangleMesh::from(hull.points, hull.faces).value());
  REQUIRE(mesh->closed());
  REQUIRE(mesh->edges().turned == 0);
  const PosedPart part = bench::forty_coil();
  const Stretch coil(part, Stage::coil, 0.0, 6000.0);
  for (int i = 0; i < 20; ++i) {
    const Vector3d by = dice.within(700);
    const double straight = i % 2 ? 300.0 : 0.0;
    CertifiedMinimum search(tolerance);
    const LeastDistance as_mesh = least(search, coil, at(mesh, by), straight);
    const std::vector<ConvexBody> bodies{ConvexBody(Box{Vector3d(-40, -30, -20) + by, Vector3d(40, 30, 20) + by, 0.0}),
                                         ConvexBody(moved(hull, by))};
    for (const std::uint32_t one : {0u, 1u}) {
      const std::vector<std::uint32_t> index{one};
      const std::vector<Course> courses{{coil, straight, index}};
      const LeastDistance found = CertifiedMinimum(tolerance).find(courses, bodies);
      CHECK(std::max(0.0, found.lower_mm) <= as_mesh.upper_mm + 1e-9);
      CHECK(as_mesh.lower_mm <= std::max(0.0, found.upper_mm) + 1e-9);
    }
  }
  // Wholly inside the material: not the distance to its surface.
  const Stretch within(part, Stage::coil, 1000.0, 1010.0);
  CertifiedMinimum search(tolerance);
  CHECK(least(search, within, at(mesh, part.at(Stage::coil, 1005.0).p)).upper_mm == 0.0);
}

TEST_CASE("a roll of 100,000 triangles: how many distances it takes", "[clearance][bound]") {
  const auto roll = bench::large_roll();
  CHECK(roll->triangles().size() > 100'000);
  const PosedPart part = bench::forty_coil();
  const Stretch coil(part, Stage::coil, 0.0, bench::forty_coil_length_mm());
  std::size_t evaluations = 0;
  const std::vector<Vector3d> places = bench::roll_places(20);
  for (const Vector3d& by : places) {
    CertifiedMinimum search(tolerance);
    const LeastDistance found = least(search, coil, at(roll, by));
    CHECK(found.upper_mm - found.lower_mm <= tolerance);
    evaluations += search.evaluations();
  }
  WARN("mean over 20 places: " << evaluations / places.size() << " distances");
  CHECK(evaluations / places.size() <= 3000);
}
