#include <coilwright/report/scale_reading.hpp>

namespace coilwright {

std::optional<Length> travel_reading(const Scales& scales, const PassPlan& pass) {
  if (!scales.touch_reading) return std::nullopt;
  const Length run_in = pass.travel + pass.frame_give.value_or(Length());
  return scales.travel_reads_up ? *scales.touch_reading + run_in : *scales.touch_reading - run_in;
}

std::optional<Length> own_roll_rise(const LiftPlan& plan, Length lift) {
  if (!plan.roll_top_lift) return std::nullopt;
  return lift + (*plan.roll_top_lift - plan.nominal.lift);
}

std::optional<Length> lift_reading(const Scales& scales, const LiftPlan& plan, Length lift) {
  if (!scales.lift_reading_at_pass_height) return std::nullopt;
  const Length rise = own_roll_rise(plan, lift).value_or(lift);
  return scales.lift_reads_up ? *scales.lift_reading_at_pass_height + rise
                              : *scales.lift_reading_at_pass_height - rise;
}

}  // namespace coilwright
