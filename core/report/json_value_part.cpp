#include <coilwright/report/json_value.hpp>

namespace coilwright {
namespace {

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

}  // namespace

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

}  // namespace coilwright
