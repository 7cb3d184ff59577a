#include <algorithm>
#include <array>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/quadrature.hpp>
#include <coilwright/rolling/steady_rolling.hpp>
#include <limits>
#include <optional>

namespace coilwright {
namespace {

using Eigen::Rotation2Dd;
using Eigen::Vector2d;

Vector2d normal(double direction_rad) { return {-std::sin(direction_rad), std::cos(direction_rad)}; }

// How the curvature of one span runs from its outer roll to the centre roll: elastic first, then, on the
// incoming side, along the loading curve.
struct SpanPath {
  double elastic_from, elastic_to;  // curvature, stiffness EI
  std::vector<double> plastic;      // panel ends along the loading curve; empty: none
  double start_moment, end_moment;

  [[nodiscard]] double end() const { return plastic.empty() ? elastic_to : plastic.back(); }
};

// int k dM along the path up to its end: what the tangential force gains.
double tangential_gain(const MomentCurvature& law, const SpanPath& path) {
  const double elastic = 0.5 * law.bending_stiffness() * (path.elastic_to - path.elastic_from) *
                         (path.elastic_to + path.elastic_from);
  if (path.plastic.empty()) return elastic;
  const auto integral = [&](double k) { return k * law.moment(k) - law.work(k); };
  return elastic + integral(path.plastic.back()) - integral(path.plastic.front());
}

// A span walked from its outer roll toward the centre roll, in the frame whose second axis is the constant
// internal force: tangent direction psi with sin psi = N / f.
struct Span {
  double force;             // |f|
  double start_direction, end_direction;
  double end_shear;         // Q at the centre roll
  Vector2d end;             // of the span, its start at the origin
  double length;
  Vector2d outer_axis_from_centre_axis;  // in the frame of the tangent at the centre contact
};

// A path sampled at the points of a quadrature rule: what does not depend on the forces, taken once for all of
// them. Panels in order, the elastic ones first.
struct SampledPath {
  struct Point {
    double gain;        // int k dM from the start of the path
    double moment_step; // dM of the point's weight
  };
  struct PanelEnd {
    double curvature, gain, moment;
  };
  std::vector<Point> points;
  std::vector<PanelEnd> panel_ends;
  double start_moment, end_moment;
};

SampledPath sample(const MomentCurvature& law, const SpanPath& path, std::span<const QuadraturePoint> rule,
                   std::span<const double> elastic_panels) {
  SampledPath sampled{{}, {}, path.start_moment, path.end_moment};
  sampled.points.reserve(rule.size() * (elastic_panels.size() + path.plastic.size()));
  const double EI = law.bending_stiffness();
  double gain = 0.0, moment = path.start_moment;
  for (std::size_t i = 0; i + 1 < elastic_panels.size(); ++i) {
    const double from = elastic_panels[i], to = elastic_panels[i + 1];
    const auto gained = [&](double k) { return gain + 0.5 * EI * (k - from) * (k + from); };
    for (const auto& [u, weight] : rule)
      sampled.points.push_back({gained(from + (to - from) * u), EI * weight * (to - from)});
    gain = gained(to);
    moment += EI * (to - from);
    sampled.panel_ends.push_back({to, gain, moment});
  }
  for (std::size_t i = 0; i + 1 < path.plastic.size(); ++i) {
    const double from = path.plastic[i], to = path.plastic[i + 1];
    const MomentCurvature::State start = law.state(from), end = law.state(to);
    const double base = from * start.moment - start.work;
    for (const auto& [u, weight] : rule) {
      // The loading curve leaves first yield like a square root: u^2 spreads the points to suit.
      const double k = from + (to - from) * u * u;
      const MomentCurvature::State s = law.state(k);
      sampled.points.push_back({gain + k * s.moment - s.work - base, s.stiffness * weight * (to - from) * 2.0 * u});
    }
    gain += to * end.moment - end.work - base;
    moment += end.moment - start.moment;
    sampled.panel_ends.push_back({to, gain, moment});
  }
  return sampled;
}

// Walks the path and calls visit(curvature, tangential force, position, length) at the end of each panel.
template <class Visit>
Span walk(const SampledPath& path, double normal_force, double tangential_force, Visit visit) {
  const double f2 = normal_force * normal_force + tangential_force * tangential_force;
  Span span{};
  span.force = std::sqrt(f2);
  double N = tangential_force, along = 0.0, moved = 0.0;
  const std::size_t per_panel = path.points.size() / path.panel_ends.size();
  auto point = path.points.begin();
  for (const SampledPath::PanelEnd& end : path.panel_ends) {
    for (std::size_t i = 0; i < per_panel; ++i, ++point) {
      const double here = tangential_force + point->gain;
      const double step = point->moment_step / std::sqrt(std::max(f2 - here * here, std::numeric_limits<double>::min()));
      along += here * step / span.force;
      moved += step;
    }
    N = tangential_force + end.gain;
    visit(end.curvature, N, Vector2d((end.moment - path.start_moment) / span.force, along), moved);
  }
  span.start_direction = std::asin(std::clamp(tangential_force / span.force, -1.0, 1.0));
  span.end_direction = std::asin(std::clamp(N / span.force, -1.0, 1.0));
  span.end_shear = std::sqrt(std::max(0.0, f2 - N * N));
  span.end = {(path.end_moment - path.start_moment) / span.force, along};
  span.length = moved;
  return span;
}

SampledPath sample(const MomentCurvature& law, const SpanPath& path) {
  return sample(law, path, gauss_20(), std::array<double, 2>{path.elastic_from, path.elastic_to});
}

Span integrate(const RollGeometry& rolls, const SampledPath& path, double normal_force, double tangential_force) {
  Span span = walk(path, normal_force, tangential_force, [](auto&&...) {});
  const Vector2d outer = -(rolls.outer_face_mm + rolls.outer_radius_mm) * normal(span.start_direction);
  const Vector2d centre = span.end + (rolls.inner_face_mm + rolls.centre_radius_mm) * normal(span.end_direction);
  span.outer_axis_from_centre_axis = Rotation2Dd(-span.end_direction) * (outer - centre);
  return span;
}

struct Drive {
  double entry, centre, exit;
};

// The moment range of a pass is known before its geometry: the peak curvature fixes it.
struct Paths {
  SpanPath incoming, outgoing;
  Drive drive;
};

SpanPath incoming_path(const MomentCurvature& law, const BendHistory& before, double start_moment, double end_moment) {
  const double EI = law.bending_stiffness();
  SpanPath path{before.free_curvature + start_moment / EI, 0.0, {}, start_moment, end_moment};
  const double rejoin_moment = EI * (before.largest_curvature - before.free_curvature);
  if (end_moment <= rejoin_moment) {
    path.elastic_to = before.free_curvature + end_moment / EI;
  } else {
    path.elastic_to = before.largest_curvature;
    path.plastic = law.panels(before.largest_curvature, law.curvature_at(end_moment));
  }
  return path;
}

Paths paths_for_peak(const MomentCurvature& law, const RollGeometry& rolls, const BendHistory& before, double peak,
                     double peak_moment) {
  const double EI = law.bending_stiffness();
  Paths paths{};
  // Traction acts on the face, so it steps the moment at each roll, which changes the work, which changes
  // the traction: a mild fixed point (each round gains about two digits).
  for (int round = 0; round < 60; ++round) {
    const double before_total = paths.drive.entry + paths.drive.centre + paths.drive.exit;
    paths.incoming = incoming_path(law, before, -rolls.outer_face_mm * paths.drive.entry,
                                   peak_moment - rolls.inner_face_mm * paths.drive.centre);
    const double exit_moment = rolls.outer_face_mm * paths.drive.exit;
    paths.outgoing = {peak - (peak_moment - exit_moment) / EI, peak, {}, exit_moment, peak_moment};
    const double total = std::max(0.0, tangential_gain(law, paths.outgoing) - tangential_gain(law, paths.incoming));
    paths.drive = {total * rolls.entry_share, total * rolls.centre_share, total * rolls.exit_share};
    if (std::abs(total - before_total) <= 1e-13 * total) break;
  }
  return paths;
}

struct Solved {
  double entry_force, exit_force;
  Span in, out;
};

// Roll forces that put all three rolls where they stand: |v_in| = |v_out|, |v_in - v_out| = 2a.
std::optional<Solved> solve_forces(const MomentCurvature& law, const RollGeometry& rolls, const Paths& paths,
                                   double peak) {
  const double a = rolls.half_spacing_mm;
  const double face = rolls.outer_face_mm + rolls.outer_radius_mm;
  const double lever = a * (1.0 - rolls.outer_radius_mm / (1.0 / peak + face));
  const SampledPath incoming = sample(law, paths.incoming), outgoing = sample(law, paths.outgoing);
  const auto span_of = [&](const SampledPath& path, double tangential, double log_force) {
    return integrate(rolls, path, std::exp(log_force), tangential);
  };
  // The shear must not vanish before the centre roll: the force exceeds the largest tangential part.
  const auto floor_of = [&](const SpanPath& path, double tangential) {
    constexpr double reserve = 1.02;
    const double largest = reserve * std::max(std::abs(tangential), std::abs(tangential + tangential_gain(law, path)));
    return 0.5 * std::log(std::max(largest * largest - tangential * tangential, std::numeric_limits<double>::min()));
  };
  const double t_in = paths.drive.entry, t_out = -paths.drive.exit;
  const std::array<double, 2> floor{floor_of(paths.incoming, t_in), floor_of(paths.outgoing, t_out)};
  const auto start = [&](const SpanPath& path, double lowest) {
    return std::max(std::log(1.05 * (path.end_moment - path.start_moment) / lever), lowest + 0.01);
  };
  Vector2d x(start(paths.incoming, floor[0]), start(paths.outgoing, floor[1]));
  const auto residual = [&](const Span& in, const Span& out) {
    const Vector2d v_in = in.outer_axis_from_centre_axis;
    const Vector2d v_out(-out.outer_axis_from_centre_axis.x(), out.outer_axis_from_centre_axis.y());
    return Vector2d((v_in.squaredNorm() - v_out.squaredNorm()) / (a * a), (v_in - v_out).norm() / a - 2.0);
  };
  Span in = span_of(incoming, t_in, x[0]), out = span_of(outgoing, t_out, x[1]);
  Vector2d r = residual(in, out);
  constexpr double converged = 1e-13;  // relative to the half spacing: far below a nanometre
  for (int i = 0; i < 60 && r.norm() > converged; ++i) {
    constexpr double step = 1e-6;
    Eigen::Matrix2d J;
    J.col(0) = (residual(span_of(incoming, t_in, x[0] + step), out) - r) / step;
    J.col(1) = (residual(in, span_of(outgoing, t_out, x[1] + step)) - r) / step;
    Vector2d move = -J.inverse() * r;
    if (!move.allFinite()) return std::nullopt;
    if (move.cwiseAbs().maxCoeff() > 1.0) move /= move.cwiseAbs().maxCoeff();
    bool improved = false;
    for (double scale = 1.0; scale > 1e-6 && !improved; scale *= 0.5) {
      const Vector2d trial((x + scale * move).cwiseMax(Vector2d(floor[0], floor[1])));
      const Span trial_in = span_of(incoming, t_in, trial[0]);
      const Span trial_out = span_of(outgoing, t_out, trial[1]);
      const Vector2d trial_r = residual(trial_in, trial_out);
      if (!(trial_r.norm() < r.norm())) continue;
      x = trial, in = trial_in, out = trial_out, r = trial_r;
      improved = true;
    }
    if (!improved) break;
  }
  constexpr double accepted = 1e-10;
  if (!(r.norm() <= accepted)) return std::nullopt;
  return Solved{std::exp(x[0]), std::exp(x[1]), in, out};
}

// The whole steady state whose largest curvature is `peak`.
RollingOutcome solve_for_peak(const MomentCurvature& law, const RollGeometry& rolls, const BendHistory& before,
                              double peak, double peak_moment) {
  const double inner = rolls.centre_radius_mm + rolls.inner_face_mm;
  if (1.0 / peak <= inner) return WrapsTheRoll{1.0 / peak, inner};
  const double free_curvature = peak - peak_moment / law.bending_stiffness();
  const Paths paths = paths_for_peak(law, rolls, before, peak, peak_moment);
  const auto solved = solve_forces(law, rolls, paths, peak);
  if (!solved) return TooTight{1.0 / free_curvature};

  SteadyState s{};
  const Vector2d v_in = solved->in.outer_axis_from_centre_axis;
  const Vector2d v_out(-solved->out.outer_axis_from_centre_axis.x(), solved->out.outer_axis_from_centre_axis.y());
  const Vector2d across = v_out - v_in;  // along +x of F, seen from the tangent at the centre contact
  s.centre_direction_rad = -std::atan2(across.y(), across.x());
  s.entry_direction_rad = s.centre_direction_rad - (solved->in.end_direction - solved->in.start_direction);
  s.exit_direction_rad = s.centre_direction_rad + (solved->out.end_direction - solved->out.start_direction);
  const double a = rolls.half_spacing_mm;
  s.centre_axis_y_mm = std::sqrt(v_in.squaredNorm() - a * a);
  s.travel_mm = rolls.touch_height_mm() - s.centre_axis_y_mm;
  s.free_curvature = free_curvature;
  s.loaded_curvature = peak;
  s.peak_moment_n_mm = peak_moment;
  s.entry_force_n = solved->entry_force;
  s.exit_force_n = solved->exit_force;
  s.centre_force_n = solved->in.end_shear + solved->out.end_shear;
  s.entry_drive_n = paths.drive.entry;
  s.centre_drive_n = paths.drive.centre;
  s.exit_drive_n = paths.drive.exit;
  const double outer = rolls.outer_radius_mm + rolls.outer_face_mm;
  s.entry_point = Vector2d(-a, 0.0) + outer * normal(s.entry_direction_rad);
  s.centre_point = Vector2d(0.0, s.centre_axis_y_mm) - inner * normal(s.centre_direction_rad);
  s.exit_point = Vector2d(a, 0.0) + outer * normal(s.exit_direction_rad);
  s.span_in_mm = solved->in.length;
  s.span_out_mm = solved->out.length;
  s.after = {free_curvature, std::max(peak, before.largest_curvature)};
  return s;
}

}  // namespace

RollGeometry RollGeometry::of(const Rolls& rolls, const Section& section) {
  const double sum = rolls.drive.entry + rolls.drive.centre + rolls.drive.exit;
  const bool none = sum <= 0.0;
  return {0.5 * rolls.outer_spacing.mm(),
          rolls.outer_radius.mm(),
          rolls.centre_radius.mm(),
          section.outer_face().mm(),
          section.inner_face().mm(),
          none ? 0.5 : rolls.drive.entry / sum,
          none ? 0.0 : rolls.drive.centre / sum,
          none ? 0.5 : rolls.drive.exit / sum};
}

BendHistory virgin(const MomentCurvature& law) { return {0.0, law.first_yield_curvature()}; }

double SteadyState::traction() const {
  return std::max({entry_drive_n / entry_force_n, centre_drive_n / centre_force_n, exit_drive_n / exit_force_n});
}

RollingOutcome roll_to_curvature(const MomentCurvature& law, const RollGeometry& rolls, const BendHistory& before,
                                 double free_curvature) {
  require(free_curvature >= before.free_curvature && std::isfinite(free_curvature),
          "rolling bends further, never back");
  const double peak = std::max(law.loaded(free_curvature), before.largest_curvature);
  return solve_for_peak(law, rolls, before, peak, law.moment(peak));
}

RollingOutcome roll_at_travel(const MomentCurvature& law, const RollGeometry& rolls, const BendHistory& before,
                              double travel_mm) {
  const double touch = before.free_curvature > 0.0 ? arc_rule_travel_mm(rolls, 1.0 / before.free_curvature) : 0.0;
  if (travel_mm < touch) return DoesNotTouch{touch};
  const auto at_peak = [&](double peak) { return solve_for_peak(law, rolls, before, peak, law.moment(peak)); };
  double low = before.largest_curvature;
  const RollingOutcome first = at_peak(low);
  const auto* yielding = std::get_if<SteadyState>(&first);
  if (yielding == nullptr) return first;
  if (travel_mm <= yielding->travel_mm) return StaysElastic{yielding->travel_mm};
  // Double the peak until it overshoots or there is no state left, then halve the interval between.
  double high = low;
  RollingOutcome answer = first;
  bool enclosed = false;
  while (!enclosed) {
    high *= 2.0;
    answer = at_peak(high);
    const auto* state = std::get_if<SteadyState>(&answer);
    enclosed = state == nullptr || state->travel_mm >= travel_mm;
    if (!enclosed) low = high;
  }
  std::optional<SteadyState> best;
  for (int i = 0; i < 200 && high - low > 1e-15 * high; ++i) {
    const double middle = 0.5 * (low + high);
    const RollingOutcome outcome = at_peak(middle);
    const auto* state = std::get_if<SteadyState>(&outcome);
    if (state != nullptr && state->travel_mm < travel_mm) {
      low = middle;
      best = *state;
    } else {
      high = middle;
      if (state != nullptr) best = *state;
      else answer = outcome;
    }
  }
  constexpr double travel_tolerance_mm = 1e-6;
  if (best && std::abs(best->travel_mm - travel_mm) <= travel_tolerance_mm) return *best;
  return answer;
}

std::vector<PosedPart::Station> span_stations(const MomentCurvature& law, const RollGeometry& rolls,
                                              const BendHistory& before, const SteadyState& state) {
  const Paths paths = paths_for_peak(law, rolls, before, state.loaded_curvature, state.peak_moment_n_mm);
  const auto refined = [](double from, double to, int parts, bool quadratic) {
    std::vector<double> breaks;
    for (int i = 0; i <= parts; ++i) {
      const double u = static_cast<double>(i) / parts;
      breaks.push_back(from + (to - from) * (quadratic ? u * u : u));
    }
    return breaks;
  };
  constexpr int elastic_parts = 16, plastic_parts = 6;  // stations a few millimetres apart
  std::vector<PosedPart::Station> stations;

  SpanPath in = paths.incoming;
  std::vector<double> fine;
  for (std::size_t i = 0; i + 1 < in.plastic.size(); ++i) {
    const auto part = refined(in.plastic[i], in.plastic[i + 1], plastic_parts, true);
    fine.insert(fine.end(), part.begin() + (i > 0), part.end());
  }
  in.plastic = fine;
  const Span incoming = integrate(rolls, sample(law, in), state.entry_force_n, state.entry_drive_n);
  const double turn_in = state.entry_direction_rad - incoming.start_direction;
  stations.push_back({-state.span_in_mm, state.entry_direction_rad, in.elastic_from, state.entry_point});
  walk(sample(law, in, gauss_7(), refined(in.elastic_from, in.elastic_to, elastic_parts, false)), state.entry_force_n,
       state.entry_drive_n, [&](double k, double N, const Vector2d& at, double length) {
         stations.push_back({length - state.span_in_mm, turn_in + std::asin(N / incoming.force), k,
                             state.entry_point + Rotation2Dd(turn_in) * at});
       });
  stations.back().lag_mm = 0.0;
  stations.back().p = state.centre_point;

  // The outgoing span is walked from the exit roll back to the centre, seen in a mirror.
  const Span outgoing = integrate(rolls, sample(law, paths.outgoing), state.exit_force_n, -state.exit_drive_n);
  const double turn_out = state.exit_direction_rad + outgoing.start_direction;
  std::vector<PosedPart::Station> backward{
      {state.span_out_mm, state.exit_direction_rad, paths.outgoing.elastic_from, state.exit_point}};
  walk(sample(law, paths.outgoing, gauss_7(),
              refined(paths.outgoing.elastic_from, paths.outgoing.elastic_to, elastic_parts, false)),
       state.exit_force_n, -state.exit_drive_n, [&](double k, double N, const Vector2d& at, double length) {
         backward.push_back({state.span_out_mm - length, turn_out - std::asin(N / outgoing.force), k,
                             state.exit_point + Rotation2Dd(turn_out) * Vector2d(-at.x(), at.y())});
       });
  backward.pop_back();  // the centre contact is there already
  stations.insert(stations.end(), backward.rbegin(), backward.rend());
  return stations;
}

double arc_rule_travel_mm(const RollGeometry& rolls, double radius_mm) {
  const double outer = radius_mm + rolls.outer_face_mm + rolls.outer_radius_mm;
  const double a = rolls.half_spacing_mm;
  require(outer > a, "an arc that reaches both outer rolls");
  return a * a / (outer + std::sqrt((outer - a) * (outer + a)));
}

}  // namespace coilwright
