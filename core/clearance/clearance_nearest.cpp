#include <algorithm>
#include <coilwright/clearance/clearance.hpp>
#include <coilwright/clearance/layout.hpp>
#include <limits>

namespace coilwright {
namespace {

constexpr double unlimited = std::numeric_limits<double>::infinity();

}  // namespace

NearestOfAll nearest_within(const ClearanceScene& scene, double limit_mm, double tolerance_mm) {
  const double radius = scene.tube_radius_mm;
  NearestOfAll nearest;
  // One search over everything, so that whatever is near sets aside what is far. Proofs reach to the tolerance
  // below what is searched for: looking that much farther makes the limit itself proved.
  const double limit = limit_mm + tolerance_mm;
  const Layout layout(scene, tolerance_mm, limit);
  const double rounding = layout.section().rounding_mm;
  const auto rigid = layout.rigid_pair();
  CertifiedMinimum search(tolerance_mm);
  const LeastDistance found = search.find(layout.against_everything().courses, layout.around(),
                                          std::min(limit + rounding, rigid ? rigid->distance_mm - (2.0 * radius - rounding) : unlimited));
  std::vector<PairCourse> pairs =
      layout.pairs_with_itself(scene.front_end_mm > 0.0 ? FrontEnd::with : FrontEnd::without);
  const std::vector<PairCourse> spans = layout.pairs_with_spans();
  pairs.insert(pairs.end(), spans.begin(), spans.end());
  const LeastPair pair = least_pair(pairs, tolerance_mm, found.upper_mm + (2.0 * radius - rounding));
  nearest.evaluations = layout.evaluations() + search.evaluations() + pair.evaluations;
  const double lower = std::min(found.lower_mm - rounding, pair.lower_mm - 2.0 * radius);
  // Whether anything was met within the limit: the rigid pair has a closed form and is met without a search.
  const double rigid_mm = rigid ? rigid->distance_mm - 2.0 * radius : unlimited;
  const double body_mm = found.meeting ? found.meeting->distance_mm - rounding : unlimited;
  const double pair_mm = pair.meeting ? pair.meeting->distance_mm - 2.0 * radius : unlimited;
  if (std::min({rigid_mm, body_mm, pair_mm}) >= limit) return nearest;
  nearest.least_mm = lower;
  using Thing = NearestOfAll::Thing;
  if (body_mm <= std::min(rigid_mm, pair_mm)) {
    const auto obstacle = layout.obstacle_of(found.meeting->body);
    nearest.thing = obstacle ? Thing::obstacle : Thing::stock;
    nearest.obstacle = obstacle.value_or(0);
  } else {
    // The spans belong to the stock that still comes in.
    const bool to_spans = pair_mm < rigid_mm && pair.meeting->near_lag_mm < scene.part->span_out_mm();
    nearest.thing = to_spans ? Thing::stock : Thing::itself;
  }
  return nearest;
}

std::optional<double> least_distance_mm(const ClearanceScene& scene, double tolerance_mm) {
  return nearest_within(scene, unlimited, tolerance_mm).least_mm;
}

}  // namespace coilwright
