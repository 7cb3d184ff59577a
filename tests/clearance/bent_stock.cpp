#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/clearance/bent_stock.hpp>
#include <numbers>

using namespace coilwright;

namespace {

// A part whose loaded spans are straight, `half` long on either side of the origin, with a helix behind the exit.
PosedPart simple(const Helix& helix, double half, double direction, const Eigen::Isometry3d& X_at_exit) {
  const Eigen::Vector2d t(std::cos(direction), std::sin(direction));
  PosedPart::Spec spec{helix, {{-half, direction, 0.0, -half * t}, {half, direction, 0.0, half * t}}, {}, half, {}, {}, 0.0, 0.0};
  const double theta = half / helix.arc_per_radian_mm();
  const Eigen::Vector3d axis(0.0, helix.plan_radius().mm(), 0.0);
  Eigen::Isometry3d back = Eigen::Isometry3d::Identity();
  back.translate(axis - helix.rise_per_radian_mm() * theta * Eigen::Vector3d::UnitZ());
  back.rotate(Eigen::AngleAxisd(-theta, Eigen::Vector3d::UnitZ()));
  back.translate(-axis);
  spec.X_FC = spec.X_FC_unsprung = X_at_exit * back;
  return PosedPart(std::move(spec));
}

Eigen::Isometry3d placed(double x, double turned) {
  Eigen::Isometry3d X = Eigen::Isometry3d::Identity();
  X.translate(Eigen::Vector3d(x, 0.0, 0.0));
  X.rotate(Eigen::AngleAxisd(turned, Eigen::Vector3d::UnitX()));
  return X;
}

}  // namespace

TEST_CASE("the part and the stock bent before keep the distance that looking at many places finds", "[bent_stock][oracle]") {
  // Ahead: rings and helices from x = 200 on; behind: from x = -200, running to -x, turned over about x so that they
  // bend to the same side.
  for (const double pitch : {0.0, 500.0}) {
    const Helix now(Length::mm(400), Length::mm(pitch), Hand::right_screw), before(Length::mm(900), Length::mm(2 * pitch), Hand::right_screw);
    const PosedPart out = simple(now, 200.0, 0.0, placed(200.0, 0.0));
    Eigen::Isometry3d X = placed(-200.0, std::numbers::pi);
    X.rotate(Eigen::AngleAxisd(std::numbers::pi, Eigen::Vector3d::UnitZ()));
    const PosedPart in = simple(before, 200.0, std::numbers::pi, X);
    for (const double rolled : {1500.0, 2600.0}) {
      const double front = 150.0, back = 120.0;
      const LeastPair found = distance_to_bent_stock({&out, &in, rolled, front, back}, 0.01);
      REQUIRE(found.meeting);
      double least = INFINITY, short_of = INFINITY;  // the latter with what a slice may add
      const double slice = rolled / 32.0;
      const auto look = [&](double w, double u, double ahead, double behind) {
        const CurvePoint a = out.at(Stage::coil, w), b = in.at(Stage::coil, u);
        const double d = (a.p + ahead * a.d1 - b.p - behind * b.d1).norm();
        if (w + u <= rolled) least = std::min(least, d);
        if (w + u <= rolled + slice) short_of = std::min(short_of, d);
      };
      for (double w = 200.0; w <= rolled; w += 5.0)
        for (double u = 200.0; u <= rolled - w + slice; u += 5.0) look(w, u, 0.0, 0.0);
      for (double w = 200.0; w <= rolled; w += 5.0) {
        for (double ahead = 0.0; ahead <= front; ahead += 5.0)
          for (double u = 200.0; u <= rolled - w; u += 10.0) look(w, u, ahead, 0.0);
        for (double behind = 0.0; rolled - w >= 200.0 && behind <= back; behind += 5.0)
          for (double v = 200.0; v <= w; v += 10.0) look(v, rolled - w, 0.0, behind);
      }
      INFO("pitch " << pitch << ", rolled " << rolled);
      CHECK(found.lower_mm <= least + 1e-9);
      CHECK(found.upper_mm - found.lower_mm <= 0.01 + 1e-9);
      // No nearer than what a slice too much on either side can bring: three steps of 5 mm and a slice.
      CHECK(found.lower_mm >= std::min(least, short_of) - slice - 15.0);
      if (rolled == 1500.0 && pitch == 0.0) CHECK(least > 100.0);
    }
  }
}

TEST_CASE("a bar that is short has nothing on one side while it has something on the other", "[bent_stock][property]") {
  const Helix helix(Length::mm(400), Length::mm(0.0), Hand::right_screw);
  const PosedPart out = simple(helix, 200.0, 0.0, placed(200.0, 0.0));
  Eigen::Isometry3d X = placed(-200.0, std::numbers::pi);
  X.rotate(Eigen::AngleAxisd(std::numbers::pi, Eigen::Vector3d::UnitZ()));
  const PosedPart in = simple(helix, 200.0, std::numbers::pi, X);
  // Less than the two spans: the ends of the spans are all there is, 400 mm apart.
  const LeastPair found = distance_to_bent_stock({&out, &in, 300.0, 0.0, 0.0}, 0.01);
  CHECK(found.lower_mm >= 390.0);
}
