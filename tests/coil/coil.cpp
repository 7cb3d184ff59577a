#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/coil/coil.hpp>
#include <coilwright/quantity/require.hpp>
#include <limits>
#include <numbers>
#include <random>
#include <string>

#include "numbers.hpp"

using namespace coilwright;

namespace {

constexpr double pi = std::numbers::pi;

Length mm(double v) {
  return Length::mm(v);
}

Coil coil(const CoilSpec& spec, double outside_mm = 42.4) {
  const auto made = Coil::from(spec, mm(outside_mm));
  if (!made) FAIL(made.error().front().text);
  return *made;
}

// A right-hand coil from radius, pitch and turns.
CoilSpec plain(double radius_mm, double pitch_mm, double turns) {
  CoilSpec spec;
  spec.radius = mm(radius_mm);
  spec.pitch = mm(pitch_mm);
  spec.turns = turns;
  spec.hand = Hand::right_screw;
  return spec;
}

}  // namespace

TEST_CASE("one turn of textbook helices has its length", "[coil][published]") {
  // Published vector-calculus exercises: radius 3, rise per radian 4: 10 pi; radius 1, rise 3: 2 sqrt(10) pi.
  CHECK(coil(plain(3, 8 * pi, 1), 1).developed_length().mm() == Approx(10.0 * pi).epsilon(1e-14));
  CHECK(halves_off(coil(plain(1, 6 * pi, 1), 1).developed_length().mm(), "19.8691765") <= half_a_digit);
}

TEST_CASE("a heat-exchange coil has its published length and surface", "[coil][published]") {
  // HelicalCoil of the open library fluids (doctest and test file): coil diameter 30 to the centreline, pitch
  // 5, 4 turns, tube of 2: height 20, length 377.5212621504738, outside surface 2372.0360474917497, helix
  // angle 0.053001960689651316 rad. Its curvature (0.06) carries a factor 4 pi^2 too much and is not used;
  // the geometric one is 0.0664796 radii of tube.
  CoilSpec spec;
  spec.diameter = mm(30);
  spec.pitch = mm(5);
  spec.turns = 4;
  spec.hand = Hand::left_screw;
  const Coil c = coil(spec, 2);
  CHECK(c.developed_length().mm() == Approx(377.5212621504738).epsilon(1e-13));
  CHECK(pi * 2.0 * c.developed_length().mm() == Approx(2372.0360474917497).epsilon(1e-13));
  CHECK(c.helix().slope().rad() == Approx(0.053001960689651316).epsilon(1e-13));
  CHECK(c.rise().mm() == Approx(20.0).epsilon(1e-14));
  CHECK(halves_off(c.helix().curvature().per_mm(), "0.0664796") <= half_a_digit);
}

TEST_CASE("a published hand calculation is met within its rounding", "[coil][published]") {
  // Radius 1 m, height 2 m a turn, 10 turns: about 66 m (the page takes 3.145 for pi); exactly 65.9381662 m.
  CoilSpec spec;
  spec.radius = Length::metres(1);
  spec.pitch = Length::metres(2);
  spec.turns = 10;
  spec.hand = Hand::right_screw;
  const double length_m = coil(spec).developed_length().mm() / 1000.0;
  CHECK(length_m == Approx(66.0).margin(0.1).epsilon(0));
  CHECK(halves_off(length_m, "65.9381662") <= half_a_digit);
}

TEST_CASE("a handrail worked by hand", "[coil][oracle]") {
  // R 900 to the centreline, 3000 of rise in 540 degrees, 42.4 x 2.6, calculated independently.
  CoilSpec spec;
  spec.radius = mm(900);
  spec.rise = mm(3000);
  spec.sweep = Angle::deg(540);
  spec.hand = Hand::right_screw;
  const Coil c = coil(spec);
  CHECK(c.turns() == Approx(1.5).epsilon(1e-15));
  CHECK(c.helix().pitch().mm() == Approx(2000.0).epsilon(1e-15));
  CHECK(halves_off(c.rise_per_quarter_turn().mm(), "500.0") <= half_a_digit);
  CHECK(halves_off(c.helix().slope().deg(), "19.4775") <= half_a_digit);
  CHECK(halves_off(c.developed_length().mm(), "8997.19") <= half_a_digit);
  CHECK(halves_off(c.helix().bend_radius().mm(), "1012.579") <= half_a_digit);
  CHECK(c.helix().torsion().per_mm() == Approx(3.49284e-4).margin(0.5e-9).epsilon(0));
  CHECK(halves_off(100.0 * 42.4 / (2.0 * c.helix().bend_radius().mm()), "2.094") <= half_a_digit);
  // Cut to the inside length the rail would be 188 mm short.
  CHECK(halves_off(c.inside_length().mm(), "8809.070") <= half_a_digit);
  CHECK(halves_off(c.developed_length().mm(), "8997.189") <= half_a_digit);
  CHECK(halves_off(c.outside_length().mm(), "9185.802") <= half_a_digit);
  CHECK(c.overall_height().mm() == Approx(3000.0 + 42.4 * std::cos(c.helix().slope().rad())).epsilon(1e-14));
}

TEST_CASE("a common spiral handrail", "[coil][oracle]") {
  // R 800 to the centreline, pitch 2700, 1.1 turns, calculated independently: slope 28.2 degrees, radii 800,
  // 908 and 1031, developed 6276.38, longer than a 6 m bar.
  const Coil c = coil(plain(800, 2700, 1.1));
  CHECK(halves_off(c.helix().slope().deg(), "28.2") <= half_a_digit);
  CHECK(halves_off(c.helix().flat_then_pull_radius().mm(), "908") <= half_a_digit);
  CHECK(halves_off(c.helix().bend_radius().mm(), "1031") <= half_a_digit);
  CHECK(halves_off(c.developed_length().mm(), "6276.38") <= half_a_digit);
  CHECK(c.rise().mm() == Approx(2970.0).epsilon(1e-15));
  CHECK(c.rise_per_quarter_turn().mm() == 675.0);
}

TEST_CASE("the faces are helices of the same pitch", "[coil][oracle]") {
  // The length of the line of the tube's surface nearest to the axis, summed over 200 000 chords; they fall
  // short by (turn a chord)^2 / 24 at most.
  const Coil c = coil(plain(800, 2700, 1.1));
  for (const double face : {-21.2, 21.2}) {
    const int chords = 200000;
    double sum = 0.0;
    const auto at = [&](int i) {
      const double theta = c.sweep().rad() * i / chords;
      Eigen::Vector3d p = c.helix().point_C(theta);
      p -= face * c.helix().normal_C(theta);
      return p;
    };
    Eigen::Vector3d last = at(0);
    for (int i = 1; i <= chords; ++i) {
      const Eigen::Vector3d next = at(i);
      sum += (next - last).norm();
      last = next;
    }
    const double length = (face < 0 ? c.inside_length() : c.outside_length()).mm();
    CHECK(sum == Approx(length).epsilon(1e-9));
  }
}

TEST_CASE("a ring has its circumferences", "[coil][oracle]") {
  CoilSpec spec;
  spec.radius = mm(500);
  spec.pitch = mm(0);
  spec.turns = 1;
  const Coil ring = coil(spec, 50);
  CHECK(ring.developed_length().mm() == Approx(1000.0 * pi).epsilon(1e-15));
  CHECK(ring.inside_length().mm() == Approx(950.0 * pi).epsilon(1e-15));
  CHECK(ring.outside_length().mm() == Approx(1050.0 * pi).epsilon(1e-15));
  CHECK(ring.rise().mm() == 0.0);
  CHECK(ring.overall_height().mm() == 50.0);
  CHECK(ring.hand() == Hand::right_screw);
  CHECK(ring.notes().empty());
}

TEST_CASE("radius or diameter, to any face, is the same coil", "[coil][property]") {
  std::mt19937_64 random(11);
  for (int i = 0; i < 1000; ++i) {
    const double outside = uniform(random, 10, 100), radius = uniform(random, 101, 3000);
    CoilSpec spec = plain(radius, uniform(random, 0, 3000), uniform(random, 0.1, 5));
    const Coil reference = coil(spec, outside);
    for (const MeasuredTo to : {MeasuredTo::centreline, MeasuredTo::inside, MeasuredTo::outside}) {
      const double face = to == MeasuredTo::centreline ? 0.0 : to == MeasuredTo::inside ? -0.5 : 0.5;
      spec.measured_to = to;
      spec.radius = mm(radius + face * outside);
      spec.diameter.reset();
      CHECK(coil(spec, outside).helix().plan_radius().mm() == Approx(radius).epsilon(1e-15));
      spec.diameter = *spec.radius * 2.0;
      spec.radius.reset();
      CHECK(coil(spec, outside).helix().plan_radius().mm() == Approx(radius).epsilon(1e-15));
      CHECK(coil(spec, outside).developed_length().mm() ==
            Approx(reference.developed_length().mm()).epsilon(1e-14));
    }
  }
}

TEST_CASE("reading the outside as the inside costs two diameters of tube a coil diameter", "[coil][oracle]") {
  // 42.4 tube, flat ring: the lengths differ by 2 pi OD; 4.7 % at 1800 over the outside.
  CoilSpec spec;
  spec.diameter = mm(1800);
  spec.pitch = mm(0);
  spec.turns = 1;
  spec.measured_to = MeasuredTo::outside;
  const double outside = coil(spec).developed_length().mm();
  spec.measured_to = MeasuredTo::inside;
  const double inside = coil(spec).developed_length().mm();
  CHECK(inside - outside == Approx(2.0 * pi * 42.4).epsilon(1e-13));
  CHECK(100.0 * (inside - outside) / 1800.0 / pi == Approx(4.7).margin(0.05).epsilon(0));
}

TEST_CASE("lengths to twelve digits", "[coil][bound]") {
  // Against the formula in 64-bit mantissas; worst seen 1.6 roundings.
  std::mt19937_64 random(12);
  double worst = 0.0;
  for (int i = 0; i < 10000; ++i) {
    const double outside = uniform(random, 5, 100), radius = uniform(random, 51, 5000);
    const double pitch = uniform(random, 0, 10.0 * radius), turns = uniform(random, 0.05, 50);
    const Coil c = coil(plain(radius, pitch, turns), outside);
    const auto off = [&](Length value, long double r) {
      const long double around = 2 * std::numbers::pi_v<long double> * r, climb = pitch;
      const long double exact = turns * std::sqrt(around * around + climb * climb);
      worst = std::max(worst, static_cast<double>(std::abs(value.mm() / exact - 1)));
    };
    off(c.developed_length(), radius);
    off(c.inside_length(), static_cast<long double>(radius) - outside / 2.0L);
    off(c.outside_length(), static_cast<long double>(radius) + outside / 2.0L);
  }
  CAPTURE(worst / std::numeric_limits<double>::epsilon());
  CHECK(worst <= 4.0 * std::numeric_limits<double>::epsilon());
}

TEST_CASE("the echo says what was given and how the rest follows", "[coil]") {
  const Coil c = coil(plain(800, 2700, 1.1));
  CHECK(c.made_from() ==
        "radius 800.0 mm (2'-7 1/2\") to the centreline, pitch 2700.0 mm (8'-10 5/16\"), 1.1 turns");
  CHECK(c.origin_of(CoilMeasure::radius) == "given");
  CHECK(c.origin_of(CoilMeasure::slope) == "computed from the radius and the pitch");
  CHECK(c.origin_of(CoilMeasure::rise) == "computed from the pitch and the turns");
  CHECK(c.origin_of(CoilMeasure::sweep) == "computed from the turns");
  CHECK(c.origin_of(CoilMeasure::diameter) == "computed from the radius");
  CHECK(c.origin_of(CoilMeasure::length) == "computed from the radius, the pitch and the turns");

  CoilSpec spec;
  spec.diameter = mm(1642.4);
  spec.measured_to = MeasuredTo::outside;
  spec.rise = mm(3000);
  spec.sweep = Angle::deg(400);
  spec.hand = Hand::right_screw;
  const Coil d = coil(spec);
  CHECK(d.made_from().find("to the outside") != std::string::npos);
  CHECK(d.made_from().find("sweep 400 degrees") != std::string::npos);
  CHECK(d.origin_of(CoilMeasure::radius) == "computed from the diameter");
  CHECK(d.origin_of(CoilMeasure::pitch) == "computed from the rise and the sweep");
  CHECK(d.origin_of(CoilMeasure::bend_radius) == "computed from the diameter, the rise and the sweep");
  CHECK(measure_key(CoilMeasure::bend_radius) == "coil.bend_radius");
  CHECK(measure_name(CoilMeasure::bend_radius) == "bend radius");
  CHECK(pitch_is_a_length_text("30 deg").find("\"30 deg\" is an angle") == 0);
}

TEST_CASE("no stock is the caller's mistake", "[coil][input]") {
  CHECK_THROWS_AS(Coil::from(plain(800, 2700, 1.1), Length()), InternalError);
  CHECK_THROWS_AS(Coil::from(plain(800, 2700, 1.1), mm(std::numeric_limits<double>::quiet_NaN())),
                  InternalError);
}
