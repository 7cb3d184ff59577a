// A part of several segments at a fed length.
#include <algorithm>
#include <coilwright/plan/plan.hpp>

namespace coilwright {

const PartGrowth::Step& PartGrowth::step_at(double fed_mm) const {
  for (const Step& step : steps)
    if (fed_mm <= step.fed.fed_to_mm) return step;
  return steps.back();
}

Eigen::Isometry3d PartGrowth::X_FP(double fed_mm) const {
  const FedStep& fed = step_at(fed_mm).fed;
  const double length = fed.fed_to_mm - fed.fed_from_mm, at = std::clamp(fed_mm, fed.fed_from_mm, fed.fed_to_mm);
  // The frame of what is in the bend, also at its end, where the next bend may be turned to another side.
  const FedSegment& bent = blank.segments()[fed.segment];
  const Eigen::Isometry3d X_PB = bent.X_PS * frame_along(bent.shape, at - blank.starts_mm()[fed.segment]);
  return fed.X_FB(length > 0.0 ? (at - fed.fed_from_mm) / length : 0.0) * X_PB.inverse();
}

}  // namespace coilwright
