#include <algorithm>
#include <catch2/catch.hpp>
#include <coilwright/clearance/growing_clearance.hpp>
#include <coilwright/quantity/require.hpp>
#include <memory>

#include "bench.hpp"

using namespace coilwright;
using namespace coilwright::bench;
using Eigen::Vector3d;

namespace {

constexpr double tolerance = 0.01, radius = 21.2, front_mm = 140.0, ahead_mm = 900.0, stock_mm = 5000.0;

Eigen::Isometry3d bend_frame(const PosedPart& part) {
  const Helix& helix = part.helix();
  const auto start = helix.frame_C(Length::mm(0));
  Eigen::Isometry3d X = Eigen::Isometry3d::Identity();
  X.linear() << -start.tangent, start.normal, -start.binormal;
  return part.X_FC() * X;
}

// One helix, told as a part of several: start-up and coil, the coil cut in two.
struct Told {
  std::shared_ptr<const PosedPart> posed;
  FedPart blank;
  GrowingScene scene;
};

std::unique_ptr<Told> told(const Helix& helix, const Eigen::Isometry3d& X_FC, double coil_mm, const std::vector<Obstacle>& obstacles) {
  const auto posed = std::make_shared<const PosedPart>(rigid_part(helix, X_FC));
  Centreline line;
  line.append(SegmentCurve::straight(Length::mm(front_mm)));
  for (const double length : {ahead_mm, 0.4 * coil_mm, 0.6 * coil_mm}) line.append(SegmentCurve::helix(helix, Length::mm(length)));
  const std::vector<Eigen::Isometry3d> unused(line.size(), Eigen::Isometry3d::Identity());
  auto result = std::make_unique<Told>(Told{posed, FedPart(fed_segments(line, unused)), {}});
  GrowingScene& scene = result->scene;
  scene.blank = &result->blank;
  scene.pieces = {Piece::front_end, Piece::lead_arc, Piece::coil, Piece::coil};
  const Eigen::Isometry3d X = bend_frame(*posed);
  for (std::size_t i = 1; i < 4; ++i) {
    GrowingStep step;
    const double from = result->blank.starts_mm()[i] + (i == 1 ? posed->span_out_mm() : 0.0);
    step.fed = {i, from, result->blank.starts_mm()[i + 1], X, X};
    step.bent = posed;
    step.span_in_mm = posed->span_in_mm();
    step.span_out_mm = posed->span_out_mm();
    step.obstacles = obstacles;
    scene.steps.push_back(step);
  }
  scene.tube_radius_mm = radius;
  scene.front_end_mm = front_mm;
  scene.stock_mm = stock_mm;
  scene.greatest_curvature_per_mm = helix.curvature().per_mm();
  return result;
}

// The same part told as the one helix that it is.
ClearanceScene as_one_helix(const Told& growing, double coil_mm, const SectionBox& section, const std::vector<Obstacle>& obstacles) {
  ClearanceScene one;
  one.part = growing.posed.get();
  one.tube_radius_mm = section.reach_mm();
  one.section = section;
  one.coil_to_mm = coil_mm;
  one.rolled_mm = coil_mm + ahead_mm;
  one.front_end_mm = front_mm;
  one.stock_mm = stock_mm;
  one.flat_front_mm = front_mm;
  one.obstacles = obstacles;
  return one;
}

// Two proofs of one distance, each within the tolerance.
void agree(std::optional<double> x, std::optional<double> y) {
  REQUIRE(x.has_value() == y.has_value());
  if (x) CHECK(*x == Approx(*y).margin(2 * tolerance));
}

std::optional<double> of(const ObstacleClearance& clearance, std::initializer_list<Piece> pieces) {
  std::optional<double> least;
  for (const Piece piece : pieces)
    if (const auto& value = clearance.pieces[static_cast<std::size_t>(piece)]) least = std::min(least.value_or(*value), *value);
  return least;
}

}  // namespace

TEST_CASE("one helix told as several segments comes as near to everything as the one", "[clearance][oracle]") {
  Dice dice(101);
  for (int round = 0; round < 4 * effort(); ++round) {
    CAPTURE(round);
    const Helix helix(Length::mm(dice.between(300, 700)), Length::mm(dice.between(90, 900)), Hand::right_screw);
    // Leaning a little, leaving along +x from the bend point at the origin.
    const auto start = helix.frame_C(Length::mm(0));
    Eigen::Isometry3d X_FC(Eigen::AngleAxisd(std::asin(start.tangent.z()), Vector3d::UnitY()));
    const double coil_mm = dice.between(2000, 6000);
    std::vector<Obstacle> obstacles;
    for (int k = 0; k < 8; ++k) {
      const Vector3d centre(dice.between(-1500, 1500), dice.between(-700, 1800), dice.between(-500, 1500));
      obstacles.push_back({"solid " + std::to_string(k), {random_shape(dice, centre, k % 3)}, std::nullopt, 0.0});
    }
    const auto growing = told(helix, X_FC, coil_mm, obstacles);
    const ClearanceScene one = as_one_helix(*growing, coil_mm, SectionBox::round(radius), obstacles);
    const ClearanceResult a = certify(one, tolerance), b = certify(growing->scene, tolerance);
    for (std::size_t i = 0; i < obstacles.size(); ++i) {
      CAPTURE(i);
      agree(of(a.obstacles[i], {Piece::coil}), of(b.obstacles[i], {Piece::coil}));
      // What is ahead of the coil passes wherever the coil does.
      agree(of(a.obstacles[i], {Piece::coil, Piece::lead_arc}), of(b.obstacles[i], {Piece::coil, Piece::lead_arc}));
      agree(of(a.obstacles[i], {Piece::front_end}), of(b.obstacles[i], {Piece::front_end}));
      agree(of(a.obstacles[i], {Piece::stock}), of(b.obstacles[i], {Piece::stock}));
      agree(of(a.obstacles[i], {Piece::spans}), of(b.obstacles[i], {Piece::spans}));
    }
    agree(a.self_mm, b.self_mm);
    agree(a.stock_mm, b.stock_mm);
    agree(a.least_mm, b.least_mm);
    agree(least_distance_mm(one, tolerance), least_distance_mm(growing->scene, tolerance));
    CHECK(b.swept_radius_mm >= a.swept_radius_mm - tolerance);
    CHECK(b.swept_radius_mm <= 1.002 * a.swept_radius_mm + 1.0);
    CHECK(b.swept_height_mm >= a.swept_height_mm - 2 * tolerance);
    CHECK(b.swept_height_mm <= a.swept_height_mm + 1.0);
    REQUIRE(b.nearest);
    CHECK((b.nearest->part_point - b.nearest->machine_point).norm() == Approx(std::abs(b.nearest->distance_mm)).margin(1e-6));
  }
}

TEST_CASE("so does one of stock that is not round, with its section", "[clearance][oracle]") {
  Dice dice(102);
  for (int round = 0; round < 3 * effort(); ++round) {
    CAPTURE(round);
    const Helix helix(Length::mm(dice.between(300, 700)), Length::mm(dice.between(90, 900)), Hand::right_screw);
    const auto start = helix.frame_C(Length::mm(0));
    // Leaning sideways too: the section stands upright at the bend point, not square to the plane of the bend.
    Eigen::Isometry3d X_FC(Eigen::AngleAxisd(0.1, Vector3d::UnitX()) * Eigen::AngleAxisd(std::asin(start.tangent.z()), Vector3d::UnitY()));
    const double coil_mm = dice.between(2000, 4000);
    std::vector<Obstacle> obstacles;
    for (int k = 0; k < 8; ++k) {
      const Vector3d centre(dice.between(-1500, 1500), dice.between(-700, 1800), dice.between(-500, 1500));
      obstacles.push_back({"solid " + std::to_string(k), {random_shape(dice, centre, k)}, std::nullopt, 0.0});
    }
    const SectionBox section{{dice.between(-5, 5), dice.between(-5, 5)}, {dice.between(4, 30), dice.between(4, 30)}, dice.between(0, 6), 0.0};
    const auto growing = told(helix, X_FC, coil_mm, obstacles);
    growing->scene.section = section;
    growing->scene.tube_radius_mm = section.reach_mm();
    Eigen::Matrix2d lies = growing->posed->section_in_helix();
    CHECK(std::abs(lies(0, 0)) < 0.9999);
    lies.row(1) *= -1.0;  // told from the leading end the binormal points down
    growing->scene.section_in_segment.assign(4, lies);
    const ClearanceScene one = as_one_helix(*growing, coil_mm, section, obstacles);
    const ClearanceResult a = certify(one, tolerance), b = certify(growing->scene, tolerance);
    for (std::size_t i = 0; i < obstacles.size(); ++i) {
      CAPTURE(i);
      for (const Piece piece : {Piece::coil, Piece::front_end, Piece::stock, Piece::spans})
        agree(of(a.obstacles[i], {piece}), of(b.obstacles[i], {piece}));
    }
    agree(a.self_mm, b.self_mm);
    CHECK(b.swept_radius_mm >= a.swept_radius_mm - tolerance);
    CHECK(b.swept_height_mm >= a.swept_height_mm - 2 * tolerance);
    CHECK(b.swept_height_mm <= a.swept_height_mm + 1.0);
  }
}

TEST_CASE("a roll that the part leaves counts where the part comes back, or lies deeper than the play", "[clearance][property]") {
  const Helix helix(Length::mm(400), Length::mm(0.0), Hand::right_screw);
  // Outside the bend: the part only draws away from this roll.
  Obstacle exit{"exit roll", {Cylinder{{0, -radius - 100, -40}, {0, -radius - 100, 40}, 100}}, 0.0, 1.5};
  const auto clear = told(helix, Eigen::Isometry3d::Identity(), 300, {exit});
  const ClearanceResult away = certify(clear->scene, tolerance);
  REQUIRE(away.obstacles[0].least_mm);
  CHECK(*away.obstacles[0].least_mm > 100.0);
  REQUIRE(away.obstacles[0].excluded_lag_mm);
  CHECK(away.obstacles[0].excluded_lag_mm->second >= clear->scene.leaving_mm() - 1e-9);
  // A roll in its way on leaving: the part would lie in it.
  Obstacle deep = exit;
  deep.bodies = {Cylinder{{60, -radius - 60, -40}, {60, -radius - 60, 40}, 100}};
  const auto struck = told(helix, Eigen::Isometry3d::Identity(), 300, {deep});
  const ClearanceResult inside = certify(struck->scene, tolerance);
  REQUIRE(inside.obstacles[0].least_mm);
  CHECK(*inside.obstacles[0].least_mm < -deep.play_mm);
  // While settings change it is not known so well: only what comes back counts.
  for (GrowingStep& step : struck->scene.steps) step.settings = GrowingStep::Settings::changing;
  CHECK(*certify(struck->scene, tolerance).obstacles[0].least_mm > 0.0);
  struck->scene.steps.clear();
  CHECK_THROWS_AS(certify(struck->scene, tolerance), InternalError);
}
