// What rolling does to the section itself: estimates, labelled as such.
#pragma once

#include <coilwright/quantity/quantity.hpp>
#include <coilwright/stock/section.hpp>
#include <optional>

namespace coilwright {

struct Distortion {
  double strain_percent;       // outer fibre at the loaded radius, 100 c_o / R
  double free_strain_percent;  // at the finished radius
  // Of a tube, (Dmax - Dmin) / D after release, free bending without groove support: 0.015 (k D^2 / t)^2
  // with a band of 0.7 to 1.8 times (fit to an own ring calculation, DEVELOPERS.md; no groove, no roll
  // contact, not verified on a machine).
  struct Ovality {
    double percent, low_percent, high_percent;
  };
  std::optional<Ovality> ovality;
  // Wall of a tube after bending: volume kept, hoop free: t (1 -+ strain / 2).
  std::optional<Length> wall_outside, wall_inside;
};

Distortion distortion(const Section& section, Length loaded_radius, Length free_radius);

}  // namespace coilwright
