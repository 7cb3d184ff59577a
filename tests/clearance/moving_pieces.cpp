#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/clearance/moving_pieces.hpp>
#include <memory>
#include <vector>

#include "bench.hpp"

using namespace coilwright;
using namespace coilwright::bench;
using Eigen::Isometry3d;
using Eigen::Vector3d;
using Stands = MovingObstacle::Stands;

namespace {

constexpr double radius = 20.0, tolerance = 0.01;

// A pose not far from another.
Isometry3d near_to(const Isometry3d& X, Dice& dice, double by_mm, double by_rad) {
  Isometry3d Y = X * Eigen::AngleAxisd(dice.between(-by_rad, by_rad), dice.direction());
  Y.translation() += dice.within(by_mm);
  return Y;
}

// A bar of so many bent pieces that hang loosely together, on its way through some steps, then a straight.
MovingScene random_bar(Dice& dice, std::size_t pieces, std::size_t steps) {
  MovingScene scene{{}, {}, radius, std::nullopt, 200.0, nullptr, 0.0, 1.0 / 400.0};
  std::vector<Isometry3d> stands{random_pose(dice, 400.0)};
  std::vector<ScrewSegment> shapes;
  for (std::size_t i = 0; i < pieces; ++i)
    shapes.push_back({dice.between(0.0, 1.0 / 400.0), dice.between(-1e-3, 1e-3), dice.between(20.0, 300.0)});
  shapes.push_back({0.0, 0.0, 200.0});
  for (std::size_t i = 0; i + 1 < shapes.size(); ++i)
    stands.push_back(stands.back() * frame_along(shapes[i], shapes[i].length_mm).inverse());
  double arm = 0.0;
  for (std::size_t k = 0; k < steps; ++k) {
    const double arm_from = arm;
    arm += dice.between(0.0, 40.0);
    MovingStep step{{}, 2000.0 + 10.0 * static_cast<double>(k), arm_from, arm};
    double lag = 100.0;
    for (std::size_t i = 0; i < shapes.size(); ++i) {
      const Isometry3d to = near_to(stands[i], dice, 40.0, 0.2);
      step.pieces.push_back({shapes[i], stands[i], to, lag, i + 1 < shapes.size() ? Piece::lead_arc : Piece::front_end});
      stands[i] = to;
      lag += shapes[i].length_mm;
    }
    scene.steps.push_back(std::move(step));
  }
  return scene;
}

// A place of a piece, by the share of the step done and the length from its end toward the stock: the screw motion worked
// out by Rodrigues' and Chasles' theorems, not as the search has it.
Vector3d place(const MovingPiece& piece, double share, double behind_mm) {
  const Isometry3d way = piece.from.inverse() * piece.to;
  const Eigen::AngleAxisd turn(way.linear());
  Isometry3d done = Isometry3d::Identity();
  done.linear() = Eigen::AngleAxisd(share * turn.angle(), turn.axis()).toRotationMatrix();
  const Vector3d axis = turn.axis(), t = way.translation(), slide = axis.dot(t) * axis, across = t - slide;
  if (turn.angle() > 1e-9) {
    const Vector3d foot = 0.5 * (across + axis.cross(across) / std::tan(0.5 * turn.angle()));
    done.translation() = share * slide + foot - done.linear() * foot;
  } else {
    done.translation() = share * t;
  }
  return piece.from * done * frame_along(piece.shape, behind_mm).inverse() * Vector3d::Zero();
}

template <class See>
void sample(const MovingScene& scene, Dice& dice, int looks, See see) {
  for (const MovingStep& step : scene.steps)
    for (const MovingPiece& piece : step.pieces)
      for (int i = 0; i < looks; ++i) {
        const double share = i % 5 == 0 ? dice.between(0, 1) < 0.5 ? 0.0 : 1.0 : dice.between(0, 1);
        const double behind = dice.between(0, piece.shape.length_mm);
        see(step, piece, share, behind, place(piece, share, behind));
      }
}

}  // namespace

TEST_CASE("no sampled place of a bar that moves is nearer than what is proved of it", "[moving_pieces][bound]") {
  Dice dice(71);
  Claim claim;
  for (int round = 0; round < 12 * effort(); ++round) {
    MovingScene scene = random_bar(dice, 4, 3);
    for (int kind = 0; kind < 4; ++kind) {
      const Vector3d centre = dice.within(900.0) + (kind == 3 ? Vector3d(0, 0, -2500) : Vector3d(0, 0, 0));
      Obstacle obstacle{"body " + std::to_string(kind), {random_shape(dice, centre, kind)}, std::nullopt, 0.0};
      if (kind == 3) obstacle.bodies = {HalfSpace{centre, Vector3d::UnitZ()}};
      scene.obstacles.push_back({std::move(obstacle), kind % 2 == 0 ? Stands::still : Stands::on_the_arm, kind == 2 ? 400.0 : 0.0});
    }
    const ClearanceResult result = certify(scene, tolerance);
    REQUIRE(result.least_mm);
    std::vector<ConvexBody> bodies;
    for (const MovingObstacle& o : scene.obstacles) bodies.emplace_back(o.obstacle.bodies.front());
    std::vector<double> nearest(bodies.size(), 1e300);
    double farthest = 0.0, highest = -1e300;
    sample(scene, dice, 60, [&](const MovingStep& step, const MovingPiece& piece, double share, double behind, const Vector3d& p) {
      farthest = std::max(farthest, std::hypot(p.x(), p.y()) + radius);
      highest = std::max(highest, p.z() + radius);
      for (std::size_t i = 0; i < bodies.size(); ++i) {
        if (piece.lag_mm + behind < scene.obstacles[i].from_lag_mm) continue;
        Vector3d seen = p;
        if (scene.obstacles[i].stands == Stands::on_the_arm) seen.z() -= std::lerp(step.arm_from_mm, step.arm_to_mm, share);
        nearest[i] = std::min(nearest[i], bodies[i].distance(seen).distance_mm - radius);
      }
    });
    // On the arm, lowered steadily, a screw between its ends is not quite the screw seen from the room: 40 mm by 0.2 rad.
    constexpr double two_ways_mm = 40.0 * 0.2 / 8.0;
    for (std::size_t i = 0; i < bodies.size(); ++i) {
      const double slack = scene.obstacles[i].stands == Stands::on_the_arm ? two_ways_mm : 1e-6;
      if (!result.obstacles[i].least_mm) continue;
      claim.hold(nearest[i] - *result.obstacles[i].least_mm + slack);
      // And it is met: the place where the search found it is as near as it says.
      CHECK(result.obstacles[i].nearest->distance_mm <= *result.obstacles[i].least_mm + tolerance + 1e-9);
    }
    claim.hold(result.swept_radius_mm - farthest);
    claim.hold(result.swept_height_mm - highest);
    const double least = *result.least_mm;
    const auto nearer = nearer_than_mm(scene, least + 50.0, 0.05);
    REQUIRE(nearer);
    CHECK(*nearer == Approx(least).margin(0.06));
    CHECK_FALSE(nearer_than_mm(scene, least - 0.1, 0.05));
  }
  CHECK(claim.tried > 50);
  CHECK(claim.broken == 0);
}

TEST_CASE("the least distance of a bar that moves is met by samples", "[moving_pieces][oracle]") {
  Dice dice(72);
  for (int round = 0; round < 6; ++round) {
    MovingScene scene = random_bar(dice, 2, 1);
    const Vector3d centre = scene.steps[0].pieces[1].from.translation() + 200.0 * dice.direction();
    scene.obstacles.push_back({{"ball-like box", {Box{centre - Vector3d::Constant(30.0), centre + Vector3d::Constant(30.0), 0.3}}, std::nullopt, 0.0},
                               Stands::still, 0.0});
    const double proved = *certify(scene, tolerance).obstacles[0].least_mm;
    const ConvexBody box(scene.obstacles[0].obstacle.bodies.front());
    double met = 1e300;
    constexpr int fine = 160;
    for (const MovingPiece& piece : scene.steps[0].pieces)
      for (int i = 0; i <= fine; ++i)
        for (int j = 0; j <= fine; ++j)
          met = std::min(met, box.distance(place(piece, double(i) / fine, piece.shape.length_mm * j / fine)).distance_mm - radius);
    CHECK(met >= proved - 1e-6);
    // Half a cell of the grid: at most 50 mm and 0.2 rad at 300 mm in a step, 300 mm along.
    CHECK(met <= proved + 0.5 * (110.0 + 300.0) / fine + tolerance);
  }
}

TEST_CASE("what rides on the arm is as near as if it were raised step by step", "[moving_pieces][oracle]") {
  Dice dice(73);
  MovingScene scene = random_bar(dice, 3, 1);
  // Raised as the arm is, and not turned, the bar keeps its distance to what rides on the arm.
  MovingStep& step = scene.steps[0];
  step.arm_from_mm = 15.0;
  step.arm_to_mm = 140.0;
  for (MovingPiece& piece : step.pieces) {
    piece.to = piece.from;
    piece.to.translation().z() += 125.0;
  }
  const Vector3d centre = step.pieces[1].from.translation() + Vector3d(30.0, 20.0, -200.0);
  const Shape box = Box{centre - Vector3d::Constant(40.0), centre + Vector3d::Constant(40.0), 0.0};
  scene.obstacles.push_back({{"fork", {moved(box, {0, 0, -15.0})}, std::nullopt, 0.0}, Stands::on_the_arm, 0.0});
  scene.obstacles.push_back({{"the same, still", {box}, std::nullopt, 0.0}, Stands::still, 0.0});
  const ClearanceResult raised = certify(scene, tolerance);
  for (MovingPiece& piece : step.pieces) piece.to = piece.from;
  step.arm_to_mm = 15.0;
  const ClearanceResult resting = certify(scene, tolerance);
  CHECK(*raised.obstacles[0].least_mm == Approx(*resting.obstacles[0].least_mm).margin(2 * tolerance));
  CHECK(*resting.obstacles[0].least_mm == Approx(*resting.obstacles[1].least_mm).margin(2 * tolerance));
  CHECK(raised.obstacles[0].nearest->fed_length_mm == Approx(1800.0));
}

TEST_CASE("a bar that comes round meets itself as near as its pieces do", "[moving_pieces][bound]") {
  Dice dice(74);
  Claim claim;
  for (int round = 0; round < 4; ++round) {
    // A turn and a half of a helix in pieces, opening and closing at random.
    MovingScene scene{{}, {}, radius, std::nullopt, 200.0, nullptr, 0.0, 1.0 / 300.0};
    const ScrewSegment shape{1.0 / 300.0, 4e-4, 300.0 * 3.0 * std::numbers::pi / 12.0};
    MovingStep step{{}, 2000.0, 0.0, 0.0};
    Isometry3d X = Isometry3d::Identity();
    for (int i = 0; i < 12; ++i) {
      step.pieces.push_back({shape, X, near_to(X, dice, 20.0, 0.05), i * shape.length_mm, Piece::coil});
      X = X * frame_along(shape, shape.length_mm).inverse();
    }
    scene.steps.push_back(step);
    const ClearanceResult result = certify(scene, tolerance);
    REQUIRE(result.self_mm);
    double met = 1e300;
    const double apart = std::numbers::pi * 300.0;
    constexpr int places = 8, shares = 8;
    for (int i = 0; i < 12; ++i)
      for (int j = i + 1; j < 12; ++j)
        for (int a = 0; a <= places; ++a)
          for (int b = 0; b <= places; ++b) {
            const double la = shape.length_mm * a / places, lb = shape.length_mm * b / places;
            if ((j - i) * shape.length_mm + lb - la < apart) continue;
            for (int k = 0; k <= shares; ++k) {
              const double share = double(k) / shares;
              met = std::min(met, (place(step.pieces[i], share, la) - place(step.pieces[j], share, lb)).norm() - 2.0 * radius);
            }
          }
    // Seen from one another two pieces go by a screw of their own: 20 mm by 0.05 rad at 300 mm.
    constexpr double two_ways_mm = 2.0 * (20.0 + 0.05 * 300.0) * 0.1 / 8.0;
    claim.hold(met - *result.self_mm + two_ways_mm);
    CHECK(met - *result.self_mm < 25.0);  // places 30 mm apart on either
  }
  CHECK(claim.broken == 0);
}
