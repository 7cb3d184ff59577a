// Rolling flat answered from a table.
#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/rolled_flat_table.hpp>
#include <random>

#include "fixture.hpp"

using namespace coilwright;
using namespace coilwright::rolling_fixture;

namespace {

struct Largest {
  double length_mm = 0.0, direction_rad = 0.0, share = 0.0;

  void length(double a, double b) { length_mm = std::max(length_mm, std::abs(a - b)); }
  void direction(double a, double b) { direction_rad = std::max(direction_rad, std::abs(a - b)); }
  void of_size(double a, double b, double size) { share = std::max(share, std::abs(a - b) / size); }
};

void compare(const SteadyState& a, const SteadyState& b, Largest& off) {
  off.length(a.travel_mm, b.travel_mm);
  off.length(a.span_in_mm, b.span_in_mm);
  off.length(a.span_out_mm, b.span_out_mm);
  off.length(a.centre_axis_y_mm, b.centre_axis_y_mm);
  for (const auto place : {&SteadyState::entry_point, &SteadyState::centre_point, &SteadyState::exit_point})
    off.length(0.0, (a.*place - b.*place).norm());
  for (const auto way : {&SteadyState::entry_direction_rad, &SteadyState::centre_direction_rad, &SteadyState::exit_direction_rad})
    off.direction(a.*way, b.*way);
  for (const auto force : {&SteadyState::entry_force_n, &SteadyState::centre_force_n, &SteadyState::exit_force_n,
                           &SteadyState::entry_drive_n, &SteadyState::centre_drive_n, &SteadyState::exit_drive_n})
    off.of_size(a.*force, b.*force, a.centre_force_n);
  off.of_size(a.peak_moment_n_mm, b.peak_moment_n_mm, a.peak_moment_n_mm);
  off.of_size(a.loaded_curvature, b.loaded_curvature, a.loaded_curvature);
  off.of_size(a.free_curvature, b.free_curvature, a.loaded_curvature);
  off.of_size(a.after.largest_curvature, b.after.largest_curvature, a.loaded_curvature);
  off.of_size(a.after.free_curvature, b.after.free_curvature, a.loaded_curvature);
}

}  // namespace

TEST_CASE("rolling flat answered from its table is rolling flat", "[rolled_flat_table][oracle]") {
  std::mt19937_64 random(23);
  // The table is made to meet 1e-11 of a few hundred millimetres.
  constexpr double length_mm = 1e-7, share = 1e-9;
  Largest off;
  std::size_t from_table = 0, asked = 0, stopped = 0;
  for (const RollingJob& job : rolling_jobs())
    for (const double hardening : {0.0, 1050.0}) {
      const MomentCurvature plain = law(job.section, 300, hardening);
      const RollGeometry set = rolls(job.spacing_mm, 100, job.section);
      // From a bend that hardly yields to one that lies on the centre roll.
      const double from = 0.05 * plain.first_yield_curvature(), to = 1.2 / (set.centre_radius_mm + set.inner_face_mm);
      const RolledFlatTable table(plain, set, from, to);
      for (int i = 0; i < 150; ++i) {
        const double curvature = from * std::pow(to / from, std::uniform_real_distribution<double>(-0.02, 1.0)(random));
        const int passes = 1 + i % 3;
        CAPTURE(job.name, hardening, curvature, passes);
        const FlatPasses a = roll_flat(plain, set, curvature, passes), b = table.at(curvature, passes);
        CHECK(a.stopped == b.stopped);
        REQUIRE(a.passes.size() == b.passes.size());
        for (std::size_t k = 0; k < a.passes.size(); ++k) compare(a.passes[k], b.passes[k], off);
        ++asked;
        stopped += a.stopped ? 1 : 0;
        const auto spans = table.spans_at(curvature, passes);
        if (!spans) continue;
        ++from_table;
        REQUIRE_FALSE(a.stopped);
        const BendHistory before = passes > 1 ? a.passes[a.passes.size() - 2].after : virgin(plain);
        const std::vector<PosedPart::Station> stations = span_stations(plain, set, before, a.passes.back());
        REQUIRE(stations.size() == spans->size());
        for (std::size_t k = 0; k < stations.size(); ++k) {
          off.length(stations[k].lag_mm, (*spans)[k].lag_mm);
          off.length(0.0, (stations[k].p - (*spans)[k].p).norm());
          off.direction(stations[k].direction_rad, (*spans)[k].direction_rad);
          off.of_size(stations[k].curvature_per_mm, (*spans)[k].curvature_per_mm, a.passes.back().loaded_curvature);
        }
      }
    }
  CAPTURE(off.length_mm, off.direction_rad, off.share, from_table, asked, stopped);
  CHECK(off.length_mm < length_mm);
  CHECK(off.direction_rad < share);
  CHECK(off.share < share);
  // Most of what has a state comes from the table, and some of what was asked has none.
  CHECK(stopped > 0);
  CHECK(from_table > (asked - stopped) / 2);
}

TEST_CASE("a table of rolling that covers no curvature is a caller's mistake", "[rolled_flat_table][input]") {
  const RollingJob job = rolling_jobs().front();
  const MomentCurvature plain = law(job.section, 300, 0.0);
  const RollGeometry set = rolls(job.spacing_mm, 100, job.section);
  CHECK_THROWS_AS(RolledFlatTable(plain, set, 0.0, 1e-3), InternalError);
  CHECK_THROWS_AS(RolledFlatTable(plain, set, 2e-3, 1e-3), InternalError);
}
