#include <coilwright/clearance/clearance.hpp>

#include <catch2/catch.hpp>
#include <coilwright/clearance/certified_minimum.hpp>
#include <numbers>

#include "bench.hpp"

using namespace coilwright;
using namespace coilwright::bench;

namespace {

constexpr double tolerance = 0.01;

ClearanceScene scene_of(const PosedPart& part, std::vector<Obstacle> obstacles) {
  ClearanceScene scene = scene_of_lengths(part, {.coil_to_mm = 5000, .rolled_mm = 6500, .stock_mm = 3000}, std::move(obstacles));
  scene.tube_radius_mm = 21.2;
  return scene;
}

// Brute force over the pieces as they are defined, step by step.
double sampled(const ClearanceScene& scene, Piece piece, const std::vector<Shape>& shapes, double step) {
  std::vector<ConvexBody> bodies(shapes.begin(), shapes.end());
  double least = std::numeric_limits<double>::infinity();
  const auto take = [&](const Eigen::Vector3d& p) {
    for (const ConvexBody& body : bodies) least = std::min(least, body.distance(p).distance_mm - scene.tube_radius_mm);
  };
  const PosedPart& part = *scene.part;
  const auto [from, to] = lags_of(scene, piece);
  const int steps = static_cast<int>((to - from) / step) + 1;
  for (int i = 0; i <= steps; ++i) {
    const CurvePoint c = part.at(std::min(from + (to - from) * i / steps, std::nextafter(to, from)));
    take(c.p);
    if (piece == Piece::front_end)
      for (int k = 1; k <= 24; ++k) take(c.p + scene.front_end_mm * k / 24 * c.d1.normalized());
  }
  return least;
}

}  // namespace

TEST_CASE("every piece agrees with dense sampling, and its bound is below it", "[clearance][oracle]") {
  Dice dice(5);
  for (int round = 0; round < 4 * effort(); ++round) {
    const PosedPart part = sprung_part({.plan_radius_mm = dice.between(500, 900), .pitch_mm = dice.between(100, 1500)});
    std::vector<Obstacle> obstacles;
    for (int k = 0; k < 8; ++k) {
      const Eigen::Vector3d centre(dice.between(-2500, 2500), dice.between(-900, 2500), dice.between(-500, 1500));
      obstacles.push_back({"solid " + std::to_string(k), {random_shape(dice, centre, k % 3)}, std::nullopt, 0.0});
    }
    const ClearanceScene scene = scene_of(part, obstacles);
    const ClearanceResult result = certify(scene, tolerance);
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < obstacles.size(); ++i) {
      for (const Piece piece : all_pieces) {
        CAPTURE(round, i, piece_text(piece));
        const auto& proved = result.obstacles[i].pieces[static_cast<std::size_t>(piece)];
        REQUIRE(proved);
        const double seen = sampled(scene, piece, obstacles[i].bodies, 4.0);
        // A lower bound of every sample; the samples, 4 mm (10 mm along the straight) apart, see the least to
        // within half a step.
        CHECK(*proved <= seen + 1e-9);
        CHECK(*proved >= seen - (piece == Piece::front_end ? 7.0 : 2.0) - tolerance);
        least = std::min(least, *proved);
      }
      CHECK(*result.obstacles[i].least_mm >= least);
    }
    // The nearest pair is a pair: its points lie on the two surfaces.
    REQUIRE(result.nearest);
    CHECK(result.nearest->distance_mm >= *result.least_mm - 1e-9);
    CHECK(result.nearest->distance_mm <= *result.least_mm + result.error_bound_mm + 1e-9);
    CHECK(result.error_bound_mm <= tolerance + 1e-9);
    if (result.nearest->distance_mm > 0)
      CHECK((result.nearest->part_point - result.nearest->machine_point).norm() ==
            Approx(result.nearest->distance_mm).margin(1e-6));
    // The quick search finds the same overall least distance.
    const auto quick = least_distance_mm(scene, tolerance);
    REQUIRE(quick);
    CHECK(std::abs(*quick - *result.least_mm) <= tolerance + 1e-9);
  }
}

TEST_CASE("the front end is as long as it is where springing shortens the arc", "[clearance][regression]") {
  // A displacement against the travel: |X'| falls below 0.98, where a straight of 240 X' would be 5 mm short.
  // (A slender bar of the rolling room reached 0.9986.) A plate right where the true tip passes.
  const PosedPart part = sprung_part({.spring_mm = 12.0, .spring_direction = {-0.3, -1.0, 0.0}});
  double shortest = 1.0, lag = 0.0;
  for (double w = part.span_out_mm(); w < part.outboard_lag_mm(); w += 1.0)
    if (const double speed = part.at(Stage::arc, w).d1.norm(); speed < shortest) shortest = speed, lag = w;
  REQUIRE(shortest < 0.98);
  const CurvePoint c = part.at(Stage::arc, lag);
  const Eigen::Vector3d along = c.d1.normalized(), tip = c.p + 240.0 * along;
  const ConvexBody plate(HalfSpace{tip + 30.0 * along, -along});
  ClearanceScene scene = scene_of(part, {{"plate", {HalfSpace{tip + 30.0 * along, -along}}, std::nullopt, 0.0}});
  scene.coil_to_mm = scene.rolled_mm = lag + 1.0;
  const auto proved = certify(scene, tolerance).obstacles[0].pieces[static_cast<std::size_t>(Piece::front_end)];
  REQUIRE(proved);
  CHECK(*proved <= plate.distance(tip).distance_mm - scene.tube_radius_mm + 1e-9);
}

TEST_CASE("fine sampling near the witness finds nothing nearer than the proof", "[clearance][oracle]") {
  Dice dice(77);
  const PosedPart part = sprung_part({});
  for (int round = 0; round < 12; ++round) {
    const Eigen::Vector3d centre(dice.between(-500, 1800), dice.between(-200, 2000), dice.between(-100, 900));
    const ClearanceScene scene = scene_of(part, {{"solid", {random_shape(dice, centre, round % 3)}, std::nullopt, 0.0}});
    const ClearanceResult result = certify(scene, tolerance);
    const ConvexBody body(scene.obstacles[0].bodies[0]);
    const NearestPair& nearest = *result.obstacles[0].nearest;
    if (nearest.piece != Piece::coil && nearest.piece != Piece::lead_arc) continue;
    double least = 1e9;
    for (double lag = nearest.fed_length_mm - 30; lag <= nearest.fed_length_mm + 30; lag += 0.01)
      if (lag > part.span_out_mm() && lag < scene.rolled_mm)
        least = std::min(least, body.distance(part.at(lag).p).distance_mm - scene.tube_radius_mm);
    CHECK(least >= *result.obstacles[0].least_mm - 1e-9);
    CHECK(least <= *result.obstacles[0].least_mm + tolerance + 1e-4);
  }
}

TEST_CASE("a helix against simple bodies has closed forms", "[clearance][oracle]") {
  const double R = 300, pitch = 60, tube = 20;
  const PosedPart part = rigid_part(Helix(Length::mm(R), Length::mm(pitch), Hand::right_screw), Eigen::Isometry3d::Identity());
  const double length = 10 * 2 * std::numbers::pi * part.helix().arc_per_radian_mm();
  const auto coil = [&](const Shape& shape) {
    ClearanceScene scene = scene_of(part, {{"body", {shape}, std::nullopt, 0.0}});
    scene.tube_radius_mm = tube;
    scene.coil_to_mm = scene.rolled_mm = length;
    scene.front_end_mm = 0;
    return *certify(scene, tolerance).obstacles[0].pieces[static_cast<std::size_t>(Piece::coil)];
  };
  // The axis stands at (0, R): a coaxial cylinder inside is R - r - tube away everywhere, the worst case of a
  // search, since the distance is the same along the whole curve.
  CHECK(coil(Cylinder{{0, R, -500}, {0, R, 1500}, 100}) == Approx(R - 100 - tube).margin(tolerance));
  // The helix climbs from its start at z = 0.
  CHECK(coil(HalfSpace{{0, 0, -50}, {0, 0, 1}}) == Approx(50 - tube).margin(tolerance));
  CHECK(coil(HalfSpace{{0, 0, 700}, {0, 0, -1}}) == Approx(100 - tube).margin(tolerance));
  // A wall that the coil passes ten times.
  CHECK(coil(HalfSpace{{0, -40, 0}, {0, 1, 0}}) == Approx(40 - tube).margin(tolerance));
  // Overlap has a depth.
  CHECK(coil(HalfSpace{{0, 30, 0}, {0, 1, 0}}) == Approx(-30 - tube).margin(tolerance));
}

TEST_CASE("a thicker tube is nearer, another solid never farther", "[clearance][property]") {
  const PosedPart part = sprung_part({});
  ClearanceScene scene = scene_of(part, {{"post", {Cylinder{{1900, 900, -500}, {1900, 900, 900}, 50}}, std::nullopt, 0.0}});
  const ClearanceResult thin = certify(scene);
  scene.tube_radius_mm += 5;
  const ClearanceResult thick = certify(scene);
  CHECK(*thick.obstacles[0].least_mm == Approx(*thin.obstacles[0].least_mm - 5).margin(2 * tolerance));
  CHECK(*thick.least_mm < *thin.least_mm);
  scene.obstacles.push_back({"box", {Box{{-200, 300, 300}, {100, 500, 500}, 0.4}}, std::nullopt, 0.0});
  CHECK(*certify(scene).least_mm <= *thick.least_mm + tolerance);
}

TEST_CASE("what the part sweeps holds every point of it and is not loose", "[clearance][bound]") {
  const PosedPart part = sprung_part({});
  const ClearanceScene scene = scene_of(part, {{"floor", {HalfSpace{{0, 0, -900}, {0, 0, 1}}}, std::nullopt, 0.0}});
  const ClearanceResult result = certify(scene, tolerance);
  double radius = 0, height = -1e9;
  for (double lag = -part.span_in_mm(); lag < scene.rolled_mm; lag += 0.5) {
    const CurvePoint c = part.at(lag);
    for (const double l : {0.0, lag < part.span_out_mm() ? 0.0 : scene.front_end_mm}) {
      const Eigen::Vector3d p = c.p + l * c.d1.normalized();
      radius = std::max(radius, std::hypot(p.x(), p.y()) + scene.tube_radius_mm);
      height = std::max(height, p.z() + scene.tube_radius_mm);
    }
  }
  CHECK(result.swept_radius_mm >= radius - 1e-9);
  CHECK(result.swept_height_mm >= height - 1e-9);
  // The front end is certified up to 0.1 % too long: that is how much |X'| varies on the arc of this part.
  CHECK(result.swept_radius_mm <= radius + 0.24 + tolerance);
  CHECK(result.swept_height_mm <= height + 0.24 + tolerance);
}

TEST_CASE("the turns under a ceiling are those whose whole start-up fits", "[clearance][oracle]") {
  const PosedPart part = sprung_part({.plan_radius_mm = 700, .pitch_mm = 400});
  const double rho = part.helix().arc_per_radian_mm(), turn = 2 * std::numbers::pi * rho;
  const Overhead overhead{21.2, 240, 1500};
  const auto turns = most_turns_under(part, overhead, 1500);
  REQUIRE(turns);
  // Brute force: the first lag at which the leading end or the tip of its straight comes above.
  double lag = part.span_out_mm();
  for (; lag < 50000; lag += 0.5) {
    const CurvePoint c = part.at(lag);
    if (std::max(c.p.z(), c.p.z() + 240 * c.d1.z()) + 21.2 > 1500) break;
  }
  CHECK(*turns == Approx((lag - 1500) / turn).margin(1.0 / turn));
  const PosedPart ring = rigid_part(Helix(Length::mm(400), Length(), Hand::right_screw), Eigen::Isometry3d::Identity());
  CHECK_FALSE(most_turns_under(ring, overhead, 1500));
  CHECK(most_turns_under(part, overhead, 10) == 0.0);
}
