#include <coilwright/report/scale_reading.hpp>

namespace coilwright {
namespace {

std::optional<Length> reading(const std::optional<Length>& at_zero, bool reads_up, Length moved) {
  if (!at_zero) return std::nullopt;
  return reads_up ? *at_zero + moved : *at_zero - moved;
}

}  // namespace

std::optional<Length> travel_reading(const Scales& scales, const PassPlan& pass) {
  return reading(scales.touch_reading, scales.travel_reads_up, pass.travel + pass.frame_give.value_or(Length()));
}

std::optional<Length> travel_reading(const Scales& scales, const Rolls& rolls, const ProgrammeSetting& setting) {
  const double give = rolls.frame_stiffness_kn_per_mm ? setting.centre_force_n / (1000.0 * *rolls.frame_stiffness_kn_per_mm) : 0.0;
  return reading(scales.touch_reading, scales.travel_reads_up, Length::mm(setting.travel_mm + give));
}

std::optional<Length> own_roll_rise(const LiftPlan& plan, Length lift) {
  if (!plan.roll_top_lift) return std::nullopt;
  return lift + (*plan.roll_top_lift - plan.nominal.lift);
}

std::optional<Length> lift_reading(const Scales& scales, const LiftPlan& plan, Length lift) {
  return reading(scales.lift_reading_at_pass_height, scales.lift_reads_up, own_roll_rise(plan, lift).value_or(lift));
}

std::optional<Length> lift_reading(const Scales& scales, const ProgrammeSetting& setting) {
  if (!setting.lift_mm) return std::nullopt;
  return reading(scales.lift_reading_at_pass_height, scales.lift_reads_up, Length::mm(setting.roll_rise_mm.value_or(*setting.lift_mm)));
}

}  // namespace coilwright
