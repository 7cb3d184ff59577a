#include <catch2/catch.hpp>
#include <coilwright/clearance/shape_distance.hpp>
#include <coilwright/quantity/require.hpp>

#include "bench.hpp"

using namespace coilwright;
using bench::Dice;

namespace {

// The body as the set of points that satisfy its defining inequalities, independent of any distance.
bool inside(const Shape& shape, const Eigen::Vector3d& p) {
  if (const auto* c = std::get_if<Cylinder>(&shape)) {
    const Eigen::Vector3d axis = c->to - c->from, q = p - c->from;
    const double t = q.dot(axis) / axis.squaredNorm();
    return t >= 0.0 && t <= 1.0 && (q - t * axis).norm() <= c->radius_mm;
  }
  if (const auto* f = std::get_if<Frustum>(&shape)) {
    const Eigen::Vector3d axis = f->to - f->from, q = p - f->from;
    const double t = q.dot(axis) / axis.squaredNorm();
    return t >= 0.0 && t <= 1.0 &&
           (q - t * axis).norm() <= f->from_radius_mm + t * (f->to_radius_mm - f->from_radius_mm);
  }
  if (const auto* b = std::get_if<Box>(&shape)) {
    const Eigen::Vector3d centre = 0.5 * (b->min + b->max);
    const Eigen::Vector3d q = Eigen::AngleAxisd(-b->turned_rad, Eigen::Vector3d::UnitZ()) * (p - centre);
    return (q.cwiseAbs().array() <= 0.5 * (b->max - b->min).array()).all();
  }
  const auto& h = std::get<HalfSpace>(shape);
  return (p - h.point).dot(h.normal) <= 0.0;
}

}  // namespace

TEST_CASE("distances to simple bodies", "[clearance][oracle]") {
  const ConvexBody cylinder(Cylinder{{0, 0, -10}, {0, 0, 10}, 5.0});
  CHECK(cylinder.distance({8, 0, 3}).distance_mm == Approx(3.0));
  CHECK(cylinder.distance({0, 0, 14}).distance_mm == Approx(4.0));
  CHECK(cylinder.distance({0, 8, 14}).distance_mm == Approx(5.0));     // to the rim, 3-4-5
  CHECK(cylinder.distance({0, 4, 0}).distance_mm == Approx(-1.0));     // to the mantle
  CHECK(cylinder.distance({0, 1, 9.5}).distance_mm == Approx(-0.5));   // to the end
  CHECK(cylinder.distance({0, 0, 0}).distance_mm == Approx(-5.0));     // on the axis
  CHECK(cylinder.distance({0, 0, 14}).direction.z() == Approx(1.0));

  const ConvexBody box(Box{{-10, -20, -30}, {10, 20, 30}, std::numbers::pi / 2});  // turned: x and y change places
  CHECK(box.distance({25, 0, 0}).distance_mm == Approx(5.0));
  CHECK(box.distance({0, 13, 0}).distance_mm == Approx(3.0));
  CHECK(box.distance({23, 14, 0}).distance_mm == Approx(5.0));
  CHECK(box.distance({0, 0, 29}).distance_mm == Approx(-1.0));

  // A cone of 45 degrees standing on its base of 10, apex at height 10.
  const ConvexBody cone(Frustum{{0, 0, 0}, {0, 0, 10}, 10.0, 0.0});
  CHECK(cone.distance({10, 0, 10}).distance_mm == Approx(10.0 / std::numbers::sqrt2));
  CHECK(cone.distance({0, 0, 13}).distance_mm == Approx(3.0));
  CHECK(cone.distance({3, 0, -2}).distance_mm == Approx(2.0));
  CHECK(cone.distance({13, 0, -4}).distance_mm == Approx(5.0));
  CHECK(cone.distance({0, 0, 1}).distance_mm == Approx(-1.0));
  CHECK(cone.distance({0, 0, 8}).distance_mm == Approx(-2.0 / std::numbers::sqrt2));

  const ConvexBody floor(HalfSpace{{5, 5, -40}, {0, 0, 1}});
  CHECK(floor.distance({100, 7, 2}).distance_mm == Approx(42.0));
  CHECK(floor.distance({100, 7, -41}).distance_mm == Approx(-1.0));

  const ConvexBody ball = ConvexBody::capsule({1, 2, 3}, {1, 2, 3}, 0.0);
  CHECK(ball.distance({1, 5, 7}).distance_mm == Approx(5.0));
  CHECK(ball.distance({1, 2, 3}).direction.norm() == Approx(1.0));
  const ConvexBody bar = ConvexBody::capsule({-10, 0, 0}, {10, 0, 0}, 1.0);
  CHECK(bar.distance({13, 0, 4}).distance_mm == Approx(4.0));
  CHECK(bar.distance({0, 0.5, 0}).distance_mm == Approx(-0.5));
}

TEST_CASE("a frustum with equal radii is a cylinder", "[clearance][oracle]") {
  Dice dice(11);
  for (int i = 0; i < 200; ++i) {
    const Eigen::Vector3d from = dice.within(100), to = from + dice.direction() * dice.between(5, 200);
    const double radius = dice.between(1, 100);
    const ConvexBody cylinder(Cylinder{from, to, radius}), frustum(Frustum{from, to, radius, radius});
    const Eigen::Vector3d p = dice.within(300);
    CHECK(cylinder.distance(p).distance_mm == Approx(frustum.distance(p).distance_mm).margin(1e-9));
  }
}

TEST_CASE("the nearest surface point lies on the surface", "[clearance][oracle]") {
  // The sign agrees with the body's inequalities, and a step to just outside (inside) of the nearest point
  // leaves (enters) the body.
  Dice dice(12);
  for (int i = 0; i < 4000 * bench::effort(); ++i) {
    const Shape shape = bench::random_shape(dice, dice.within(100), i);
    const ConvexBody body(shape);
    const Eigen::Vector3d p = dice.within(250);
    const SurfaceDistance found = body.distance(p);
    REQUIRE(found.direction.norm() == Approx(1.0).epsilon(1e-12));
    if (std::abs(found.distance_mm) > 1e-6) REQUIRE(inside(shape, p) == (found.distance_mm < 0.0));
    const Eigen::Vector3d nearest = p - found.distance_mm * found.direction;
    const double thin = 1e-6;
    REQUIRE_FALSE(inside(shape, nearest + thin * found.direction));
    REQUIRE(std::abs(body.distance(nearest).distance_mm) < 1e-9);
  }
}

TEST_CASE("no point of the surface is nearer than the distance", "[clearance][oracle]") {
  // A ball of that radius around the point stays on its side: no sampled point of it changes sides.
  Dice dice(13);
  for (int i = 0; i < 2000 * bench::effort(); ++i) {
    const Shape shape = bench::random_shape(dice, dice.within(100), i);
    const ConvexBody body(shape);
    const Eigen::Vector3d p = dice.within(250);
    const double d = body.distance(p).distance_mm;
    for (int k = 0; k < 20; ++k) {
      const Eigen::Vector3d q = p + dice.direction() * (std::abs(d) * (1.0 - 1e-9) - 1e-9);
      if (std::abs(d) > 1e-6) REQUIRE(inside(shape, q) == (d < 0.0));
    }
  }
}

TEST_CASE("the signed distance is convex and 1-Lipschitz, inside too", "[clearance][bound][attack]") {
  Dice dice(14);
  // Far and near pairs, and from points so near the surface, or the axis, that rounding turns the way to it.
  bench::Claim supports, lipschitz, balls;
  const double rounding = 1e-11;  // coordinates up to 500 mm
  const auto attack = [&](const ConvexBody& body, const Eigen::Vector3d& p, const Eigen::Vector3d& x) {
    const SurfaceDistance at_p = body.distance(p);
    const double at_x = body.distance(x).distance_mm;
    supports.hold(at_x - at_p.distance_mm - at_p.direction.dot(x - p) + rounding);
    lipschitz.hold((x - p).norm() - std::abs(at_x - at_p.distance_mm) + rounding);
    balls.hold(at_x - (x - body.ball().centre).norm() + body.ball().radius_mm + rounding);
  };
  const auto speck = [&] { return Eigen::Vector3d(dice.within(std::pow(10.0, dice.between(-12, 0)))); };
  for (int i = 0; i < 2000 * bench::effort(); ++i) {
    std::vector<ConvexBody> bodies;
    std::vector<Eigen::Vector3d> axis;
    const auto along = [&](const Eigen::Vector3d& a, const Eigen::Vector3d& b) {
      axis.emplace_back(a + dice.between(0, 1) * (b - a) + speck());
    };
    if (i % 6 == 4) {
      const Eigen::Vector3d a = dice.within(100), b = dice.within(100);
      bodies.push_back(ConvexBody::capsule(a, b, i % 12 == 4 ? 0.0 : dice.between(0, 20)));
      along(a, b);
    } else if (i % 6 == 5) {
      std::vector<Eigen::Vector3d> points;
      for (int count = 5 + static_cast<int>(dice.between(0, 20)); count > 0; --count) points.push_back(dice.within(100));
      bodies.emplace_back(hull_of(points).value());
    } else {
      const Shape shape = bench::random_shape(dice, dice.within(100), i);
      bodies.emplace_back(shape);
      if (const auto* c = std::get_if<Cylinder>(&shape)) along(c->from, c->to);
      if (const auto* f = std::get_if<Frustum>(&shape)) along(f->from, f->to);
    }
    const ConvexBody& body = bodies.front();
    std::vector<Eigen::Vector3d> from = axis;
    for (int k = 0; k < 4; ++k) from.push_back(dice.within(200));
    for (int k = 0; k < 4; ++k) {
      const Eigen::Vector3d p = dice.within(200);
      const SurfaceDistance found = body.distance(p);
      from.emplace_back(p - found.distance_mm * found.direction + speck());
    }
    for (const Eigen::Vector3d& p : from) {
      attack(body, p, dice.within(200));
      attack(body, p, p + dice.within(1.0));
    }
  }
  WARN("bodies: " << supports.tried << " samples, " << supports.broken + lipschitz.broken + balls.broken << " violations");
  CAPTURE(supports.least_room, lipschitz.least_room, balls.least_room);
  CHECK(supports.broken == 0);
  CHECK(lipschitz.broken == 0);
  CHECK(balls.broken == 0);
}

TEST_CASE("a moved or mirrored body has the same distances", "[clearance][property]") {
  Dice dice(15);
  for (int i = 0; i < 400; ++i) {
    const Shape shape = bench::random_shape(dice, dice.within(100), i);
    const Eigen::Vector3d p = dice.within(250), by = dice.within(400);
    const double d = ConvexBody(shape).distance(p).distance_mm;
    CHECK(ConvexBody(moved(shape, by)).distance(p + by).distance_mm == Approx(d).margin(1e-9));
    const Eigen::Vector3d mirrored(-p.x(), p.y(), p.z());
    CHECK(ConvexBody(mirrored_in_x(shape)).distance(mirrored).distance_mm == Approx(d).margin(1e-9));
  }
}

TEST_CASE("a body without volume is a caller's mistake", "[clearance][input]") {
  CHECK_THROWS_AS(ConvexBody(Cylinder{{0, 0, 0}, {0, 0, 0}, 5.0}), InternalError);
  CHECK_THROWS_AS(ConvexBody(Cylinder{{0, 0, 0}, {0, 0, 1}, 0.0}), InternalError);
  CHECK_THROWS_AS(ConvexBody(Frustum{{0, 0, 0}, {0, 0, 1}, 0.0, 0.0}), InternalError);
  CHECK_THROWS_AS(ConvexBody(Box{{0, 0, 0}, {1, 0, 1}}), InternalError);
  CHECK_THROWS_AS(ConvexBody(HalfSpace{{0, 0, 0}, {0, 0, 2}}), InternalError);
}
