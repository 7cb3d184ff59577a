#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <viewer/scene/palette.hpp>

using namespace coilwright::view;

namespace {

using Triple = std::array<double, 3>;

Triple linear(Rgb c) {
  const auto one = [](unsigned char v) {
    const double s = v / 255.0;  // IEC 61966-2-1, sRGB
    return s <= 0.04045 ? s / 12.92 : std::pow((s + 0.055) / 1.055, 2.4);
  };
  return {one(c.r), one(c.g), one(c.b)};
}

// CIE 1976 L*a*b* of linear sRGB, white D65.
Triple lab(const Triple& c) {
  const double x = (0.4124 * c[0] + 0.3576 * c[1] + 0.1805 * c[2]) / 0.9505;
  const double y = 0.2126 * c[0] + 0.7152 * c[1] + 0.0722 * c[2];
  const double z = (0.0193 * c[0] + 0.1192 * c[1] + 0.9505 * c[2]) / 1.089;
  const auto f = [](double t) { return t > 0.008856 ? std::cbrt(t) : 7.787 * t + 16.0 / 116.0; };
  return {116.0 * f(y) - 16.0, 500.0 * (f(x) - f(y)), 200.0 * (f(y) - f(z))};
}

double difference(const Triple& a, const Triple& b) {
  const Triple p = lab(a), q = lab(b);
  return std::sqrt((p[0] - q[0]) * (p[0] - q[0]) + (p[1] - q[1]) * (p[1] - q[1]) + (p[2] - q[2]) * (p[2] - q[2]));
}

// As seen without the long or the medium cones: Vienot, Brettel, Mollon (1999), table 1 and equations there,
// in linear RGB. Values from memory.
Triple protan(const Triple& c) {
  return {0.11238 * c[0] + 0.88762 * c[1], 0.11238 * c[0] + 0.88762 * c[1], 0.00401 * c[0] - 0.00401 * c[1] + c[2]};
}
Triple deutan(const Triple& c) {
  return {0.29275 * c[0] + 0.70725 * c[1], 0.29275 * c[0] + 0.70725 * c[1], -0.02234 * c[0] + 0.02234 * c[1] + c[2]};
}

}  // namespace

TEST_CASE("the ramp has hard steps at 0 and at the margin", "[property]") {
  const Ramp ramp(25.0);
  CHECK(ramp.far_mm() == 250.0);
  CHECK(ramp.colour(0.0) == collision);
  CHECK(ramp.colour(-40.0) == collision);
  CHECK(difference(linear(ramp.colour(0.0)), linear(ramp.colour(1e-6))) > 25.0);
  CHECK(difference(linear(ramp.colour(25.0)), linear(ramp.colour(25.0 + 1e-6))) > 40.0);
  CHECK(ramp.colour(250.0) == ramp.colour(1e9));
  // No other step: a millimetre changes little.
  for (double mm = 26.0; mm < 260.0; mm += 1.0)
    CHECK(difference(linear(ramp.colour(mm)), linear(ramp.colour(mm + 1.0))) < 3.0);
}

TEST_CASE("touching, close and clear stay apart for eyes without red or green cones", "[memory]") {
  const Ramp ramp(25.0);
  for (const auto seen : {protan, deutan})
    for (double close = 0.5; close <= 25.0; close += 0.5) {
      const Triple near = seen(linear(ramp.colour(close)));
      CHECK(difference(seen(linear(collision)), near) > 20.0);
      for (double clear = 25.5; clear <= 300.0; clear += 5.0) {
        const Triple far = seen(linear(ramp.colour(clear)));
        REQUIRE(difference(near, far) > 20.0);
        REQUIRE(difference(seen(linear(collision)), far) > 20.0);
      }
    }
}

TEST_CASE("the ramp ends at a round number of about ten margins", "[property]") {
  CHECK(Ramp(10.0).far_mm() == 100.0);
  CHECK(Ramp(12.0).far_mm() == 200.0);
  CHECK(Ramp(30.0).far_mm() == 500.0);
  for (double margin = 0.5; margin < 200.0; margin *= 1.07) {
    const double far = Ramp(margin).far_mm();
    CHECK(far >= 10.0 * margin * (1.0 - 1e-12));
    CHECK(far <= 20.0 * margin);
  }
}
