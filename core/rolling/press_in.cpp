#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/quantity/bracketed_root.hpp>
#include <coilwright/rolling/press_in.hpp>
#include <coilwright/rolling/rolling_span.hpp>

namespace coilwright {
namespace {

using namespace rolling_span;

// The press whose largest curvature is `peak`; none when no force puts the outer rolls where they stand.
std::optional<PressedIn> pressed_to(const MomentCurvature& law, const RollGeometry& rolls, const BendHistory& before,
                                    double peak) {
  if (1.0 / peak <= rolls.inner_face_mm) return std::nullopt;  // folded on to itself
  const double moment = law.moment(peak), a = rolls.half_spacing_mm;
  const SpanTable table = tabulate(law, loading_path(law, before, 0.0, moment));
  const auto span_at = [&](double log_force) { return between_rolls(table, rolls, std::exp(log_force), 0.0); };
  // More force at the outer roll means a shorter lever: what the span lacks of half the spacing rises.
  const auto shortfall = [&](double log_force) { return a + span_at(log_force).outer_axis_from_centre_axis.x(); };
  double low = std::log(least_force(table, 0.0)), at_low = shortfall(low);
  if (at_low >= 0.0) return std::nullopt;
  double high = std::max(low, std::log(moment / a)), at_high = shortfall(high);
  while (at_high < 0.0) {
    low = high, at_low = at_high;
    high += 0.25;
    at_high = shortfall(high);
  }
  const double rounding = 1e-12 * a;
  const double log_force = rising_root_between(low, at_low, high, at_high, 1e-15, rounding, shortfall);
  const Span span = span_at(log_force);
  // The outer roll pushes square to the stock there; what of it is across the roll line is half the load.
  const double force = 2.0 * span.end_shear;
  return PressedIn{force, peak, peak - moment / law.bending_stiffness(),
                   rolls.touch_height_mm() + span.outer_axis_from_centre_axis.y()};
}

}  // namespace

std::optional<PressedIn> press_in(const MomentCurvature& law, const RollGeometry& rolls, const BendHistory& before,
                                  double travel_mm) {
  require(travel_mm > 0.0 && std::isfinite(travel_mm), "a travel to press in");
  std::optional<PressedIn> at = pressed_to(law, rolls, before, before.largest_curvature);
  if (!at || at->travel_mm >= travel_mm) return at;  // the whole press stays elastic: no kink beyond the last
  double low = std::log(before.largest_curvature), at_low = at->travel_mm - travel_mm;
  // Step up until the travel is passed or nothing balances any more; then a smaller step.
  double high = low, at_high = at_low;
  for (double step = 0.5; at_high < 0.0;) {
    at = pressed_to(law, rolls, before, std::exp(low + step));
    if (!at) {
      constexpr double least_step = 1e-6;
      if ((step *= 0.5) < least_step) return std::nullopt;
      continue;
    }
    high = low + step, at_high = at->travel_mm - travel_mm;
    if (at_high < 0.0) low = high, at_low = at_high;
  }
  constexpr double travel_tolerance_mm = 1e-9;
  const double log_peak = rising_root_between(low, at_low, high, at_high, 1e-15, travel_tolerance_mm, [&](double x) {
    return pressed_to(law, rolls, before, std::exp(x))->travel_mm - travel_mm;
  });
  return pressed_to(law, rolls, before, std::exp(log_peak));
}

}  // namespace coilwright
