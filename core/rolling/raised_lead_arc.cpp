#include <algorithm>
#include <cmath>
#include <coilwright/quantity/bracketed_root.hpp>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/raised_lead_arc.hpp>
#include <utility>

namespace coilwright {

using Eigen::AngleAxisd;
using Eigen::Isometry3d;
using Eigen::Vector3d;

namespace {

// The Frenet frame of a screw of some curvature at a length, either way, as seen from the one at its start.
Isometry3d along(double curvature, double torsion, double length_mm) {
  const double rate = std::hypot(curvature, torsion), angle = rate * length_mm;
  const Vector3d axis(torsion / rate, 0.0, curvature / rate);
  const double sine = std::sin(angle), rest = 2.0 * std::pow(std::sin(0.5 * angle), 2);
  const Vector3d slide = axis.x() * axis, across = Vector3d::UnitX() - slide, round = axis.cross(Vector3d::UnitX());
  Isometry3d X = Isometry3d::Identity();
  X.linear() = AngleAxisd(angle, axis).toRotationMatrix();
  X.translation() = slide * length_mm + across * (sine / rate) + round * (rest / rate);
  return X;
}

Isometry3d turned_by(const Vector3d& rotation) {
  const double angle = rotation.norm();
  return angle > 0.0 ? Isometry3d(AngleAxisd(angle, rotation / angle)) : Isometry3d::Identity();
}

// How the part leaves the exit roll, as sprung there.
Isometry3d leaving(const PosedPart& part) {
  const Helix& helix = part.helix();
  const double lag = part.span_out_mm(), rho = helix.arc_per_radian_mm(), R = helix.plan_radius().mm(), c = helix.rise_per_radian_mm();
  const Vector3d tangent(R / rho, 0.0, c / rho), normal = Vector3d::UnitY();
  Isometry3d X_CB = Isometry3d::Identity();
  X_CB.linear() << -tangent, normal, -tangent.cross(normal);
  Isometry3d X = part.X_FC_unsprung() * X_CB * along(helix.curvature().per_mm(), helix.torsion().per_mm(), -lag);
  if (part.outboard_lag_mm() > lag) {
    X.linear() = turned_by(part.arc_turned(lag).value).linear() * X.linear();
    X.translation() = part.at(Stage::arc, lag).p;
  }
  return X;
}

constexpr double close_mm = 1e-7;   // a height is met to this
constexpr double greatest_turn = 1.2;  // rad: beyond that a way says nothing

// The amount by which a rising height is met, outward from nothing. None where it is not met before `most` either way.
template <class Height>
std::optional<double> amount_for(double height_mm, double first_step, double most, Height height_at) {
  std::optional<double> from = height_at(0.0);
  if (!from) return std::nullopt;
  if (std::abs(*from - height_mm) <= close_mm) return 0.0;
  const double side = *from < height_mm ? 1.0 : -1.0;
  // The height is nearly linear in the amount: the secant soon meets it. Where it does not, by halving.
  constexpr int looks = 12;
  double last = 0.0, at_last = *from - height_mm, next = side * std::min(first_step, most);
  for (int i = 0; i < looks && std::abs(next) <= most; ++i) {
    const std::optional<double> there = height_at(next);
    if (!there) break;
    const double at = *there - height_mm;
    if (std::abs(at) <= close_mm) return next;
    const double slope = (at - at_last) / (next - last);
    if (!(slope > 0.0)) break;
    last = std::exchange(next, next - at / slope);
    at_last = at;
  }
  double inner = 0.0, at_inner = *from - height_mm;
  for (double size = first_step; inner != side * most; size *= 2.0) {
    const double outer = side * std::min(size, most);
    const std::optional<double> there = height_at(outer);
    if (!there) return std::nullopt;
    const double at_outer = *there - height_mm;
    if (side * at_outer >= 0.0) {
      bool lost = false;
      const auto value = [&](double amount) {
        const std::optional<double> height = height_at(amount);
        lost = lost || !height;
        return height.value_or(height_mm) - height_mm;
      };
      const double amount = side > 0.0 ? rising_root_between(inner, at_inner, outer, at_outer, 0.0, close_mm, value)
                                       : rising_root_between(outer, at_outer, inner, at_inner, 0.0, close_mm, value);
      return lost ? std::nullopt : std::optional(amount);
    }
    inner = outer;
    at_inner = at_outer;
  }
  return std::nullopt;
}

}  // namespace

RaisedLeadArc::RaisedLeadArc(const Spec& spec)
    : lift_(spec.lift_mm),
      EI_(spec.bending_stiffness),
      GJ_(spec.torsion_stiffness),
      piece_(spec.flat_mm / spec.pieces),
      straight_(spec.straight_mm),
      curvature_(spec.lifted.helix().curvature().per_mm()),
      torsion_(spec.lifted.helix().torsion().per_mm()),
      span_out_(spec.lifted.span_out_mm()),
      pieces_(spec.pieces),
      flat_exit_(leaving(spec.lying)),
      steady_exit_(leaving(spec.lifted)) {
  const CurvePoint at = spec.lifted.at(Stage::coil, spec.lifted.outboard_lag_mm());
  roll_ = at.p;
  along_ = Vector3d(at.d1.x(), at.d1.y(), 0.0).normalized();
  // Lag grows ahead.
  if (along_.dot(at.p - spec.lifted.at(Stage::arc, span_out_).p) < 0.0) along_ = -along_;
}

std::optional<RaisedLeadArc> RaisedLeadArc::of(const Spec& spec) {
  require(spec.pieces >= 2 && spec.flat_mm > 0.0 && spec.straight_mm >= 0.0 && spec.lift_mm > 0.0 && spec.bending_stiffness > 0.0 && spec.torsion_stiffness > 0.0 &&
              spec.lifted.outboard_lag_mm() > spec.lifted.span_out_mm(),
          "a lead arc to be raised has a length and an outboard roll");
  if (spec.flat_mm <= spec.lifted.span_out_mm()) return std::nullopt;
  RaisedLeadArc arc(spec);
  // The force that brings the coil, leaving as it does when all runs steadily, to the lift.
  const double softest = std::pow(spec.flat_mm, 3.0) / (3.0 * std::min(arc.EI_, arc.GJ_));
  const auto height_at = [&](double force) -> std::optional<double> {
    const auto nodes = arc.chain(arc.steady_exit_, arc.pieces_, arc.torsion_, force, Extent::to_the_roll);
    const std::optional<Met> there = arc.met(nodes, arc.pieces_, arc.torsion_);
    return there ? std::optional(there->point.z()) : std::nullopt;
  };
  const std::optional<double> force = amount_for(arc.lift_, 1.0 / softest, arc.lift_ * 1e4 / softest, height_at);
  if (!force) return std::nullopt;
  arc.steady_force_ = *force;
  if (!arc.tried(Way::springs, 0, 0.0, Extent::whole)) return std::nullopt;
  return arc;
}

Isometry3d RaisedLeadArc::exit_frame(double share) const {
  const AngleAxisd way(flat_exit_.linear().transpose() * steady_exit_.linear());
  Isometry3d X = flat_exit_;
  X.linear() = flat_exit_.linear() * AngleAxisd(share * way.angle(), way.axis()).toRotationMatrix();
  X.translation() += share * (steady_exit_.translation() - flat_exit_.translation());
  return X;
}

template <class Turned>
std::vector<RaisedLeadArc::Node> RaisedLeadArc::chain_turned(const Isometry3d& exit, int formed, double torsion, Extent extent,
                                                             Turned turned) const {
  const Isometry3d flat = along(curvature_, 0.0, -piece_), helix = along(curvature_, torsion, -piece_);
  std::vector<Node> nodes;
  nodes.reserve(static_cast<std::size_t>(2 * pieces_) + 2);
  nodes.push_back({span_out_, exit});
  const int first = static_cast<int>(std::floor(span_out_ / piece_)) + 1;
  for (int n = first; n <= pieces_ + formed; ++n) {
    Node& node = nodes.back();
    turned(nodes.size() - 1, node.X);
    const double lag = n * piece_;
    if (n > first) nodes.push_back({lag, node.X * (n <= formed ? helix : flat)});
    else nodes.push_back({lag, node.X * along(curvature_, n <= formed ? torsion : 0.0, span_out_ - lag)});
    if (extent == Extent::to_the_roll && past(nodes.back()) >= 0.0 && past(nodes[nodes.size() - 2]) < 0.0) return nodes;
  }
  turned(nodes.size() - 1, nodes.back().X);
  return nodes;
}

std::vector<RaisedLeadArc::Node> RaisedLeadArc::chain(const Isometry3d& exit, int formed, double torsion, double force_N,
                                                      Extent extent) const {
  const auto nothing = [](std::size_t, const Isometry3d&) {};
  if (force_N == 0.0) return chain_turned(exit, formed, torsion, extent, nothing);
  const std::vector<Node> rest = chain_turned(exit, formed, torsion, Extent::to_the_roll, nothing);
  const std::optional<Met> load = met(rest, formed, torsion);
  if (!load) return chain_turned(exit, formed, torsion, extent, nothing);
  std::vector<Eigen::Matrix3d> joints;
  for (std::size_t i = 0; i < rest.size() && rest[i].lag_mm < load->lag; ++i) {
    const Isometry3d& X = rest[i].X;
    const Vector3d moment = force_N * (load->point - X.translation()).cross(Vector3d::UnitZ());
    const double before = i > 0 ? rest[i].lag_mm - rest[i - 1].lag_mm : 0.0;
    const double behind = (i + 1 < rest.size() ? std::min(rest[i + 1].lag_mm, load->lag) : load->lag) - rest[i].lag_mm;
    const Vector3d local = X.linear().transpose() * moment * (0.5 * (before + behind));
    joints.push_back(turned_by({local.x() / GJ_, local.y() / EI_, local.z() / EI_}).linear());
  }
  return chain_turned(exit, formed, torsion, extent, [&](std::size_t i, Isometry3d& X) {
    if (i < joints.size()) X.linear() = X.linear() * joints[i];
  });
}

double RaisedLeadArc::past(const Node& node) const { return along_.dot(node.X.translation() - roll_); }

std::optional<RaisedLeadArc::Met> RaisedLeadArc::met(const std::vector<Node>& nodes, int formed, double torsion) const {
  for (std::size_t i = 0; i + 1 < nodes.size(); ++i) {
    const Node &a = nodes[i], &b = nodes[i + 1];
    const double short_by = past(a), beyond = past(b);
    if (!(short_by < 0.0 && beyond >= 0.0)) continue;
    const double twist = b.lag_mm <= (formed + 0.5) * piece_ ? torsion : 0.0;
    const auto point = [&](double ahead) { return Vector3d(a.X * along(curvature_, twist, -ahead).translation()); };
    const double ahead = rising_root_between(0.0, short_by, b.lag_mm - a.lag_mm, beyond, 0.0, 0.01 * close_mm,
                                             [&](double s) { return along_.dot(point(s) - roll_); });
    return Met{a.lag_mm + ahead, point(ahead)};
  }
  const Node& end = nodes.back();
  const Vector3d forward = -end.X.linear().col(0);
  const double still = -past(end), ahead = still / along_.dot(forward);
  if (!(still > 0.0 && ahead > 0.0 && ahead <= straight_)) return std::nullopt;
  return Met{end.lag_mm + ahead, end.X.translation() + ahead * forward};
}

std::optional<RaisedLeadArc::State> RaisedLeadArc::tried(Way way, int formed, double amount, Extent extent) const {
  const double share = static_cast<double>(formed) / pieces_;
  State state{formed, 0.0, amount, share * steady_force_, torsion_, 0.0, {}};
  Isometry3d exit = exit_frame(way == Way::twists ? amount : share);
  const auto turn_about = [&](const Vector3d& axis) { exit = exit * AngleAxisd(amount, axis); };
  switch (way) {
    case Way::twists:
      state.outboard_force_N = amount * steady_force_;
      state.torsion_per_mm = amount * torsion_;
      break;
    case Way::springs: state.outboard_force_N = amount; break;
    case Way::turns: turn_about(-Vector3d::UnitX()); break;
    case Way::tilts: turn_about(-Vector3d::UnitY()); break;
    case Way::turns_and_tilts: turn_about(-Vector3d(1.0, 1.0, 0.0).normalized()); break;
  }
  state.nodes = chain(exit, formed, state.torsion_per_mm, state.outboard_force_N, extent);
  const std::optional<Met> there = met(state.nodes, formed, state.torsion_per_mm);
  if (!there) return std::nullopt;
  state.height_mm = there->point.z();
  state.contact_lag_mm = there->lag;
  return state;
}

std::optional<RaisedLeadArc::State> RaisedLeadArc::twisted(int formed, double share) const {
  require(0 <= formed && formed <= pieces_, "no more is formed than the lead arc is long");
  return tried(Way::twists, formed, share, Extent::whole);
}

std::optional<RaisedLeadArc::State> RaisedLeadArc::at(Way way, int formed, double height_mm) const {
  require(0 <= formed && formed <= pieces_, "no more is formed than the lead arc is long");
  const double softest = std::pow(piece_ * pieces_, 3.0) / (3.0 * std::min(EI_, GJ_));
  const bool by_share = way == Way::twists, by_force = way == Way::springs;
  const double step = by_share ? 0.1 : by_force ? 0.1 * lift_ / softest : 0.01;
  const double most = by_share ? 8.0 : by_force ? 1e3 * lift_ / softest : greatest_turn;
  const std::optional<double> amount = amount_for(height_mm, step, most, [&](double tried_amount) -> std::optional<double> {
    const std::optional<State> state = tried(way, formed, tried_amount, Extent::to_the_roll);
    return state ? std::optional(state->height_mm) : std::nullopt;
  });
  return amount ? tried(way, formed, *amount, Extent::whole) : std::nullopt;
}

double RaisedLeadArc::torsion_after(const State& state, std::size_t node) const {
  require(node + 1 < state.nodes.size(), "a piece ahead of the node");
  return state.nodes[node + 1].lag_mm <= (state.formed + 0.5) * piece_ ? state.torsion_per_mm : 0.0;
}

}  // namespace coilwright
