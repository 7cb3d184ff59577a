// One design of a chart after the other, judged by the rules of make_plan; what depends on stock and machine only is
// made once.
#pragma once

#include <coilwright/clearance/clearance.hpp>
#include <coilwright/plan/chart.hpp>
#include <coilwright/rolling/passes.hpp>
#include <coilwright/rolling/rolled_flat_table.hpp>
#include <memory>
#include <string>
#include <vector>

namespace coilwright::plan_steps {

class ChartDesigns {
 public:
  // The job must outlive it.
  ChartDesigns(const Job& job, Hand hand, const OwnDesign& own, const ChartRequest& request);
  [[nodiscard]] const std::vector<std::string>& things() const { return things_; }
  // Pure, and safe to call from several threads at once.
  [[nodiscard]] ChartCell judge(Length diameter, Length pitch, double turns) const;

 private:
  // The passes of a design, or none with the reason left in the cell.
  [[nodiscard]] std::vector<RolledPass> roll(const Helix& helix, ChartCell& cell) const;
  [[nodiscard]] FlatPasses rolled_flat(double held_curvature, int passes) const;
  [[nodiscard]] PosedPart place(const std::vector<RolledPass>& passes, std::size_t index) const;
  void clear(const Coil& coil, const std::vector<RolledPass>& passes, ChartCell& cell) const;

  const Job& job_;
  Hand hand_;
  ChartDepth depth_;
  RollingSetup setup_;
  MachineLimits limits_;
  StockFaces faces_;
  StandingObstacles standing_;
  std::vector<std::string> things_;
  std::unique_ptr<const RolledFlatTable> rolled_flat_;  // null: too few designs to be worth it
};

}  // namespace coilwright::plan_steps
