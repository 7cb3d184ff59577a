#include <catch2/catch.hpp>
#include <coilwright/clearance/sweep.hpp>

#include "bench.hpp"

using namespace coilwright;
using bench::Dice;

namespace {

constexpr double tolerance = 0.01;

void check_bounds(double found, double truth) {
  CHECK(found >= truth - 1e-9);
  CHECK(found <= truth + tolerance + 1e-9);
}

}  // namespace

TEST_CASE("how far a ring and its swinging end reach, in closed form", "[clearance][oracle]") {
  const double R = 400.0, L = 250.0;
  const PosedPart part =
      bench::rigid_part(Helix(Length::mm(R), Length::mm(0.0), Hand::right_screw), Eigen::Isometry3d::Identity());
  const Stretch ring(part, Stage::coil, 0.0, 2.0 * std::numbers::pi * R);
  check_bounds(largest_plan_distance_mm(std::vector<SweptCourse>{{ring}}, tolerance), 2.0 * R);
  check_bounds(largest_plan_distance_mm(std::vector<SweptCourse>{{ring, L}}, tolerance), R + std::hypot(R, L));
  // About its own axis every point is equally far.
  Eigen::Isometry3d centred = Eigen::Isometry3d::Identity();
  centred.pretranslate(Eigen::Vector3d(0, -R, 0));
  const PosedPart about = bench::rigid_part(Helix(Length::mm(R), Length::mm(0.0), Hand::right_screw), centred);
  check_bounds(largest_plan_distance_mm(std::vector<SweptCourse>{{{about, Stage::coil, 0.0, 1500.0}}}, tolerance), R);
}

TEST_CASE("how high a leaning helix reaches, in closed form", "[clearance][oracle]") {
  // Axis leaning by a about y: z = sin(a) x' + cos(a) z' with x' = R sin(theta), z' = c theta.
  const double R = 500.0, pitch = 300.0, a = 0.2;
  const Helix helix(Length::mm(R), Length::mm(pitch), Hand::right_screw);
  Eigen::Isometry3d X = Eigen::Isometry3d::Identity();
  X.rotate(Eigen::AngleAxisd(-a, Eigen::Vector3d::UnitY()));
  const PosedPart part = bench::rigid_part(helix, X);
  const double rho = helix.arc_per_radian_mm(), c = helix.rise_per_radian_mm(), last = 5.0;
  const auto z = [&](double theta) { return std::sin(a) * R * std::sin(theta) + std::cos(a) * c * theta; };
  const double stationary = std::acos(-c * std::cos(a) / (R * std::sin(a)));
  const double truth = std::max(z(stationary), z(last));
  check_bounds(highest_mm(std::vector<SweptCourse>{{{part, Stage::coil, 0.0, last * rho}}}, tolerance), truth);
}

TEST_CASE("reach and height of every stage against dense sampling", "[clearance][oracle]") {
  Dice dice(61);
  for (int i = 0; i < 20 * bench::effort(); ++i) {
    const PosedPart part = bench::sprung_part({dice.between(150, 900), dice.between(0, 900), dice.between(60, 120),
                                               dice.between(1.2, 2.5), dice.between(0, 10)});
    const double out = part.outboard_lag_mm();
    const Stretch stretches[] = {{part, Stage::spans, -part.span_in_mm(), part.span_out_mm()},
                                 {part, Stage::arc, part.span_out_mm(), out},
                                 {part, Stage::coil, out, out + dice.between(500, 6000)}};
    const double straight = i % 3 > 0 && i % 2 ? dice.between(10, 600) : 0.0;
    const Stretch& stretch = stretches[i % 3];
    double far = 0.0, high = -1e300;
    for (int k = 0; k <= 20000; ++k) {
      const CurvePoint p = stretch.at(stretch.from_mm() + (stretch.to_mm() - stretch.from_mm()) * k / 20000).c;
      for (const double l : {0.0, straight}) {
        const Eigen::Vector3d q = p.p + l * p.d1;
        far = std::max(far, q.head<2>().norm());
        high = std::max(high, q.z());
      }
    }
    const double missed = 1e-3;  // between samples 0.3 mm apart, curvature below 1 / 100 mm
    const std::vector<SweptCourse> courses{{stretch, straight}};
    CHECK(largest_plan_distance_mm(courses, tolerance) >= far);
    CHECK(largest_plan_distance_mm(courses, tolerance) <= far + tolerance + missed);
    CHECK(highest_mm(courses, tolerance) >= high);
    CHECK(highest_mm(courses, tolerance) <= high + tolerance + missed);
  }
}

TEST_CASE("where an upright helix passes a height", "[clearance][oracle]") {
  const Helix helix(Length::mm(500.0), Length::mm(300.0), Hand::right_screw);
  const PosedPart part = bench::rigid_part(helix, Eigen::Isometry3d::Identity());
  const Stretch coil(part, Stage::coil, 0.0, 20000.0);
  const auto lag = first_lag_above({coil}, 444.0, tolerance);
  REQUIRE(lag);
  CHECK(*lag == Approx(444.0 / helix.rise_per_radian_mm() * helix.arc_per_radian_mm()).margin(tolerance));
  CHECK(*lag <= 444.0 / helix.rise_per_radian_mm() * helix.arc_per_radian_mm());
  CHECK_FALSE(first_lag_above({coil}, 1e5, tolerance));
  CHECK(first_lag_above({coil}, -1.0, tolerance) == 0.0);
}

TEST_CASE("a straight end ahead passes the height before its coil", "[clearance][oracle]") {
  // It climbs at the slope of the coil: the lag at which its tip is there is less by its own length.
  const Helix helix(Length::mm(500.0), Length::mm(300.0), Hand::right_screw);
  const PosedPart part = bench::rigid_part(helix, Eigen::Isometry3d::Identity());
  const auto lag = first_lag_above({{part, Stage::coil, 0.0, 20000.0}, 250.0}, 444.0, tolerance);
  REQUIRE(lag);
  CHECK(*lag == Approx(444.0 / helix.rise_per_radian_mm() * helix.arc_per_radian_mm() - 250.0).margin(tolerance));
}

TEST_CASE("a leaning helix passes a height first on its high side", "[clearance][oracle]") {
  Eigen::Isometry3d X = Eigen::Isometry3d::Identity();
  X.rotate(Eigen::AngleAxisd(-0.3, Eigen::Vector3d::UnitY()));
  const PosedPart part = bench::rigid_part(Helix(Length::mm(500.0), Length::mm(100.0), Hand::right_screw), X);
  const Stretch coil(part, Stage::coil, 0.0, 20000.0);
  const double height = 200.0;
  const auto lag = first_lag_above({coil}, height, tolerance);
  REQUIRE(lag);
  double first = 0.0;
  while (part.at(Stage::coil, first).p.z() <= height) first += 0.001;
  CHECK(*lag == Approx(first).margin(tolerance));
}
