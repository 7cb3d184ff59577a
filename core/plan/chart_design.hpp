// One design of a chart after the other, judged by the rules of make_plan; what depends on stock and machine only is
// made once.
#pragma once

#include <coilwright/plan/chart.hpp>
#include <coilwright/rolling/passes.hpp>
#include <string>
#include <vector>

namespace coilwright::plan_steps {

class ChartDesigns {
 public:
  // The job must outlive it.
  ChartDesigns(const Job& job, Hand hand, ChartDepth depth);
  [[nodiscard]] const std::vector<std::string>& things() const { return things_; }
  // Pure, and safe to call from several threads at once.
  [[nodiscard]] ChartCell judge(Length diameter, Length pitch, double turns) const;

 private:
  // The passes of a design, or none with the reason left in the cell.
  [[nodiscard]] std::vector<RolledPass> roll(const Helix& helix, ChartCell& cell) const;
  void clear(const Coil& coil, const std::vector<RolledPass>& passes, ChartCell& cell) const;

  const Job& job_;
  Hand hand_;
  ChartDepth depth_;
  RollingSetup setup_;
  MachineLimits limits_;
  StockFaces faces_;
  std::vector<std::string> things_;
};

}  // namespace coilwright::plan_steps
