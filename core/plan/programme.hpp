// The roll programme of any plan: a coil is a part of one segment.
#pragma once

#include <coilwright/coil/part.hpp>
#include <coilwright/plan/plan.hpp>

namespace coilwright {

struct PlannedProgramme {
  Part part;
  RollProgramme programme;
  std::vector<ReachedCurvature> reached = {};  // as PartPlan has them
  std::vector<TaperReached> tapers = {};
};

// Refuses with the plan's own faults, or with one of its own, when the part cannot be rolled.
Result<PlannedProgramme> programme_of(const Plan& plan);

}  // namespace coilwright
