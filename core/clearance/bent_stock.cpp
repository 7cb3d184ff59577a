#include <algorithm>
#include <coilwright/clearance/bent_stock.hpp>
#include <coilwright/clearance/layout.hpp>
#include <coilwright/quantity/require.hpp>
#include <limits>

namespace coilwright {

LeastPair distance_to_bent_stock(const BentStockScene& scene, double tolerance_mm) {
  require(scene.out != nullptr && scene.in != nullptr && scene.rolled_mm >= 0.0 && scene.front_end_mm >= 0.0 &&
              scene.back_end_mm >= 0.0,
          "two sides of one bar have lengths");
  constexpr int slices = 32;
  const PosedPart &out = *scene.out, &in = *scene.in;
  const double exit = out.span_out_mm(), entry = in.span_out_mm();
  std::vector<PairCourse> pairs;
  const auto compare = [&pairs](const std::vector<Stretch>& near, const std::vector<Stretch>& far, double straight) {
    for (const Stretch& a : near)
      for (const Stretch& b : far) pairs.push_back({a, b, straight > 0.0 ? b.straight_covering(straight) : 0.0, -std::numeric_limits<double>::infinity()});
  };
  for (int k = 0; k < slices; ++k) {
    // Fed lengths of this slice: what is ahead ends at one of them, what is behind at the rest.
    const double from = scene.rolled_mm * k / slices, to = scene.rolled_mm * (k + 1) / slices;
    const double left_from = scene.rolled_mm - to, left_to = scene.rolled_mm - from;
    const std::vector<Stretch> ends = stretches(out, std::max(exit, from), std::max(exit, to));
    const std::vector<Stretch> behind = stretches(in, entry, std::max(entry, left_to));
    compare(behind, ends, 0.0);
    if (scene.front_end_mm > 0.0) compare(behind, ends, scene.front_end_mm);
    if (scene.back_end_mm > 0.0)
      compare(stretches(out, exit, std::max(exit, to)),
              stretches(in, std::max(entry, left_from), std::max(entry, left_to)), scene.back_end_mm);
  }
  return least_pair(pairs, tolerance_mm);
}

}  // namespace coilwright
