// What a chart of many designs among many solids costs: processor time on one thread, and the same bytes on two.
#include <algorithm>
#include <coilwright/plan/chart.hpp>
#include <coilwright/report/chart_text.hpp>
#include <cstdint>
#include <ctime>
#include <iostream>
#include <vector>

#include "plan/jobs.hpp"

using namespace coilwright;

namespace {

struct Run {
  Chart chart;
  double cpu_s;
};

Run run(const Job& job, int threads) {
  const ChartRequest request{{800.0, 2400.0, 100}, ChartRows::pitch, {600.0, 4800.0, 100}, ChartDepth::verdict};
  const std::clock_t from = std::clock();
  Result<std::optional<Chart>> chart = make_chart(job, request, {threads, {}});
  const double cpu_s = static_cast<double>(std::clock() - from) / CLOCKS_PER_SEC;
  return {**std::move(chart), cpu_s};
}

}  // namespace

int main() {
  std::cout << "# Asked for: 100 x 100 designs among 40 solids in under 1 s of processor time, the same bytes on 1 or 2 threads.\n";
  std::vector<double> seconds;
  std::size_t evaluations = 0;
  bool same = true;
  constexpr std::uint64_t seeds = 5;
  for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
    const Job job = rail_among_solids(40, seed);
    const Run one = run(job, 1), two = run(job, 2);
    seconds.push_back(one.cpu_s);
    evaluations += one.chart.evaluations;
    same = same && chart_csv(one.chart) == chart_csv(two.chart);
  }
  std::sort(seconds.begin(), seconds.end());
  std::cout << "chart 100x100-designs-40-solids evaluations " << evaluations / seeds << " cpu_s " << seconds[seconds.size() / 2] << " (from "
            << seconds.front() << " to " << seconds.back() << ") " << (same ? "same bytes on 2 threads" : "DIFFERENT BYTES ON 2 THREADS")
            << "\n";
  return same ? 0 : 1;
}
