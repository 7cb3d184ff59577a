#include <algorithm>
#include <array>
#include <cmath>
#include <coilwright/rolling/rolling_span.hpp>
#include <limits>

namespace coilwright::rolling_span {
namespace {

using Eigen::Rotation2Dd;
using Eigen::Vector2d;

// Walks the table under a force and calls visit(panel end, along, moved) at the end of each panel.
template <class Visit>
Span walk(const SpanTable& table, double normal_force, double tangential_force, Visit visit) {
  const double f2 = normal_force * normal_force + tangential_force * tangential_force;
  Span span{};
  span.force = std::sqrt(f2);
  double along = 0.0, moved = 0.0;
  std::size_t i = 0;
  for (const SpanTable::PanelEnd& end : table.ends) {
    for (; i < end.points; ++i) {
      const auto& [gain, moment] = table.points[i];
      const double N = tangential_force + gain;
      const double step = moment / std::sqrt(std::max(f2 - N * N, std::numeric_limits<double>::min()));
      along += N * step;
      moved += step;
    }
    visit(end, along / span.force, moved);
  }
  const double N = tangential_force + table.ends.back().gain;
  span.start_direction = std::asin(std::clamp(tangential_force / span.force, -1.0, 1.0));
  span.end_direction = std::asin(std::clamp(N / span.force, -1.0, 1.0));
  span.end_shear = std::sqrt(std::max(0.0, f2 - N * N));
  span.end = {(table.end_moment - table.start_moment) / span.force, along / span.force};
  span.length = moved;
  return span;
}

class Tabulation {
 public:
  Tabulation(const MomentCurvature& law, const SpanPath& path, std::span<const QuadraturePoint> rule)
      : law_(law), rule_(rule), moment_(path.start_moment) {
    table_.start_moment = path.start_moment;
    table_.end_moment = path.end_moment;
  }

  void elastic_panel(double from, double to) {
    const double EI = law_.bending_stiffness();
    for (const auto& [u, weight] : rule_) {
      const double k = from + (to - from) * u;
      table_.points.push_back({gain_ + 0.5 * EI * (k - from) * (k + from), EI * weight * (to - from)});
    }
    end_panel(to, 0.5 * EI * (to - from) * (to + from), EI * (to - from));
  }

  void plastic_panel(double from, double to) {
    const MomentCurvature::State start = law_.state(from), end = law_.state(to);
    const double base = from * start.moment - start.work;
    for (const auto& [u, weight] : rule_) {
      // The loading curve leaves first yield like a square root: u^2 spreads the points to suit.
      const double k = from + (to - from) * u * u;
      const MomentCurvature::State s = law_.state(k);
      table_.points.push_back({gain_ + k * s.moment - s.work - base, s.stiffness * weight * (to - from) * 2.0 * u});
      ++table_.law_points;
    }
    end_panel(to, to * end.moment - end.work - base, end.moment - start.moment);
  }

  SpanTable take() { return std::move(table_); }

 private:
  void end_panel(double curvature, double gain, double moment) {
    gain_ += gain;
    moment_ += moment;
    table_.ends.push_back({table_.points.size(), curvature, gain_, moment_});
  }

  const MomentCurvature& law_;
  std::span<const QuadraturePoint> rule_;
  SpanTable table_{};
  double gain_ = 0.0, moment_;
};

}  // namespace

Vector2d normal(double direction_rad) { return {-std::sin(direction_rad), std::cos(direction_rad)}; }

SpanPath loading_path(const MomentCurvature& law, const BendHistory& before, double start_moment, double end_moment) {
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

double tangential_gain(const MomentCurvature& law, const SpanPath& path) {
  const double elastic = 0.5 * law.bending_stiffness() * (path.elastic_to - path.elastic_from) *
                         (path.elastic_to + path.elastic_from);
  if (path.plastic.empty()) return elastic;
  const auto integral = [&](double k) { return k * law.moment(k) - law.work(k); };
  return elastic + integral(path.plastic.back()) - integral(path.plastic.front());
}

SpanTable tabulate(const MomentCurvature& law, const SpanPath& path, std::span<const QuadraturePoint> rule,
                   std::span<const double> elastic_breaks) {
  Tabulation tabulation(law, path, rule);
  for (std::size_t i = 0; i + 1 < elastic_breaks.size(); ++i)
    tabulation.elastic_panel(elastic_breaks[i], elastic_breaks[i + 1]);
  for (std::size_t i = 0; i + 1 < path.plastic.size(); ++i)
    tabulation.plastic_panel(path.plastic[i], path.plastic[i + 1]);
  return tabulation.take();
}

SpanTable tabulate(const MomentCurvature& law, const SpanPath& path) {
  return tabulate(law, path, gauss_20(), std::array{path.elastic_from, path.elastic_to});
}

Span between_rolls(const SpanTable& table, const RollGeometry& rolls, double normal_force, double tangential_force) {
  Span span = walk(table, normal_force, tangential_force, [](auto&&...) {});
  const Vector2d outer = -(rolls.outer_face_mm + rolls.outer_radius_mm) * normal(span.start_direction);
  const Vector2d centre = span.end + (rolls.inner_face_mm + rolls.centre_radius_mm) * normal(span.end_direction);
  span.outer_axis_from_centre_axis = Rotation2Dd(-span.end_direction) * (outer - centre);
  return span;
}

std::vector<Milestone> milestones(const SpanTable& table, double normal_force, double tangential_force) {
  const double force = std::hypot(normal_force, tangential_force);
  std::vector<Milestone> reached;
  walk(table, normal_force, tangential_force, [&](const SpanTable::PanelEnd& end, double along, double moved) {
    reached.push_back({end.curvature, tangential_force + end.gain,
                       {(end.moment - table.start_moment) / force, along}, moved});
  });
  return reached;
}

double least_force(const SpanTable& table, double tangential_force) {
  constexpr double reserve = 1.02;
  const double at_end = tangential_force + table.ends.back().gain;
  const double largest = reserve * std::max(std::abs(tangential_force), std::abs(at_end));
  return std::sqrt(std::max(largest * largest - tangential_force * tangential_force, std::numeric_limits<double>::min()));
}

}  // namespace coilwright::rolling_span
