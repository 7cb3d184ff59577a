#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/lift_plan.hpp>

namespace coilwright {
namespace {

std::optional<Length> lift_of(const LiftOutcome& outcome) {
  if (const auto* solution = std::get_if<LiftSolution>(&outcome)) return solution->state.lift;
  return std::nullopt;
}

// dp/dh with the roll where it is and the plan radius kept: central difference over a thousandth of the pitch.
double pitch_per_lift(const RollingSetup& setup, const RolledPass& pass) {
  constexpr double share = 1e-3;
  const auto lift = [&](double factor) -> double {
    const Helix helix(pass.helix.plan_radius(), pass.helix.pitch() * factor, Hand::right_screw);
    // The neighbouring pitch can fall off a fold; then the setting is as ill-conditioned as can be.
    return lift_at_roll_mm(setup, helix, pass.lift->model->arc().roll_theta(), {setup.hold, std::nullopt})
        .value_or(pass.lift->state.lift.mm());
  };
  const double rise = lift(1.0 + share) - lift(1.0 - share);
  return 2.0 * share * pass.helix.pitch().mm() / std::max(rise, 1e-9);
}

}  // namespace

BandedLift band_lift(const RollingSetup& setup, const RolledPass& pass) {
  require(pass.lift.has_value(), "a pass with a lift");
  const LiftSolution& nominal = *pass.lift;
  const LiftModel& model = *nominal.model;
  BandedLift banded{};
  LiftPlan& plan = banded.plan;
  plan.nominal = nominal.state;
  plan.worst_utilisation = nominal.state.exit_utilisation;
  bool complete = true;
  Length low = nominal.state.lift, high = nominal.state.lift;
  bool first = true;
  for (const LiftAssumption& corner : working_corners(setup)) {
    const LiftOutcome outcome = solve_lift(setup, pass.helix, pass.rolling, corner);
    const auto* solution = std::get_if<LiftSolution>(&outcome);
    banded.corners.push_back(solution != nullptr ? std::optional(*solution) : std::nullopt);
    complete = complete && solution != nullptr;
    if (solution == nullptr) continue;
    low = first ? solution->state.lift : std::min(low, solution->state.lift);
    high = first ? solution->state.lift : std::max(high, solution->state.lift);
    first = false;
    plan.worst_utilisation = std::max(plan.worst_utilisation, solution->state.exit_utilisation);
  }
  if (complete) {
    plan.working_low = low;
    plan.working_high = high;
    const auto pitch_at = [&](Length lift) -> std::optional<Length> {
      const auto pitch = pitch_for_lift_mm(setup, pass.helix, model.arc().roll_theta(), {setup.hold, std::nullopt}, lift.mm());
      return pitch ? std::optional(Length::mm(*pitch)) : std::nullopt;
    };
    plan.pitch_at_working_low = pitch_at(low);
    plan.pitch_at_working_high = pitch_at(high);
  }
  const ExitHold tight{setup.hold.height_mm, 0.0, 0.0};
  plan.low = lift_of(solve_lift(setup, pass.helix, pass.rolling, {tight, LiftAssumption::None{}}));
  plan.high = lift_of(solve_lift(setup, pass.helix, pass.rolling, {std::nullopt, LiftAssumption::Held{}}));
  plan.upright_rule = model.upright_rule();
  plan.forward_lean = Angle::rad(model.lean());
  plan.bend_point_to_roll = Angle::rad(model.arc().roll_theta());
  plan.bend_point_to_exit = Angle::rad(model.arc().exit_theta());
  plan.pitch_per_lift = pitch_per_lift(setup, pass);
  const double share = nominal.state.torque.newton_mm() / model.twist().pure_moment;
  plan.moment_factor = std::sqrt(std::max(0.0, 1.0 - model.twist().torque_factor * share * share));
  plan.roll_position_mm = nominal.roll_point_F.head<2>();
  plan.lead_arc = Length::mm(pass.helix.arc_per_radian_mm() * model.arc().roll_theta());
  if (setup.outboard_roll->radius) plan.roll_top_lift = roll_rise(setup, pass);
  return banded;
}

Length roll_height_for(Length rise, Angle elevation, Length roll_radius, double stock_radius_mm) {
  return rise - Length::mm((roll_radius.mm() + stock_radius_mm) * (1.0 / std::cos(elevation.rad()) - 1.0));
}

Length roll_rise(const RollingSetup& setup, const RolledPass& pass) {
  const LiftSolution& lift = *pass.lift;
  const PosedPart part = place_part(pass.helix, setup.law, setup.rolls, pass.before, pass.rolling, &lift.model->arc(), &lift.state);
  const Eigen::Vector3d t = part.at(Stage::coil, part.outboard_lag_mm()).d1;
  return roll_height_for(lift.state.lift, Angle::rad(std::asin(t.z() / t.norm())), *setup.outboard_roll->radius,
                         setup.stock_radius_mm);
}

}  // namespace coilwright
