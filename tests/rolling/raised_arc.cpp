#include <coilwright/rolling/raised_arc.hpp>

#include <Eigen/Geometry>
#include <catch2/catch.hpp>
#include <numbers>

#include "fixture.hpp"

using namespace coilwright;
using namespace coilwright::rolling_fixture;

namespace {

constexpr double pi = std::numbers::pi;

}  // namespace

TEST_CASE("a quarter ring under a tip load sags as published", "[raised_arc][published]") {
  // A verification example that cites S. Timoshenko, Strength of Materials I, 3rd ed. 1955: E 30e6 psi, P 50 lb,
  // r 100 in, solid round of 2 in: 2.648 in. With nu 0.3 the formula gives 2.6493 in (0.05 %).
  const double E = 30e6, I = pi / 64 * 16, EI = E * I, GJ = E / 2.6 * 2 * I;
  const RaisedArc ring(Helix(Length::mm(100), Length(), Hand::right_screw), EI, GJ, 0.1, pi / 2);
  CHECK(50 * ring.C22() == Approx(2.648).margin(0.0015));
  CHECK(50 * ring.C22() == Approx(50e6 * ((pi / 4) / EI + (3 * pi / 4 - 2) / GJ)).epsilon(1e-12));
}

TEST_CASE("a flat arc follows the closed form at any angle", "[raised_arc][oracle]") {
  // Castigliano: delta = P R^3 [(phi/2 - sin 2phi / 4) / EI + (3 phi / 2 - 2 sin phi + sin 2phi / 4) / GJ].
  const double R = 350, EI = 3e9, GJ = 2.1e9;
  for (const double degrees : {20.0, 45.0, 90.0, 180.0, 300.0}) {
    const double phi = Angle::deg(degrees).rad();
    const RaisedArc arc(Helix(Length::mm(R), Length(), Hand::right_screw), EI, GJ, 0.3 * phi, phi);
    const double bend = phi / 2 - std::sin(2 * phi) / 4, twist = 1.5 * phi - 2 * std::sin(phi) + std::sin(2 * phi) / 4;
    CHECK(arc.C22() == Approx(R * R * R * (bend / EI + twist / GJ)).epsilon(1e-10));
  }
}

TEST_CASE("the free helix leaves along the feed", "[raised_arc][oracle]") {
  // Pose values computed beforehand by a separate program, printed to 0.0001 mm.
  struct Row {
    double R, pitch, degrees, x, y, z;
  };
  for (const Row& row : std::initializer_list<Row>{{900, 2400, 30, 492.3730, 120.5771, 8.2977},
                                                   {900, 2400, 90, 1062.8826, 900, 200.7004},
                                                   {900, 2400, 180, 468.8197, 1800, 1104.6303},
                                                   {900, 2400, 360, 937.6393, 0, 2209.2606},
                                                   {600, 120, 30, 300.1663, 80.3848, 0.4505},
                                                   {600, 120, 360, 3.8178, 0, 119.9393},
                                                   {250, 60, 90, 250.3904, 250, 5.4467}}) {
    const RaisedArc arc(Helix(Length::mm(row.R), Length::mm(row.pitch), Hand::right_screw), 1e9, 1e9, 0.1, 1);
    const Eigen::Vector3d p = arc.point(Angle::deg(row.degrees).rad());
    CHECK((p - Eigen::Vector3d(row.x, row.y, row.z)).cwiseAbs().maxCoeff() < 0.0000501 + 1e-9 * row.R);
  }
  const RaisedArc arc(Helix(Length::mm(900), Length::mm(2400), Hand::right_screw), 1e9, 1e9, 0.1, 1);
  for (const double theta : {1e-4, 0.05, 0.0999999, 0.1000001, 1.0, 4.0}) {
    // c cos(alpha) (theta - sin theta), in long double against loss of digits.
    const long double c = 2400 / (2 * std::numbers::pi_v<long double>), rho = std::hypot(900.0L, c);
    const long double w = c * 900 / rho * (theta - std::sin(static_cast<long double>(theta)));
    CHECK(arc.point(theta).z() == Approx(static_cast<double>(w)).epsilon(theta < 0.01 ? 1e-6 : 1e-12));
    const double h = 1e-6;
    const Eigen::Vector3d numeric = (arc.point(theta + h) - arc.point(theta - h)) / (2 * h);
    CHECK((numeric.normalized() - arc.tangent(theta)).norm() < 1e-8);
  }
}

TEST_CASE("the sprung arc moves as its flexibility says", "[raised_arc][oracle]") {
  // Two routes to one number: displacement by integrating rotations, flexibility by Castigliano.
  const LiftJob job = lift_job('A');
  const LiftModel model = job.model(90);
  const RaisedArc& arc = model.arc();
  const double F = 333.8, V = -2224.4;
  const RaisedArc::Field field = arc.under(F, V);
  CHECK(field.roll_displacement.z() == Approx(V * arc.C12() + F * arc.C22()).epsilon(1e-10));
  CHECK((arc.roll_displacement(F, V) - field.roll_displacement).norm() < 1e-9 * field.roll_displacement.norm());
  double at_exit = 0;
  for (const auto& node : field.nodes)
    if (std::abs(node.lag_mm - job.helix().arc_per_radian_mm() * arc.exit_theta()) < 1e-9) at_exit = node.u.z();
  CHECK(at_exit == Approx(V * arc.C11() + F * arc.C12()).epsilon(1e-9));
}

TEST_CASE("the bounds of the sprung arc hold", "[raised_arc][bound]") {
  for (const char name : {'A', 'B', 'C', 'D', 'E'}) {
    const LiftModel model = lift_job(name).model(75);
    const auto state = model.groove_held(0, model.twist().torque_needed);
    REQUIRE(state);
    const auto field = model.arc().under(state->outboard_force.newtons(), state->exit_vertical_force.newtons());
    double second = 0, third = 0;
    for (std::size_t i = 0; i < field.nodes.size(); ++i) {
      second = std::max(second, field.nodes[i].ddu.norm());
      if (i > 0)
        third = std::max(third, (field.nodes[i].ddu - field.nodes[i - 1].ddu).norm() /
                                    (field.nodes[i].lag_mm - field.nodes[i - 1].lag_mm));
    }
    CAPTURE(name, second, third);
    CHECK(second <= field.second_bound_per_mm);
    CHECK(third <= field.third_bound_per_mm2);
  }
}
