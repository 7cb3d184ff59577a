#include <coilwright/report/json_value.hpp>

namespace coilwright {
namespace {

Json no_nearest() {
  return nulls({"part", "piece", "fed_length_mm", "along_part_mm", "part_point_mm", "machine_point_mm"});
}

Json nearest_json(const std::optional<NearestPair>& nearest, const Plan& plan) {
  if (!nearest) return no_nearest();
  return {{"part", nearest->part},
          {"piece", text(piece_text(nearest->piece))},
          {"fed_length_mm", number(nearest->fed_length_mm)},
          {"along_part_mm", number(nearest->along_part_mm)},
          {"part_point_mm", point(nearest->part_point, plan)},
          {"machine_point_mm", point(nearest->machine_point, plan)}};
}

Json obstacle_json(const ObstacleClearance& obstacle) {
  Json pieces = Json::object();
  for (const Piece piece : {Piece::stock, Piece::spans, Piece::coil, Piece::front_end, Piece::lead_arc})
    pieces[std::string(piece_text(piece))] = number(obstacle.pieces[static_cast<std::size_t>(piece)]);
  Json lag;
  if (obstacle.excluded_lag_mm)
    lag = Json::array({number(obstacle.excluded_lag_mm->first), number(obstacle.excluded_lag_mm->second)});
  return {{"part", obstacle.part}, {"least_mm", number(obstacle.least_mm)}, {"pieces", pieces}, {"excluded_lag_mm", lag}};
}

Json remedies_json(const Plan& plan) {
  if (!plan.remedies) return nullptr;
  Json clear = Json::array();
  for (const Remedy& remedy : plan.remedies->would_clear)
    clear.push_back({{"change", text(remedy.change)},
                     {"cost", text(remedy.cost)},
                     {"least_mm", number(remedy.least_mm)},
                     {"pose_uncertainty_mm", number(remedy.uncertainty_mm)}});
  Json sensitivity = nullptr;
  if (const auto& s = plan.remedies->sensitivity)
    sensitivity = {{"mm_per_mm_of_pitch", number(s->of_pitch)},
                   {"mm_per_mm_of_lift", number(s->of_lift)},
                   {"mm_per_mm_of_lowering", number(s->of_lowering)}};
  return {{"would_clear", std::move(clear)}, {"would_not", Json(plan.remedies->would_not)}, {"sensitivity", std::move(sensitivity)}};
}

Json carrying_json(const Plan& plan) {
  if (!plan.carrying) return nullptr;
  const Carrying& carrying = *plan.carrying;
  return {{"at_least_every_mm", carrying.at_least_every ? mm(*carrying.at_least_every) : Json()},
          {"sag_mm", mm(carrying.then.sag)},
          {"sag_left_alone_mm", mm(carrying.left.sag)},
          {"share_of_yield_left_alone", number(carrying.left.share_of_yield)}};
}

}  // namespace

Json clearance_json(const Plan& plan) {
  if (!plan.clearance) {
    Json out = nulls({"verdict", "least_mm", "error_bound_mm", "pose_uncertainty_mm", "margin_mm", "not_checked"});
    out["nearest"] = no_nearest();
    out["parts"] = Json::array();
    for (const char* key :
         {"self_mm", "stock_mm", "swept_radius_mm", "swept_height_mm", "most_turns_under_ceiling"})
      out[key] = nullptr;
    return out;
  }
  const ClearancePlan& clearance = *plan.clearance;
  const ClearancePlan::Governing governing = clearance.governing();
  const ClearanceResult result = clearance.over_all();
  Json parts = Json::array(), moments = Json::array();
  for (const ObstacleClearance& obstacle : result.obstacles) parts.push_back(obstacle_json(obstacle));
  for (const ClearanceMoment& moment : clearance.moments)
    moments.push_back({{"when", moment.when},
                       {"least_mm", number(moment.result.least_mm)},
                       {"uncertainty_mm", number(moment.uncertainty_mm)},
                       {"nearest", nearest_json(moment.result.nearest, plan)}});
  return {{"verdict", text(verdict_text(clearance.verdict))},
          {"least_mm", number(result.least_mm)},
          {"error_bound_mm", number(result.error_bound_mm)},
          {"pose_uncertainty_mm", number(governing.uncertainty_mm)},
          {"margin_mm", mm(clearance.margin)},
          {"not_checked", Json(clearance.not_checked)},
          {"nearest", nearest_json(result.nearest, plan)},
          {"parts", parts},
          {"self_mm", number(result.self_mm)},
          {"stock_mm", number(result.stock_mm)},
          {"swept_radius_mm", number(clearance.swept_radius_mm())},
          {"swept_height_mm", number(clearance.swept_height_mm())},
          {"most_turns_under_ceiling", number(clearance.most_turns_under_ceiling)},
          {"when", governing.when.empty() ? Json() : text(governing.when)},
          {"moments", moments},
          {"carrying", carrying_json(plan)},
          {"remedies", remedies_json(plan)}};
}

}  // namespace coilwright
