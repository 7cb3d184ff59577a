#include <catch2/catch.hpp>

#include "fed_parts.hpp"

using namespace coilwright;
using namespace coilwright::bench;
using Eigen::Vector2d;

namespace {

constexpr double tube_mm = 24.15, gap_mm = 3.0;

// The mean of a count over seeds.
template <class Scene>
Counts mean(int seeds, const Scene& scene) {
  Counts sum;
  for (int seed = 0; seed < seeds; ++seed) {
    const Counts one = scene(static_cast<std::uint64_t>(seed) + 1000);
    sum.each += one.each;
    sum.overall += one.overall;
  }
  return {sum.each / static_cast<std::size_t>(seeds), sum.overall / static_cast<std::size_t>(seeds)};
}

int seeds() { return std::min(20, 3 * effort()); }

const double ten_turns = 20.0 * std::numbers::pi;

FedPart ten_turn_helix() {
  return chained({helix_segment(300.0, 60.0, ten_turns * std::hypot(300.0, 60.0 / (2 * std::numbers::pi)))});
}

}  // namespace

TEST_CASE("10 turns among 200 solids: how many distances it takes", "[clearance][bound]") {
  const FedPart part = ten_turn_helix();
  const Counts n = mean(seeds(), [&](std::uint64_t seed) {
    return count(part, solids_around(part, seed, 200, 1000.0, tube_mm + gap_mm));
  });
  WARN("each of 200 solids: " << n.each << " distances; the least of all: " << n.overall);
  CHECK(n.each <= 15'000);
  CHECK(n.overall <= 2'500);
}

TEST_CASE("a cone of 10 turns at all fed lengths among 40 solids", "[clearance][bound]") {
  const FedPart part = chained({ConeSegment{350.0, -100.0 / ten_turns, 60.0 / (2 * std::numbers::pi), ten_turns}});
  const Counts n = mean(seeds(), [&](std::uint64_t seed) {
    return count(part, solids_around(part, seed, 40, 1000.0, tube_mm + gap_mm));
  });
  WARN("each of 40 solids: " << n.each << " distances; the least of all: " << n.overall);
  CHECK(n.each <= 60'000);
}

TEST_CASE("a coil of rectangular section among 40 solids", "[clearance][bound]") {
  const FedPart part = ten_turn_helix();
  const Vector2d half(20.0, 10.0);
  const Counts n = mean(seeds(), [&](std::uint64_t seed) {
    return count(part, solids_around(part, seed, 40, 1000.0, gap_mm, half), half);
  });
  WARN("each of 40 solids: " << n.each << " distances; the least of all: " << n.overall);
  CHECK(n.each <= 10'500);
}

TEST_CASE("a rail of six segments at all fed lengths among 40 solids", "[clearance][bound]") {
  const FedPart part = chained({ScrewSegment{0, 0, 300}, ScrewSegment{1.0 / 400, 0, 400}, helix_segment(900, 2700, 3000),
                                ScrewSegment{0, 0, 250}, helix_segment(600, 1500, 1500), ScrewSegment{0, 0, 300}},
                               {0.0, 0.0, 0.4, 0.0, -0.3, 0.0});
  const Counts n = mean(seeds(), [&](std::uint64_t seed) {
    return count(part, solids_around(part, seed, 40, 2500.0, tube_mm + gap_mm));
  });
  WARN("each of 40 solids: " << n.each << " distances; the least of all: " << n.overall);
  CHECK(n.each <= 300'000);
}
