#include <catch2/catch.hpp>

#include "counted_scenes.hpp"

using namespace coilwright;
using namespace coilwright::bench;

namespace {

// The mean of a count over seeds.
template <class Scene>
Counts mean(int seeds, const Scene& scene) {
  Counts sum;
  for (int seed = 0; seed < seeds; ++seed) {
    const Counts one = scene(first_counted_seed + static_cast<std::uint64_t>(seed));
    sum.each += one.each;
    sum.overall += one.overall;
  }
  return {sum.each / static_cast<std::size_t>(seeds), sum.overall / static_cast<std::size_t>(seeds)};
}

int seeds() { return std::min(20, 3 * effort()); }

}  // namespace

TEST_CASE("10 turns among 200 solids: how many distances it takes", "[clearance][bound]") {
  const FedPart part = ten_turn_helix();
  const Counts n = mean(seeds(), [&](std::uint64_t seed) {
    return count(part, solids_around(part, seed, 200, around_coil_mm, counted_tube_mm + counted_gap_mm));
  });
  WARN("each of 200 solids: " << n.each << " distances; the least of all: " << n.overall);
  CHECK(n.each <= 15'000);
  CHECK(n.overall <= 2'500);
}

TEST_CASE("a cone of 10 turns at all fed lengths among 40 solids", "[clearance][bound]") {
  const FedPart part = ten_turn_cone();
  const Counts n = mean(seeds(), [&](std::uint64_t seed) {
    return count(part, solids_around(part, seed, 40, around_coil_mm, counted_tube_mm + counted_gap_mm));
  });
  WARN("each of 40 solids: " << n.each << " distances; the least of all: " << n.overall);
  CHECK(n.each <= 60'000);
}

TEST_CASE("a coil of rectangular section among 40 solids", "[clearance][bound]") {
  const FedPart part = ten_turn_helix();
  const Counts n = mean(seeds(), [&](std::uint64_t seed) {
    return count(part, solids_around(part, seed, 40, around_coil_mm, counted_gap_mm, counted_half_edges),
                 counted_half_edges);
  });
  WARN("each of 40 solids: " << n.each << " distances; the least of all: " << n.overall);
  CHECK(n.each <= 10'500);
}

TEST_CASE("a rail of six segments at all fed lengths among 40 solids", "[clearance][bound]") {
  const FedPart part = six_segment_rail();
  const Counts n = mean(seeds(), [&](std::uint64_t seed) {
    return count(part, solids_around(part, seed, 40, around_rail_mm, counted_tube_mm + counted_gap_mm));
  });
  WARN("each of 40 solids: " << n.each << " distances; the least of all: " << n.overall);
  CHECK(n.each <= 300'000);
}
