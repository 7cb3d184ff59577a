// The measures of a coil in all their combinations: which sets are enough, and what they give.
#include <Eigen/Dense>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/coil/coil.hpp>
#include <limits>
#include <numbers>
#include <random>
#include <string>
#include <vector>

#include "numbers.hpp"

using namespace coilwright;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double rounding = std::numeric_limits<double>::epsilon();

// Seven measures that are independent in kind; radius and turns have second names, tried at random.
enum Kind { radius, bend_radius, pitch, turns, rise, slope, length, kinds };

struct Example {
  double radius_mm, pitch_mm, number_of_turns, outside_mm;
  [[nodiscard]] double climb() const { return pitch_mm / (2.0 * pi); }
  [[nodiscard]] double of(Kind kind) const {
    const double arc = std::hypot(radius_mm, climb());
    switch (kind) {
      case radius:
        return radius_mm;
      case bend_radius:
        return radius_mm + climb() * climb() / radius_mm;
      case pitch:
        return pitch_mm;
      case turns:
        return number_of_turns;
      case rise:
        return pitch_mm * number_of_turns;
      case slope:
        return std::atan2(climb(), radius_mm);
      default:
        return 2.0 * pi * number_of_turns * arc;
    }
  }
  // d log(measure) / d log(radius, pitch, turns), from the formulas by hand, with s = sin^2 and k = cos^2 of
  // the slope: bend radius R + c^2/R; slope atan(c/R), of which the tangent is taken; length T sqrt(R^2 +
  // c^2).
  [[nodiscard]] Eigen::RowVector3d sensitivity(Kind kind) const {
    const double a = of(slope), s = std::sin(a) * std::sin(a), k = 1.0 - s;
    switch (kind) {
      case radius:
        return {1, 0, 0};
      case bend_radius:
        return {k - s, 2 * s, 0};
      case pitch:
        return {0, 1, 0};
      case turns:
        return {0, 0, 1};
      case rise:
        return {0, 1, 1};
      case slope:
        return {-1, 1, 0};
      default:
        return {k, s, 1};
    }
  }
};

void give(CoilSpec& spec, Kind kind, double value, const Example& e, std::mt19937_64& random) {
  const bool other_name = random() % 2 == 0;
  switch (kind) {
    case radius: {
      const double face = spec.measured_to == MeasuredTo::inside    ? -0.5 * e.outside_mm
                          : spec.measured_to == MeasuredTo::outside ? 0.5 * e.outside_mm
                                                                    : 0.0;
      if (other_name)
        spec.diameter = Length::mm(2.0 * (value + face));
      else
        spec.radius = Length::mm(value + face);
      break;
    }
    case bend_radius:
      spec.bend_radius = Length::mm(value);
      break;
    case pitch:
      spec.pitch = Length::mm(value);
      break;
    case turns:
      if (other_name)
        spec.sweep = Angle::turns(value);
      else
        spec.turns = value;
      break;
    case rise:
      spec.rise = Length::mm(value);
      break;
    case slope:
      spec.slope = Angle::rad(value);
      break;
    default:
      spec.length = Length::mm(value);
      break;
  }
}

CoilSpec some_spec(std::mt19937_64& random) {
  CoilSpec spec;
  spec.hand = random() % 2 == 0 ? Hand::right_screw : Hand::left_screw;
  spec.measured_to =
      std::array{MeasuredTo::centreline, MeasuredTo::inside, MeasuredTo::outside}[random() % 3];
  return spec;
}

Example some_example(std::mt19937_64& random) {
  Example e;
  e.outside_mm = uniform(random, 5.0, 60.0);
  e.radius_mm = uniform(random, 1.5, 60.0) * e.outside_mm;
  e.pitch_mm = 2.0 * pi * e.radius_mm * std::tan(Angle::deg(uniform(random, 0.5, 78.0)).rad());
  e.number_of_turns = std::exp(uniform(random, std::log(0.1), std::log(20.0)));
  return e;
}

int count(const Findings& findings, Level level) {
  int n = 0;
  for (const Finding& f : findings) n += f.level == level ? 1 : 0;
  return n;
}

}  // namespace

TEST_CASE("every set of three measures that determines a coil gives it back", "[coil][oracle]") {
  // Which sets determine one: those whose three equations are independent, by the determinant of their
  // derivatives (worked by hand above, so by a way other than the solver's). How far the rounding of three
  // measures may move the answer: the inverse of that matrix; worst seen 1.5 times that. 1000 coils, 35
  // triples each.
  std::mt19937_64 random(2024);
  int enough = 0, not_enough = 0, two_answers = 0;
  double worst = 0.0;
  for (int trial = 0; trial < 1000; ++trial) {
    const Example e = some_example(random);
    for (int a = 0; a < kinds; ++a)
      for (int b = a + 1; b < kinds; ++b)
        for (int c = b + 1; c < kinds; ++c) {
          CoilSpec spec = some_spec(random);
          Eigen::Matrix3d equations;
          int row = 0;
          for (const int kind : {a, b, c}) {
            give(spec, static_cast<Kind>(kind), e.of(static_cast<Kind>(kind)), e, random);
            equations.row(row++) = e.sensitivity(static_cast<Kind>(kind));
          }
          CAPTURE(trial, a, b, c, e.radius_mm, e.pitch_mm, e.number_of_turns, e.outside_mm);
          const auto made = Coil::from(spec, Length::mm(e.outside_mm));
          // The determinants of dependent sets are zero; of the others at least sin^2 0.5 or cos 2a near 45.
          const bool independent = std::abs(equations.determinant()) > 1e-9;
          if (!independent) {
            REQUIRE_FALSE(made.has_value());
            REQUIRE(count(made.error(), Level::fault) == 1);
            REQUIRE(count(made.error(), Level::question) >= 1);
            ++not_enough;
            continue;
          }
          ++enough;
          // A bend radius and a pitch, with nothing that tells the two radii apart.
          const bool bend_and_pitch =
              a == bend_radius && ((b == pitch && c != slope) || (b == turns && c == rise));
          const bool steep = e.of(slope) > pi / 4.0;
          if (bend_and_pitch && steep) {
            // The other of two coils, with the larger radius and the same bend radius, pitch and turns.
            REQUIRE(made.has_value());
            const double larger = e.of(bend_radius) - e.radius_mm;
            const double lost = equations.inverse().cwiseAbs().rowwise().sum().maxCoeff();
            CHECK(made->helix().plan_radius().mm() == Approx(larger).epsilon(64 * rounding * lost));
            CHECK(made->helix().bend_radius().mm() ==
                  Approx(e.of(bend_radius)).epsilon(64 * rounding * lost));
            CHECK(made->helix().pitch().mm() == Approx(e.pitch_mm).epsilon(16 * rounding));
            CHECK(made->notes().size() >= 1);
            ++two_answers;
            continue;
          }
          if (!made) FAIL(made.error().front().text);
          const double lost = equations.inverse().cwiseAbs().rowwise().sum().maxCoeff();
          const double off = std::max({std::abs(made->helix().plan_radius().mm() / e.radius_mm - 1.0),
                                       std::abs(made->helix().pitch().mm() / e.pitch_mm - 1.0),
                                       std::abs(made->turns() / e.number_of_turns - 1.0)});
          worst = std::max(worst, off / lost / rounding);
          CHECK(off <= 4.0 * rounding * lost);
          CHECK(made->hand() == spec.hand);
        }
  }
  CAPTURE(enough, not_enough, two_answers, worst);
  // By hand: of the 35 triples, dependent are radius-bend-pitch, radius-bend-slope, radius-pitch-slope,
  // bend-pitch-slope, pitch-turns-rise and rise-slope-length.
  CHECK(enough == 1000 * 29);
  CHECK(not_enough == 1000 * 6);
  CHECK(two_answers > 100);
}

TEST_CASE("fewer than three measures are never enough for a coil that climbs", "[coil][property]") {
  std::mt19937_64 random(99);
  for (int trial = 0; trial < 50; ++trial) {
    const Example e = some_example(random);
    for (int a = 0; a < kinds; ++a)
      for (int b = a; b < kinds; ++b) {
        CoilSpec spec = some_spec(random);
        give(spec, static_cast<Kind>(a), e.of(static_cast<Kind>(a)), e, random);
        if (b != a) give(spec, static_cast<Kind>(b), e.of(static_cast<Kind>(b)), e, random);
        const auto made = Coil::from(spec, Length::mm(e.outside_mm));
        REQUIRE_FALSE(made.has_value());
        REQUIRE(count(made.error(), Level::question) >= 1);
      }
  }
}

TEST_CASE("a flat coil from any zero and two measures", "[coil][oracle]") {
  // Pitch, rise or slope 0 and two of plan or bend radius, turns, length that are independent.
  std::mt19937_64 random(5);
  for (int trial = 0; trial < 300; ++trial) {
    Example e = some_example(random);
    e.pitch_mm = 0.0;
    for (const Kind zero : {pitch, rise, slope})
      for (const Kind a : {radius, bend_radius, turns})
        for (const Kind b : {bend_radius, turns, length}) {
          if (a == b) continue;
          CoilSpec spec = some_spec(random);
          if (trial % 2 == 0) spec.hand.reset();
          give(spec, zero, 0.0, e, random);
          give(spec, a, e.of(a), e, random);
          give(spec, b, e.of(b), e, random);
          CAPTURE(trial, zero, a, b);
          const auto made = Coil::from(spec, Length::mm(e.outside_mm));
          const bool independent = (a == turns || b == turns || b == length);
          REQUIRE(made.has_value() == independent);
          if (!independent) continue;
          CHECK(made->helix().pitch() == Length());
          CHECK(made->helix().plan_radius().mm() == Approx(e.radius_mm).epsilon(8 * rounding));
          CHECK(made->turns() == Approx(e.number_of_turns).epsilon(8 * rounding));
          CHECK(made->hand() == spec.hand.value_or(Hand::right_screw));
        }
  }
}

TEST_CASE("all measures at once agree, and are all said to be given", "[coil][property]") {
  std::mt19937_64 random(17);
  for (int trial = 0; trial < 1000; ++trial) {
    const Example e = some_example(random);
    CoilSpec spec = some_spec(random);
    for (int kind = 0; kind < kinds; ++kind)
      give(spec, static_cast<Kind>(kind), e.of(static_cast<Kind>(kind)), e, random);
    const auto made = Coil::from(spec, Length::mm(e.outside_mm));
    if (!made) FAIL(made.error().front().text);
    CHECK(made->helix().plan_radius().mm() == Approx(e.radius_mm).epsilon(8 * rounding));
    for (const CoilMeasure m : {CoilMeasure::bend_radius, CoilMeasure::pitch, CoilMeasure::rise,
                                CoilMeasure::slope, CoilMeasure::length})
      CHECK(made->origin_of(m) == "given");
    CHECK(made->notes().empty());
  }
}

TEST_CASE("one measure too many may differ by half a printed digit and no more", "[coil][bound]") {
  // 0.05 mm, 0.005 degrees, 0.00005 turns, or a millionth.
  const auto spec_with = [](auto&& change) {
    CoilSpec spec;
    spec.radius = Length::mm(800);
    spec.pitch = Length::mm(2700);
    spec.turns = 1.1;
    spec.hand = Hand::right_screw;
    change(spec);
    return Coil::from(spec, Length::mm(42.4));
  };
  const double climb = 2700.0 / (2.0 * pi);
  const double bend = 800.0 + climb * climb / 800.0, slope_deg = std::atan(climb / 800.0) * 180.0 / pi;
  const double length_mm = 1.1 * 2.0 * pi * std::hypot(800.0, climb);
  for (const double sign : {-1.0, 1.0}) {
    for (const auto& [share, good] : {std::pair(0.99, true), std::pair(1.01, false)}) {
      const double of_mm = sign * share * 0.05, of_deg = sign * share * 0.005,
                   of_turn = sign * share * 0.00005;
      CAPTURE(sign, share);
      CHECK(spec_with([&](CoilSpec& s) { s.bend_radius = Length::mm(bend + of_mm); }).has_value() == good);
      CHECK(spec_with([&](CoilSpec& s) { s.rise = Length::mm(2970.0 + of_mm); }).has_value() == good);
      CHECK(spec_with([&](CoilSpec& s) { s.length = Length::mm(length_mm + of_mm); }).has_value() == good);
      CHECK(spec_with([&](CoilSpec& s) { s.diameter = Length::mm(1600.0 + of_mm); }).has_value() == good);
      CHECK(spec_with([&](CoilSpec& s) { s.slope = Angle::deg(slope_deg + of_deg); }).has_value() == good);
      CHECK(spec_with([&](CoilSpec& s) { s.sweep = Angle::deg(396.0 + of_deg); }).has_value() == good);
      // Turns beside a radius, a pitch and a rise that make 1.1.
      CHECK(spec_with([&](CoilSpec& s) {
              s.sweep = Angle::deg(396);
              s.turns = 1.1 + of_turn;
            }).has_value() == (good && std::abs(of_turn) * 360.0 <= 0.005));
    }
  }
  // A millionth of 100 m is 0.1 mm.
  CoilSpec big;
  big.radius = Length::metres(100);
  big.pitch = Length::metres(1);
  big.turns = 1;
  big.hand = Hand::right_screw;
  big.diameter = Length::mm(200000.19);
  CHECK(Coil::from(big, Length::mm(42.4)).has_value());
  big.diameter = Length::mm(200000.21);
  CHECK_FALSE(Coil::from(big, Length::mm(42.4)).has_value());
}

TEST_CASE("whatever is given, the answer is a coil that keeps its promises or the reasons why not",
          "[coil][property]") {
  std::mt19937_64 random(31337);
  const double nan = std::numeric_limits<double>::quiet_NaN(), inf = std::numeric_limits<double>::infinity();
  const std::vector<double> odd = {0.0, -1.0, nan, inf, -inf, 1e-300, 1e300, 1e7, 1e-6, 5e-324};
  int made_coils = 0;
  for (int trial = 0; trial < 50000; ++trial) {
    CoilSpec spec = some_spec(random);
    if (random() % 3 == 0) spec.hand.reset();
    const auto maybe = [&](double low, double high) -> std::optional<double> {
      if (random() % 5 < 2) return std::nullopt;
      if (random() % 20 == 0) return odd[random() % odd.size()];
      return std::exp(uniform(random, std::log(low), std::log(high)));
    };
    const auto maybe_length = [&](double low, double high) -> std::optional<Length> {
      const auto v = maybe(low, high);
      return v ? std::optional(Length::mm(*v)) : std::nullopt;
    };
    if (random() % 2 == 0) spec.radius = maybe_length(10, 5000);
    if (random() % 4 == 0) spec.diameter = maybe_length(20, 10000);
    if (random() % 3 == 0) spec.bend_radius = maybe_length(10, 5000);
    if (random() % 2 == 0) spec.pitch = maybe_length(1, 5000);
    if (random() % 2 == 0) spec.turns = maybe(0.05, 50);
    if (random() % 3 == 0) spec.rise = maybe_length(1, 10000);
    if (random() % 3 == 0)
      if (const auto v = maybe(0.1, 10)) spec.sweep = Angle::rad(*v);
    if (random() % 3 == 0)
      if (const auto v = maybe(1, 89)) spec.slope = Angle::deg(*v);
    if (random() % 3 == 0) spec.length = maybe_length(10, 30000);
    const auto made = Coil::from(spec, Length::mm(20));
    if (!made) {
      REQUIRE(count(made.error(), Level::fault) >= 1);
      for (const Finding& f : made.error()) {
        REQUIRE(f.about.starts_with("coil."));
        REQUIRE_FALSE(f.text.empty());
        REQUIRE(f.text.find("nan") == std::string::npos);
        REQUIRE(f.text.find("inf") == std::string::npos);
      }
      continue;
    }
    ++made_coils;
    REQUIRE(made->turns() > 0.0);
    REQUIRE(made->helix().plan_radius() > Length::mm(10));
    REQUIRE(made->helix().pitch() >= Length());
    REQUIRE(made->helix().slope() < Angle::deg(80));
    REQUIRE(made->developed_length().finite());
    REQUIRE(made->inside_length() < made->developed_length());
    REQUIRE(made->developed_length() < made->outside_length());
  }
  CHECK(made_coils > 1000);
}
