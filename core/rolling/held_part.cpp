#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/held_part.hpp>
#include <coilwright/rolling/roll_programme.hpp>
#include <numbers>

namespace coilwright {
namespace {

// The placed helix starts at the bend point and runs ahead; the part is followed the other way, toward the stock.
Eigen::Isometry3d frame_at_bend(const PosedPart& part) {
  const Helix& helix = part.helix();
  const double rho = helix.arc_per_radian_mm(), R = helix.plan_radius().mm(), c = helix.rise_per_radian_mm();
  const Eigen::Vector3d tangent(R / rho, 0.0, c / rho), normal(0.0, 1.0, 0.0);
  Eigen::Isometry3d X_CB = Eigen::Isometry3d::Identity();
  X_CB.linear() << -tangent, normal, -tangent.cross(normal);
  return part.X_FC() * X_CB;
}

double sprung_off(const PosedPart& part) {
  constexpr int looks = 20;
  const double from = part.span_out_mm(), to = part.outboard_lag_mm();
  double most = 0.0;
  for (int i = 0; to > from && i <= looks; ++i) {
    const double lag = from + (to - from) * i / looks;
    most = std::max(most, (part.at(Stage::arc, lag).p - part.at(Stage::coil, lag).p).norm());
  }
  return most;
}

HeldPlace straight_place(const RollGeometry& rolls, double within_mm) {
  Eigen::Isometry3d X = Eigen::Isometry3d(Eigen::AngleAxisd(std::numbers::pi, Eigen::Vector3d::UnitY()));
  const double a = rolls.half_spacing_mm, y = rolls.outer_radius_mm + rolls.outer_face_mm;
  X.translation() = Eigen::Vector3d(0.0, y, 0.0);
  return {within_mm, nullptr, X, 0.0, 0.0, a, a, 0.0, EntryContact::of_straight(a, y)};
}

std::variant<HeldPlace, NotHeld> hold_place(const RollingSetup& setup, const SegmentCurve& curve, double within_mm, PassOf which,
                                            const std::optional<LiftAssumption>& assumption) {
  const double curvature = curve.curvature(within_mm);
  if (curvature == 0.0) return straight_place(setup.rolls, within_mm);
  const PassesOutcome outcome = roll_in_passes(setup, helix_of(curvature, std::abs(curve.torsion(within_mm))), which.passes);
  if (const auto* none = std::get_if<NoPass>(&outcome)) return NotHeld{0, *none};
  const RolledPass& pass = std::get<std::vector<RolledPass>>(outcome)[static_cast<std::size_t>(which.pass) - 1];
  std::optional<LiftSolution> lift = pass.lift;
  if (lift && assumption) {
    LiftOutcome other = solve_lift(setup, pass.helix, pass.rolling, *assumption);
    if (!std::holds_alternative<LiftSolution>(other)) return NotHeld{0, std::nullopt};
    lift = std::get<LiftSolution>(std::move(other));
  }
  auto bent = std::make_shared<const PosedPart>(place_part(pass.helix, setup.law, setup.rolls, pass.before, pass.rolling,
                                                           lift ? &lift->model->arc() : nullptr, lift ? &lift->state : nullptr));
  const Eigen::Isometry3d X = frame_at_bend(*bent);
  const double sprung = sprung_off(*bent), in = bent->span_in_mm(), out = bent->span_out_mm();
  const EntryContact entry = EntryContact::of(*bent);
  return HeldPlace{within_mm, std::move(bent), X, pass.rolling.travel_mm, lift ? lift->state.lift.mm() : 0.0, in, out, sprung, entry};
}

}  // namespace

std::variant<std::vector<HeldSegment>, NotHeld> hold_part(const RollingSetup& setup, const Centreline& part, PassOf which,
                                                          const std::optional<LiftAssumption>& assumption) {
  require(which.pass >= 1 && which.pass <= which.passes, "a pass is one of its passes");
  std::vector<HeldSegment> held;
  for (const Centreline::Joined& joined : part.segments()) {
    HeldSegment segment;
    for (const double within : setting_places_mm(joined.curve)) {
      auto place = hold_place(setup, joined.curve, within, which, assumption);
      if (auto* none = std::get_if<NotHeld>(&place)) {
        none->segment = held.size();
        return *none;
      }
      segment.push_back(std::get<HeldPlace>(std::move(place)));
    }
    held.push_back(std::move(segment));
  }
  return held;
}

}  // namespace coilwright
