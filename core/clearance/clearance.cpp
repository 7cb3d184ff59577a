#include <algorithm>
#include <cmath>
#include <coilwright/clearance/clearance.hpp>
#include <coilwright/clearance/layout.hpp>
#include <coilwright/clearance/least.hpp>
#include <coilwright/clearance/sweep.hpp>
#include <coilwright/quantity/require.hpp>
#include <limits>
#include <numbers>

namespace coilwright {
namespace {

constexpr double unlimited = std::numeric_limits<double>::infinity();

// The parts of one certification, each adding what it found.
struct Certification {
  const Layout& layout;
  double radius, rounding, tolerance;  // of the circle around the section, and of its edges
  CertifiedMinimum search;
  ClearanceResult result;
  Least least;

  void against(const Obstacle& obstacle, std::size_t index) {
    ObstacleClearance clearance;
    clearance.part = obstacle.name;
    if (const auto& skip = layout.not_counted(index)) clearance.excluded_lag_mm = {skip->from_mm, skip->to_mm};
    Least of_part;
    for (const Piece piece : all_pieces) {
      const LeastDistance found = search.find(layout.against(index, piece).courses, layout.around());
      if (!found.meeting) continue;
      clearance.pieces[static_cast<std::size_t>(piece)] = found.lower_mm - rounding;
      of_part.take(found.lower_mm - rounding, layout.nearest(clearance.part, piece, *found.meeting));
    }
    if (!of_part.empty()) {
      clearance.least_mm = of_part.lower_mm();
      clearance.nearest = of_part.nearest(tolerance);
      least.take(*clearance.least_mm, *clearance.nearest);
    }
    result.obstacles.push_back(std::move(clearance));
  }

  // Against the incoming stock, and against the spans as far as they may be nearer.
  void against_stock() {
    const PieceCourses courses = layout.against_stock();
    const LeastDistance stock = search.find(courses.courses, layout.around());
    const LeastPair spans = least_pair(layout.pairs_with_spans(), tolerance, stock.upper_mm + (2.0 * radius - rounding));
    result.evaluations += spans.evaluations;
    if (!stock.meeting && !spans.meeting) return;
    Least near_stock;
    if (stock.meeting)
      near_stock.take(stock.lower_mm - rounding, layout.nearest("incoming stock", courses.pieces[stock.meeting->course],
                                                              *stock.meeting));
    if (spans.meeting)
      near_stock.take(spans.lower_mm - 2.0 * radius, layout.nearest("incoming stock", *spans.meeting));
    // Without a meeting the spans are no nearer than the stock, but proved so only to the tolerance.
    result.stock_mm = std::min(near_stock.lower_mm(), spans.lower_mm - 2.0 * radius);
    least.take(*result.stock_mm, near_stock.nearest(tolerance));
  }

  // Turn to turn first, then the front end as far as it may be nearer.
  void against_itself() {
    const std::vector<PairCourse> pairs = layout.pairs_with_itself(FrontEnd::without);
    const auto rigid = layout.rigid_pair();
    if (!rigid && pairs.empty()) return;
    const LeastPair turns = least_pair(pairs, tolerance, rigid ? rigid->distance_mm : unlimited);
    const LeastPair front = least_pair(layout.pairs_with_itself(FrontEnd::with), tolerance, turns.upper_mm);
    result.evaluations += turns.evaluations + front.evaluations;
    const double lower = std::min(turns.lower_mm, front.lower_mm);
    const auto& turn = turns.meeting ? turns.meeting : rigid;
    require(turn.has_value(), "a part compared with itself has a nearest pair");
    const PairMeeting& meeting = front.meeting && turn->distance_mm > lower + tolerance ? *front.meeting : *turn;
    result.self_mm = lower - 2.0 * radius;
    result.self_at_end = layout.at_end(meeting);
    least.take(*result.self_mm, layout.nearest("itself", meeting));
  }

  void sweep() {
    std::vector<SweptCourse> swept;
    for (const PieceStretch& p : layout.pieces())
      if (p.piece != Piece::stock) swept.push_back({p.stretch, p.straight_mm, layout.section()});
    result.swept_radius_mm = largest_plan_distance_mm(swept, tolerance) + rounding;
    result.swept_height_mm = highest_mm(swept, tolerance) + rounding;
  }
};

}  // namespace

std::string_view piece_text(Piece piece) {
  switch (piece) {
    case Piece::stock: return "stock";
    case Piece::spans: return "spans";
    case Piece::coil: return "coil";
    case Piece::lead_arc: return "lead_arc";
    case Piece::front_end: return "front_end";
  }
  throw InternalError("unknown piece");
}

StandingObstacles::StandingObstacles(std::vector<Obstacle> obstacles) : obstacles_(std::move(obstacles)) {
  for (const Obstacle& obstacle : obstacles_) {
    require(!obstacle.contact_lag_mm, "what a part touches by design stands elsewhere for every part");
    for (const Shape& shape : obstacle.bodies)
      if (!std::holds_alternative<MeshBody>(shape)) convex_.emplace_back(shape);
  }
}

ClearanceResult certify(const ClearanceScene& scene, double tolerance_mm) {
  const Layout layout(scene, tolerance_mm);
  Certification all{layout, scene.tube_radius_mm, layout.section().rounding_mm, tolerance_mm, CertifiedMinimum(tolerance_mm), {}, {}};
  for (std::size_t i = 0; i < scene.obstacle_count(); ++i) all.against(scene.obstacle(i), i);
  all.against_stock();
  all.against_itself();
  all.sweep();
  if (!all.least.empty()) {
    all.result.least_mm = all.least.lower_mm();
    all.result.nearest = all.least.nearest(tolerance_mm);
    all.result.error_bound_mm = std::max(0.0, all.result.nearest->distance_mm - *all.result.least_mm) +
                                (all.result.nearest->part == "incoming stock" ? layout.stock_excess_mm() : 0.0);
  }
  all.result.evaluations += layout.evaluations() + all.search.evaluations();
  return std::move(all.result);
}

std::optional<double> most_turns_under(const PosedPart& part, const Overhead& overhead, double ceiling_mm) {
  require(overhead.tube_radius_mm > 0.0 && overhead.front_end_mm >= 0.0 && overhead.ahead_mm >= 0.0 &&
              std::isfinite(ceiling_mm),
          "a ceiling and a tube are needed");
  constexpr double tolerance_mm = 0.01;  // of lag
  const Helix& helix = part.helix();
  const double rho = helix.arc_per_radian_mm(), exit = part.span_out_mm();
  const SectionBox section = overhead.section.value_or(SectionBox::round(overhead.tube_radius_mm));
  const double highest = ceiling_mm - section.rounding_mm;
  const double turn = 2.0 * std::numbers::pi * rho;
  // Two turns show all that a helix does besides climbing steadily; after them it has to climb to the
  // ceiling, at most the whole height of a turn later than its axis does.
  const double rise_per_turn = part.X_FC().linear()(2, 2) * helix.pitch().mm();
  const double from = std::max(exit, part.outboard_lag_mm());
  double to = from + 2.0 * turn;
  if (rise_per_turn > 0.0) {
    const double left = highest - part.at(Stage::coil, from).p.z() + 2.0 * helix.plan_radius().mm() + section.reach_mm();
    to += std::max(0.0, std::ceil(left / rise_per_turn)) * turn;
  }
  double above = 0.0;
  if (section.has_edges())
    for (const Eigen::Vector2d& corner : section.corners()) above = std::max(above, corner.y());
  if (part.at(Stage::spans, exit).p.z() + above > highest) return 0.0;
  for (const Stretch& stretch : stretches(part, exit, to)) {
    const SweptCourse course{stretch, stretch.straight_covering(overhead.front_end_mm), section};
    if (const auto lag = first_lag_above(course, highest, tolerance_mm))
      return std::max(0.0, *lag - overhead.ahead_mm) / turn;
  }
  return std::nullopt;
}

}  // namespace coilwright
