#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <viewer/scene/palette.hpp>

namespace coilwright::view {
namespace {

constexpr Rgb near_low{219, 92, 0}, near_high{250, 190, 66};
constexpr std::array<Rgb, 3> far_stops{Rgb{160, 212, 230}, Rgb{64, 146, 206}, Rgb{24, 84, 160}};

double smallest_round_above(double value) {
  const double decade = std::pow(10.0, std::floor(std::log10(value)));
  for (const double step : {1.0, 2.0, 2.5, 5.0, 10.0})
    if (step * decade >= value) return step * decade;
  return 10.0 * decade;
}

}  // namespace

Rgb mixed(Rgb a, Rgb b, double share_of_b) {
  const auto mix = [share_of_b](unsigned char x, unsigned char y) {
    return static_cast<unsigned char>(std::lround(x + (y - x) * share_of_b));
  };
  return {mix(a.r, b.r), mix(a.g, b.g), mix(a.b, b.b)};
}

Ramp::Ramp(double margin_mm) : margin_mm_(margin_mm), far_mm_(smallest_round_above(10.0 * margin_mm)) {
  require(std::isfinite(margin_mm) && margin_mm > 0.0, "a colour ramp needs a positive margin");
}

Rgb Ramp::colour(double clearance_mm) const {
  if (clearance_mm <= 0.0) return collision;
  if (clearance_mm <= margin_mm_) return mixed(near_low, near_high, clearance_mm / margin_mm_);
  const double x = std::min(1.0, (clearance_mm - margin_mm_) / (far_mm_ - margin_mm_)) * 2.0;
  return x <= 1.0 ? mixed(far_stops[0], far_stops[1], x) : mixed(far_stops[1], far_stops[2], x - 1.0);
}

}  // namespace coilwright::view
