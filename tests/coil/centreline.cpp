#include <Eigen/Geometry>
#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/coil/centreline.hpp>
#include <coilwright/quantity/require.hpp>
#include <numbers>
#include <random>

#include "numbers.hpp"

using namespace coilwright;
using Eigen::Vector3d;

namespace {

constexpr double pi = std::numbers::pi;

double apart(const CurveFrame& a, const CurveFrame& b) {
  return std::max({(a.point - b.point).norm(), (a.tangent - b.tangent).norm(), (a.normal - b.normal).norm(),
                   (a.binormal - b.binormal).norm()});
}

SegmentCurve random_taper(std::mt19937_64& random) {
  return SegmentCurve::taper({uniform(random, 40, 900), uniform(random, 40, 900), uniform(random, 0.1, 8),
                              uniform(random, -1500, 1500)});
}

}  // namespace

TEST_CASE("the length of a tapered segment is the textbook's", "[centreline][oracle]") {
  // Archimedean spiral and conical helix, radii and rise as below; exact integrals checked by Simpson's rule
  // to 1e-12 before this program was written.
  const auto length = [](double r1, double r2, double rise, double turns) {
    return SegmentCurve::taper({r1, r2, turns, rise}).length_mm();
  };
  CHECK(length(25, 50, 0, 2) == Approx(471.927795).epsilon(2e-9));
  CHECK(length(50, 150, 0, 5) == Approx(3143.340433).epsilon(1e-9));
  CHECK(length(100, 500, 0, 4) == Approx(7552.605838).epsilon(1e-9));
  CHECK(length(100, 300, 400, 5) == Approx(6300.634630).epsilon(1e-9));
  CHECK(length(25, 50, 120, 6) == Approx(1419.229203).epsilon(1e-9));
  CHECK(length(20, 10, 60, 8) == Approx(756.528306).epsilon(1e-9));
}

TEST_CASE("a taper without taper is the helix", "[centreline][oracle]") {
  const Helix helix(Length::mm(300), Length::mm(200), Hand::right_screw);
  const SegmentCurve screw = SegmentCurve::helix(helix, Length::mm(2.5 * std::hypot(2 * pi * 300, 200)));
  const SegmentCurve taper = SegmentCurve::taper({300, 300, 2.5, 500});
  CHECK(taper.length_mm() == Approx(screw.length_mm()).epsilon(1e-13));
  for (double s : {0.0, 100.0, 1234.5, 4000.0}) {
    CHECK(apart(taper.frame(s), screw.frame(s)) < 1e-9);
    CHECK(taper.curvature(s) == Approx(screw.curvature(s)).epsilon(1e-12));
    CHECK(taper.torsion(s) == Approx(screw.torsion(s)).epsilon(1e-12));
  }
}

TEST_CASE("a helix segment is the helix of frame C", "[centreline][oracle]") {
  for (const Hand hand : {Hand::right_screw, Hand::left_screw}) {
    const Helix helix(Length::mm(800), Length::mm(2700), hand);
    const SegmentCurve screw = SegmentCurve::helix(helix, Length::mm(5000));
    // From its own start frame: the same curve, moved there.
    const CurveFrame start = helix.frame_C(Length());
    for (double s : {0.0, 17.0, 900.0, 5000.0})
      CHECK(apart(composed(start, screw.frame(s)), helix.frame_C(Length::mm(s))) < 1e-9);
    const Helix back = helix_of(screw.curvature(0), screw.torsion(0));
    CHECK(back.plan_radius().mm() == Approx(800).epsilon(1e-13));
    CHECK(back.pitch().mm() == Approx(2700).epsilon(1e-13));
    CHECK(back.hand() == hand);
  }
}

TEST_CASE("along every segment the frame obeys the equations of its curvature and torsion", "[centreline][property]") {
  std::mt19937_64 random(1);
  for (int i = 0; i < 200; ++i) {
    const SegmentCurve curve =
        i % 2 == 0 ? random_taper(random)
                   : SegmentCurve::screw({uniform(random, 10, 5000), uniform(random, 0, 0.01), uniform(random, -0.01, 0.01)});
    const double s = uniform(random, 0.01, 0.99) * curve.length_mm(), h = 1e-3 * curve.length_mm() / 10;
    const CurveFrame a = curve.frame(s - h), m = curve.frame(s), b = curve.frame(s + h);
    const double k = curve.curvature(s), t = curve.torsion(s);
    // Central differences: their own error is h^2 times third derivatives, at most (k + |t|)^3.
    const double error = h * h * std::pow(curve.greatest_curvature() + curve.greatest_torsion(), 2) + 1e-10 / h;
    CHECK(((b.point - a.point) / (2 * h) - m.tangent).norm() < error + 1e-9);
    CHECK(((b.tangent - a.tangent) / (2 * h) - k * m.normal).norm() < (error + 1e-9) * 10);
    CHECK(((b.normal - a.normal) / (2 * h) + k * m.tangent - t * m.binormal).norm() < (error + 1e-9) * 10);
    CHECK(m.tangent.cross(m.normal).dot(m.binormal) == Approx(1.0).epsilon(1e-12));
  }
}

TEST_CASE("curvature and torsion stay within their bounds", "[centreline][bound]") {
  std::mt19937_64 random(2);
  for (int i = 0; i < 500; ++i) {
    const SegmentCurve curve = random_taper(random);
    const double s = uniform(random, 0, 1) * curve.length_mm();
    CHECK(curve.curvature(s) <= curve.greatest_curvature() * (1 + 1e-12));
    CHECK(curve.curvature(s) >= curve.least_curvature() * (1 - 1e-12));
    CHECK(std::abs(curve.torsion(s)) <= curve.greatest_torsion() * (1 + 1e-12));
  }
}

TEST_CASE("segments join without a kink and a ring of quarters closes", "[centreline][property]") {
  Centreline ring;
  for (int i = 0; i < 4; ++i) ring.append(SegmentCurve::arc(Length::mm(500), Angle::deg(90)));
  CHECK(ring.end().point.norm() < 1e-10);
  CHECK((ring.end().tangent - Vector3d::UnitX()).norm() < 1e-13);
  Centreline snake;
  snake.append(SegmentCurve::arc(Length::mm(500), Angle::deg(90)));
  snake.append(SegmentCurve::arc(Length::mm(500), Angle::deg(90)), pi);
  CHECK((snake.end().tangent - Vector3d::UnitX()).norm() < 1e-13);
  CHECK(snake.end().point.isApprox(Vector3d(1000, 1000, 0), 1e-13));
  Centreline eased;
  eased.append(SegmentCurve::straight(Length::mm(300)));
  eased.append(SegmentCurve::arc(Length::mm(200), Angle::deg(30)), pi / 2);
  CHECK(eased.end().tangent.z() == Approx(0.5).epsilon(1e-13));
  CHECK(eased.index_at(300) == 1);
  CHECK(eased.index_at(-5) == 0);
  CHECK(eased.frame(-5).point.isApprox(Vector3d(-5, 0, 0)));
  // Up, and then over to the other side: three quarters of a turn altogether.
  eased.append(SegmentCurve::arc(Length::mm(200), Angle::deg(30)), pi);
  CHECK(eased.turned_rad(0) == 0.0);
  CHECK(eased.turned_rad(1) == Approx(pi / 2));
  CHECK(eased.turned_rad(2) == Approx(3 * pi / 2));
}

TEST_CASE("mirrored and reversed parts are the same part", "[centreline][property]") {
  std::mt19937_64 random(3);
  for (int trial = 0; trial < 50; ++trial) {
    Centreline part;
    for (int i = 0; i < 5; ++i) {
      const double turned = std::vector<double>{0.0, pi, pi / 2, -pi / 2}[static_cast<std::size_t>(trial + i) % 4];
      if (i % 2 == 0) part.append(random_taper(random), turned);
      else part.append(SegmentCurve::screw({uniform(random, 50, 2000), uniform(random, 0, 0.004), uniform(random, -0.002, 0.002)}), turned);
    }
    const Centreline mirror = part.mirrored(), back = part.reversed();
    const double L = part.length_mm();
    CHECK(back.length_mm() == Approx(L).epsilon(1e-12));
    // The start may be turned about its tangent: distances do not notice.
    const double s = uniform(random, 0, L), w = uniform(random, 0, L);
    const double distance = (part.frame(s).point - part.frame(w).point).norm();
    CHECK((mirror.frame(s).point - mirror.frame(w).point).norm() == Approx(distance).margin(1e-6));
    CHECK((back.frame(L - s).point - back.frame(L - w).point).norm() == Approx(distance).margin(1e-6));
  }
}

TEST_CASE("what is no segment is a mistake of the caller", "[centreline][input]") {
  CHECK_THROWS_AS(SegmentCurve::straight(Length()), InternalError);
  CHECK_THROWS_AS(SegmentCurve::arc(Length::mm(-1), Angle::deg(10)), InternalError);
  CHECK_THROWS_AS(SegmentCurve::taper({0, 100, 1, 0}), InternalError);
  CHECK_THROWS_AS(Centreline().frame(0), InternalError);
}
