#include <coilwright/rolling/distortion.hpp>

namespace coilwright {

Distortion distortion(const Section& section, Length loaded_radius, Length free_radius) {
  Distortion d{};
  const double strain = section.outer_face() / loaded_radius;
  d.strain_percent = 100.0 * strain;
  d.free_strain_percent = 100.0 * (section.outer_face() / free_radius);
  if (const auto* tube = std::get_if<RoundTube>(&section.kind())) {
    const double D = tube->outside_diameter.mm();
    const double bent = D * D / (tube->wall.mm() * loaded_radius.mm());
    const double percent = 100.0 * 0.015 * bent * bent;
    d.ovality = {percent, 0.7 * percent, 1.8 * percent};
    d.wall_outside = tube->wall * (1.0 - 0.5 * strain);
    d.wall_inside = tube->wall * (1.0 + 0.5 * strain);
  }
  return d;
}

}  // namespace coilwright
