#include <coilwright/rolling/twist_law.hpp>

#include <catch2/catch.hpp>

#include "fixture.hpp"

using namespace coilwright;
using namespace coilwright::rolling_fixture;

TEST_CASE("moment and torque agree with an independent program", "[twist_law][oracle]") {
  // Computed beforehand by a separate program, whose Y(k) was tabulated: M, T and psi are good to 2e-5.
  struct Row {
    char job;
    double pure, moment, torque, proportional, psi;
  };
  for (const Row& row : std::initializer_list<Row>{{'A', 1032.960, 974.165, 324.050, 338.024, 0.01129442},
                                                   {'B', 2866.517, 2865.673, 69.222, 75.018, 0.02749332},
                                                   {'C', 692.660, 692.348, 20.291, 21.749, 0.03021851},
                                                   {'D', 1604.750, 1549.184, 390.428, 404.429, 0},
                                                   {'E', 703.932, 698.302, 85.928, 91.299, 0}}) {
    CAPTURE(row.job);
    const TwistDemand d = lift_job(row.job).twist();
    CHECK(d.pure_moment / 1000 == Approx(row.pure).epsilon(2e-5));
    CHECK(d.moment / 1000 == Approx(row.moment).epsilon(2e-5));
    CHECK(d.torque_needed / 1000 == Approx(row.torque).epsilon(2e-5));
    CHECK(d.proportional_torque / 1000 == Approx(row.proportional).epsilon(2e-5));
    if (row.psi > 0) CHECK(d.entry_rotation == Approx(row.psi).epsilon(1e-4));
  }
}

TEST_CASE("a small twist takes (pi^2 / 12) M tau / kappa at the fully plastic limit", "[twist_law][published]") {
  // The ratio of Hill and Siebel, Phil. Mag. 42 (1951) 722 (cited from memory), for proportional growth.
  const MomentCurvature m = law(tube(42.4, 2.6), 235, 0);
  const double kappa = 1 / 300.0, tau = 1e-6;
  const TwistDemand d = twist_demand(m, kappa, tau, 200);
  CHECK(d.proportional_torque / (d.moment * tau / kappa) == Approx(0.8225).margin(0.00005));
  CHECK(d.torque_needed <= d.proportional_torque * (1 + 1e-9));
}

TEST_CASE("without torsion there is no torque and all of the moment", "[twist_law][oracle]") {
  const MomentCurvature m = law(bar(25), 300, 2000);
  const TwistDemand d = twist_demand(m, 1 / 250.0, 0, 100);
  CHECK(d.torque_needed == 0);
  CHECK(d.moment == d.pure_moment);
  CHECK(d.pure_moment == Approx(m.moment(m.loaded(1 / 250.0))).epsilon(1e-14));
}

TEST_CASE("stock that is not round takes a torque of its own", "[twist_law][property]") {
  // Small twist: T = M tau / (mu^2 kappa) less what the path of constant torque holds back (a tenth or so), whatever the
  // section; an open one carries little.
  const auto mm = [](double v) { return Length::mm(v); };
  const auto share = [&](const Section::Kind& kind) {
    const MomentCurvature m = law(Section::from(kind).value(), 300, 2100);
    const double kappa = 1.0 / 1000, tau = 1e-5;
    const TwistDemand d = twist_demand(m, kappa, tau, 250);
    CHECK(d.torque_needed > 0.85 * d.proportional_torque);
    CHECK(d.torque_needed <= d.proportional_torque);
    CHECK(d.proportional_torque * d.torque_factor * kappa / (d.moment * tau) == Approx(1).epsilon(0.01));
    CHECK(d.moment <= d.pure_moment * (1 + 1e-9));
    return d.torque_needed / d.moment;
  };
  const double tube_share = share(RoundTube{mm(50), mm(3)}), square = share(RectangularTube{mm(50), mm(50), mm(3)});
  const double angle = share(AngleBar{mm(50), mm(50), mm(5)});
  CHECK(square < tube_share);
  CHECK(square > 0.5 * tube_share);
  CHECK(angle < 0.1 * tube_share);
}
