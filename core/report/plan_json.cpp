#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/report/plan_json.hpp>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>

namespace coilwright {
namespace {

using Json = nlohmann::ordered_json;

// The only way a number gets into the document: the JSON library would write nan and inf as null without
// a word. Adding zero turns -0 into 0.
Json number(double value) {
  require(std::isfinite(value), "a plan holds a number that is not finite");
  return value + 0.0;
}
Json number(const std::optional<double>& value) { return value ? number(*value) : Json(); }
Json mm(Length length) { return number(length.mm()); }
Json mm(const std::optional<Length>& length) { return length ? mm(*length) : Json(); }
Json newtons(Force force) { return number(force.newtons()); }
Json text(std::string_view words) { return std::string(words); }

Json point(const Eigen::Vector3d& p_F, const Plan& plan) {
  const Eigen::Vector3d p_M = to_machine_frame(p_F, plan.mirrored());
  return Json::array({number(p_M.x()), number(p_M.y()), number(p_M.z())});
}

// The same keys, each null: an answer that does not exist still has its place in the document.
Json nulls(std::initializer_list<const char*> keys) {
  Json out = Json::object();
  for (const char* key : keys) out[key] = nullptr;
  return out;
}

std::string_view level_text(Level level) {
  switch (level) {
    case Level::caution: return "caution";
    case Level::fault: return "fault";
    case Level::question: return "question";
  }
  throw InternalError("unknown level of a finding");
}

Json findings_array(const Findings& findings) {
  Json out = Json::array();
  for (const Finding& finding : findings) {
    Json one = {{"level", text(level_text(finding.level))},
                {"about", finding.about},
                {"text", finding.text},
                {"file", nullptr},
                {"line", nullptr},
                {"column", nullptr}};
    if (finding.place) {
      one["file"] = finding.place->file;
      if (finding.place->line > 0) one["line"] = finding.place->line;
      if (finding.place->column > 0) one["column"] = finding.place->column;
    }
    out.push_back(std::move(one));
  }
  return out;
}

Json coil_json(const Plan& plan) {
  const Coil& coil = plan.coil;
  const Helix& helix = coil.helix();
  const double metres = coil.developed_length().mm() / 1000.0;
  return {{"centreline_radius_mm", mm(helix.plan_radius())},
          {"pitch_mm", mm(helix.pitch())},
          {"turns", number(coil.turns())},
          {"hand", text(hand_text(coil.hand()))},
          {"climbs", text(climbs_text(coil.hand()))},
          {"rise_mm", mm(coil.rise())},
          {"overall_height_mm", mm(coil.overall_height())},
          {"developed_length_mm", mm(coil.developed_length())},
          {"inside_length_mm", mm(coil.inside_length())},
          {"outside_length_mm", mm(coil.outside_length())},
          {"slope_deg", number(helix.slope().deg())},
          {"curvature_per_mm", number(helix.curvature().per_mm())},
          {"torsion_per_mm", number(helix.torsion().per_mm())},
          {"flat_then_pull_radius_mm", mm(helix.flat_then_pull_radius())},
          {"bend_radius_mm", mm(helix.bend_radius())},
          {"rise_per_quarter_turn_mm", mm(coil.rise_per_quarter_turn())},
          {"mass_kg", number(metres * plan.job.stock.mass_per_metre_kg())},
          {"surface_m2", number(metres * plan.job.stock.surface_per_metre_m2())}};
}

Json segment_json(const Segment& segment) {
  const SegmentCurve& curve = segment.curve();
  return {{"kind", text(segment_kind_name(segment.kind()))},
          {"length_mm", mm(segment.length())},
          {"curvature_start_per_mm", number(curve.curvature(0.0))},
          {"curvature_end_per_mm", number(curve.curvature(curve.length_mm()))},
          {"torsion_start_per_mm", number(curve.torsion(0.0))},
          {"hand", segment.hand() ? text(hand_text(*segment.hand())) : Json()}};
}

Json programme_json(const Plan& plan) {
  if (!plan.part || !plan.part->programme) return Json();
  const auto lift = [](const std::optional<double>& value) { return value ? number(*value) : Json(); };
  const auto kind = [](ProgrammeStep::Kind k) {
    return k == ProgrammeStep::Kind::hold ? "hold" : k == ProgrammeStep::Kind::follow ? "follow" : "change";
  };
  Json passes = Json::array();
  for (const auto& pass : plan.part->programme->passes) {
    Json steps = Json::array();
    for (const ProgrammeStep& s : pass)
      steps.push_back({{"kind", kind(s.kind)},
                       {"segment", s.segment + 1},
                       {"fed_from_mm", number(s.fed_from_mm)},
                       {"fed_to_mm", number(s.fed_to_mm)},
                       {"travel_from_mm", number(s.from.travel_mm)},
                       {"travel_to_mm", number(s.to.travel_mm)},
                       {"lift_from_mm", lift(s.from.lift_mm)},
                       {"lift_to_mm", lift(s.to.lift_mm)},
                       {"feed_mm_per_s", number(s.feed_mm_per_s)},
                       {"seconds", number(s.seconds)}});
    passes.push_back(std::move(steps));
  }
  return passes;
}

// Where settings change: the length that is not promised, and the one computed to be off (curvature_reached.hpp).
Json transitions_json(const Plan& plan) {
  if (!plan.part->programme) return Json();
  Json all = Json::array();
  for (const Transition& t : plan.part->programme->transitions)
    all.push_back({{"after_segment", t.before + 1},
                   {"from_mm", number(t.from_mm)},
                   {"to_mm", number(t.to_mm)},
                   {"off_from_mm", number(t.reached_from_mm)},
                   {"off_to_mm", number(t.reached_to_mm)},
                   {"tightest_radius_mm", t.tightest && *t.tightest > 0.0 ? number(1.0 / *t.tightest) : Json()}});
  return all;
}
Json tapers_json(const Plan& plan) {
  Json all = Json::array();
  for (const TaperReached& t : plan.part->tapers)
    all.push_back({{"segment", t.segment + 1}, {"worst_at_mm", number(t.fed_mm)}, {"off_percent", number(100.0 * t.off)}});
  return all;
}
Json reached_json(const Plan& plan) {
  Json all = Json::array();
  for (const ReachedCurvature& r : plan.part->reached) all.push_back(Json::array({number(r.fed_mm), number(r.curvature)}));
  return all;
}

Json several_segments_json(const Plan& plan) {
  Json segments = Json::array();
  for (const Segment& segment : plan.part->part.segments()) segments.push_back(segment_json(segment));
  const Extent extent = plan.part->part.overall_extent();
  return {{"developed_length_mm", mm(plan.developed_length())},
          {"segments", std::move(segments)},
          {"overall_mm", Json::array({mm(extent.width), mm(extent.depth), mm(extent.height)})},
          {"programme", programme_json(plan)},
          {"transitions", transitions_json(plan)},
          {"reached_fed_mm_and_curvature_per_mm", reached_json(plan)},
          {"tapers", tapers_json(plan)}};
}

Json part_json(const Plan& plan) {
  if (plan.part) return several_segments_json(plan);
  const Helix& helix = plan.coil.helix();
  Json segment = {{"kind", "helix"},
                  {"length_mm", mm(plan.coil.developed_length())},
                  {"centreline_radius_mm", mm(helix.plan_radius())},
                  {"pitch_mm", mm(helix.pitch())},
                  {"turns", number(plan.coil.turns())},
                  {"hand", text(hand_text(plan.coil.hand()))}};
  return {{"developed_length_mm", mm(plan.coil.developed_length())}, {"segments", Json::array({segment})}};
}

Json blank_json(const Plan& plan) {
  const Blank& blank = plan.blank;
  const auto& lengths = plan.job.stock.stock_lengths;
  Json longest, all = Json::array();
  if (!lengths.empty()) longest = mm(*std::max_element(lengths.begin(), lengths.end()));
  for (const Length length : lengths) all.push_back(mm(length));
  // Ends and start-up come from the passes: without an answer of the rolling they are not known, not zero.
  const bool solved = !plan.rolling.passes.empty();
  const auto known = [&](Length length) { return solved ? mm(length) : Json(); };
  return {{"cut_length_mm", known(blank.cut_length())},
          {"flat_front_mm", known(blank.flat_front)},
          {"run_in_mm", known(blank.run_in)},
          {"lead_arc_mm", known(blank.lead_arc)},
          {"settling_mm", known(blank.settling)},
          {"trim_mm", mm(blank.trim_front + blank.trim_back)},
          {"flat_back_mm", known(blank.flat_back)},
          {"usable_from_mm", known(blank.usable_from())},
          {"usable_to_mm", known(blank.usable_to())},
          {"stock_length_mm", longest},
          {"longer_than_stock", plan.longer_than_stock ? Json(*plan.longer_than_stock) : Json()},
          {"trim_front_mm", mm(blank.trim_front)},
          {"trim_back_mm", mm(blank.trim_back)},
          {"start_up_mm", known(blank.start_up())},
          {"stock_lengths_mm", all}};
}

Json stock_json(const Stock& stock) {
  return {{"section", stock.section.text()},
          {"material", stock.material.name},
          {"yield_mpa", number(stock.material.yield.mpa())},
          {"area_mm2", number(stock.section.area_mm2())},
          {"inertia_mm4", number(stock.section.inertia_mm4())},
          {"elastic_modulus_mm3", number(stock.section.elastic_modulus_mm3())},
          {"plastic_modulus_mm3", number(stock.section.plastic_modulus_mm3())},
          {"mass_per_metre_kg", number(stock.mass_per_metre_kg())},
          {"surface_per_metre_m2", number(stock.surface_per_metre_m2())}};
}

Json capability_json(const Capability& capability) {
  Json bends = Json::array(), spacings = Json::array();
  for (const SmallestBend& bend : capability.smallest_bends)
    bends.push_back({{"passes", bend.passes},
                     {"bend_radius_mm", mm(bend.bend_radius)},
                     {"stopped_by", text(obstruction_text(bend.stopped_by))}});
  for (const SpacingEffect& e : capability.spacings) {
    const bool known = e.demand.has_value();
    spacings.push_back({{"outer_spacing_mm", mm(e.spacing)},
                        {"passes", e.passes ? Json(*e.passes) : Json()},
                        {"centre_roll_travel_mm", known ? mm(e.demand->centre_roll_travel) : Json()},
                        {"centre_roll_force_n", known ? newtons(e.demand->centre_roll_force) : Json()},
                        {"outer_roll_force_n", known ? newtons(e.demand->outer_roll_force) : Json()},
                        {"traction", known ? number(e.demand->traction) : Json()},
                        {"smallest_bend_radius_mm", mm(e.least_bend_radius)},
                        {"flat_ends_mm", mm(e.flat_ends)},
                        {"stopped_by", e.stopped_by ? Json(text(obstruction_text(*e.stopped_by))) : Json()}});
  }
  Json reasons = Json::array();
  for (const Capability::RadiusReason& reason : capability.radius_reasons)
    reasons.push_back({{"reason", reason.reason}, {"origin", reason.origin}, {"bend_radius_mm", mm(reason.bend_radius)}});
  const Capability::RadiusReason* suggested = capability.suggested();
  return {{"can", capability.can},
          {"answer", capability.answer},
          {"smallest_bends", bends},
          {"spacings", spacings},
          {"spacings_are_positions", capability.spacings_are_positions},
          {"recommended_spacing_mm", mm(capability.recommended_spacing)},
          {"instead", capability.instead.empty() ? Json() : Json(capability.instead)},
          {"suggested_radius_mm", suggested != nullptr ? mm(suggested->bend_radius) : Json()},
          {"suggested_because", suggested != nullptr ? Json(suggested->reason) : Json()},
          {"radius_reasons", reasons}};
}

Json rolling_json(const RollingResult& rolling) {
  Json passes = Json::array();
  for (const PassPlan& pass : rolling.passes)
    passes.push_back({{"feed", text(feed_side_text(pass.feed))},
                      {"centre_roll_travel_mm", mm(pass.travel)},
                      {"frame_give_mm", mm(pass.frame_give)},
                      {"free_radius_mm", mm(pass.free_radius)},
                      {"loaded_radius_mm", mm(pass.loaded_radius)},
                      {"centre_roll_force_n", newtons(pass.centre_roll_force)},
                      {"entry_roll_force_n", newtons(pass.entry_roll_force)},
                      {"exit_roll_force_n", newtons(pass.exit_roll_force)},
                      {"drive_force_n", newtons(pass.drive_force)},
                      {"traction", number(pass.traction)},
                      {"roll_lift_mm", mm(pass.roll_lift)},
                      {"press_in_force_n", pass.press_in_force ? newtons(*pass.press_in_force) : Json()},
                      {"press_in_radius_mm", mm(pass.press_in_radius)}});
  // Without a pass nothing below was computed; its zeros are not answers.
  const bool solved = !rolling.passes.empty();
  const auto& permitted = rolling.permitted_variation;
  return {{"passes", passes},
          {"arc_rule_travel_mm", solved ? mm(rolling.arc_rule_travel) : Json()},
          {"strain_percent", solved ? number(rolling.strain_percent) : Json()},
          {"ovality_percent", number(rolling.ovality_percent)},
          {"wall_outside_mm", mm(rolling.wall_outside)},
          {"wall_inside_mm", mm(rolling.wall_inside)},
          {"free_strain_percent", solved ? number(rolling.free_strain_percent) : Json()},
          {"ovality_low_percent", number(rolling.ovality_low_percent)},
          {"ovality_high_percent", number(rolling.ovality_high_percent)},
          {"wall_outside_least_mm", mm(rolling.wall_outside_least)},
          {"wall_inside_most_mm", mm(rolling.wall_inside_most)},
          {"sideways_bow_per_metre_mm", mm(rolling.sideways_bow)},
          {"permitted_bow_mm", permitted ? mm(permitted->bow) : Json()},
          {"permitted_radius_low_mm", permitted ? mm(permitted->tightest) : Json()},
          {"permitted_radius_high_mm", permitted ? mm(permitted->slackest) : Json()},
          {"why_passes", rolling.why_passes},
          {"capability", capability_json(rolling.capability)}};
}

Json lift_json(const Plan& plan) {
  if (!plan.lift)
    return nulls({"roll_lift_mm", "start_at_mm", "working_low_mm", "working_high_mm", "low_mm", "high_mm",
                  "upright_rule_mm", "forward_lean_deg", "side_lean_deg", "outboard_roll_force_n",
                  "exit_roll_vertical_force_n", "held", "turning_share", "slope_rad", "exit_height_mm",
                  "outboard_roll_position_mm", "own_roll_lift_mm", "pitch_per_lift", "pitch_at_working_low_mm", "pitch_at_working_high_mm", "worst_utilisation",
                  "moment_factor"});
  const LiftPlan& lift = *plan.lift;
  const LiftState& state = lift.nominal;
  const Eigen::Vector3d roll_M =
      to_machine_frame({lift.roll_position_mm.x(), lift.roll_position_mm.y(), 0.0}, plan.mirrored());
  return {{"roll_lift_mm", mm(state.lift)},
          {"start_at_mm", mm(lift.working_low)},
          {"working_low_mm", mm(lift.working_low)},
          {"working_high_mm", mm(lift.working_high)},
          {"low_mm", mm(lift.low)},
          {"high_mm", mm(lift.high)},
          {"upright_rule_mm", mm(lift.upright_rule)},
          {"forward_lean_deg", number(lift.forward_lean.deg())},
          {"side_lean_deg", number(state.side_lean.deg())},
          {"outboard_roll_force_n", newtons(state.outboard_force)},
          {"exit_roll_vertical_force_n", newtons(state.exit_vertical_force)},
          {"held", state.held},
          {"turning_share", number(state.turning_share)},
          {"slope_rad", number(state.slope_rad)},
          {"exit_height_mm", mm(state.exit_height)},
          {"outboard_roll_position_mm", Json::array({number(roll_M.x()), number(roll_M.y())})},
          {"own_roll_lift_mm", mm(lift.roll_top_lift)},
          {"pitch_per_lift", number(lift.pitch_per_lift)},
          {"pitch_at_working_low_mm", mm(lift.pitch_at_working_low)},
          {"pitch_at_working_high_mm", mm(lift.pitch_at_working_high)},
          {"worst_utilisation", number(lift.worst_utilisation)},
          {"moment_factor", number(lift.moment_factor)}};
}

Json pose_json(const Plan& plan) {
  if (!plan.pose) return nulls({"machine_from_coil", "delta_rad", "exit_theta_rad"});
  const PosedPart& pose = *plan.pose;
  // Columns of the 4x4: the axes and the origin of the coil frame, each carried into M (mirrored if need be).
  Eigen::Matrix4d X_MC = Eigen::Matrix4d::Identity();
  for (int axis = 0; axis < 3; ++axis)
    X_MC.block<3, 1>(0, axis) = to_machine_frame(pose.X_FC().linear().col(axis), plan.mirrored());
  X_MC.block<3, 1>(0, 3) = to_machine_frame(pose.X_FC().translation(), plan.mirrored());
  Json rows = Json::array();
  for (int r = 0; r < 4; ++r)
    rows.push_back({number(X_MC(r, 0)), number(X_MC(r, 1)), number(X_MC(r, 2)), number(X_MC(r, 3))});
  return {{"machine_from_coil", rows},
          {"delta_rad", number(pose.delta_rad())},
          {"exit_theta_rad", number(pose.exit_theta())}};
}

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
  const ClearanceResult& result = clearance.result;
  Json parts = Json::array();
  for (const ObstacleClearance& obstacle : result.obstacles) parts.push_back(obstacle_json(obstacle));
  return {{"verdict", text(verdict_text(clearance.verdict))},
          {"least_mm", number(result.least_mm)},
          {"error_bound_mm", number(result.error_bound_mm)},
          {"pose_uncertainty_mm", number(clearance.pose_uncertainty_mm)},
          {"margin_mm", mm(clearance.margin)},
          {"not_checked", Json(clearance.not_checked)},
          {"nearest", nearest_json(result.nearest, plan)},
          {"parts", parts},
          {"self_mm", number(result.self_mm)},
          {"stock_mm", number(result.stock_mm)},
          {"swept_radius_mm", number(result.swept_radius_mm)},
          {"swept_height_mm", number(result.swept_height_mm)},
          {"most_turns_under_ceiling", number(clearance.most_turns_under_ceiling)},
          {"remedies", remedies_json(plan)}};
}

Json understood_json(const Plan& plan) {
  Json out = Json::array();
  for (const Understood& input : plan.understood)
    out.push_back({{"label", input.label}, {"value", input.value}, {"origin", input.origin}});
  return out;
}

// Text that is not UTF-8 (a file name may be anything) comes out with U+FFFD where it was broken.
std::string written(const Json& document) {
  return document.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace

std::string plan_json(const Plan& plan) {
  Json document = Json::object();
  document["schema"] = 1;
  document["coil"] = coil_json(plan);
  document["part"] = part_json(plan);
  document["blank"] = blank_json(plan);
  document["stock"] = stock_json(plan.job.stock);
  document["rolling"] = rolling_json(plan.rolling);
  document["lift"] = lift_json(plan);
  document["pose"] = pose_json(plan);
  document["clearance"] = clearance_json(plan);
  document["quote"] = nulls({"stock_lengths"});
  document["findings"] = findings_array(plan.findings);
  document["answer"] = plan.answer_is_yes() ? "yes" : "no";
  document["direction"] = direction_sentence(plan.coil.hand());
  document["machine"] = {{"name", plan.job.machine.name}, {"origin", plan.job.machine_origin}};
  document["understood"] = understood_json(plan);
  document["assumptions"] = plan.assumptions;
  return written(document);
}

std::string findings_json(const Findings& findings) {
  Json document = Json::object();
  document["schema"] = 1;
  document["findings"] = findings_array(findings);
  return written(document);
}

}  // namespace coilwright
