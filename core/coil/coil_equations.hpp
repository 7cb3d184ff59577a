// The numbers of a coil and the equations between them, solved for those that are not given. For Coil.
//
//     arc^2 = R^2 + c^2,  c = R tan(slope),  bend radius = arc^2 / R,  rise = c T,  length = arc T
//
// R plan radius, c rise per radian of turn (pitch / 2 pi), arc length per radian, T turn in plan.
#pragma once

#include <coilwright/coil/coil.hpp>
#include <optional>
#include <string>
#include <tl/expected.hpp>
#include <vector>

namespace coilwright {

struct CoilNumbers {
  std::optional<double> radius_mm, climb_mm, arc_mm, bend_radius_mm, slope_rad, turn_rad, rise_mm, length_mm;

  // A measure in mm, rad or turns, radius and diameter to the centreline; none if it is not known.
  [[nodiscard]] std::optional<double> value(CoilMeasure measure) const;
  void learn(CoilMeasure measure, double value);
  [[nodiscard]] bool complete() const { return radius_mm && climb_mm && turn_rad; }
};

// Whether two values of a measure (mm, rad, turns) agree as Coil::from promises.
bool agree(CoilMeasure measure, double a, double b);

// Measures no coil can have.
struct Contradiction {
  CoilMeasure about;
  std::string text;
};

// Everything that follows from what is known. Where the bend radius and the pitch leave two plan radii, the
// larger. Known numbers are finite and not negative, radius, bend radius, turn and length positive.
tl::expected<CoilNumbers, Contradiction> solve_coil(CoilNumbers known);

// Whether measures of these kinds determine `wanted`, or the whole coil, whatever their values; a pitch,
// rise or slope among them is taken as 0 when `flat`.
bool determines(const std::vector<CoilMeasure>& kinds, bool flat, CoilMeasure wanted);
bool determines_all(const std::vector<CoilMeasure>& kinds, bool flat);

}  // namespace coilwright
