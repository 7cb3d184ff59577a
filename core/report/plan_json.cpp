#include <algorithm>
#include <cmath>
#include <coilwright/plan/direction_words.hpp>
#include <coilwright/quantity/require.hpp>
#include <coilwright/report/json_value.hpp>
#include <coilwright/report/plan_json.hpp>
#include <optional>
#include <string>
#include <string_view>

namespace coilwright {
namespace {

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
  document["direction"] = direction_words(plan);
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
