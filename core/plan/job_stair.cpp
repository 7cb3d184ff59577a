#include <coilwright/plan/job_coil.hpp>
#include <coilwright/plan/job_stair.hpp>

namespace coilwright {

std::vector<KnownKey> stair_keys() {
  using enum ValueKind;
  return {
      {"stair.riser_count", whole_number, "number of risers from floor to floor"},
      {"stair.riser_height", length, "height of one riser"},
      {"stair.total_rise", length, "from floor to floor"},
      {"stair.tread_angle", angle, "turn of one tread in plan"},
      {"stair.sweep", angle, "turn of the whole stair in plan"},
      {"stair.climbs", words, "going up, seen from above: clockwise or counter-clockwise"},
      {"stair.hand", words, "right-screw or left-screw"},
      {"stair.plan_radius", length, "of the rail in plan, to measured_to"},
      {"stair.measured_to", words, "what the plan radius is measured to: centreline, inside, outside"},
      {"stair.newel_radius", length, "of the post in the middle"},
      {"stair.well_radius", length, "of the open middle"},
      {"stair.offset", length, "from newel or well outward to the rail's centreline"},
      {"stair.clear_width", length, "from newel or well to the rail's inside"},
      {"stair.walk_line", length, "radius at which the going is measured"},
      {"stair.going", length, "of one tread along the walk line"},
      {"stair.rail_height", length, "top of the rail over the nosings"},
      {"stair.top_extension", words, "300 mm level, 300 mm at the slope, one tread at the slope"},
      {"stair.bottom_extension", words, "likewise"},
      {"stair.easing_radius", length, "of the arc between a level extension and the slope"},
  };
}

JobStair read_job_stair(ValueReader& in) {
  const std::size_t before = in.fault_count();
  constexpr int most_risers = 1000;
  StairSpec spec;
  spec.riser_count = in.whole_number("stair.riser_count", 1, most_risers);
  spec.riser_height = in.length("stair.riser_height", Allowed::positive);
  spec.total_rise = in.length("stair.total_rise", Allowed::positive);
  spec.tread_angle = in.angle("stair.tread_angle", Allowed::positive);
  spec.sweep = in.angle("stair.sweep", Allowed::positive);
  spec.hand = read_job_direction(in, "stair.");
  spec.plan_radius = in.length("stair.plan_radius", Allowed::positive);
  const std::vector<std::pair<std::string, MeasuredTo>> faces{{"centreline", MeasuredTo::centreline},
                                                              {"inside", MeasuredTo::inside},
                                                              {"outside", MeasuredTo::outside}};
  spec.measured_to = in.choice("stair.measured_to", faces).value_or(MeasuredTo::centreline);
  spec.newel_radius = in.length("stair.newel_radius", Allowed::positive);
  spec.well_radius = in.length("stair.well_radius", Allowed::positive);
  spec.offset = in.length("stair.offset", Allowed::any);
  spec.clear_width = in.length("stair.clear_width", Allowed::positive);
  spec.walk_line = in.length("stair.walk_line", Allowed::positive);
  spec.going = in.length("stair.going", Allowed::positive);
  spec.rail_height = in.length("stair.rail_height", Allowed::positive);
  const auto extension = [&](const char* key) -> std::optional<StairExtension> {
    const auto words = in.words(key);
    if (!words) return std::nullopt;
    const auto read = read_extension(*words, key);
    if (read) return *read;
    in.adopt(key, read.error());
    return std::nullopt;
  };
  spec.top_extension = extension("stair.top_extension");
  spec.bottom_extension = extension("stair.bottom_extension");
  spec.easing_radius = in.length("stair.easing_radius", Allowed::positive).value_or(spec.easing_radius);
  return {spec, in.fault_count() == before};
}

}  // namespace coilwright
