#include <catch2/catch.hpp>
#include <coilwright/clearance/clearance.hpp>
#include <coilwright/clearance/self_distance.hpp>
#include <coilwright/quantity/require.hpp>

#include "bench.hpp"

using namespace coilwright;
using bench::Dice;

namespace {

constexpr double tolerance = 0.01;

Helix helix(double radius, double pitch) { return {Length::mm(radius), Length::mm(pitch), Hand::right_screw}; }

// The least over samples of all pairs and of the straight ahead of w; coarse, then around the best pairs.
double sampled(const PairCourse& course, int count) {
  double least = 1e300;
  std::vector<CurvePoint> near, far;
  std::vector<double> v, w;
  for (int i = 0; i <= count; ++i) {
    v.push_back(course.near.from_mm() + (course.near.to_mm() - course.near.from_mm()) * i / count);
    w.push_back(course.far.from_mm() + (course.far.to_mm() - course.far.from_mm()) * i / count);
    near.push_back(course.near.at(v.back()).c);
    far.push_back(course.far.at(w.back()).c);
  }
  for (std::size_t i = 0; i < v.size(); ++i)
    for (std::size_t k = 0; k < w.size(); ++k) {
      if (w[k] - v[i] < course.apart_mm) continue;
      for (int m = 0; m <= (course.straight_mm > 0.0 ? 20 : 0); ++m)
        least = std::min(least, (far[k].p + course.straight_mm * m / 20.0 * far[k].d1 - near[i].p).norm());
    }
  return least;
}

}  // namespace

TEST_CASE("turn to turn: the pitch at which a rope of radius 2 D touches itself", "[clearance][published]") {
  // Przybyl and Pieranski, Eur. Phys. J. E 4, 445 (2001): a helix of radius 2 D on a rope of diameter D cannot
  // have a pitch below about 1.003 D. Half a digit of the pitch printed.
  const auto found = turn_to_turn(helix(2.0, 1.003));
  REQUIRE(found);
  CHECK(found->distance_mm == Approx(1.0).margin(0.0005));
}

TEST_CASE("turn to turn: the closest packed helix that bends no tighter than its rope", "[clearance][memory]") {
  // Same paper, from memory: the curves of turn-to-turn contact and of limiting curvature (1 / curvature = D / 2)
  // cross at a radius of 0.431 D and a pitch of 1.083 D. Half a digit of each.
  const Helix h = helix(0.431, 1.083);
  const auto found = turn_to_turn(h);
  REQUIRE(found);
  CHECK(found->distance_mm == Approx(1.0).margin(0.002));
  CHECK(1.0 / h.curvature().per_mm() == Approx(0.5).margin(0.001));
}

TEST_CASE("turn to turn against a scan of the distance", "[clearance][oracle]") {
  Dice dice(51);
  for (int i = 0; i < 60; ++i) {
    const double R = dice.between(50, 2000), pitch = dice.between(0.0, 1.46) * 2.0 * R;
    const auto found = turn_to_turn(helix(R, pitch));
    REQUIRE(found);
    const double c = pitch / (2.0 * std::numbers::pi);
    // A scan around the root: the least stands inside, and it is this one.
    double least = 1e300;
    for (int k = -2000; k <= 2000; ++k) {
      const double f = found->azimuth_rad + k * 5e-6;
      least = std::min(least, std::sqrt(2.0 * R * R * (1.0 - std::cos(f)) + c * c * f * f));
    }
    CHECK(found->distance_mm <= least * (1.0 + 1e-9) + 1e-4);  // rounding of 1 - cos near a full turn
    CHECK(found->distance_mm == Approx(least).epsilon(1e-7).margin(1e-3));
    CHECK(found->distance_mm <= pitch * std::cos(helix(R, pitch).slope().rad()) * (1.0 + 1e-12));
  }
}

TEST_CASE("turn to turn exists up to a pitch of 1.464 diameters", "[clearance][oracle]") {
  // -sin f / f is at most 0.2172336 (where tan f = f, f = 4.493409), so (pitch / 2 pi R)^2 must not exceed it.
  const double limit = std::numbers::pi * std::sqrt(0.2172336) * 2.0;  // pitch / R
  CHECK(turn_to_turn(helix(100.0, 100.0 * limit * 0.99999)));
  CHECK_FALSE(turn_to_turn(helix(100.0, 100.0 * limit * 1.00001)));
  CHECK_FALSE(turn_to_turn(helix(100.0, 5000.0)));
  const auto ring = turn_to_turn(helix(100.0, 0.0));
  REQUIRE(ring);
  CHECK(ring->distance_mm == Approx(0.0).margin(1e-10));
}

TEST_CASE("pairs of a rigid helix: the search agrees with the root", "[clearance][oracle]") {
  for (const double pitch : {40.0, 120.0, 600.0}) {
    const Helix h = helix(300.0, pitch);
    const PosedPart part = bench::rigid_part(h, Eigen::Isometry3d::Identity());
    const double apart = std::numbers::pi / h.curvature().per_mm();
    // All pairs in two turns, not only those with one end fixed.
    const PairCourse all{{part, Stage::coil, 0.0, 1.0}, {part, Stage::coil, apart, 4500.0}, 0.0, apart};
    const LeastPair found = least_pair(std::vector{all}, tolerance);
    const double truth = turn_to_turn(h)->distance_mm;
    CHECK(found.lower_mm <= truth + 1e-9);
    CHECK(found.upper_mm >= truth - 1e-9);
    CHECK(found.upper_mm - found.lower_mm <= tolerance);
    REQUIRE(found.meeting);
    CHECK(found.meeting->distance_mm == Approx((found.meeting->far_point - found.meeting->near_point).norm()));
  }
}

TEST_CASE("steep helix: nearest at the least lag apart", "[clearance][oracle]") {
  // Above 1.464 diameters of pitch the distance grows with the lag between two points: the search runs along
  // the edge of what is compared, where every pair is equally near.
  const Helix h = helix(300.0, 1000.0);
  const PosedPart part = bench::rigid_part(h, Eigen::Isometry3d::Identity());
  const double apart = std::numbers::pi / h.curvature().per_mm(), f = apart / h.arc_per_radian_mm();
  const PairCourse all{{part, Stage::coil, 0.0, 600.0}, {part, Stage::coil, apart, 5000.0}, 0.0, apart};
  const LeastPair found = least_pair(std::vector{all}, tolerance);
  const double truth = std::hypot(2.0 * 300.0 * std::sin(0.5 * f), h.rise_per_radian_mm() * f);
  CHECK(found.lower_mm <= truth + 1e-9);
  CHECK(found.upper_mm == Approx(truth).margin(tolerance));
  CHECK(found.evaluations < 6000);
}

TEST_CASE("where pairs close in with the lag between them, the ends are nearest", "[clearance][oracle]") {
  // From half a turn on a shallow helix comes back: the nearest pair is the one farthest apart in lag, in a
  // corner of a search that is cut off at the least lag apart. Closed form of the chord.
  Dice dice(53);
  const Helix h = helix(300.0, 40.0);
  const PosedPart part = bench::rigid_part(h, Eigen::Isometry3d::Identity());
  const double apart = 1.2 * std::numbers::pi / h.curvature().per_mm();
  for (int i = 0; i < 60; ++i) {
    const double near_to = dice.between(2.0, 200.0), far_to = apart + dice.between(2.0, 200.0);
    const PairCourse all{{part, Stage::coil, 0.0, near_to}, {part, Stage::coil, apart - 20.0, far_to}, 0.0, apart};
    const LeastPair found = least_pair(std::vector{all}, tolerance);
    const double f = far_to / h.arc_per_radian_mm();
    const double truth = std::hypot(2.0 * 300.0 * std::sin(0.5 * f), h.rise_per_radian_mm() * f);
    CHECK(found.lower_mm <= truth + 1e-9);
    CHECK(found.upper_mm >= truth - 1e-9);
    CHECK(found.upper_mm - found.lower_mm <= tolerance);
  }
}

TEST_CASE("centrelines that cross end the search soon", "[clearance][oracle]") {
  const Helix h = helix(300.0, 0.0);
  const PosedPart part = bench::rigid_part(h, Eigen::Isometry3d::Identity());
  const double apart = std::numbers::pi * 300.0;
  const PairCourse all{{part, Stage::coil, 0.0, 500.0}, {part, Stage::coil, apart, 3000.0}, 0.0, apart};
  const LeastPair found = least_pair(std::vector{all}, tolerance);
  CHECK(found.lower_mm == 0.0);
  CHECK(found.upper_mm <= tolerance);
  CHECK(found.evaluations < 500);
}

TEST_CASE("sprung arc, coil, spans and front end: pairs against dense sampling", "[clearance][oracle]") {
  Dice dice(52);
  for (int i = 0; i < 10 * bench::effort(); ++i) {
    const PosedPart part = bench::sprung_part({dice.between(120, 500), dice.between(30, 500), dice.between(40, 100),
                                               dice.between(1.0, 2.5), dice.between(0, 10)});
    const double exit = part.span_out_mm(), out = part.outboard_lag_mm();
    const double apart = std::numbers::pi / part.helix().curvature().per_mm();
    const double rolled = out + apart * dice.between(1.2, 2.4);
    const double straight = i % 2 ? dice.between(20, 300) : 0.0;
    const Stretch coil(part, Stage::coil, std::max(out, exit + apart), rolled);
    const PairCourse course = i % 3 == 0
                                  ? PairCourse{{part, Stage::spans, -part.span_in_mm(), exit}, coil, straight, 0.0}
                                  : PairCourse{{part, Stage::arc, exit, out}, coil, straight, apart};
    const LeastPair found = least_pair(std::vector{course}, tolerance);
    const double truth = sampled(course, 400);
    CHECK(found.upper_mm - found.lower_mm <= tolerance);
    CHECK(found.lower_mm <= truth + 1e-9);
    // Steps of the samples: half of each at most along both curves and the straight.
    const double step = (coil.to_mm() - coil.from_mm() + course.near.to_mm() - course.near.from_mm()) / 400.0;
    CHECK(truth - found.lower_mm <= tolerance + step + straight / 20.0);
    if (straight == 0.0) CHECK(truth - found.lower_mm <= tolerance + 0.1 * step);
  }
}

TEST_CASE("nothing nearer than the cutoff", "[clearance][property]") {
  const PosedPart part = bench::rigid_part(helix(300.0, 60.0), Eigen::Isometry3d::Identity());
  const double apart = std::numbers::pi / part.helix().curvature().per_mm();
  const PairCourse all{{part, Stage::coil, 0.0, 0.0}, {part, Stage::coil, apart, 4500.0}, 0.0, apart};
  const LeastPair found = least_pair(std::vector{all}, tolerance, 20.0);
  CHECK_FALSE(found.meeting);
  CHECK(found.lower_mm >= 20.0 - tolerance);
  CHECK_THROWS_AS(least_pair(std::vector{all}, 0.0), InternalError);
}

TEST_CASE("a coil keeps its turns apart, from itself and from the stock", "[clearance][oracle]") {
  const PosedPart part = bench::rigid_part(helix(300, 90), Eigen::Isometry3d::Identity(), 80);
  ClearanceScene scene;
  scene.part = &part;
  scene.tube_radius_mm = 20;
  scene.coil_to_mm = scene.rolled_mm = 4 * 2 * std::numbers::pi * part.helix().arc_per_radian_mm();
  scene.stock_mm = 2000;
  const ClearanceResult result = certify(scene);
  REQUIRE(result.self_mm);
  CHECK(*result.self_mm == Approx(turn_to_turn(part.helix())->distance_mm - 40).margin(0.01));
  CHECK_FALSE(result.self_at_end);
  REQUIRE(result.stock_mm);
  // By sampling: the coil from half a turn on against the straight line of stock and spans.
  double least = 1e9;
  for (double lag = std::numbers::pi / part.helix().curvature().per_mm(); lag < scene.rolled_mm; lag += 0.5) {
    const Eigen::Vector3d p = part.at(Stage::coil, lag).p;
    const Eigen::Vector3d on(std::clamp(p.x(), -2080.0, 80.0), 0, 0);
    least = std::min(least, (p - on).norm() - 40);
  }
  CHECK(*result.stock_mm <= least + 1e-9);
  CHECK(*result.stock_mm >= least - 0.26 - 0.01);
}

TEST_CASE("turns that overlap are found; a short part has no distance to itself", "[clearance][property]") {
  const PosedPart tight = bench::rigid_part(helix(300, 30), Eigen::Isometry3d::Identity(), 80);
  ClearanceScene scene;
  scene.part = &tight;
  scene.tube_radius_mm = 20;
  scene.coil_to_mm = scene.rolled_mm = 2 * 2 * std::numbers::pi * tight.helix().arc_per_radian_mm();
  CHECK(*certify(scene).self_mm < -9.9);
  scene.coil_to_mm = scene.rolled_mm = 700;
  const ClearanceResult part = certify(scene);
  CHECK_FALSE(part.self_mm);
  CHECK_FALSE(part.stock_mm);
}

TEST_CASE("the sprung arc is compared with the coil, too", "[clearance][oracle]") {
  const PosedPart part = bench::sprung_part({.plan_radius_mm = 400, .pitch_mm = 150, .half_spacing_mm = 150, .spring_mm = 5});
  ClearanceScene scene;
  scene.part = &part;
  scene.tube_radius_mm = 20;
  scene.coil_to_mm = scene.rolled_mm = 6500;
  const double apart = std::numbers::pi / part.helix().curvature().per_mm();
  const ClearanceResult result = certify(scene);
  double least = 1e9;
  for (double v = part.span_out_mm(); v < 6500; v += 10)
    for (double w = v + apart; w < 6500; w += 2)
      least = std::min(least, (part.at(v).p - part.at(w).p).norm() - 40);
  REQUIRE(result.self_mm);
  CHECK(*result.self_mm <= least + 1e-9);
  CHECK(*result.self_mm >= least - 5);  // samples 10 mm apart on one side
}
