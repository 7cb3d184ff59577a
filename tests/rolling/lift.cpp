#include <coilwright/rolling/lift.hpp>

#include <catch2/catch.hpp>

#include "fixture.hpp"

using namespace coilwright;
using namespace coilwright::rolling_fixture;

TEST_CASE("the held lift agrees with an independent program", "[lift][oracle]") {
  // Held without play, stock held; h within 0.1 %, forces within 0.1 %, lean within its printed digits. The
  // second height column is a full elastoplastic rod solver computed beforehand: the reduction to three
  // unknowns stays within 0.5 % of it.
  struct Row {
    char job;
    double past_exit, geometric, lift, full, F, V, lean;
  };
  for (const Row& row : std::initializer_list<Row>{
           {'A', 30, 14.8551, 21.1558, 21.1829, 2037.81, -7730.75, -2.4780},
           {'A', 45, 41.1391, 51.6390, 51.7318, 1021.35, -5041.68, -2.1179},
           {'A', 60, 86.2970, 101.8282, 102.0189, 629.66, -3665.81, -1.9061},
           {'A', 90, 244.5137, 272.5087, 272.9864, 333.80, -2224.38, -1.6593},
           {'A', 120, 496.4420, 539.1775, 540.0031, 230.74, -1434.29, -1.5111},
           {'A', 150, 823.9086, 881.9054, 882.9680, 190.79, -900.76, -1.4045},
           {'B', 30, 1.1943, 1.3969, 1.4043, 544.79, -1312.45, -0.2095},
           {'B', 60, 5.8808, 6.4228, 6.4456, 183.66, -601.59, -0.1961},
           {'B', 90, 15.4816, 16.4908, 16.5326, 101.41, -341.53, -0.1892},
           {'B', 120, 30.1026, 31.6803, 31.7398, 71.94, -191.47, -0.1846},
           {'B', 150, 48.5041, 50.7314, 50.8030, 60.68, -81.69, -0.1808},
           {'C', 45, 1.6700, 1.8954, 1.9027, 193.71, -497.92, -0.2945},
           {'C', 90, 8.2375, 8.8726, 8.8938, 70.09, -200.62, -0.2774},
           {'C', 150, 25.0702, 26.4697, 26.5060, 42.78, -46.93, -0.2650},
           {'D', 30, 16.5105, 26.6400, 26.6170, 1584.21, -7896.26, -2.0180},
           {'D', 90, 299.4469, 344.8120, 345.0568, 246.06, -2202.51, -1.1114},
           {'D', 150, 1036.1306, 1139.0660, 1139.2407, 137.96, -769.87, -0.8356},
           {'E', 30, 3.7137, 4.5048, 4.5206, 1041.95, -2648.96, -1.0660},
           {'E', 90, 49.8006, 53.6639, 53.7685, 190.37, -702.09, -0.9173},
           {'E', 150, 157.7586, 166.4518, 166.6492, 113.12, -189.36, -0.8582}}) {
    CAPTURE(row.job, row.past_exit);
    const LiftModel model = lift_job(row.job).model(row.past_exit);
    const auto state = model.groove_held(0, model.twist().torque_needed);
    REQUIRE(state);
    CHECK(model.geometric_lift_mm() == Approx(row.geometric).margin(0.0000501));
    CHECK(state->lift.mm() == Approx(row.lift).epsilon(0.001));
    CHECK(state->lift.mm() == Approx(row.full).epsilon(0.006));
    CHECK(state->outboard_force.newtons() == Approx(row.F).epsilon(0.001));
    CHECK(state->exit_vertical_force.newtons() == Approx(row.V).epsilon(0.001));
    CHECK(state->side_lean.deg() == Approx(row.lean).margin(0.00021));
    CHECK(std::abs(state->exit_height.mm()) < 1e-9);
  }
}

TEST_CASE("every state of the hold agrees with an independent program", "[lift][oracle]") {
  // Lift in mm: groove-held with T = 0, by friction 0.15, stock-held; play 0.5 and 1 mm by friction; not held
  // with T = 0, by friction, stock-held (0: no such state). Printed to 0.01; within 0.1 %.
  struct Row {
    char job;
    double past_exit, lift[8];
  };
  for (const Row& row : std::initializer_list<Row>{
           {'A', 45, {42.33, 43.86, 51.64, 55.63, 67.37, 52.30, 113.54, 0}},
           {'A', 90, {248.14, 252.14, 272.51, 283.83, 315.31, 271.78, 344.00, 754.22}},
           {'A', 135, {658.62, 665.94, 703.18, 714.62, 751.66, 693.07, 751.66, 1070.22}},
           {'B', 90, {15.88, 16.49, 16.49, 26.90, 35.65, 18.72, 35.65, 35.65}},
           {'C', 90, {8.48, 8.87, 8.87, 16.55, 19.00, 10.32, 19.00, 19.00}},
           {'D', 90, {303.06, 312.07, 344.81, 370.72, 429.01, 322.75, 434.20, 858.60}},
           {'D', 135, {822.91, 840.37, 903.78, 932.91, 943.43, 852.74, 943.43, 1283.15}},
           {'E', 90, {50.94, 52.28, 53.66, 64.32, 76.32, 59.49, 89.50, 120.66}},
           {'E', 135, {128.25, 130.97, 133.78, 148.18, 155.99, 139.37, 155.99, 173.17}}}) {
    CAPTURE(row.job, row.past_exit);
    const LiftJob job = lift_job(row.job);
    const LiftModel model = job.model(row.past_exit);
    const double need = model.twist().torque_needed;
    const double friction = model.torque(StockTurns::by_friction, 0.15, job.section.outer_face().mm());
    const std::optional<LiftState> states[] = {
        model.groove_held(0, 0),       model.groove_held(0, friction), model.groove_held(0, need),
        model.settled({0, 0.5, 0.5}, friction), model.settled({0, 1, 1}, friction), model.not_held(0),
        model.not_held(friction),      model.not_held(need)};
    for (int i = 0; i < 8; ++i) {
      CAPTURE(i);
      REQUIRE(states[i].has_value() == (row.lift[i] > 0));
      if (states[i]) CHECK(states[i]->lift.mm() == Approx(row.lift[i]).epsilon(0.001).margin(0.00501));
    }
  }
}

TEST_CASE("between 30 and 65 degrees the steep rail has no state without hold", "[lift][oracle]") {
  // Found beforehand by the independent program: no root at 30 to 65 degrees past the exit, roots from 70 on.
  for (const double degrees : {30.0, 45.0, 60.0, 65.0}) {
    const LiftModel model = lift_job('A').model(degrees);
    CHECK_FALSE(model.not_held(model.twist().torque_needed));
    // What has no free state runs up to the upper flank, whatever its play.
    const auto settled = model.settled({0, 2, 2}, model.twist().torque_needed);
    REQUIRE(settled);
    CHECK(settled->held);
    CHECK(settled->exit_height.mm() == Approx(2).margin(1e-9));
  }
  for (const double degrees : {70.0, 90.0}) {
    const LiftModel model = lift_job('A').model(degrees);
    CHECK(model.not_held(model.twist().torque_needed));
  }
}

TEST_CASE("forces and moments of a state balance", "[lift][property]") {
  for (const char name : {'A', 'B', 'C', 'D', 'E'}) {
    const LiftModel model = lift_job(name).model(80);
    const double T = 0.4 * model.twist().torque_needed;
    for (const auto& state : {model.groove_held(0.3, T), model.not_held(T)}) {
      REQUIRE(state);
      const double F = state->outboard_force.newtons(), V = state->exit_vertical_force.newtons();
      const double beta = state->side_lean.rad(), M = model.twist().moment;
      const Eigen::Vector3d p1 = model.arc().exit_point(), p2 = model.arc().roll_point();
      const double S = F * p2.x() + V * p1.x();
      CHECK(std::tan(beta) == Approx(S / M).margin(1e-9));
      const double y1 = p1.y() * std::cos(beta) - p1.z() * std::sin(beta);
      const double y2 = p2.y() * std::cos(beta) - p2.z() * std::sin(beta);
      const double about_tangent = F * y2 + V * y1 - M / p1.x() * state->exit_height.mm() + M * state->slope_rad;
      CHECK(about_tangent == Approx(T).margin(1e-8 * M));
      CHECK(state->turning_share == Approx(0.6).margin(1e-12));
    }
  }
}

TEST_CASE("small-pitch coils without hold come near the upright rule", "[lift][oracle]") {
  // The upright rule is the limit of no hold with all of the torque: 35.4/36.4 and 18.8/18.8 mm from the full
  // rod solver computed beforehand; the reduced model follows it within 2.5 %.
  for (const auto& [name, full] : {std::pair{'B', 35.428}, {'C', 18.788}}) {
    const LiftModel model = lift_job(name).model(90);
    const auto state = model.not_held(model.twist().torque_needed);
    REQUIRE(state);
    CHECK(state->lift.mm() == Approx(full).epsilon(0.025));
    CHECK(state->lift.mm() == Approx(model.upright_rule().mm()).epsilon(0.05));
  }
}
