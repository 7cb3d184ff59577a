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
      const BentStockDistance found = distance_to_bent_stock({&out, &in, rolled, front, back}, 0.01);
      REQUIRE(found.meeting);
      double least = INFINITY;
      const auto look = [&](double w, double u, double ahead, double behind) {
        const CurvePoint a = out.at(Stage::coil, w), b = in.at(Stage::coil, u);
        const double d = (a.p + ahead * a.d1 - b.p - behind * b.d1).norm();
        if (w + u <= rolled) least = std::min(least, d);
      };
      for (double w = 200.0; w <= rolled; w += 5.0)
        for (double u = 200.0; u <= rolled - w; u += 5.0) look(w, u, 0.0, 0.0);
      for (double w = 200.0; w <= rolled; w += 5.0) {
        for (double ahead = 0.0; ahead <= front; ahead += 5.0)
          for (double u = 200.0; u <= rolled - w; u += 10.0) look(w, u, ahead, 0.0);
        for (double behind = 0.0; rolled - w >= 200.0 && behind <= back; behind += 5.0)
          for (double v = 200.0; v <= w; v += 10.0) look(v, rolled - w, 0.0, behind);
      }
      INFO("pitch " << pitch << ", rolled " << rolled);
      CHECK(found.lower_mm <= least + 1e-9);
      // Places are looked at 5 mm apart and 10: half of each is the most by which they miss the least.
      CHECK(least <= found.lower_mm + found.error_mm + 7.5);
      CHECK(found.error_mm <= 1.5 * rolled / 32.0);
      // What is told is there, at that fed length, and at that distance.
      const BentStockMeeting& m = *found.meeting;
      const CurvePoint a = out.at(Stage::coil, m.out_lag_mm), b = in.at(Stage::coil, m.in_lag_mm);
      CHECK((a.p + m.out_ahead_mm * a.d1 - m.out_point).norm() < 1e-6);
      CHECK((b.p + m.in_behind_mm * b.d1 - m.in_point).norm() < 1e-6);
      CHECK((m.out_point - m.in_point).norm() >= found.lower_mm);
      CHECK(m.fed_mm >= m.out_lag_mm - rolled / 32.0 - 1e-9);
      CHECK(m.in_lag_mm <= rolled - m.fed_mm + rolled / 32.0 + 1e-9);
    }
  }
}

TEST_CASE("a bar too short to lie on both sides at once is never near to itself across the rolls", "[bent_stock][property]") {
  const Helix helix(Length::mm(400), Length::mm(0.0), Hand::right_screw);
  const PosedPart out = simple(helix, 200.0, 0.0, placed(200.0, 0.0));
  Eigen::Isometry3d X = placed(-200.0, std::numbers::pi);
  X.rotate(Eigen::AngleAxisd(std::numbers::pi, Eigen::Vector3d::UnitZ()));
  const PosedPart in = simple(helix, 200.0, std::numbers::pi, X);
  // The two spans alone are 400 mm long.
  CHECK_FALSE(distance_to_bent_stock({&out, &in, 300.0, 0.0, 0.0}, 0.01).meeting);
  const BentStockDistance found = distance_to_bent_stock({&out, &in, 450.0, 0.0, 0.0}, 0.01);
  REQUIRE(found.meeting);
  CHECK(found.lower_mm == Approx(400.0).margin(0.02));  // between the two contacts
}
