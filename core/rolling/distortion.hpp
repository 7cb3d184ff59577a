// What rolling does to the section itself: estimates, labelled as such.
#pragma once

#include <coilwright/quantity/quantity.hpp>
#include <coilwright/rolling/moment_curvature.hpp>
#include <coilwright/stock/section.hpp>
#include <optional>
#include <string_view>
#include <vector>

namespace coilwright {

struct Distortion {
  double strain_percent;       // outer fibre at the loaded radius, 100 c_o / R
  double free_strain_percent;  // at the finished radius
  // Of a round tube, (Dmax - Dmin) / D after release, free bending without groove support: 0.015 (k D^2 / t)^2
  // with a band of 0.7 to 1.8 times (fit to an own ring calculation, DEVELOPERS.md; no groove, no roll
  // contact, not verified on a machine). Of other sections nothing is known.
  struct Ovality {
    double percent, low_percent, high_percent;
  };
  std::optional<Ovality> ovality;
  // Wall of a round, square or rectangular tube on the outside and the inside of the bend, volume kept, strain e
  // there. The hoop free to follow: t (1 -+ e / 2). The hoop held, all of the strain goes into the wall:
  // t / (1 +- e). The real wall lies between.
  std::optional<Length> wall_outside, wall_inside;                // hoop free
  std::optional<Length> wall_outside_least, wall_inside_most;     // hoop held
};

Distortion distortion(const Section& section, Length loaded_radius, Length free_radius);

// Reasons of the section and its material not to bend tighter. None of them is a standard; each says where it
// comes from.
enum class BendGuide {
  elongation,     // outer-fibre strain c_o / R against the minimum elongation after fracture
  wrinkling,      // round tube: strain on the inside 0.5 t / D (from memory, unverified)
  wall_buckling,  // square and rectangular tube: strain on the inside 3.29 (t / b)^2, b the flat of the inner wall:
                  // pi^2 / 3 (t / b)^2, a long plate with hinged edges by deformation theory without hardening
                  // (Stowell, NACA TN 1556, 1948, from memory). The side walls support the edge better: early
  wall_dishing,   // likewise: the bent wall under full yield presses inward with fy t / R; a strip of width b with
                  // hinged sides yields across at 2 fy t^2 / b^2, so R = b^2 / (2 t) (derived here; built in at the
                  // sides it would be half of that). It dishes, the side walls bulge
};
std::string_view bend_guide_text(BendGuide guide);    // what happens below: "the inner face may wrinkle"
std::string_view bend_guide_origin(BendGuide guide);  // where the rule comes from

struct GuideRadius {
  BendGuide guide;
  Length loaded_radius;  // of the neutral axis under load; below it the guide speaks
  double guide_strain_percent;  // at that radius, on the side of the bend it is about
};
std::vector<GuideRadius> bend_guides(const Section& section, std::optional<double> elongation_percent);

// The radius that is left of a loaded one. None: it springs back to straight.
std::optional<Length> released_radius(const MomentCurvature& law, Length loaded_radius);

// Permitted variation from theoretical curvature by ANSI/AISC 303, section 6.4.2 (as quoted in Modern Steel
// Construction, April 2019, p. 39): the sweep that ASTM A6 permits a straight member of the same length. That is
// taken as 1/8 in per 10 ft, L / 960 (A6 for shapes with flanges of 6 in and wider, as tabulated in the AISC Manual,
// 14th ed., Table 1-22; narrower ones are allowed twice that; A6 does not speak of tube). A difference of curvature
// bows a member of length L by dk L^2 / 8, unrolled: so dk = 1 / (120 L).
struct CurvatureVariation {
  Length bow;                      // either way, over the whole length
  Length tightest;                 // bend radius
  std::optional<Length> slackest;  // none: even straight would do
};
CurvatureVariation permitted_curvature_variation(Length developed_length, Length bend_radius);

}  // namespace coilwright
