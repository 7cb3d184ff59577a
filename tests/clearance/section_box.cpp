// Stock that is not round: the section as it lies along the part, against brute force over its outline.
#include <coilwright/clearance/section_box.hpp>

#include <catch2/catch.hpp>
#include <coilwright/clearance/clearance.hpp>
#include <coilwright/clearance/growing_clearance.hpp>
#include <coilwright/clearance/sweep.hpp>
#include <numbers>

#include "bench.hpp"
#include "fed_parts.hpp"

using namespace coilwright;
using namespace coilwright::bench;
using Eigen::Vector2d;
using Eigen::Vector3d;

namespace {

constexpr double tolerance = 0.01;

ClearanceScene scene_of(const PosedPart& part, const SectionBox& section, std::vector<Obstacle> obstacles) {
  ClearanceScene scene = scene_of_lengths(part, {.coil_to_mm = 4000, .rolled_mm = 5200, .stock_mm = 2000}, std::move(obstacles));
  scene.tube_radius_mm = section.reach_mm();
  scene.section = section;
  return scene;
}

// Points of the rectangle's outline, and some inside.
std::vector<Vector2d> points_of(const SectionBox& section) {
  std::vector<Vector2d> points;
  const Eigen::Matrix2d edges = section.edges();
  constexpr int n = 6;
  for (int i = -n; i <= n; ++i)
    for (int k = -n; k <= n; ++k)
      if (std::abs(i) == n || std::abs(k) == n || (i % 3 == 0 && k % 3 == 0))
        points.push_back(section.middle() + edges * Vector2d(i, k) / n);
  return points;
}

// Every point of the section at every few millimetres of a piece, against bodies, less the rounding.
double sampled(const ClearanceScene& scene, Piece piece, const std::vector<Shape>& shapes, double step) {
  const std::vector<ConvexBody> bodies(shapes.begin(), shapes.end());
  const std::vector<Vector2d> points = points_of(*scene.section);
  double least = std::numeric_limits<double>::infinity();
  const PosedPart& part = *scene.part;
  const auto [from, to] = lags_of(scene, piece);
  const int steps = static_cast<int>((to - from) / step) + 1;
  for (int i = 0; i <= steps; ++i) {
    const double lag = std::min(from + (to - from) * i / steps, std::nextafter(to, from));
    const Stage stage = part.stage_at(lag);
    const CurvePoint c = part.at(stage, lag);
    const PosedPart::SectionAxes axes = part.section_axes(stage, lag);
    for (int k = 0; k <= (piece == Piece::front_end ? 12 : 0); ++k)
      for (const Vector2d& at : points) {
        const Vector3d p = c.p + at.x() * axes.inward + at.y() * axes.shafts + scene.front_end_mm * k / 12 * c.d1.normalized();
        for (const ConvexBody& body : bodies) least = std::min(least, body.distance(p).distance_mm - scene.section->rounding_mm);
      }
  }
  return least;
}

// A sprung part whose section turns with the springing: rotations invented, of the size that springing has.
PosedPart turned_part(Dice& dice) {
  const PosedPart plain = sprung_part({.plan_radius_mm = dice.between(500, 900), .pitch_mm = dice.between(100, 1500)});
  std::vector<PosedPart::Node> nodes;
  const Vector3d way = 0.03 * dice.direction();
  const double exit = plain.span_out_mm(), span = plain.outboard_lag_mm() - exit;
  for (int i = 0; i <= 24; ++i) {
    const double x = i / 24.0, lag = exit + x * span;
    const Helix& helix = plain.helix();
    const double theta = lag / helix.arc_per_radian_mm();
    const CurvePoint on = plain.at(Stage::arc, std::min(lag, plain.outboard_lag_mm() - 1e-9));
    const Eigen::Isometry3d& X = plain.X_FC_unsprung();
    nodes.push_back({lag, on.p - X * helix.point_C(theta), on.d1 - X.linear() * helix.tangent_C(theta),
                     on.d2 - helix.curvature().per_mm() * (X.linear() * helix.normal_C(theta)), x * x * way, 2.0 * x / span * way});
  }
  return PosedPart({plain.helix(), plain.spans(), nodes, plain.outboard_lag_mm(), plain.X_FC_unsprung(), plain.X_FC(),
                    1.01 * plain.arc_second_bound_per_mm(), 1.01 * plain.arc_third_bound_per_mm2()});
}

}  // namespace

TEST_CASE("the box of a section holds it; its reach is that of its points", "[clearance][property]") {
  const auto of = [](const Section::Kind& kind) { return SectionBox::of(Section::from(kind).value()); };
  const SectionBox tube = of(RectangularTube{Length::mm(60), Length::mm(40), Length::mm(3)});
  CHECK(tube.rounding_mm == Approx(6.0));  // 2 t
  CHECK(tube.half_edges_mm.x() == Approx(24.0));
  CHECK(tube.half_edges_mm.y() == Approx(14.0));
  CHECK(tube.middle_mm.norm() < 1e-9);
  const SectionBox flat = of(FlatBar{Length::mm(50), Length::mm(8), Way::easy});
  CHECK(flat.rounding_mm == 0.0);
  CHECK(flat.half_edges_mm.x() == Approx(4.0));
  CHECK(flat.half_edges_mm.y() == Approx(25.0));
  const SectionBox round = of(RoundBar{Length::mm(20)});
  CHECK_FALSE(round.has_edges());
  CHECK(round.rounding_mm == 10.0);
  // An angle's middle lies off its centroid: its two faces are where the section says.
  const Section angle = Section::from(AngleBar{Length::mm(50), Length::mm(40), Length::mm(5)}).value();
  const SectionBox box = SectionBox::of(angle);
  CHECK(box.reach_along_mm({1.0, 0.0}) == Approx(angle.inner_face().mm()));
  CHECK(box.reach_along_mm({-1.0, 0.0}) == Approx(angle.outer_face().mm()));
  CHECK(box.reach_along_mm({0.0, 1.0}) + box.reach_along_mm({0.0, -1.0}) == Approx(angle.height().mm()));
  Dice dice(301);
  for (int i = 0; i < 50; ++i) {
    SectionBox any{{dice.between(-10, 10), dice.between(-10, 10)}, {dice.between(1, 30), dice.between(1, 30)}, dice.between(0, 5),
                   dice.between(-3, 3)};
    const Vector2d g(dice.between(-1, 1), dice.between(-1, 1));
    double along = -1e9, most = 0.0;
    for (const Vector2d& p : points_of(any)) along = std::max(along, g.dot(p)), most = std::max(most, p.norm());
    CHECK(any.reach_along_mm(g) == Approx(along + any.rounding_mm * g.norm()));
    CHECK(any.reach_mm() == Approx(most + any.rounding_mm));
  }
}

TEST_CASE("the section lies level and upright in the rolls, and keeps its angle to the coil", "[clearance][property]") {
  const PosedPart part = sprung_part({});
  for (const double lag : {-900.0, -200.0, 0.0, 200.0}) {
    const Stage stage = part.stage_at(lag);
    const PosedPart::SectionAxes axes = part.section_axes(stage, lag);
    CHECK(axes.shafts.z() == Approx(1.0));
    CHECK(axes.inward.y() > 0.9);
    CHECK(std::abs(axes.inward.dot(part.at(stage, lag).d1)) < 1e-5);
  }
  // One screw motion along the coil takes point, tangent and section to those farther on.
  const Helix& helix = part.helix();
  const double from = part.outboard_lag_mm(), step = 700.0, angle = step / helix.arc_per_radian_mm();
  const Eigen::AngleAxisd turn(angle, part.X_FC().linear().col(2));
  const PosedPart::SectionAxes a = part.section_axes(Stage::coil, from), b = part.section_axes(Stage::coil, from + step);
  CHECK((turn * a.inward - b.inward).norm() < 1e-12);
  CHECK((turn * a.shafts - b.shafts).norm() < 1e-12);
  CHECK((turn * part.at(Stage::coil, from).d1 - part.at(Stage::coil, from + step).d1).norm() < 1e-12);
}

TEST_CASE("no point of a section goes farther than its bounds", "[clearance][bound][attack]") {
  Dice dice(302);
  Claim rises, reaches, places;
  for (int i = 0; i < 400 * effort(); ++i) {
    const PosedPart part = turned_part(dice);
    const double out = part.outboard_lag_mm();
    for (const Stage stage : {Stage::stock, Stage::spans, Stage::arc, Stage::coil}) {
      const Stretch stretch = stage == Stage::stock   ? Stretch(part, stage, -5000.0, -part.span_in_mm())
                              : stage == Stage::spans ? Stretch(part, stage, -part.span_in_mm(), part.span_out_mm())
                              : stage == Stage::arc   ? Stretch(part, stage, part.span_out_mm(), out)
                                                      : Stretch(part, stage, out, out + 20000.0);
      const double half = 0.5 * (stretch.to_mm() - stretch.from_mm()) * std::pow(10.0, dice.between(-3.0, 0.0));
      const double middle = dice.between(stretch.from_mm() + half, stretch.to_mm() - half);
      const bool straight = (stage == Stage::arc || stage == Stage::coil) && i % 2 == 0;
      const SectionPoint q{{dice.between(-60, 60), dice.between(-60, 60)}, straight ? dice.between(1.0, 1500.0) : 0.0};
      const Vector3d g = dice.direction();
      const BoundedPoint m = stretch.at(middle, q);
      const double rise = stretch.least_rise(m, g, half), reach = stretch.reach(m, half);
      for (int k = 0; k <= 40; ++k) {
        const double lag = middle - half + 2.0 * half * k / 40;
        // Told without derivatives, from the pose.
        const CurvePoint c = part.at(stage, lag);
        const PosedPart::SectionAxes axes = part.section_axes(stage, lag);
        const Vector3d p = c.p + q.across.x() * axes.inward + q.across.y() * axes.shafts + q.ahead_mm * c.d1;
        if (k == 20) places.hold(1e-8 - (p - m.c.p).norm());
        rises.hold(g.dot(p - m.c.p) - rise + 1e-8);
        reaches.hold(reach - (p - m.c.p).norm() + 1e-8);
      }
    }
  }
  WARN("points of sections: " << rises.tried << " samples, " << rises.broken + reaches.broken + places.broken << " violations");
  CAPTURE(rises.least_room, reaches.least_room, places.least_room);
  CHECK(rises.broken == 0);
  CHECK(reaches.broken == 0);
  CHECK(places.broken == 0);
}

TEST_CASE("every piece with its section agrees with dense sampling, and its bound is below it", "[clearance][oracle]") {
  Dice dice(303);
  int struck = 0;
  for (int round = 0; round < 3 * effort(); ++round) {
    const PosedPart part = turned_part(dice);
    std::vector<Obstacle> obstacles;
    for (int k = 0; k < 8; ++k) {
      const Vector3d centre(dice.between(-2000, 2000), dice.between(-900, 2000), dice.between(-400, 1200));
      obstacles.push_back({"solid " + std::to_string(k), {random_shape(dice, centre, k)}, std::nullopt, 0.0});
    }
    const SectionBox section{{dice.between(-8, 8), dice.between(-8, 8)},
                             {dice.between(3, 40), dice.between(3, 40)},
                             round % 2 ? dice.between(1, 8) : 0.0,
                             round % 3 == 2 ? dice.between(-2, 2) : 0.0};
    const ClearanceScene scene = scene_of(part, section, obstacles);
    const ClearanceResult result = certify(scene, tolerance);
    for (std::size_t i = 0; i < obstacles.size(); ++i) {
      for (const Piece piece : all_pieces) {
        CAPTURE(round, i, piece_text(piece));
        const auto& proved = result.obstacles[i].pieces[static_cast<std::size_t>(piece)];
        REQUIRE(proved);
        const double seen = sampled(scene, piece, obstacles[i].bodies, 4.0);
        struck += seen < 0.0;
        CHECK(*proved <= seen + 1e-8);
        // Half a step along (20 mm along the straight, and that of the outline, 14 mm at most).
        CHECK(*proved >= seen - (piece == Piece::front_end ? 17.0 : 8.0) - tolerance);
      }
    }
    REQUIRE(result.nearest);
    CHECK(result.nearest->distance_mm >= *result.least_mm - 1e-9);
    const auto quick = least_distance_mm(scene, tolerance);
    REQUIRE(quick);
    CHECK(std::abs(*quick - *result.least_mm) <= tolerance + 1e-9);
    // What it sweeps holds every corner.
    double radius = 0.0, height = -1e9;
    for (double lag = -part.span_in_mm(); lag < scene.rolled_mm; lag += 1.0) {
      const Stage stage = part.stage_at(lag);
      const CurvePoint c = part.at(stage, lag);
      const PosedPart::SectionAxes axes = part.section_axes(stage, lag);
      for (const Vector2d& at : section.corners())
        for (const double l : {0.0, lag < part.span_out_mm() ? 0.0 : scene.front_end_mm}) {
          const Vector3d p = c.p + at.x() * axes.inward + at.y() * axes.shafts + l * c.d1.normalized();
          radius = std::max(radius, p.head<2>().norm() + section.rounding_mm);
          height = std::max(height, p.z() + section.rounding_mm);
        }
    }
    CHECK(result.swept_radius_mm >= radius - 1e-9);
    CHECK(result.swept_height_mm >= height - 1e-9);
    // The front end is taken as long as it must be where |X'| is least on the arc; where it is most that is too long.
    double most = 1.0;
    for (double lag = part.span_out_mm(); lag < part.outboard_lag_mm(); lag += 1.0)
      most = std::max(most, part.at(Stage::arc, lag).d1.norm());
    const Stretch arc(part, Stage::arc, part.span_out_mm(), part.outboard_lag_mm());
    const double over = arc.straight_covering(scene.front_end_mm) * most - scene.front_end_mm;
    CHECK(over < 3.0);
    constexpr double step = 1.0;  // of the samples; no point here moves faster than lag
    CHECK(result.swept_radius_mm <= radius + over + step + tolerance);
    CHECK(result.swept_height_mm <= height + over + step + tolerance);
  }
  CHECK(struck > 0);  // depth was looked at too
}

TEST_CASE("near what is met nothing is nearer than the proof, nor is the proof far below", "[clearance][oracle]") {
  Dice dice(304);
  const PosedPart part = rigid_part(Helix(Length::mm(500), Length::mm(300), Hand::right_screw), Eigen::Isometry3d::Identity());
  const SectionBox section{{0.0, 0.0}, {24.0, 14.0}, 6.0, 0.0};
  for (int round = 0; round < 9; ++round) {
    const Vector3d centre(dice.between(-700, 700), dice.between(-200, 1200), dice.between(0, 900));
    const Shape shape = random_shape(dice, centre, std::array{0, 2, 3}[static_cast<std::size_t>(round) % 3]);
    const ClearanceScene scene = scene_of(part, section, {{"solid", {shape}, std::nullopt, 0.0}});
    const ObstacleClearance found = certify(scene, tolerance).obstacles[0];
    const NearestPair& nearest = *found.nearest;
    if (nearest.piece != Piece::coil && nearest.piece != Piece::lead_arc) continue;
    const ConvexBody body(shape);
    double least = 1e9;
    for (double lag = nearest.fed_length_mm - 20; lag <= nearest.fed_length_mm + 20; lag += 0.05) {
      if (lag < part.span_out_mm() || lag > scene.rolled_mm) continue;
      const CurvePoint c = part.at(Stage::coil, lag);
      const PosedPart::SectionAxes axes = part.section_axes(Stage::coil, lag);
      for (int i = -24; i <= 24; ++i)
        for (int k = -14; k <= 14; ++k) {
          if (std::abs(i) != 24 && std::abs(k) != 14) continue;
          const double d = body.distance(c.p + i * axes.inward + k * axes.shafts).distance_mm - section.rounding_mm;
          least = std::min(least, d);
        }
    }
    CAPTURE(round);
    CHECK(least >= *found.least_mm - 1e-9);
    // The outline every millimetre: off a distance d that changes the square by a quarter.
    CHECK(least <= *found.least_mm + tolerance + 1e-3 + (least < 0.0 ? 0.5 : 0.25 / (2.0 * std::max(1.0, least + 6.0))));
  }
}

TEST_CASE("a section without edges is round stock to the last digit", "[clearance][oracle]") {
  Dice dice(305);
  const PosedPart part = turned_part(dice);
  std::vector<Obstacle> obstacles;
  for (int k = 0; k < 6; ++k)
    obstacles.push_back({"solid", {random_shape(dice, {dice.between(-2000, 2000), dice.between(-900, 2000), dice.between(-400, 1200)}, k)}, std::nullopt, 0.0});
  ClearanceScene scene = scene_of(part, SectionBox::round(21.2), obstacles);
  const ClearanceResult with = certify(scene, tolerance);
  scene.section.reset();
  const ClearanceResult without = certify(scene, tolerance);
  CHECK(with.evaluations == without.evaluations);
  CHECK(*with.least_mm == *without.least_mm);
  CHECK(with.swept_radius_mm == without.swept_radius_mm);
  CHECK(with.swept_height_mm == without.swept_height_mm);
  CHECK(*with.self_mm == *without.self_mm);
  CHECK(*with.stock_mm == *without.stock_mm);
  for (std::size_t i = 0; i < obstacles.size(); ++i) CHECK(*with.obstacles[i].least_mm == *without.obstacles[i].least_mm);
}

TEST_CASE("a section beside simple bodies has closed forms", "[clearance][oracle]") {
  const double R = 300;
  const PosedPart ring = rigid_part(Helix(Length::mm(R), Length::mm(0), Hand::right_screw), Eigen::Isometry3d::Identity());
  const SectionBox section{{0.0, 0.0}, {24.0, 14.0}, 6.0, 0.0};
  const auto against = [&](const Shape& shape, const SectionBox& box) {
    ClearanceScene scene = scene_of(ring, box, {{"body", {shape}, std::nullopt, 0.0}});
    scene.coil_to_mm = scene.rolled_mm = 1500;
    scene.front_end_mm = 0;
    return certify(scene, tolerance).obstacles[0];
  };
  const auto coil = [&](const Shape& shape, const SectionBox& box) {
    return *against(shape, box).pieces[static_cast<std::size_t>(Piece::coil)];
  };
  // Lying 60 wide and 40 high: faces, not the circle of 36.
  const ObstacleClearance floor = against(HalfSpace{{0, 0, -50}, {0, 0, 1}}, section);
  for (const Piece piece : {Piece::stock, Piece::spans, Piece::coil})
    CHECK(*floor.pieces[static_cast<std::size_t>(piece)] == Approx(50 - 20).margin(tolerance));
  // The support under it touches.
  CHECK(*against(HalfSpace{{0, 0, -20}, {0, 0, 1}}, section).least_mm == Approx(0.0).margin(tolerance));
  // Coaxial cylinders: inside and outside face. The axis stands at (0, R).
  CHECK(coil(Cylinder{{0, R, -500}, {0, R, 500}, 100}, section) == Approx(R - 100 - 30).margin(tolerance));
  // A wall across, into which the far side of the ring goes: as deep as its outer face, and no circle more.
  CHECK(coil(HalfSpace{{0, 2 * R + 10, 0}, {0, -1, 0}}, section) == Approx(10 - 30).margin(tolerance));
  // A box that the inner edge of the section enters from above.
  CHECK(coil(Box{{-20, 2 * R - 60, -100}, {20, 2 * R - 20, -15}}, section) == Approx(-5).margin(tolerance));
  // Off its middle, and turned a quarter.
  SectionBox other = section;
  other.middle_mm = {0.0, 10.0};
  CHECK(coil(HalfSpace{{0, 0, -50}, {0, 0, 1}}, other) == Approx(50 - 10).margin(tolerance));
  other.turned_rad = 0.5 * std::numbers::pi;  // the middle now lies outward
  CHECK(coil(HalfSpace{{0, 0, -50}, {0, 0, 1}}, other) == Approx(50 - 30).margin(tolerance));
  CHECK(coil(Cylinder{{0, R, -500}, {0, R, 500}, 100}, other) == Approx(R - 100 - 20 + 10).margin(tolerance));
}

TEST_CASE("a flat bar leaves its roll, and is found where it comes back", "[clearance][oracle]") {
  // 50 high and 8 deep, bent easy way, round the outside of a roll; the circle of 25.3 would lie in the roll.
  const SectionBox flat{{0.0, 0.0}, {4.0, 25.0}, 0.0, 0.0};
  for (const double pitch : {0.0, 90.0}) {
    const PosedPart part =
        rigid_part(Helix(Length::mm(400), Length::mm(pitch), Hand::right_screw), Eigen::Isometry3d::Identity(), 60);
    ClearanceScene scene = scene_of(part, flat, {{"roll", {Cylinder{{0, -104, -30}, {0, -104, 120}, 100}}, 0.0, 0.5}});
    scene.front_end_mm = 0.0;
    scene.coil_to_mm = scene.rolled_mm = pitch > 0.0 ? 2.0 * std::numbers::pi * 440.0 : 1100.0;
    const ObstacleClearance roll = certify(scene, tolerance).obstacles[0];
    CAPTURE(pitch);
    REQUIRE(roll.excluded_lag_mm);
    CHECK(roll.excluded_lag_mm->first < 0.0);
    CHECK(roll.excluded_lag_mm->second > 300.0);
    if (pitch == 0.0) {
      CHECK((!roll.least_mm || *roll.least_mm > 0.0));
    } else {
      // A turn later it passes the tall roll again: face against face.
      REQUIRE(roll.least_mm);
      CHECK(*roll.least_mm == Approx(0.0).margin(1.0));
      CHECK(roll.nearest->fed_length_mm > 2000.0);
    }
  }
}
