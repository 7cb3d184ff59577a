// The measures of a coil one by one: as numbers, and in words for echoes and findings. For Coil.
#pragma once

#include <coilwright/coil/coil.hpp>
#include <string>
#include <string_view>
#include <vector>

namespace coilwright {

// A measure that was given, in mm, rad or turns.
struct GivenMeasure {
  CoilMeasure measure;
  double value;
};

std::vector<GivenMeasure> given_measures(const CoilSpec& spec);  // in the order of CoilMeasure
std::vector<CoilMeasure> kinds_of(const std::vector<GivenMeasure>& given);
bool is_angle(CoilMeasure measure);
bool may_be_zero(CoilMeasure measure);                    // pitch, rise and slope of a flat coil
bool makes_flat(const std::vector<GivenMeasure>& given);  // one of them is 0

// "2700.0 mm (8'-10 5/16\")", "1.1", "28.2 degrees".
std::string value_text(CoilMeasure measure, double value, int decimals);
// "pitch 2700.0 mm (8'-10 5/16\")", "1.1 turns", "radius 800.0 mm (2'-7 1/2\") to the inside".
std::string measure_text(const GivenMeasure& given, MeasuredTo to, int decimals = 1);

// "a", "a and b", "a, b and c".
std::string joined(const std::vector<std::string>& items, std::string_view last = " and ");
// "the radius, the pitch and the turns".
std::string named(const std::vector<CoilMeasure>& measures, std::string_view last = " and ");

}  // namespace coilwright
