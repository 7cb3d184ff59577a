#include <Eigen/Geometry>
#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/coil/helix.hpp>
#include <coilwright/quantity/require.hpp>
#include <limits>
#include <numbers>
#include <random>

#include "numbers.hpp"

using namespace coilwright;
using Eigen::Vector3d;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double rounding = std::numeric_limits<double>::epsilon();

Helix helix_of(double radius_mm, double climb_mm, Hand hand = Hand::right_screw) {
  return Helix(Length::mm(radius_mm), Length::mm(2.0 * pi * climb_mm), hand);
}

Helix random_helix(std::mt19937_64& random, Hand hand = Hand::right_screw) {
  const double radius = std::exp(uniform(random, std::log(10.0), std::log(10000.0)));
  return Helix(Length::mm(radius),
               Length::mm(radius * std::exp(uniform(random, std::log(1e-3), std::log(30.0)))), hand);
}

}  // namespace

TEST_CASE("textbook helices have their curvature and torsion", "[helix][published]") {
  // Published vector-calculus exercises: radius 3, rise per radian 4: curvature 3/25, radius of curvature
  // 25/3, torsion 4/25, negative for the left hand. Radius 1, rise 3: curvature 1/10. Radius 3, rise 1:
  // radius of curvature 10/3.
  const Helix a = helix_of(3, 4), left = helix_of(3, 4, Hand::left_screw);
  CHECK(a.curvature().per_mm() == Approx(3.0 / 25.0).epsilon(1e-14));
  CHECK(a.bend_radius().mm() == Approx(25.0 / 3.0).epsilon(1e-14));
  CHECK(a.torsion().per_mm() == Approx(4.0 / 25.0).epsilon(1e-14));
  CHECK(left.torsion().per_mm() == Approx(-4.0 / 25.0).epsilon(1e-14));
  CHECK(left.curvature().per_mm() == Approx(3.0 / 25.0).epsilon(1e-14));
  CHECK(helix_of(1, 3).curvature().per_mm() == Approx(0.1).epsilon(1e-14));
  CHECK(helix_of(3, 1).bend_radius().mm() == Approx(10.0 / 3.0).epsilon(1e-14));
}

TEST_CASE("three radii, each by its own formula", "[helix][published]") {
  // Engineering-forum threads on helical handrails: R / cos(slope) rolls flat and is pulled to pitch;
  // (R^2 + c^2) / R, c = pitch / 2 pi, is the bend radius. R 900, pitch 2000: 954.631 and 1012.579 mm.
  const Helix h(Length::mm(900), Length::mm(2000), Hand::right_screw);
  CHECK(h.plan_radius().mm() == 900.0);
  CHECK(halves_off(h.flat_then_pull_radius().mm(), "954.631") <= half_a_digit);
  CHECK(halves_off(h.bend_radius().mm(), "1012.579") <= half_a_digit);
  CHECK(h.bend_radius() / Curvature(h.curvature()).radius() == Approx(1.0).epsilon(1e-14));
  const double cosine = std::cos(h.slope().rad());
  CHECK(h.flat_then_pull_radius().mm() == Approx(900.0 / cosine).epsilon(1e-14));
  CHECK(h.bend_radius().mm() == Approx(900.0 / cosine / cosine).epsilon(1e-14));
}

TEST_CASE("a roll radius from a public thread is the one for rolling flat", "[helix][published]") {
  // Thread on a 3 ft stair rising 12 ft: rolled at 3.412 ft = R / cos(slope). It fits 12 ft in 423 degrees.
  const double turn = 423.0 * pi / 180.0;
  const Helix h(Length::feet(3), Length::feet(12.0 * 2.0 * pi / turn), Hand::right_screw);
  CHECK(h.flat_then_pull_radius().mm() / 304.8 == Approx(3.412).margin(0.001).epsilon(0));
}

TEST_CASE("a slope holds at its radius only", "[helix][oracle]") {
  // The stair that slopes 30 degrees at 10 ft slopes 43.9 degrees at 6 ft: same pitch, tan in proportion.
  const Length pitch = Length::feet(10.0 * std::tan(pi / 6.0) * 2.0 * pi);
  CHECK(Helix(Length::feet(10), pitch, Hand::right_screw).slope().deg() == Approx(30.0).epsilon(1e-14));
  CHECK(halves_off(Helix(Length::feet(6), pitch, Hand::right_screw).slope().deg(), "43.9") <= half_a_digit);
}

TEST_CASE("missing degrees per tread change the bend radius by a seventh", "[helix][oracle]") {
  // 5'-4" diameter and 8 in rise a tread: pitch = 8 x 360 / degrees; slope and bend radius worked by hand.
  const struct {
    double degrees;
    const char *pitch, *slope, *bend;
  } rows[] = {{22.5, "128", "32.5", "45.0"}, {27.0, "106.7", "27.9", "41.0"}, {30.0, "96", "25.5", "39.3"}};
  for (const auto& row : rows) {
    INFO(row.degrees);
    const Helix h(Length::inches(32), Length::inches(8.0 * 360.0 / row.degrees), Hand::right_screw);
    CHECK(halves_off(h.pitch().inches(), row.pitch) <= half_a_digit);
    CHECK(halves_off(h.slope().deg(), row.slope) <= half_a_digit);
    CHECK(halves_off(h.bend_radius().inches(), row.bend) <= half_a_digit);
  }
}

TEST_CASE("a helix keeps the pitch it was given", "[helix][property]") {
  std::mt19937_64 random(1);
  for (int i = 0; i < 1000; ++i) {
    const double pitch = uniform(random, 0.0, 5000.0);
    CHECK(Helix(Length::mm(800), Length::mm(pitch), Hand::left_screw).pitch().mm() == pitch);
  }
}

TEST_CASE("curvature, torsion and radii to twelve digits", "[helix][bound]") {
  // Against the formulas in 64-bit mantissas; worst seen 2.4 roundings.
  std::mt19937_64 random(2);
  double worst = 0.0;
  for (int i = 0; i < 10000; ++i) {
    const Helix h = random_helix(random);
    const long double r = h.plan_radius().mm(),
                      c = static_cast<long double>(h.pitch().mm()) / (2 * std::numbers::pi_v<long double>);
    const auto off = [&](double value, long double exact) {
      worst = std::max(worst, static_cast<double>(std::abs(value / exact - 1)));
    };
    off(h.curvature().per_mm(), r / (r * r + c * c));
    off(h.torsion().per_mm(), c / (r * r + c * c));
    off(h.flat_then_pull_radius().mm(), std::sqrt(r * r + c * c));
    off(h.bend_radius().mm(), (r * r + c * c) / r);
    off(h.arc_per_radian_mm(), std::sqrt(r * r + c * c));
    off(h.rise_per_radian_mm(), c);
    off(h.slope().rad(), std::atan2(c, r));
  }
  CAPTURE(worst / rounding);
  CHECK(worst <= 4.0 * rounding);
}

TEST_CASE("positions to twelve digits, over a hundred turns", "[helix][bound]") {
  // Against the formula in 64-bit mantissas, by the radius or the height; worst seen 2.8 roundings.
  std::mt19937_64 random(3);
  double worst = 0.0;
  for (int i = 0; i < 10000; ++i) {
    const Helix h = random_helix(random);
    const double theta = uniform(random, -200.0 * pi, 200.0 * pi);
    const long double r = h.plan_radius().mm(), t = theta;
    const long double c = static_cast<long double>(h.pitch().mm()) / (2 * std::numbers::pi_v<long double>);
    const Vector3d p = h.point_C(theta);
    const long double half = std::sin(t / 2);
    worst = std::max({worst, static_cast<double>(std::abs(p.x() - r * std::sin(t)) / r),
                      static_cast<double>(std::abs(p.y() - 2 * r * half * half) / r),
                      static_cast<double>(std::abs(p.z() - c * t) / std::abs(c * t))});
  }
  CAPTURE(worst / rounding);
  CHECK(worst <= 4.0 * rounding);
}

TEST_CASE("near its start a helix keeps the digits of its small offsets", "[helix][bound]") {
  // y = R (1 - cos theta) -> R theta^2 / 2; computed as it stands it would be 0 below theta = 1e-8.
  const Helix h = helix_of(1000, 100);
  for (const double theta : {1e-3, 1e-6, 1e-9, 1e-12}) {
    const double series = 500.0 * theta * theta * (1.0 - theta * theta / 12.0);
    CHECK(h.point_C(theta).y() == Approx(series).epsilon(1e-12));
  }
}

TEST_CASE("the frame is the derivative of the curve, for both hands", "[helix][oracle]") {
  // Central differences along the length. Step h, truncation h^2/6 |p'''| <= h^2 k^2/6 (k = 1/arc per radian
  // bounds every rate), rounding 8 eps (|s| + 3 arc) / h.
  std::mt19937_64 random(4);
  for (int i = 0; i < 2000; ++i) {
    const Helix h = random_helix(random, i % 2 == 0 ? Hand::right_screw : Hand::left_screw);
    const double arc = h.arc_per_radian_mm();
    const double along = uniform(random, -20.0, 20.0) * arc, step = 1e-4 * arc;
    CAPTURE(h.plan_radius().mm(), h.pitch().mm(), along);
    const auto at = [&](double s) { return h.frame_C(Length::mm(s)); };
    const CurveFrame before = at(along - step), here = at(along), after = at(along + step);
    const double size = std::abs(along) + 3.0 * arc;  // azimuth and position
    const double point_bound = (1e-8 / 6.0) + 8.0 * rounding * size / step;
    const double frame_bound = ((1e-8 / 6.0) + 8.0 * rounding * size / step) / arc;

    const Vector3d dp = (after.point - before.point) / (2.0 * step);
    CHECK((dp - here.tangent).norm() <= point_bound);
    const Vector3d dt = (after.tangent - before.tangent) / (2.0 * step);
    const Vector3d dn = (after.normal - before.normal) / (2.0 * step);
    const Vector3d db = (after.binormal - before.binormal) / (2.0 * step);
    const double kappa = h.curvature().per_mm(), tau = h.torsion().per_mm();
    // Frenet and Serret: t' = kappa n, n' = -kappa t + tau b, b' = -tau n.
    CHECK((dt - kappa * here.normal).norm() <= frame_bound);
    CHECK((dn + kappa * here.tangent - tau * here.binormal).norm() <= frame_bound);
    CHECK((db + tau * here.normal).norm() <= frame_bound);
  }
}

TEST_CASE("the sign of the torsion is the hand, measured on the points alone", "[helix][oracle]") {
  // Volume of three successive steps: positive for a right-hand screw.
  std::mt19937_64 random(5);
  for (int i = 0; i < 1000; ++i) {
    for (const Hand hand : {Hand::right_screw, Hand::left_screw}) {
      const Helix h = random_helix(random, hand);
      const double at = uniform(random, -10.0, 10.0);
      const Vector3d a = h.point_C(at), b = h.point_C(at + 0.5), c = h.point_C(at + 1.0),
                     d = h.point_C(at + 1.5);
      const double volume = (b - a).cross(c - b).dot(d - c);
      CHECK((volume > 0.0) == (hand == Hand::right_screw));
      CHECK((h.torsion().per_mm() > 0.0) == (hand == Hand::right_screw));
    }
  }
}

TEST_CASE("the left hand is the mirror image of the right", "[helix][property]") {
  std::mt19937_64 random(6);
  for (int i = 0; i < 1000; ++i) {
    const Helix right = random_helix(random);
    const Helix left(right.plan_radius(), right.pitch(), Hand::left_screw);
    const double theta = uniform(random, -30.0, 30.0);
    const auto mirrored = [](Vector3d v) {
      v.y() = -v.y();
      return v;
    };
    CHECK(left.point_C(theta) == mirrored(right.point_C(theta)));
    CHECK(left.tangent_C(theta) == mirrored(right.tangent_C(theta)));
    CHECK(left.normal_C(theta) == mirrored(right.normal_C(theta)));
    // A mirror turns an axial vector over.
    CHECK((left.binormal_C(theta) + mirrored(right.binormal_C(theta))).norm() <= 4.0 * rounding);
    CHECK(left.torsion() == -right.torsion());
    CHECK(left.curvature() == right.curvature());
  }
}

TEST_CASE("the frame is orthonormal and right-handed", "[helix][property]") {
  std::mt19937_64 random(7);
  for (int i = 0; i < 2000; ++i) {
    const Helix h = random_helix(random, i % 2 == 0 ? Hand::right_screw : Hand::left_screw);
    const CurveFrame f = h.frame_C(Length::mm(uniform(random, -50.0, 50.0) * h.arc_per_radian_mm()));
    Eigen::Matrix3d axes;
    axes << f.tangent, f.normal, f.binormal;
    CHECK((axes.transpose() * axes - Eigen::Matrix3d::Identity()).cwiseAbs().maxCoeff() <= 8.0 * rounding);
    CHECK(axes.determinant() == Approx(1.0).epsilon(1e-14));
  }
}

TEST_CASE("the points stand on the cylinder, and the normal leads to its axis", "[helix][property]") {
  std::mt19937_64 random(8);
  for (int i = 0; i < 2000; ++i) {
    const Hand hand = i % 2 == 0 ? Hand::right_screw : Hand::left_screw;
    const Helix h = random_helix(random, hand);
    const double theta = uniform(random, -30.0, 30.0), radius = h.plan_radius().mm();
    const Vector3d axis(0.0, hand == Hand::right_screw ? radius : -radius, h.point_C(theta).z());
    CHECK((h.point_C(theta) + radius * h.normal_C(theta) - axis).norm() <= 8.0 * rounding * radius);
    CHECK(h.point_C(0.0) == Vector3d::Zero());
    CHECK(h.tangent_C(theta).z() >= 0.0);
  }
}

TEST_CASE("length along is length travelled", "[helix][oracle]") {
  // The chords of small steps, 2 sqrt(R^2 sin^2(u/2) + (c u/2)^2), fall short of the arc by u^2/24 at most.
  const Helix h(Length::mm(800), Length::mm(2700), Hand::right_screw);
  const double length = 6276.383;
  const int steps = 20000;
  double travelled = 0.0;
  Vector3d last = h.frame_C(Length()).point;
  for (int i = 1; i <= steps; ++i) {
    const Vector3d next = h.frame_C(Length::mm(length * i / steps)).point;
    travelled += (next - last).norm();
    last = next;
  }
  const double turn_per_step = length / h.arc_per_radian_mm() / steps;
  CHECK(travelled <= length * (1.0 + 1e-12));
  CHECK(travelled >= length * (1.0 - turn_per_step * turn_per_step / 24.0 - 1e-12));
}

TEST_CASE("a chord gauge laid along the rail reads the bend radius", "[helix][oracle]") {
  // R 900, pitch 2000, worked by an independent calculation: chord 300 / 600 / 1000 mm has its middle
  // 11.1693 / 45.4164 / 131.6316 mm off, so that chord^2 / 8 rise + rise / 2 gives 1012.813 / 1013.539 /
  // 1015.436 mm against a bend radius of 1012.579: near it, and far from the plan radius.
  const Helix h(Length::mm(900), Length::mm(2000), Hand::right_screw);
  const struct {
    double chord;
    const char *rise, *reads;
  } rows[] = {{300, "11.1693", "1012.813"}, {600, "45.4164", "1013.539"}, {1000, "131.6316", "1015.436"}};
  for (const auto& row : rows) {
    double low = 0.0, high = 2.0;  // half the turn between the feet
    while (high - low > 1e-14) {
      const double mid = 0.5 * (low + high);
      ((h.point_C(mid) - h.point_C(-mid)).norm() < row.chord ? low : high) = mid;
    }
    const double rise = (0.5 * (h.point_C(low) + h.point_C(-low)) - h.point_C(0.0)).norm();
    CHECK(halves_off(rise, row.rise) <= half_a_digit);
    CHECK(halves_off(row.chord * row.chord / (8.0 * rise) + 0.5 * rise, row.reads) <= half_a_digit);
  }
}

TEST_CASE("without pitch a helix is a circle", "[helix][oracle]") {
  for (const Hand hand : {Hand::right_screw, Hand::left_screw}) {
    const Helix ring(Length::mm(800), Length(), hand);
    CHECK(ring.slope().rad() == 0.0);
    CHECK(ring.curvature().per_mm() == Approx(1.0 / 800.0).epsilon(1e-15));
    CHECK(ring.torsion().per_mm() == 0.0);
    CHECK(ring.bend_radius().mm() == 800.0);
    CHECK(ring.flat_then_pull_radius().mm() == 800.0);
    CHECK(ring.point_C(1.0).z() == 0.0);
    CHECK(ring.binormal_C(1.0).isApprox(Vector3d(0, 0, hand == Hand::right_screw ? 1.0 : -1.0), 1e-15));
    const Vector3d across = ring.point_C(pi);
    CHECK(across.y() == (hand == Hand::right_screw ? 1600.0 : -1600.0));
  }
}

TEST_CASE("a tiny pitch changes things by no more than it should", "[helix][oracle]") {
  // First order in c/R: slope c/R, torsion c/R^2, bend radius R + c^2/R; down to the smallest numbers.
  for (const double climb : {1e-3, 1e-9, 1e-100, 1e-300}) {
    const Helix h = helix_of(800.0, climb);
    CAPTURE(climb);
    CHECK(h.slope().rad() == Approx(climb / 800.0).epsilon(1e-11));
    CHECK(h.torsion().per_mm() == Approx(climb / 640000.0).epsilon(1e-11));
    CHECK(h.bend_radius().mm() - 800.0 == Approx(climb * climb / 800.0).margin(1e-13));
    CHECK(h.curvature().per_mm() == Approx(1.0 / 800.0).epsilon(1e-11));
    CHECK(h.tangent_C(0.0).z() == Approx(climb / 800.0).epsilon(1e-11));
    CHECK(h.point_C(2.0).z() == Approx(2.0 * climb).epsilon(1e-14));
  }
}

TEST_CASE("what is no helix is the caller's mistake", "[helix][input]") {
  const double nan = std::numeric_limits<double>::quiet_NaN(), inf = std::numeric_limits<double>::infinity();
  for (const double bad : {0.0, -800.0, nan, inf})
    CHECK_THROWS_AS(Helix(Length::mm(bad), Length::mm(100), Hand::right_screw), InternalError);
  for (const double bad : {-1.0, nan, inf})
    CHECK_THROWS_AS(Helix(Length::mm(800), Length::mm(bad), Hand::right_screw), InternalError);
}
