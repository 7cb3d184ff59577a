#include <catch2/catch.hpp>
#include <coilwright/clearance/certified_minimum.hpp>
#include <coilwright/quantity/require.hpp>
#include <numeric>

#include "bench.hpp"

using namespace coilwright;
using bench::Dice;

namespace {

constexpr double tolerance = 0.01;

std::vector<std::uint32_t> all_of(const std::vector<ConvexBody>& bodies) {
  std::vector<std::uint32_t> indices(bodies.size());
  std::iota(indices.begin(), indices.end(), 0u);
  return indices;
}

std::vector<ConvexBody> bodies_of(const std::vector<Shape>& shapes) {
  return {shapes.begin(), shapes.end()};
}

LeastDistance least(const Stretch& stretch, const std::vector<ConvexBody>& bodies, double straight_mm = 0.0) {
  const std::vector<std::uint32_t> indices = all_of(bodies);
  const std::vector<Course> courses{{stretch, straight_mm, indices}};
  return CertifiedMinimum(tolerance).find(courses, bodies);
}

LeastDistance least(const Stretch& stretch, const Shape& shape, double straight_mm = 0.0) {
  return least(stretch, bodies_of({shape}), straight_mm);
}

// The claim: the true value lies within what was found, and what was found is narrow.
void check_encloses(const LeastDistance& found, double truth, double rounding = 1e-8) {
  CHECK(found.lower_mm <= truth + rounding);
  CHECK(found.upper_mm >= truth - rounding);
  CHECK(found.upper_mm - found.lower_mm <= tolerance);
  REQUIRE(found.meeting);
  CHECK(found.meeting->distance_mm == found.upper_mm);
}

// Dense samples of the curve, or of the surface that the straight sweeps.
double sampled(const Stretch& stretch, const ConvexBody& body, double straight_mm, int along, int ahead) {
  double least_found = 1e300;
  for (int i = 0; i <= along; ++i) {
    const CurvePoint c = stretch.at(stretch.from_mm() + (stretch.to_mm() - stretch.from_mm()) * i / along).c;
    for (int k = 0; k <= (straight_mm > 0.0 ? ahead : 0); ++k) {
      const double l = straight_mm > 0.0 ? straight_mm * k / ahead : 0.0;
      least_found = std::min(least_found, body.distance(c.p + l * c.d1).distance_mm);
    }
  }
  return least_found;
}

}  // namespace

TEST_CASE("a coil against bodies with a closed form", "[clearance][oracle]") {
  const double R = 300.0, pitch = 80.0, turns = 4.0;
  const Helix helix(Length::mm(R), Length::mm(pitch), Hand::right_screw);
  const PosedPart part = bench::rigid_part(helix, Eigen::Isometry3d::Identity());
  const double turn = 2.0 * std::numbers::pi * helix.arc_per_radian_mm();
  const Stretch coil(part, Stage::coil, 0.0, turns * turn);

  SECTION("a mandrel on its own axis is everywhere equally near") {
    check_encloses(least(coil, Cylinder{{0, R, -100}, {0, R, 1000}, 120.0}), R - 120.0);
  }
  SECTION("inside a drum") { check_encloses(least(coil, Cylinder{{0, R, -1000}, {0, R, 2000}, 800.0}), R - 800.0); }
  SECTION("a floor: nearest at the low end") { check_encloses(least(coil, HalfSpace{{0, 0, -40}, {0, 0, 1}}), 40.0); }
  SECTION("a ceiling: nearest at the high end") {
    check_encloses(least(coil, HalfSpace{{0, 0, 500}, {0, 0, -1}}), 500.0 - turns * pitch);
  }
  SECTION("a wall beside it: nearest where the coil is widest") {
    check_encloses(least(coil, HalfSpace{{500, 0, 0}, {-1, 0, 0}}), 500.0 - R);
  }
  SECTION("a tilted plane: an interior extremum in closed form") {
    // z' = c theta against n = (sin a, 0, -cos a): stationary where R sin a cos(theta) = c cos a.
    const double a = 0.7, c = helix.rise_per_radian_mm();
    const Eigen::Vector3d n(-std::sin(a), 0.0, std::cos(a));
    double truth = 1e300;
    const auto value = [&](double theta) { return n.dot(helix.point_C(theta)); };
    const double root = std::acos(c * std::cos(a) / (R * std::sin(a)));
    for (int k = -1; k <= 5; ++k)
      for (const double theta : {root + 2 * std::numbers::pi * k, -root + 2 * std::numbers::pi * k})
        if (theta >= 0 && theta <= turns * 2 * std::numbers::pi) truth = std::min(truth, value(theta));
    truth = std::min({truth, value(0.0), value(turns * 2 * std::numbers::pi)});
    check_encloses(least(coil, HalfSpace{-900.0 * n, n}), truth + 900.0);
  }
  SECTION("a point on the axis") {
    const double z = 1.3 * pitch;
    // Nearest where the coil passes that height: (z - c theta) = 0.
    const std::vector<ConvexBody> point{ConvexBody::capsule({0, R, z}, {0, R, z}, 0.0)};
    check_encloses(least(coil, point), R);
  }
  SECTION("a point on the axis below the start: nearest at the start") {
    const std::vector<ConvexBody> point{ConvexBody::capsule({0, R, -75}, {0, R, -75}, 0.0)};
    check_encloses(least(coil, point), std::hypot(R, 75.0));
  }
}

TEST_CASE("a ring against a ball", "[clearance][oracle]") {
  const PosedPart part =
      bench::rigid_part(Helix(Length::mm(400.0), Length::mm(0.0), Hand::right_screw), Eigen::Isometry3d::Identity());
  const Stretch ring(part, Stage::coil, 0.0, 2.0 * std::numbers::pi * 400.0);
  const Eigen::Vector3d centre(150, 700, 90);
  const double plan = std::hypot(150.0, 300.0);
  check_encloses(least(ring, std::vector{ConvexBody::capsule(centre, centre, 30.0)}),
                 std::hypot(400.0 - plan, 90.0) - 30.0);
}

TEST_CASE("a straight stock against a ball and a plane", "[clearance][oracle]") {
  const PosedPart part =
      bench::rigid_part(Helix(Length::mm(400.0), Length::mm(0.0), Hand::right_screw), Eigen::Isometry3d::Identity());
  const Stretch stock(part, Stage::stock, -3000.0, -100.0);
  const Eigen::Vector3d centre(-1234.5, 30, 40);
  check_encloses(least(stock, std::vector{ConvexBody::capsule(centre, centre, 7.0)}), 43.0);
  check_encloses(least(stock, HalfSpace{{-3500, 0, 0}, {1, 0, 0}}), 500.0);
}

TEST_CASE("a straight front end swung over a coil, in closed form", "[clearance][oracle]") {
  // The end of a straight of length L on a level ring of radius R sweeps the circle of radius sqrt(R^2 + L^2).
  const double R = 400.0, L = 300.0;
  const PosedPart part =
      bench::rigid_part(Helix(Length::mm(R), Length::mm(0.0), Hand::right_screw), Eigen::Isometry3d::Identity());
  const Stretch ring(part, Stage::coil, 0.0, 2.0 * std::numbers::pi * R);
  check_encloses(least(ring, HalfSpace{{900, 0, 0}, {-1, 0, 0}}, L), 900.0 - std::hypot(R, L));
  const Eigen::Vector3d far(700, 400, 0);  // outside what is swept, square to the straight's end only there
  check_encloses(least(ring, std::vector{ConvexBody::capsule(far, far, 10.0)}, L), 700.0 - std::hypot(R, L) - 10.0);
  const Eigen::Vector3d between(450, 400, 25);  // under the swept ring: some straight passes right above it
  check_encloses(least(ring, std::vector{ConvexBody::capsule(between, between, 10.0)}, L), 15.0);
}

TEST_CASE("every stage against random bodies agrees with dense sampling", "[clearance][oracle]") {
  // A sample is never below the truth, and with steps s above it by at most s^2 (K + 1 / radius) / 8 plus, at
  // an edge, s / 2; the proved lower bound must not lie above any sample.
  Dice dice(31);
  double worst = 1e9, widest = 0.0;
  for (int i = 0; i < 60 * bench::effort(); ++i) {
    const PosedPart part = bench::sprung_part({dice.between(150, 900), dice.between(0, 900), dice.between(60, 120),
                                               dice.between(1.2, 2.5), dice.between(0, 10)});
    const double out = part.outboard_lag_mm();
    const Stretch stretches[] = {{part, Stage::stock, -1500.0, -part.span_in_mm()},
                                 {part, Stage::spans, -part.span_in_mm(), part.span_out_mm()},
                                 {part, Stage::arc, part.span_out_mm(), out},
                                 {part, Stage::coil, out, out + dice.between(500, 6000)}};
    const Stretch& stretch = stretches[i % 4];
    const bool straight = i % 4 >= 2 && i % 8 >= 4;
    const double length = straight ? dice.between(10, 600) : 0.0;
    const Shape shape = bench::random_shape(dice, dice.within(800.0), i / 3);
    const ConvexBody body(shape);
    const LeastDistance found = least(stretch, shape, length);
    const double truth = sampled(stretch, body, length, straight ? 1500 : 20000, 150);
    worst = std::min(worst, truth - found.lower_mm);
    widest = std::max(widest, found.upper_mm - found.lower_mm);
    const double step = (stretch.to_mm() - stretch.from_mm()) / (straight ? 1500 : 20000);
    CHECK(found.upper_mm <= truth + tolerance + 1e-9);
    CHECK(truth - found.lower_mm <= tolerance + step + length / 150);  // Lipschitz: the samples miss no more
  }
  CAPTURE(worst, widest);
  CHECK(worst > -1e-9);
  CHECK(widest <= tolerance);
}

TEST_CASE("a union is as near as its nearest body", "[clearance][property]") {
  const std::vector<ConvexBody> bodies = bodies_of(bench::forty_solids());
  const PosedPart part = bench::forty_coil();
  const Stretch coil(part, Stage::coil, 0.0, bench::forty_coil_length_mm());
  double nearest = 1e300, before = 1e300;
  for (std::size_t i = 0; i < bodies.size(); i += 4) {
    nearest = std::min(nearest, least(coil, std::vector{bodies[i]}).upper_mm);
    const std::vector<ConvexBody> so_far(bodies.begin(), bodies.begin() + static_cast<std::ptrdiff_t>(i) + 1);
    const LeastDistance found = least(coil, so_far);
    CHECK(found.upper_mm <= before + tolerance);  // one more solid never raises the least distance
    before = found.upper_mm;
  }
  const LeastDistance whole = least(coil, bodies);
  for (const ConvexBody& body : bodies) nearest = std::min(nearest, least(coil, std::vector{body}).upper_mm);
  CHECK(whole.lower_mm <= nearest);
  CHECK(whole.upper_mm >= nearest - tolerance);
}

TEST_CASE("a stretch cut in pieces gives the same least distance", "[clearance][property]") {
  Dice dice(33);
  const PosedPart part = bench::forty_coil();
  const double length = bench::forty_coil_length_mm();
  for (int i = 0; i < 12; ++i) {
    const std::vector<ConvexBody> body = bodies_of({bench::random_shape(dice, dice.within(600.0), i)});
    const std::vector<std::uint32_t> indices{0};
    const double straight = i % 2 ? 200.0 : 0.0;
    const LeastDistance whole = least({part, Stage::coil, 0.0, length}, body, straight);
    std::vector<Course> courses;
    const int pieces = 7;
    for (int k = 0; k < pieces; ++k)
      courses.push_back({{part, Stage::coil, length * k / pieces, length * (k + 1) / pieces}, straight, indices});
    const LeastDistance cut = CertifiedMinimum(tolerance).find(courses, body);
    CHECK(cut.lower_mm <= whole.upper_mm);
    CHECK(whole.lower_mm <= cut.upper_mm);
  }
}

TEST_CASE("moving everything together changes nothing", "[clearance][property]") {
  Dice dice(34);
  const Helix helix(Length::mm(300.0), Length::mm(70.0), Hand::right_screw);
  for (int i = 0; i < 12; ++i) {
    const Eigen::Vector3d a = dice.within(500), b = a + dice.direction() * 200.0;
    const Eigen::Isometry3d X = bench::random_pose(dice, 2000.0);
    const PosedPart here = bench::rigid_part(helix, Eigen::Isometry3d::Identity()), there = bench::rigid_part(helix, X);
    const double straight = i % 2 ? 250.0 : 0.0;
    const LeastDistance one = least({here, Stage::coil, 0.0, 9000.0}, Frustum{a, b, 40.0, 90.0}, straight);
    const LeastDistance two = least({there, Stage::coil, 0.0, 9000.0}, Frustum{X * a, X * b, 40.0, 90.0}, straight);
    CHECK(one.upper_mm == Approx(two.upper_mm).margin(1e-8));
    CHECK(one.lower_mm == Approx(two.lower_mm).margin(1e-8));
  }
}

TEST_CASE("a body that the centreline enters: the depth is found", "[clearance][oracle]") {
  const PosedPart part = bench::forty_coil();
  const Stretch coil(part, Stage::coil, 0.0, bench::forty_coil_length_mm());
  const Eigen::Vector3d on_coil = part.at(Stage::coil, 5000.0).p;
  // A ball centred on the centreline: deepest at its centre.
  check_encloses(least(coil, std::vector{ConvexBody::capsule(on_coil, on_coil, 25.0)}), -25.0);
  // A plate 20 thick square to the travel: the centreline goes through its middle.
  const Box plate{{-10, -200, -200}, {10, 200, 200}};
  check_encloses(least({part, Stage::coil, 0.0, 100.0}, plate), -10.0);
}

TEST_CASE("a cutoff leaves alone what is farther", "[clearance][property]") {
  const PosedPart part = bench::forty_coil();
  const std::vector<ConvexBody> bodies = bodies_of({HalfSpace{{0, 0, -100}, {0, 0, 1}}});
  const std::vector<std::uint32_t> indices{0};
  const std::vector<Course> courses{{{part, Stage::coil, 0.0, 3000.0}, 0.0, indices}};
  CertifiedMinimum search(tolerance);
  const LeastDistance none = search.find(courses, bodies, 50.0);
  CHECK_FALSE(none.meeting);
  CHECK(none.lower_mm >= 50.0 - tolerance);
  CertifiedMinimum without(tolerance);
  CHECK(without.find(courses, bodies).lower_mm == Approx(100.0).margin(tolerance));
  CHECK(search.evaluations() < without.evaluations());
  CHECK(search.find(courses, bodies, 150.0).upper_mm == Approx(100.0).margin(tolerance));
  CHECK(search.find({}, bodies).lower_mm == std::numeric_limits<double>::infinity());
}

TEST_CASE("10 turns among 40 solids: how many distances it takes", "[clearance][bound]") {
  const std::vector<ConvexBody> bodies = bodies_of(bench::forty_solids());
  const PosedPart part = bench::forty_coil();
  const Stretch coil(part, Stage::coil, 0.0, bench::forty_coil_length_mm());
  const std::vector<std::uint32_t> indices = all_of(bodies);
  REQUIRE(bodies.size() == 40);

  CertifiedMinimum each(tolerance);
  double nearest = 1e300;
  for (std::size_t i = 0; i < bodies.size(); ++i) {
    const std::vector<Course> courses{{coil, 0.0, std::span(indices).subspan(i, 1)}};
    const LeastDistance found = each.find(courses, bodies);
    CHECK(found.upper_mm - found.lower_mm <= tolerance);
    CHECK(found.lower_mm >= bench::forty_tube_radius_mm + 3.0 - tolerance);
    CHECK(found.upper_mm == Approx(sampled(coil, bodies[i], 0.0, 20000, 0)).margin(tolerance));
    nearest = std::min(nearest, found.upper_mm);
  }
  CertifiedMinimum overall(tolerance);
  const std::vector<Course> courses{{coil, 0.0, indices}};
  const LeastDistance found = overall.find(courses, bodies);
  CHECK(found.upper_mm == Approx(nearest).margin(tolerance));
  WARN("each of 40 solids: " << each.evaluations() << " distances; the least of all: " << overall.evaluations());
  CHECK(each.evaluations() < 5000);
  CHECK(overall.evaluations() < 1000);
}

TEST_CASE("a search without a tolerance is a caller's mistake", "[clearance][input]") {
  CHECK_THROWS_AS(CertifiedMinimum(0.0), InternalError);
}
