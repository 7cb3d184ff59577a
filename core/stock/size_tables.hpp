// Sizes of round tube and pipe from the standards, as tabulated in published tables that cite them (the
// standards' own pages were not read). Dimensions are nominal.
#pragma once

#include <coilwright/quantity/quantity.hpp>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace coilwright {

struct RoundSize {
  std::string name;  // as read_tube reads it: "NPS 1-1/4 Sch 40", "EN 10219 42.4x2.5", "HSS1.900X0.145"
  Length outside_diameter, wall;
  std::string source;
};

// All of them, in a fixed order: pipe, then the metric tube series, then HSS.
std::span<const RoundSize> known_round_sizes();

// Pipe by its nominal size, which is not its outside diameter. ASME B36.10M-2004 (5, 10, 40, 80, 160, STD,
// XS, XXS) and B36.19M-2004 (5S, 10S, 40S, 80S), NPS 1/2 to 6.
struct PipeSchedule {
  std::string_view name;  // "40", "40S", "STD"
  Length wall;
  std::string_view source;
};
struct Pipe {
  std::string_view nps;  // "1-1/4"
  double nominal_inches;
  int dn;
  Length outside_diameter;
  std::vector<PipeSchedule> schedules;  // by growing wall
};
std::span<const Pipe> known_pipes();

// Channels and angles with their rounding, in mm; the way they lie is the user's.
struct ChannelSize {
  std::string_view name;  // "UPE 80"
  Length height, flange_width, web, flange, root_radius, toe_radius;
  double taper;
  std::string_view source;
};
std::span<const ChannelSize> known_channels();
struct AngleSize {
  std::string_view name;  // "L50x50x5"
  Length long_leg, short_leg, thickness, root_radius;  // toe radius: half the root radius
  std::string_view source;
};
std::span<const AngleSize> known_angles();

// Birmingham wire gauge, the gauge of tube walls.
struct TubeGauge {
  int number;
  Length wall;
};
std::span<const TubeGauge> known_tube_gauges();
inline constexpr std::string_view tube_gauge_source =
    "Birmingham wire gauge, as tabulated in a published table";

}  // namespace coilwright
