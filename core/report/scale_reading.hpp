// What the machine's own scales show at a setting.
#pragma once

#include <coilwright/plan/job.hpp>
#include <coilwright/rolling/roll_programme.hpp>
#include <coilwright/rolling/rolling_plan.hpp>
#include <optional>

namespace coilwright {

// Centre roll: reading at touch plus or minus travel and frame give. The frame gives way under the rolling
// force, so the slide has to run in by that much more. None without a reading at touch.
std::optional<Length> travel_reading(const Scales& scales, const PassPlan& pass);
std::optional<Length> travel_reading(const Scales& scales, const Rolls& rolls, const ProgrammeSetting& setting);

// What the outboard roll itself rises when the tube's centreline there rises by `lift`: the difference of
// the two, known at the nominal lift, hardly changes over the band. None without the roll's radius.
std::optional<Length> own_roll_rise(const LiftPlan& plan, Length lift);

// Outboard roll: reading at pass height plus or minus the rise of the roll itself, or of the centreline
// where the roll's radius is not known. None without a reading at pass height.
std::optional<Length> lift_reading(const Scales& scales, const LiftPlan& plan, Length lift);

std::optional<Length> lift_reading(const Scales& scales, const ProgrammeSetting& setting);

}  // namespace coilwright
