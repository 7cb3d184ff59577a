#include <catch2/catch.hpp>
#include <coilwright/quantity/quantity.hpp>
#include <limits>
#include <type_traits>

using namespace coilwright;

namespace {
template <class A, class B>
concept Addable = requires(A a, B b) {
  a + b;
};
}  // namespace

TEST_CASE("the inch and the foot are exact", "[quantity][published]") {
  // International yard and pound agreement, 1959; NIST SP 811 (2008), appendix B.8: 1 in = 25.4 mm and
  // 1 ft = 304.8 mm, both exact.
  CHECK(Length::inches(1.0).mm() == 25.4);
  CHECK(Length::feet(1.0).mm() == 304.8);
  CHECK(Length::mm(25.4).inches() == 1.0);
  CHECK(Length::metres(1.0).mm() == 1000.0);
}

TEST_CASE("the kip per square inch is that of the published table", "[quantity][published]") {
  // NIST SP 811 (2008), appendix B.8, as tabulated in a published table: 1 ksi = 6.894757 E+06 Pa.
  CHECK(Stress::ksi(1.0).mpa() == Approx(6.894757).margin(0.5e-6).epsilon(0));
  CHECK(Stress::mpa(6.894757293168361).ksi() == 1.0);
}

TEST_CASE("the kip per square inch follows from its definition", "[quantity][oracle]") {
  // 1000 x 0.45359237 kg x 9.80665 m/s^2 over (25.4 mm)^2; the three factors are exact by definition.
  const double mpa = 1000.0 * 0.45359237 * 9.80665 / (25.4 * 25.4);
  CHECK(Stress::ksi(1.0).mpa() == Approx(mpa).epsilon(4 * std::numeric_limits<double>::epsilon()));
}

TEST_CASE("degrees, turns and radians are one angle", "[quantity][oracle]") {
  const double rounding = 2 * std::numeric_limits<double>::epsilon();
  CHECK(Angle::deg(180.0).rad() == Approx(3.141592653589793).epsilon(rounding));
  CHECK(Angle::turns(1.0).deg() == Approx(360.0).epsilon(rounding));
  CHECK(Angle::deg(90.0).turns() == Approx(0.25).epsilon(rounding));
}

TEST_CASE("newtons, kilonewtons and newton metres differ by a thousand", "[quantity][oracle]") {
  CHECK(Force::kilonewtons(60.0).newtons() == 60000.0);
  CHECK(Force::newtons(500.0).kilonewtons() == 0.5);
  CHECK(Moment::newton_mm(2500.0).newton_metres() == 2.5);
}

TEST_CASE("curvature is one over the radius, and a straight has none", "[quantity][oracle]") {
  CHECK(Curvature::of_radius(Length::mm(800.0)).per_mm() == 0.00125);
  CHECK(Curvature::per_mm(0.00125).radius() == Length::mm(800.0));
  CHECK_FALSE(Curvature().radius().finite());
  CHECK(Length::mm(800.0).finite());
}

TEST_CASE("quantities add, scale, divide and are ordered like their numbers", "[quantity][property]") {
  const Length a = Length::mm(3.0);
  const Length b = Length::mm(4.0);
  CHECK(a + b == Length::mm(7.0));
  CHECK(a - b == Length::mm(-1.0));
  CHECK(-a == Length::mm(-3.0));
  CHECK(2.0 * a == Length::mm(6.0));
  CHECK(a * 2.0 == Length::mm(6.0));
  CHECK(a / 2.0 == Length::mm(1.5));
  CHECK(a / b == 0.75);
  CHECK(a < b);
  CHECK(b >= a);
  CHECK(a != b);
  Length sum;
  CHECK(sum == Length::mm(0.0));
  sum += a;
  sum += b;
  CHECK(sum == Length::mm(7.0));
}

TEST_CASE("kinds cannot be mixed and no bare number becomes a quantity", "[quantity][property]") {
  STATIC_REQUIRE(Addable<Length, Length>);
  STATIC_REQUIRE_FALSE(Addable<Length, Force>);
  STATIC_REQUIRE_FALSE(Addable<Length, double>);
  STATIC_REQUIRE_FALSE(std::is_convertible_v<double, Length>);
  STATIC_REQUIRE_FALSE(std::is_constructible_v<Length, double>);
  STATIC_REQUIRE(sizeof(Length) == sizeof(double));
}
