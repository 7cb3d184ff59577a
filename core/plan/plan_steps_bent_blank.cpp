// What the bent stock of a part of several segments comes near to on its way in again.
#include <algorithm>
#include <coilwright/clearance/bent_blank.hpp>
#include <coilwright/plan/plan_steps.hpp>

namespace coilwright::plan_steps {
namespace {

void add_obstacles(ClearanceResult& result, const ClearanceResult& of_stock, const BentBlank& stock) {
  for (std::size_t i = 0; i < result.obstacles.size(); ++i) {
    ObstacleClearance& to = result.obstacles[i];
    const ObstacleClearance& from = of_stock.obstacles[i];
    if (from.least_mm) {
      auto& of_piece = to.pieces[static_cast<std::size_t>(Piece::stock)];
      of_piece = std::min(of_piece.value_or(*from.least_mm), *from.least_mm);
    }
    if (from.excluded_lag_mm) {
      const auto [first, last] = stock.told(*from.excluded_lag_mm);
      to.excluded_lag_mm = to.excluded_lag_mm ? std::pair(std::min(first, to.excluded_lag_mm->first), std::max(last, to.excluded_lag_mm->second))
                                              : std::pair(first, last);
    }
    if (!from.least_mm || (to.least_mm && *to.least_mm <= *from.least_mm)) continue;
    to.least_mm = from.least_mm;
    to.nearest = stock.told(*from.nearest);
  }
}

NearestPair pair_of(const BentBlankMeeting& meeting, const GrowingScene& scene, double distance_mm) {
  const Eigen::Vector3d toward_part = (meeting.out_point - meeting.in_point).normalized();
  NearestPair pair;
  pair.part = "incoming stock";
  pair.piece = meeting.piece;
  pair.fed_length_mm = meeting.fed_mm - scene.front_end_mm;
  pair.along_part_mm = meeting.out_along_mm;
  pair.distance_mm = distance_mm;
  pair.part_point = meeting.out_point - scene.tube_radius_mm * toward_part;
  pair.machine_point = meeting.in_point + scene.tube_radius_mm * toward_part;
  return pair;
}

}  // namespace

void add_bent_blank(ClearanceResult& result, const GrowingScene& all, const GrowingScene& known, const Centreline& before,
                    double flat_back_mm) {
  constexpr double tolerance_mm = 0.01, across_tolerance_mm = 0.25;
  const BentBlank stock(all, before, flat_back_mm), while_known(known, before, flat_back_mm);
  if (stock.in_mirror().steps.empty()) return;
  const ClearanceResult of_stock = certify(stock.in_mirror(), tolerance_mm);
  add_obstacles(result, of_stock, stock);
  const BentBlankDistance across = distance_to_bent_blank(while_known, across_tolerance_mm);
  const double across_mm = across.lower_mm - 2.0 * all.tube_radius_mm;
  result.evaluations += of_stock.evaluations + across.evaluations;
  result.swept_radius_mm = std::max(result.swept_radius_mm, of_stock.swept_radius_mm);
  result.swept_height_mm = std::max(result.swept_height_mm, of_stock.swept_height_mm);
  // Turn to turn and to the stretch between the rolls, behind them as ahead of them.
  for (const std::optional<double>& itself : {of_stock.self_mm, of_stock.stock_mm})
    if (itself && (!result.self_mm || *itself < *result.self_mm)) {
      result.self_mm = itself;
      result.self_at_end = of_stock.self_at_end;
    }
  if (across.meeting) result.stock_mm = std::min(across_mm, result.stock_mm.value_or(across_mm));
  if (of_stock.least_mm && (!result.least_mm || *of_stock.least_mm < *result.least_mm)) {
    result.least_mm = of_stock.least_mm;
    result.nearest = stock.told(*of_stock.nearest);
    result.error_bound_mm = of_stock.error_bound_mm;
  }
  if (across.meeting && (!result.least_mm || across_mm < *result.least_mm)) {
    result.least_mm = across_mm;
    result.nearest = pair_of(*across.meeting, known, across_mm);
    result.error_bound_mm = across.error_mm;
  }
}

}  // namespace coilwright::plan_steps
