// One span of the stock between an outer roll and the centre roll: shared by the models of rolling and of
// pressing in, of no use to anyone else.
//
// Along a span the internal force f is constant; with curvature as the independent variable its normal part
// N = T + int k dM and its shear Q = sqrt(f^2 - N^2) follow, the tangent makes psi = asin(N / f) with the
// frame of f, and the quadrature of dM / Q is all that is left (DEVELOPERS.md, "Steady rolling"). What the
// moment-curvature law contributes does not depend on the forces, so it is tabulated once for a path and
// walked under as many forces as a search tries. mm, N, rad, 1/mm.
#pragma once

#include <Eigen/Core>
#include <coilwright/rolling/moment_curvature.hpp>
#include <coilwright/rolling/quadrature.hpp>
#include <coilwright/rolling/steady_rolling.hpp>
#include <span>
#include <vector>

namespace coilwright::rolling_span {

Eigen::Vector2d normal(double direction_rad);  // a quarter turn to the left of a direction

// How the curvature of a span runs from its outer roll to the centre roll: elastic first, then, where the
// material yields further, along the loading curve.
struct SpanPath {
  double elastic_from, elastic_to;  // curvature, stiffness EI
  std::vector<double> plastic;      // panel ends along the loading curve; empty: none
  double start_moment, end_moment;

  [[nodiscard]] double end() const { return plastic.empty() ? elastic_to : plastic.back(); }
};

// The path of stock with a history that is bent from a moment at the outer roll to one at the centre roll.
SpanPath loading_path(const MomentCurvature& law, const BendHistory& before, double start_moment, double end_moment);

// int k dM along the path up to its end: what the tangential force gains.
double tangential_gain(const MomentCurvature& law, const SpanPath& path);

// A path as the quadrature sees it.
struct SpanTable {
  struct Point {
    double gain;    // int k dM up to here
    double moment;  // weight of the quadrature times dM
  };
  struct PanelEnd {
    std::size_t points;  // those before it
    double curvature, gain, moment;
  };
  std::vector<Point> points;
  std::vector<PanelEnd> ends;
  double start_moment, end_moment;
  std::size_t law_points = 0;  // where the law was evaluated: what the table cost
};
SpanTable tabulate(const MomentCurvature& law, const SpanPath& path);
// The same with other points per panel and with breaks in the elastic part (its two ends among them).
SpanTable tabulate(const MomentCurvature& law, const SpanPath& path, std::span<const QuadraturePoint> rule,
                   std::span<const double> elastic_breaks);

// A span walked from its outer roll toward the centre roll, in the frame whose second axis is the constant
// internal force: tangent direction psi with sin psi = N / f.
struct Span {
  double force;             // |f|
  double start_direction, end_direction;
  double end_shear;         // Q at the centre roll
  Eigen::Vector2d end;      // of the span, its start at the origin
  double length;
  Eigen::Vector2d outer_axis_from_centre_axis;  // in the frame of the tangent at the centre contact
};
Span between_rolls(const SpanTable& table, const RollGeometry& rolls, double normal_force, double tangential_force);

// Where a walk stands at the end of a panel.
struct Milestone {
  double curvature, normal_part;  // N
  Eigen::Vector2d position;       // the start at the origin
  double length;
};
std::vector<Milestone> milestones(const SpanTable& table, double normal_force, double tangential_force);

// The least normal force at the outer roll for which the stock does not turn along the force before it
// reaches the centre roll, with a reserve of 2 %.
double least_force(const SpanTable& table, double tangential_force);

}  // namespace coilwright::rolling_span
