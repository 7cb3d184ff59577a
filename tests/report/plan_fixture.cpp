#include "report/plan_fixture.hpp"

#include <cmath>

namespace plan_fixture {

using namespace coilwright;

namespace {

Stock tube() {
  Material steel;
  steel.name = "S235";
  steel.modulus = Stress::mpa(210000);
  steel.yield = Stress::mpa(235);
  steel.hardening = Stress::mpa(2100);
  steel.density_kg_m3 = 7850;
  return Stock{*Section::round_tube(Length::mm(42.4), Length::mm(2.6)), steel, "42.4x2.6 mm", "", {Length::metres(6)}};
}

Machine machine() {
  Machine m;
  m.name = "bench machine";
  m.feed = {FeedSide::from_the_left, FeedSide::from_the_right};
  m.rolls.outer_spacing = Length::mm(500);
  m.rolls.outer_radius = Length::mm(100);
  m.rolls.centre_radius = Length::mm(100);
  m.outboard_roll = OutboardRoll{Reach{Length::mm(1200)}, Length::mm(50)};
  return m;
}

CoilSpec spec(Hand hand) {
  CoilSpec s;
  s.radius = Length::mm(800);
  s.pitch = Length::mm(2700);
  s.turns = 1.1;
  s.hand = hand;
  return s;
}

Blank blank(const Coil& coil) {
  Blank b;
  b.flat_front = Length::mm(235.34);
  b.run_in = Length::mm(500);
  b.lead_arc = Length::mm(1455.3);
  b.settling = Length::mm(1455.3);
  b.developed = coil.developed_length();
  b.flat_back = Length::mm(234.71);
  b.run_in_assumed = b.settling_assumed = true;
  return b;
}

PassPlan pass() {
  PassPlan p;
  p.travel = Length::mm(20.5);
  p.frame_give = Length::mm(0.3);
  p.free_radius = Length::mm(1030.8);
  p.loaded_radius = Length::mm(876.2);
  p.centre_roll_force = Force::newtons(11920);
  p.entry_roll_force = Force::newtons(5600);
  p.exit_roll_force = Force::newtons(6700);
  p.drive_force = Force::newtons(910);
  p.traction = 0.081;
  p.roll_lift = Length::mm(231.7);
  p.span_in = Length::mm(234.71);
  p.span_out = Length::mm(235.34);
  p.press_in_force = Force::newtons(13580);
  p.press_in_radius = Length::mm(361);
  return p;
}

LiftPlan lift() {
  LiftPlan l;
  l.nominal.lift = Length::mm(231.7);
  l.nominal.outboard_force = Force::newtons(620);
  l.nominal.exit_vertical_force = Force::newtons(-1850);
  l.nominal.side_lean = Angle::deg(-1.4);
  l.nominal.slope_rad = 0.004;
  l.nominal.exit_height = Length::mm(0.5);
  l.nominal.turning_share = 0.8;
  l.nominal.held = true;
  l.working_low = Length::mm(212.4);
  l.working_high = Length::mm(250.8);
  l.low = Length::mm(200.1);
  l.high = Length::mm(640.2);
  l.upright_rule = Length::mm(688.0);
  l.forward_lean = Angle::deg(28.24);
  l.bend_point_to_roll = Angle::deg(91.8);
  l.bend_point_to_exit = Angle::deg(15.8);
  l.pitch_per_lift = 16.0;
  l.worst_utilisation = 0.84;
  l.moment_factor = 0.999;
  l.roll_position_mm = {1010.2, 926.7};
  l.roll_top_lift = Length::mm(225.6);
  l.lead_arc = Length::mm(1455.3);
  return l;
}

PosedPart pose(const Coil& coil) {
  const Helix right(coil.helix().plan_radius(), coil.helix().pitch(), Hand::right_screw);
  Eigen::Isometry3d X_FC = Eigen::Isometry3d::Identity();
  X_FC.rotate(Eigen::AngleAxisd(0.3, Eigen::Vector3d::UnitZ()));
  X_FC.pretranslate(Eigen::Vector3d(10.0, 121.2, 3.0));
  return PosedPart(PosedPart::Spec{.helix = right,
                                   .spans = {{-234.71, -0.05, 0.0, {-250, 121.2}}, {235.34, 0.3, 0.001, {250, 121.2}}},
                                   .elastic = {},
                                   .outboard_lag_mm = 1455.3,
                                   .X_FC_unsprung = X_FC,
                                   .X_FC = X_FC,
                                   .arc_second_bound_per_mm = 0.001,
                                   .arc_third_bound_per_mm2 = 1e-6,
                                   .delta_rad = 0.25});
}

ClearancePlan clearance() {
  ClearancePlan c;
  c.verdict = Verdict::clears;
  c.pose_uncertainty_mm = 6.25;
  c.margin = Length::mm(25);
  c.not_checked = {"lead arc lying flat"};
  c.most_turns_under_ceiling = 1.31;
  ObstacleClearance cap{.part = "centre roll cap",
                        .least_mm = 38.27,
                        .pieces = {120.5, 61.0, 38.27, 44.125, 52.5},
                        .excluded_lag_mm = std::nullopt,
                        .nearest = NearestPair{"centre roll cap", Piece::coil, 4210.5, 5900.25, 38.27,
                                               Eigen::Vector3d(120.0, 310.0, 95.0),
                                               Eigen::Vector3d(100.0, 280.0, 80.0)}};
  ObstacleClearance roll = cap;
  roll.part = "exit roll";
  roll.least_mm = 77.5;
  roll.pieces = {std::nullopt, 80.0, 77.5, std::nullopt, 90.0};
  roll.excluded_lag_mm = {{180.0, 290.0}};
  c.result.least_mm = cap.least_mm;
  c.result.error_bound_mm = 0.01;
  c.result.nearest = cap.nearest;
  c.result.obstacles = {roll, cap};
  c.result.self_mm = 812.3;
  c.result.stock_mm = 640.0;
  c.result.self_at_end = true;
  c.result.swept_radius_mm = 2815.0;
  c.result.swept_height_mm = 2655.0;
  return c;
}

Coil coil(Hand hand) { return *Coil::from(spec(hand), Length::mm(42.4)); }

Job job(Hand hand) {
  return Job{.coil = spec(hand),
             .stock = tube(),
             .blank = {},
             .machine = machine(),
             .machine_origin = "built-in example",
             .passes = std::nullopt,
             .stock_slope = {},
             .tolerance = {},
             .scales = {},
             .name = "rail",
             .places = {},
             .assumptions = {},
             .remarks = {}};
}

}  // namespace

Capability capability(Show show) {
  Job real = job(Hand::right_screw);
  real.show = show;
  real.machine = example_machine();
  real.machine.rolls.groove = Length::mm(42.4);
  real.machine.rolls.spacing_positions = {Length::mm(260), Length::mm(400), Length::mm(500), Length::mm(600)};
  real.machine.limits.centre_roll_force = Force::kilonewtons(14);
  return make_plan(real)->rolling.capability;
}

Plan rail(Hand hand) {
  const Coil c = coil(hand);
  Plan plan(job(hand), c);
  plan.blank = blank(c);
  plan.lift = lift();
  plan.pose = pose(c);
  plan.clearance = clearance();
  plan.job.stock.stock_lengths = {Length::metres(12)};
  plan.longer_than_stock = false;
  plan.job.scales.touch_reading = Length::mm(112.4);
  plan.job.scales.lift_reading_at_pass_height = Length();
  plan.job.tolerance.radius = Length::mm(5);
  PassPlan one = pass();
  one.feed = feed_side_for(hand);
  plan.rolling = {.passes = {one},
                  .arc_rule_travel = Length::mm(31.1),
                  .strain_percent = 2.42,
                  .free_strain_percent = 2.06,
                  .ovality_percent = 0.95,
                  .ovality_low_percent = 0.67,
                  .ovality_high_percent = 1.71,
                  .wall_outside = Length::mm(2.55),
                  .wall_inside = Length::mm(2.65),
                  .why_passes = "One pass: the rolls grip and the force stays below the limit.",
                  .capability = capability(plan.job.show),
                  .wall_outside_least = Length::mm(2.53),
                  .wall_inside_most = Length::mm(2.67)};
  plan.understood = {{"plan radius, to the centreline", "800.0 mm (2'-7 1/2\")", "given"},
                     {"pitch", "2700.0 mm (8'-10 5/16\")", "given"}};
  plan.assumptions = {"The vertical play of the tube in the exit groove is 0.5 mm."};
  plan.findings = {{Level::caution, "lift", "The exit groove must hold the tube down.", std::nullopt},
                   {Level::question, "coil.radius", "Is the radius of 800 mm measured to the centreline of the rail?",
                    std::nullopt}};
  return plan;
}

Plan without_answer() {
  const Coil c = coil(Hand::right_screw);
  Plan plan(job(Hand::right_screw), c);
  plan.job.stock.stock_lengths.clear();
  plan.blank.developed = c.developed_length();
  plan.findings = {{Level::fault, "rolling", "The loaded radius is smaller than the centre roll: the tube wraps it.",
                    std::nullopt}};
  return plan;
}

}  // namespace plan_fixture
