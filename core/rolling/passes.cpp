#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/passes.hpp>
#include <numbers>

namespace coilwright {
namespace {

constexpr double pi = std::numbers::pi;

// What the search for the place of the roll keeps the same from try to try.
struct Search {
  const RollingSetup& setup;
  const Helix& helix;
  const SteadyState& rolling;
  const LiftAssumption& assumption;
  TwistDemand twist;

  [[nodiscard]] double first_theta() const { return setup.rolls.half_spacing_mm / helix.arc_per_radian_mm(); }
  // One try: the equilibrium with the roll at Phi, and where the centreline then crosses it.
  struct Try {
    LiftSolution solution;
    Eigen::Vector2d along;  // how its place in plan goes on by length, but for the springing
    [[nodiscard]] Eigen::Vector2d place() const { return solution.roll_point_F.head<2>(); }
  };
  [[nodiscard]] std::optional<Try> at(double roll_theta) const {
    auto model = std::make_shared<const LiftModel>(setup.law, twist, setup.torsion_stiffness, helix,
                                                   setup.rolls.half_spacing_mm, roll_theta, setup.entry_slope_rad);
    const std::optional<LiftState> state = lift_at(*model, setup, assumption);
    if (!state) return std::nullopt;
    const AtOutboardRoll there = at_outboard_roll(helix, rolling, model->arc(), *state);
    return Try{{std::move(model), *state, there.point}, there.tangent.head<2>()};
  }
};

constexpr double place_tolerance_mm = 1e-9;
constexpr double least_outward = 0.2;  // of a tangent seen from the exit roll: nearly across it says little
constexpr double farthest_turn = 1.1 * pi;  // past the exit roll: a roll farther round would lift the far side

// The roll at a plan distance from the exit roll's axis.
class AtReach {
 public:
  AtReach(const Search& search, double reach_mm)
      : search_(search),
        reach_(reach_mm),
        rho_(search.helix.arc_per_radian_mm()),
        theta1_(search.first_theta()),
        exit_axis_(search.setup.rolls.half_spacing_mm, 0.0) {}

  [[nodiscard]] LiftOutcome solve() const {
    // Across the coil lies the farthest point of it; beyond half a turn it comes back.
    const double farthest = 2.0 * search_.helix.plan_radius().mm();
    if (reach_ >= farthest) return OutOfReach{reach_, farthest};
    if (auto met = by_secants()) return *std::move(met);
    return by_looking_along();
  }

 private:
  [[nodiscard]] double distance(const Search::Try& at) const { return (at.place() - exit_axis_).norm(); }
  [[nodiscard]] double on_the_way(double phi) const { return std::clamp(phi, theta1_ * (1.0 + 1e-6), theta1_ + farthest_turn); }

  // Where the helix crosses the roll as it would stand upright and unsprung.
  [[nodiscard]] double first_guess() const {
    double phi = theta1_ + 2.0 * std::asin(reach_ / (2.0 * search_.helix.plan_radius().mm()));
    constexpr int rounds = 4;
    for (int i = 0; i < rounds; ++i) {
      const AtOutboardRoll there = at_outboard_roll(search_.helix, search_.rolling, phi);
      const Eigen::Vector2d from = there.point.head<2>() - exit_axis_;
      const double away = from.norm(), outward = there.tangent.head<2>().dot(from) / away;
      if (!(outward > least_outward)) break;
      phi = on_the_way(phi + (reach_ - away) / (rho_ * outward));
    }
    return phi;
  }

  // From the guess on; none where slopes lead nowhere, which says nothing yet.
  [[nodiscard]] std::optional<LiftOutcome> by_secants() const {
    double phi0 = first_guess();
    std::optional<Search::Try> s0 = search_.at(phi0);
    if (!s0) return NoEquilibrium{};
    const double outward = s0->along.dot(s0->place() - exit_axis_) / distance(*s0);
    double phi1 = phi0 + (reach_ - distance(*s0)) / (rho_ * std::max(outward, least_outward));
    constexpr int tries = 12;
    for (int i = 0; i < tries; ++i) {
      phi1 = on_the_way(phi1);
      std::optional<Search::Try> s1 = search_.at(phi1);
      if (!s1) return NoEquilibrium{};
      const double miss = reach_ - distance(*s1);
      if (std::abs(miss) <= place_tolerance_mm) return std::move(s1->solution);
      const double slope = (distance(*s1) - distance(*s0)) / (phi1 - phi0);
      if (phi1 == phi0 || !(slope > 0.0)) return std::nullopt;
      phi0 = phi1;
      s0 = std::move(s1);
      phi1 += miss / slope;
    }
    return std::nullopt;
  }

  // All the way round from the exit roll, for the first place at which it has come far enough; then halving toward it.
  [[nodiscard]] LiftOutcome by_looking_along() const {
    constexpr int looks = 48;
    double farthest = 0.0, phi_before = 0.0;
    bool short_before = false;
    for (int i = 0; i <= looks; ++i) {
      const double phi = on_the_way(theta1_ + farthest_turn * i / looks);
      const std::optional<Search::Try> here = search_.at(phi);
      if (here) farthest = std::max(farthest, distance(*here));
      if (here && short_before && distance(*here) >= reach_) return between(phi_before, phi);
      short_before = here && distance(*here) < reach_;
      phi_before = phi;
    }
    if (farthest == 0.0) return NoEquilibrium{};
    return OutOfReach{reach_, farthest};
  }
  // Too short at `low`, far enough at `high`.
  [[nodiscard]] LiftOutcome between(double low, double high) const {
    std::optional<Search::Try> last;
    while (true) {
      const double middle = 0.5 * (low + high);
      if (!(low < middle && middle < high)) break;
      std::optional<Search::Try> here = search_.at(middle);
      if (!here) return NoEquilibrium{};
      const double miss = reach_ - distance(*here);
      if (std::abs(miss) <= place_tolerance_mm) return std::move(here->solution);
      (miss > 0.0 ? low : high) = middle;
      last = std::move(here);
    }
    // A jump of the equilibrium from one branch to another, on which no place is just so far.
    constexpr double jump_mm = 1e-6;
    if (!last || std::abs(distance(*last) - reach_) > jump_mm) return NoEquilibrium{};
    return std::move(last->solution);
  }

  const Search& search_;
  double reach_, rho_, theta1_;
  Eigen::Vector2d exit_axis_;
};

LiftOutcome at_position(const Search& search, const Eigen::Vector2d& place) {
  const double rho = search.helix.arc_per_radian_mm(), R = search.helix.plan_radius().mm();
  const double theta1 = search.first_theta();
  // First guess: the chord from the exit roll to the place on a circle of the plan radius.
  const double chord = (place - Eigen::Vector2d(search.setup.rolls.half_spacing_mm, 0.0)).norm();
  double phi = theta1 + 2.0 * std::asin(std::clamp(chord / (2.0 * R), 0.01, 0.999));
  std::optional<Search::Try> best;
  // The nearest point in plan is the one whose tangent is square to the line to the place: walk there.
  for (int i = 0; i < 60; ++i) {
    best = search.at(phi);
    if (!best) return NoEquilibrium{};
    constexpr double step = 1e-4;
    const auto next = search.at(phi + step);
    if (!next) return NoEquilibrium{};
    const Eigen::Vector2d along = (next->place() - best->place()) / step;
    const double move = along.dot(place - best->place()) / along.squaredNorm();
    if (std::abs(move) * rho <= place_tolerance_mm * 100.0) break;
    phi = std::clamp(phi + move, theta1 * (1.0 + 1e-6), theta1 + farthest_turn);
  }
  const double off = (best->place() - place).norm();
  if (off > search.setup.stock_radius_mm) return OffTheRoll{off};
  return std::move(best->solution);
}

}  // namespace

RollingSetup RollingSetup::of(const Stock& stock, const Machine& machine, Angle stock_slope) {
  return {MomentCurvature(stock),
          RollGeometry::of(machine.rolls, stock.section),
          stock.torsion_stiffness_n_mm2(),
          0.5 * stock.section.outside_diameter().mm(),
          machine.rolls.friction,
          // Flat faces between the rolls cannot turn.
          stock.section.round() ? machine.rolls.stock_turns : StockTurns::held,
          {machine.rolls.exit_height.mm(), machine.rolls.exit_play_up.mm(), machine.rolls.exit_play_down.mm()},
          stock_slope.rad(),
          machine.outboard_roll};
}

std::optional<LiftState> lift_at(const LiftModel& model, const RollingSetup& setup, const LiftAssumption& assumption) {
  double torque = model.torque(setup.stock_turns, setup.friction, setup.stock_radius_mm);
  if (assumption.torque) {
    const auto* friction = std::get_if<LiftAssumption::ByFriction>(&*assumption.torque);
    const StockTurns turns = friction != nullptr                                                  ? StockTurns::by_friction
                             : std::holds_alternative<LiftAssumption::Held>(*assumption.torque) ? StockTurns::held
                                                                                                : StockTurns::free;
    torque = model.torque(turns, friction != nullptr ? friction->friction : 0.0, setup.stock_radius_mm);
  }
  return assumption.hold ? model.settled(*assumption.hold, torque) : model.not_held(torque);
}

std::optional<double> lift_at_roll_mm(const RollingSetup& setup, const Helix& helix, double roll_theta,
                                      const LiftAssumption& assumption) {
  const double a = setup.rolls.half_spacing_mm;
  if (a / helix.arc_per_radian_mm() >= roll_theta) return std::nullopt;
  const TwistDemand twist = twist_demand(setup.law, helix.curvature().per_mm(), helix.torsion().per_mm(), a);
  const LiftModel model(setup.law, twist, setup.torsion_stiffness, helix, a, roll_theta, setup.entry_slope_rad);
  const auto state = lift_at(model, setup, assumption);
  return state ? std::optional(state->lift.mm()) : std::nullopt;
}

std::vector<LiftAssumption> working_corners(const RollingSetup& setup) {
  constexpr double play_step_mm = 0.5;
  std::vector<LiftAssumption> corners;
  for (const double play : {std::max(0.0, setup.hold.play_up_mm - play_step_mm), setup.hold.play_up_mm + play_step_mm}) {
    const ExitHold hold{setup.hold.height_mm, play, setup.hold.play_down_mm};
    corners.push_back({hold, LiftAssumption::ByFriction{0.05}});
    corners.push_back({hold, LiftAssumption::ByFriction{0.30}});
    corners.push_back({hold, LiftAssumption::Held{}});
  }
  return corners;
}

LiftOutcome solve_lift(const RollingSetup& setup, const Helix& helix, const SteadyState& rolling,
                       const LiftAssumption& assumption) {
  require(setup.outboard_roll.has_value(), "an outboard roll to solve the lift for");
  const Search search{setup, helix, rolling, assumption,
                      twist_demand(setup.law, helix.curvature().per_mm(), helix.torsion().per_mm(),
                                   setup.rolls.half_spacing_mm)};
  if (const auto* reach = std::get_if<Reach>(&setup.outboard_roll->place))
    return AtReach(search, reach->plan_distance.mm()).solve();
  if (const auto* position = std::get_if<Position>(&setup.outboard_roll->place))
    return at_position(search, {position->x.mm(), position->y.mm()});
  const auto& past = std::get<PastExit>(setup.outboard_roll->place);
  if (auto s = search.at(search.first_theta() + past.azimuth.rad())) return std::move(s->solution);
  return NoEquilibrium{};
}

PassesOutcome roll_in_passes(const RollingSetup& setup, const Helix& helix, int passes, std::span<const SteadyState> rolled) {
  require(passes >= 1, "at least one pass");
  require(helix.hand() == Hand::right_screw, "in the feed frame every part is a right-hand screw");
  std::vector<RolledPass> done;
  BendHistory history = virgin(setup.law);
  for (int i = 1; i <= passes; ++i) {
    const double share = static_cast<double>(i) / passes;
    const Helix similar(helix.plan_radius() / share, helix.pitch() / share, Hand::right_screw);
    const double held = held_curvature(setup.law, similar.curvature().per_mm());
    const auto known = static_cast<std::size_t>(i) - 1;
    // The same curvature, to the rounding of a few operations.
    const bool is_known = known < rolled.size() && std::abs(rolled[known].free_curvature - held) <= 1e-12 * held;
    RollingOutcome outcome =
        is_known ? RollingOutcome(rolled[known]) : roll_to_curvature(setup.law, setup.rolls, history, held);
    if (const auto* wraps = std::get_if<WrapsTheRoll>(&outcome)) return NoPass{i, *wraps};
    if (const auto* tight = std::get_if<TooTight>(&outcome)) return NoPass{i, *tight};
    const SteadyState& rolling = std::get<SteadyState>(outcome);
    RolledPass pass{similar, history, rolling, std::nullopt};
    if (similar.pitch().mm() > 0.0 && setup.outboard_roll) {
      LiftOutcome lift = solve_lift(setup, similar, rolling, {setup.hold, std::nullopt});
      if (const auto* far = std::get_if<OutOfReach>(&lift)) return NoPass{i, *far};
      if (const auto* off = std::get_if<OffTheRoll>(&lift)) return NoPass{i, *off};
      if (std::holds_alternative<NoEquilibrium>(lift)) return NoPass{i, NoEquilibrium{}};
      pass.lift = std::get<LiftSolution>(std::move(lift));
    }
    history = rolling.after;
    done.push_back(std::move(pass));
  }
  return done;
}

double held_curvature(const MomentCurvature& law, double free_curvature) {
  if (!law.bows_sideways()) return free_curvature;
  // What the rolls' letting go changes varies slowly with the curvature: a few rounds settle it.
  double held = free_curvature;
  constexpr int enough = 30;
  for (int i = 0; i < enough; ++i) {
    const MomentCurvature::Release release = law.release(law.loaded(held));
    const double next = free_curvature - (release.held_loss - release.in_plane);
    if (!(next > 0.0)) return free_curvature;
    if (std::abs(next - held) <= 1e-14 * free_curvature) return next;
    held = next;
  }
  return held;
}

std::optional<double> pitch_for_lift_mm(const RollingSetup& setup, const Helix& helix, double roll_theta,
                                        const LiftAssumption& assumption, double lift_mm) {
  const Length R = helix.plan_radius();
  // Excess of the lift that a pitch needs; none where there is no equilibrium.
  const auto excess = [&](double pitch_mm) -> std::optional<double> {
    const auto lift = lift_at_roll_mm(setup, Helix(R, Length::mm(pitch_mm), Hand::right_screw), roll_theta, assumption);
    return lift ? std::optional(*lift - lift_mm) : std::nullopt;
  };
  // The lift rises with the pitch: step outward from the pitch at hand until it lies between two, then
  // halve, aiming by the chord (Illinois rule).
  const double steepest = 2.0 * pi * R.mm() * std::tan(pi / 3.0), flattest = 1e-6 * R.mm();
  double low = std::clamp(helix.pitch().mm(), flattest, steepest), high = low;
  std::optional<double> at_low = excess(low), at_high = at_low;
  if (!at_low) return std::nullopt;
  constexpr double growth = 1.25;
  while (*at_low > 0.0) {
    if (low <= flattest) return std::nullopt;
    high = low, at_high = at_low;
    low = std::max(flattest, low / growth < 0.01 * helix.pitch().mm() ? flattest : low / growth);
    if (!(at_low = excess(low))) return std::nullopt;
  }
  while (*at_high < 0.0) {
    if (high >= steepest) return std::nullopt;
    low = high, at_low = at_high;
    high = std::min(steepest, high * growth);
    if (!(at_high = excess(high))) return std::nullopt;
  }
  constexpr double share = 1e-10;  // of the pitch
  double weight_low = 1.0, weight_high = 1.0;
  for (int i = 0; i < 100 && high - low > share * high; ++i) {
    const double fl = *at_low * weight_low, fh = *at_high * weight_high;
    double middle = fh > fl ? low - fl * (high - low) / (fh - fl) : 0.5 * (low + high);
    if (!(middle > low && middle < high)) middle = 0.5 * (low + high);
    const std::optional<double> at = excess(middle);
    if (!at) return std::nullopt;
    if (*at == 0.0) return middle;
    if (*at < 0.0) {
      low = middle, at_low = at;
      weight_low = 1.0, weight_high *= 0.5;
    } else {
      high = middle, at_high = at;
      weight_high = 1.0, weight_low *= 0.5;
    }
    if (std::abs(*at) <= 1e-9 * std::max(1.0, std::abs(lift_mm))) return middle;
  }
  return 0.5 * (low + high);
}

}  // namespace coilwright
