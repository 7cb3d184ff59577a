#include <algorithm>
#include <coilwright/clearance/bent_stock.hpp>
#include <coilwright/clearance/layout.hpp>
#include <coilwright/clearance/self_distance.hpp>
#include <coilwright/quantity/require.hpp>

namespace coilwright {
namespace {

constexpr int slices = 32;

void compare(const std::vector<Stretch>& near, const std::vector<Stretch>& far, double straight_mm, std::vector<PairCourse>& pairs) {
  for (const Stretch& a : near)
    for (const Stretch& b : far)
      pairs.push_back({a, b, straight_mm > 0.0 ? b.straight_covering(straight_mm) : 0.0, -std::numeric_limits<double>::infinity()});
}

// How much above the bound the truth may lie: the search's own gap, and what the slice had too much. Giving that much up on
// the near side, or else on the far one with its straight, moves a point by no more than it.
double error_of(const LeastPair& pair, double lower_mm, double rolled_mm, double near_from_mm, const PosedPart& far) {
  const PairMeeting& m = *pair.meeting;
  const double beyond = std::max(0.0, m.near_lag_mm + m.far_lag_mm - rolled_mm);
  const double moved = m.near_lag_mm - beyond >= near_from_mm ? beyond : beyond * (1.0 + m.ahead_mm * far.helix().curvature().per_mm());
  return pair.upper_mm - lower_mm + moved;
}

}  // namespace

BentStockDistance distance_to_bent_stock(const BentStockScene& scene, double tolerance_mm) {
  require(scene.out != nullptr && scene.in != nullptr && scene.rolled_mm >= 0.0 && scene.front_end_mm >= 0.0 &&
              scene.back_end_mm >= 0.0,
          "two sides of one bar have lengths");
  const PosedPart &out = *scene.out, &in = *scene.in;
  const double rolled = scene.rolled_mm, exit = out.span_out_mm(), entry = in.span_out_mm();
  std::vector<PairCourse> leading, trailing;
  for (int k = 0; k < slices; ++k) {
    // Fed lengths of this slice: what is ahead ends at one of them, what is behind at the rest.
    const double from = rolled * k / slices, to = rolled * (k + 1) / slices;
    const std::vector<Stretch> ends = stretches(out, std::max(exit, from), std::max(exit, to));
    const std::vector<Stretch> behind = stretches(in, entry, std::max(entry, rolled - from));
    compare(behind, ends, 0.0, leading);
    if (scene.front_end_mm > 0.0) compare(behind, ends, scene.front_end_mm, leading);
    if (scene.back_end_mm > 0.0)
      compare(stretches(out, exit, std::max(exit, to)), stretches(in, std::max(entry, rolled - to), std::max(entry, rolled - from)),
              scene.back_end_mm, trailing);
  }
  const LeastPair ahead = least_pair(leading, tolerance_mm);
  const LeastPair back = least_pair(trailing, tolerance_mm, ahead.upper_mm);
  BentStockDistance found;
  found.lower_mm = std::min(ahead.lower_mm, back.lower_mm);
  found.evaluations = ahead.evaluations + back.evaluations;
  if (back.meeting) {
    const PairMeeting& m = *back.meeting;
    found.meeting = {std::max(0.0, rolled - m.far_lag_mm), m.near_lag_mm, 0.0, m.far_lag_mm, m.ahead_mm, m.near_point, m.far_point};
    found.error_mm = error_of(back, found.lower_mm, rolled, exit, in);
  } else if (ahead.meeting) {
    const PairMeeting& m = *ahead.meeting;
    found.meeting = {m.far_lag_mm, m.far_lag_mm, m.ahead_mm, m.near_lag_mm, 0.0, m.far_point, m.near_point};
    found.error_mm = error_of(ahead, found.lower_mm, rolled, entry, out);
  }
  return found;
}

}  // namespace coilwright
