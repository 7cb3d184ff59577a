#include <algorithm>
#include <array>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/rolling_span.hpp>
#include <coilwright/rolling/steady_rolling.hpp>
#include <limits>
#include <optional>

namespace coilwright {
namespace {

using Eigen::Rotation2Dd;
using Eigen::Vector2d;
using namespace rolling_span;

struct Drive {
  double entry, centre, exit;
};

// The moment range of a pass is known before its geometry: the peak curvature fixes it.
struct Paths {
  SpanPath incoming, outgoing;
  Drive drive;
};

Paths paths_with(const MomentCurvature& law, const RollGeometry& rolls, const BendHistory& before, double peak,
                 double peak_moment, const Drive& drive) {
  const double exit_moment = rolls.outer_face_mm * drive.exit;
  return {loading_path(law, before, -rolls.outer_face_mm * drive.entry, peak_moment - rolls.inner_face_mm * drive.centre),
          {peak - (peak_moment - exit_moment) / law.bending_stiffness(), peak, {}, exit_moment, peak_moment},
          drive};
}

Paths paths_for_peak(const MomentCurvature& law, const RollGeometry& rolls, const BendHistory& before, double peak,
                     double peak_moment) {
  // Traction acts on the face, so it steps the moment at each roll, which changes the work, which changes
  // the traction: a mild fixed point (a round gains about two digits), closed in on by secants.
  constexpr double converged = 1e-13, mild = 0.5;
  double total = 0.0, total_before = 0.0, work_before = 0.0;
  Paths paths{};
  for (int round = 0; round < 60; ++round) {
    paths = paths_with(law, rolls, before, peak, peak_moment,
                       {total * rolls.entry_share, total * rolls.centre_share, total * rolls.exit_share});
    const double work = std::max(0.0, tangential_gain(law, paths.outgoing) - tangential_gain(law, paths.incoming));
    if (std::abs(work - total) <= converged * work) break;
    const double slope = round > 0 ? (work - work_before) / (total - total_before) : 0.0;
    total_before = total;
    work_before = work;
    total = std::abs(slope) < mild ? total + (work - total) / (1.0 - slope) : work;
  }
  return paths;
}

struct Solved {
  double entry_force, exit_force;
  Span in, out;
  int law_points;
};

// Roll forces that put all three rolls where they stand: |v_in| = |v_out|, |v_in - v_out| = 2a.
std::optional<Solved> solve_forces(const MomentCurvature& law, const RollGeometry& rolls, const Paths& paths,
                                   double peak) {
  const double a = rolls.half_spacing_mm;
  const double face = rolls.outer_face_mm + rolls.outer_radius_mm;
  const double lever = a * (1.0 - rolls.outer_radius_mm / (1.0 / peak + face));
  const SpanTable incoming = tabulate(law, paths.incoming), outgoing = tabulate(law, paths.outgoing);
  const auto span_of = [&](const SpanTable& table, double tangential, double log_force) {
    return between_rolls(table, rolls, std::exp(log_force), tangential);
  };
  const double t_in = paths.drive.entry, t_out = -paths.drive.exit;
  const std::array<double, 2> floor{std::log(least_force(incoming, t_in)), std::log(least_force(outgoing, t_out))};
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
  return Solved{std::exp(x[0]), std::exp(x[1]), in, out,
                static_cast<int>(incoming.law_points)};
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
  s.law_points = solved->law_points;
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
  const Paths paths = paths_with(law, rolls, before, state.loaded_curvature, state.peak_moment_n_mm,
                                 {state.entry_drive_n, state.centre_drive_n, state.exit_drive_n});
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
  const SpanTable incoming = tabulate(law, in, gauss_7(), refined(in.elastic_from, in.elastic_to, elastic_parts, false));
  const double force_in = std::hypot(state.entry_force_n, state.entry_drive_n);
  const double turn_in = state.entry_direction_rad - std::asin(state.entry_drive_n / force_in);
  stations.push_back({-state.span_in_mm, state.entry_direction_rad, in.elastic_from, state.entry_point});
  for (const Milestone& m : milestones(incoming, state.entry_force_n, state.entry_drive_n))
    stations.push_back({m.length - state.span_in_mm, turn_in + std::asin(m.normal_part / force_in), m.curvature,
                        state.entry_point + Rotation2Dd(turn_in) * m.position});
  stations.back().lag_mm = 0.0;
  stations.back().p = state.centre_point;

  // The outgoing span is walked from the exit roll back to the centre, seen in a mirror.
  const SpanTable outgoing = tabulate(law, paths.outgoing, gauss_7(),
                                      refined(paths.outgoing.elastic_from, paths.outgoing.elastic_to, elastic_parts, false));
  const double force_out = std::hypot(state.exit_force_n, state.exit_drive_n);
  const double turn_out = state.exit_direction_rad + std::asin(-state.exit_drive_n / force_out);
  std::vector<PosedPart::Station> backward{
      {state.span_out_mm, state.exit_direction_rad, paths.outgoing.elastic_from, state.exit_point}};
  for (const Milestone& m : milestones(outgoing, state.exit_force_n, -state.exit_drive_n))
    backward.push_back({state.span_out_mm - m.length, turn_out - std::asin(m.normal_part / force_out), m.curvature,
                        state.exit_point + Rotation2Dd(turn_out) * Vector2d(-m.position.x(), m.position.y())});
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
