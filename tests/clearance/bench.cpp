#include "bench.hpp"

namespace coilwright::bench {

PosedPart sprung_part(const SprungSpec& spec) {
  const Helix helix(Length::mm(spec.plan_radius_mm), Length::mm(spec.pitch_mm), Hand::right_screw);
  const double rho = helix.arc_per_radian_mm(), kappa = helix.curvature().per_mm(), a = spec.half_spacing_mm;
  // Curvature rises linearly from P1 to its peak at P2 and falls to the free curvature at P3.
  const double peak = 1.1 * kappa;
  const auto curvature = [&](double s) { return s < 0.0 ? peak * (s + a) / a : peak + (kappa - peak) * s / a; };
  std::vector<PosedPart::Station> spans;
  const int count = 80;
  double direction = -0.25 * peak * a;
  Eigen::Vector2d p(-a, 120.0);
  for (int i = 0; i <= count; ++i) {
    const double s = -a + 2.0 * a * i / count;
    spans.push_back({s, direction, curvature(s), p});
    const double step = 2.0 * a / count, mean = curvature(s + 0.5 * step) * step;
    // Over one step a circular arc: chord along the mean direction.
    const double chord = step * (1.0 - mean * mean / 24.0);
    p += chord * Eigen::Vector2d(std::cos(direction + 0.5 * mean), std::sin(direction + 0.5 * mean));
    direction += mean;
  }
  const double outboard = std::max(a + 1.0, spec.outboard_azimuth_rad * rho);
  // The helix placed so that at P3 it continues the spans in point and in plan direction, leaning forward by
  // its slope so that its tangent there is nearly level.
  Eigen::Isometry3d X = Eigen::Isometry3d::Identity();
  X.rotate(Eigen::AngleAxisd(helix.slope().rad(), Eigen::Vector3d::UnitY()));
  const double theta = a / rho;
  const Eigen::Vector3d t = X.linear() * helix.tangent_C(theta);
  X.prerotate(Eigen::AngleAxisd(spans.back().direction_rad - std::atan2(t.y(), t.x()), Eigen::Vector3d::UnitZ()));
  const Eigen::Vector3d exit(spans.back().p.x(), spans.back().p.y(), 0.0);
  X.pretranslate(exit - X * helix.point_C(theta));

  // u = size * x^3 in a fixed direction, x from 0 at P3 to 1 at the outboard roll.
  const Eigen::Vector3d along = spec.spring_direction.normalized() * spec.spring_mm;
  const double span = outboard - a;
  std::vector<PosedPart::Node> nodes;
  for (int i = 0; i <= 24; ++i) {
    const double x = i / 24.0;
    nodes.push_back({a + x * span, along * x * x * x, along * 3 * x * x / span, along * 6 * x / (span * span)});
  }
  // Beyond the roll the helix moves rigidly with the end of the arc: by u and by the turn of its tangent.
  const Eigen::Vector3d end = X * helix.point_C(outboard / rho), t0 = X.linear() * helix.tangent_C(outboard / rho);
  const Eigen::Quaterniond turn = Eigen::Quaterniond::FromTwoVectors(t0, t0 + along * 3.0 / span);
  Eigen::Isometry3d X_end = X;
  X_end.pretranslate(-end);
  X_end.prerotate(turn);
  X_end.pretranslate(end + along);
  // u is a cubic, which the quintic through the nodes reproduces: |u''| <= 6 size / span^2, |u'''| likewise.
  return PosedPart({helix, spans, nodes, outboard, X, X_end, kappa + 6.0 * spec.spring_mm / (span * span) * (1 + 1e-6),
                    kappa / rho + 6.0 * spec.spring_mm / (span * span * span) * (1 + 1e-6)});
}

ClearanceScene scene_of_lengths(const PosedPart& part, const SceneLengths& lengths, std::vector<Obstacle> obstacles) {
  ClearanceScene scene;
  scene.part = &part;
  scene.coil_to_mm = lengths.coil_to_mm;
  scene.rolled_mm = lengths.rolled_mm;
  scene.stock_mm = lengths.stock_mm;
  scene.front_end_mm = scene.flat_front_mm = 240.0;
  scene.obstacles = std::move(obstacles);
  return scene;
}

std::pair<double, double> lags_of(const ClearanceScene& scene, Piece piece) {
  const double entry = -scene.part->span_in_mm(), exit = scene.part->span_out_mm();
  switch (piece) {
    case Piece::stock: return {entry - scene.stock_mm, entry};
    case Piece::spans: return {entry, exit};
    case Piece::coil: return {exit, scene.coil_to_mm};
    case Piece::lead_arc: return {scene.coil_to_mm, scene.rolled_mm};
    case Piece::front_end: return {exit, scene.rolled_mm};
  }
  return {entry, exit};
}

PosedPart forty_coil() {
  return rigid_part(Helix(Length::mm(300.0), Length::mm(60.0), Hand::right_screw), Eigen::Isometry3d::Identity());
}

double forty_coil_length_mm() { return 20.0 * std::numbers::pi * forty_coil().helix().arc_per_radian_mm(); }

std::vector<Shape> forty_solids() {
  const PosedPart part = forty_coil();
  const double length = forty_coil_length_mm();
  Dice dice(20240229);
  std::vector<Shape> solids{HalfSpace{{0.0, 0.0, -30.0}, {0.0, 0.0, 1.0}}};
  while (solids.size() < 40) {
    const Eigen::Vector3d centre(dice.between(-900.0, 900.0), dice.between(-600.0, 1200.0), dice.between(-200.0, 800.0));
    const Shape shape = random_shape(dice, centre, static_cast<int>(solids.size()) % 3);
    const ConvexBody body(shape);
    bool clear = true;
    for (double lag = 0.0; clear && lag <= length; lag += 1.0)  // within 0.5 mm of the least distance
      clear = body.distance(part.at(Stage::coil, lag).p).distance_mm > forty_tube_radius_mm + 3.0 + 0.5;
    if (clear) solids.push_back(shape);
  }
  return solids;
}

}  // namespace coilwright::bench
