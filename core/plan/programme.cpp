#include <coilwright/plan/plan_steps.hpp>
#include <coilwright/plan/programme.hpp>

namespace coilwright {

Result<PlannedProgramme> programme_of(const Plan& plan) {
  if (plan.part && plan.part->programme)
    return PlannedProgramme{plan.part->part, *plan.part->programme, plan.part->reached, plan.part->tapers};
  Findings faults;
  for (const Finding& finding : plan.findings)
    if (finding.level == Level::fault && finding.about != "clearance") faults.push_back(finding);
  if (plan.part || plan.rolling.passes.empty()) {
    if (faults.empty()) faults.push_back({Level::fault, "rolling", "There is no setting at which this part can be rolled.", std::nullopt});
    return refuse(std::move(faults));
  }
  const Part part = Part::of(plan.coil);
  const Machine& machine = plan.job.machine;
  auto made = roll_programme(RollingSetup::of(plan.job.stock, machine, plan.job.stock_slope), plan_steps::in_feed_frame(part),
                             static_cast<int>(plan.rolling.passes.size()), roll_speeds(machine));
  if (!std::holds_alternative<RollProgramme>(made)) {
    if (faults.empty()) faults.push_back({Level::fault, "lift", "The lift of this part has no setting.", std::nullopt});
    return refuse(std::move(faults));
  }
  return PlannedProgramme{part, std::get<RollProgramme>(std::move(made))};
}

}  // namespace coilwright
