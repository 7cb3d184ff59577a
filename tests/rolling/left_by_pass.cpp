#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/rolling/left_by_pass.hpp>
#include <numbers>

using namespace coilwright;

TEST_CASE("a pass leaves its share of curvature and torsion, and every length", "[left_by_pass][property]") {
  Centreline part;
  part.append(SegmentCurve::straight(Length::mm(200)));
  part.append(SegmentCurve::screw({700.0, 1.0 / 500.0, 1.0 / 3000.0}));
  part.append(SegmentCurve::taper({220.0, 330.0, 2.5, 260.0}));
  part.append(SegmentCurve::taper({150.0, 290.0, 0.9, 0.0}), std::numbers::pi);
  for (const auto& [pass, passes] : {std::pair(1, 2), std::pair(1, 3), std::pair(2, 3)}) {
    const double share = static_cast<double>(pass) / passes;
    const Centreline left = left_by_pass(part, {pass, passes});
    REQUIRE(left.size() == part.size());
    for (std::size_t i = 0; i < part.size(); ++i) {
      CAPTURE(i, pass, passes);
      const SegmentCurve &whole = part.segments()[i].curve, &curve = left.segments()[i].curve;
      const double length = whole.length_mm();
      CHECK(curve.length_mm() == Approx(length).epsilon(1e-12));
      CHECK(left.segments()[i].bend_turned_rad == part.segments()[i].bend_turned_rad);
      for (const double at : {0.0, length}) CHECK(curve.curvature(at) == Approx(share * whole.curvature(at)).epsilon(1e-9));
      // The square of the change of radius per radian over the radius is 0.0019 and 0.027 of the last pass, (passes / pass)^2
      // times as much of this one.
      const double off = i < 2 ? 1e-12 : (i == 2 ? 0.0019 : 0.027) / (share * share);
      for (double x = 0.1; x < 1.0; x += 0.1) {
        CHECK(curve.curvature(x * length) == Approx(share * whole.curvature(x * length)).epsilon(off));
        if (i < 3) CHECK(curve.torsion(x * length) == Approx(share * whole.torsion(x * length)).epsilon(3.0 * off));
      }
    }
  }
  // The last one leaves the part.
  CHECK((left_by_pass(part, PassOf::last(2)).end().point - part.end().point).norm() == 0.0);
}
