#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/lift.hpp>
#include <cstdint>
#include <numbers>

namespace coilwright {

struct LiftModel::Lean {
  double beta, sine, cosine;
  static Lean of(double beta) { return {beta, std::sin(beta), std::cos(beta)}; }
};

// One candidate: a side lean with the forces that satisfy everything but the torque.
struct LiftModel::Trial {
  double beta, F, V, slope, exit_height, lift;
  double torque;  // about the tangent at the bend point, that these loads exert
};

namespace {

// A sign change closed in on to the last digits (Alefeld, Potra and Shi, ACM Trans. Math. Softw. 21 (1995) 327, as Boost
// has it); a pole ends in the pole.
template <class Function>
double root_between(double a, double b, double value_a, Function value) {
  if (value_a == 0.0) return a;
  const double value_b = value(b);
  if (value_b == 0.0) return b;
  if (!std::isfinite(value_a) || !std::isfinite(value_b)) return 0.5 * (a + b);  // a pole: whoever asks looks at the residual
  std::uintmax_t looks = 200;
  const boost::math::tools::eps_tolerance<double> digits(51);
  const auto [low, high] = a < b ? boost::math::tools::toms748_solve(value, a, b, value_a, value_b, digits, looks)
                                 : boost::math::tools::toms748_solve(value, b, a, value_b, value_a, digits, looks);
  return 0.5 * (low + high);
}

constexpr double greatest_lean = 1.2;     // rad: beyond that the model says nothing
constexpr double scaled_residual = 1e-9;  // a state is one only below this share of the bending moment

}  // namespace

LiftModel::LiftModel(const MomentCurvature& law, const TwistDemand& twist, double torsion_stiffness,
                     const Helix& helix, double half_spacing_mm, double roll_theta, double entry_slope_rad)
    : arc_(helix, law.bending_stiffness(), torsion_stiffness, half_spacing_mm / helix.arc_per_radian_mm(), roll_theta),
      twist_(twist),
      pitch_(helix.pitch()),
      radius_mm_(helix.plan_radius().mm()),
      alpha_(helix.slope().rad()),
      entry_slope_(entry_slope_rad),
      yield_moment_(law.first_yield_moment()) {
  require(pitch_.mm() > 0.0, "a coil that climbs");
}

double LiftModel::torque(StockTurns turns, double friction, double stock_radius_mm) const {
  switch (turns) {
    case StockTurns::held:
      return twist_.torque_needed;
    case StockTurns::free:
      return 0.0;
    case StockTurns::by_friction:
      break;
  }
  // Entry, exit and centre roll press with M/a, M/a and 2M/a; entry and centre stand upstream of the twist.
  const double half_spacing = arc_.exit_theta() * std::hypot(radius_mm_, pitch_.mm() / (2.0 * std::numbers::pi));
  return std::min(twist_.torque_needed, friction * 3.0 * twist_.moment / half_spacing * stock_radius_mm);
}

LiftModel::Trial LiftModel::complete(const Lean& lean, double F, double V) const {
  const Eigen::Vector3d &p1 = arc_.exit_point(), &p2 = arc_.roll_point();
  const auto [beta, sine, cosine] = lean;
  const double M = twist_.moment;
  const double y1 = p1.y() * cosine - p1.z() * sine, z1 = p1.y() * sine + p1.z() * cosine;
  const double y2 = p2.y() * cosine - p2.z() * sine, z2 = p2.y() * sine + p2.z() * cosine;
  Trial t{};
  t.beta = beta;
  t.F = F;
  t.V = V;
  t.slope = twist_.entry_rotation * (sine / cosine) + entry_slope_;
  t.exit_height = z1 + t.slope * p1.x() + V * arc_.C11() + F * arc_.C12();
  t.lift = z2 + t.slope * p2.x() + V * arc_.C12() + F * arc_.C22();
  t.torque = F * y2 + V * y1 - M / p1.x() * t.exit_height + M * t.slope;
  return t;
}

LiftModel::Trial LiftModel::held_at(double beta, double exit_height_mm) const {
  const Eigen::Vector3d &p1 = arc_.exit_point(), &p2 = arc_.roll_point();
  const Lean lean = Lean::of(beta);
  const double tangent = lean.sine / lean.cosine;
  // F x2 + V x1 = S and F C12 + V C11 = what the arc must still be pushed at the exit.
  const double S = twist_.moment * tangent;
  const double z1 = p1.y() * lean.sine + p1.z() * lean.cosine;
  const double push = exit_height_mm - z1 - (twist_.entry_rotation * tangent + entry_slope_) * p1.x();
  const double det = p2.x() * arc_.C11() - p1.x() * arc_.C12();
  return complete(lean, (S * arc_.C11() - p1.x() * push) / det, (p2.x() * push - S * arc_.C12()) / det);
}

LiftModel::Trial LiftModel::free_at(double beta) const {
  const Lean lean = Lean::of(beta);
  return complete(lean, twist_.moment * (lean.sine / lean.cosine) / arc_.roll_point().x(), 0.0);
}

LiftState LiftModel::state(const Trial& t, double torque, bool held) const {
  LiftState s;
  s.lift = Length::mm(t.lift);
  s.outboard_force = Force::newtons(t.F);
  s.exit_vertical_force = Force::newtons(t.V);
  s.side_lean = Angle::rad(t.beta);
  s.slope_rad = t.slope;
  s.exit_height = Length::mm(t.exit_height);
  s.torque = Moment::newton_mm(torque);
  s.turning_share = twist_.torque_needed > 0.0 ? 1.0 - torque / twist_.torque_needed : 0.0;
  s.held = held;
  // What the outboard force alone makes of bending out of plane and torque at the exit roll.
  const double phi = arc_.roll_theta() - arc_.exit_theta();
  const double bending = t.F * radius_mm_ * std::sin(phi), twisting = t.F * radius_mm_ * (1.0 - std::cos(phi));
  s.exit_utilisation = std::sqrt(bending * bending + twist_.torque_factor * twisting * twisting) / yield_moment_;
  return s;
}

std::optional<LiftState> LiftModel::groove_held(double exit_height_mm, double torque) const {
  const auto excess = [&](double beta) { return held_at(beta, exit_height_mm).torque - torque; };
  // The root nearest to upright: look outward on both sides at once.
  constexpr double step = 0.01;
  const double at_zero = excess(0.0);
  double left = at_zero, right = at_zero;
  for (double reached = 0.0; reached < greatest_lean; reached += step) {
    const double next_left = excess(-reached - step), next_right = excess(reached + step);
    std::optional<double> beta;
    if ((next_left < 0.0) != (left < 0.0)) beta = root_between(-reached, -reached - step, left, excess);
    if ((next_right < 0.0) != (right < 0.0)) beta = root_between(reached, reached + step, right, excess);
    if (beta) {
      const Trial t = held_at(*beta, exit_height_mm);
      if (std::abs(t.torque - torque) > scaled_residual * twist_.moment) return std::nullopt;  // a pole, not a root
      return state(t, torque, true);
    }
    left = next_left;
    right = next_right;
  }
  return std::nullopt;
}

std::optional<LiftState> LiftModel::not_held(double torque) const {
  const auto exerted = [&](double beta) { return free_at(beta).torque; };
  // From the state without torque (a small lean) follow the rising branch until it carries the torque.
  constexpr double step = 0.01;
  double low = -greatest_lean, low_value = 0.0;
  bool found = false;
  for (double reached = 0.0; reached < greatest_lean && !found; reached += step) {
    for (const double sign : {1.0, -1.0}) {
      const double a = sign * reached, b = sign * (reached + step);
      const double va = exerted(a), vb = exerted(b);
      if ((va < 0.0) == (vb < 0.0)) continue;
      low = root_between(a, b, va, exerted);
      found = true;
      break;
    }
  }
  if (!found) return std::nullopt;
  low_value = exerted(low);
  if (torque <= 0.0) return state(free_at(low), torque, false);
  const double direction = exerted(low + step) > low_value ? step : -step;
  while (std::abs(low) < greatest_lean) {
    double next = low + direction, value = exerted(next);
    if (value < torque && value <= low_value) {
      // The branch turns within two steps: its highest point decides.
      double a = low - direction, b = next;
      for (int i = 0; i < 100; ++i) {
        const double m1 = a + (b - a) / 3.0, m2 = b - (b - a) / 3.0;
        if (exerted(m1) < exerted(m2)) a = m1;
        else b = m2;
      }
      next = 0.5 * (a + b);
      value = exerted(next);
      if (value < torque) return std::nullopt;
      low -= direction;
    }
    if (value >= torque) {
      const double beta = root_between(low, next, exerted(low) - torque, [&](double x) { return exerted(x) - torque; });
      const Trial t = free_at(beta);
      if (std::abs(t.torque - torque) > scaled_residual * twist_.moment) return std::nullopt;
      return state(t, torque, false);
    }
    low = next;
    low_value = value;
  }
  return std::nullopt;
}

std::optional<LiftState> LiftModel::settled(const ExitHold& hold, double torque) const {
  const double upper = hold.height_mm + hold.play_up_mm, lower = hold.height_mm - hold.play_down_mm;
  const std::optional<LiftState> free = not_held(torque);
  if (!free || free->exit_height.mm() > upper) return groove_held(upper, torque);
  if (free->exit_height.mm() < lower) return groove_held(lower, torque);
  return free;
}

Length LiftModel::upright_rule() const { return pitch_ * (arc_.roll_theta() / (2.0 * std::numbers::pi)); }

double LiftModel::geometric_lift_mm() const {
  const Eigen::Vector3d &p1 = arc_.exit_point(), &p2 = arc_.roll_point();
  return p2.z() - p1.z() * p2.y() / p1.y();
}

}  // namespace coilwright
