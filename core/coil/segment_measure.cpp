#include <algorithm>
#include <cmath>
#include <coilwright/coil/segment_measure.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/number_text.hpp>

namespace coilwright {
namespace {

std::string trimmed(double value, int decimals) {
  std::string text = number_text(value, decimals);
  if (text.find('.') == std::string::npos) return text;
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

}  // namespace

std::string_view segment_measure_name(SegmentMeasure measure) {
  switch (measure) {
    case SegmentMeasure::radius:
      return "radius";
    case SegmentMeasure::diameter:
      return "diameter";
    case SegmentMeasure::bend_radius:
      return "bend radius";
    case SegmentMeasure::start_radius:
      return "start radius";
    case SegmentMeasure::end_radius:
      return "end radius";
    case SegmentMeasure::pitch:
      return "pitch";
    case SegmentMeasure::turns:
      return "turns";
    case SegmentMeasure::angle:
      return "angle";
    case SegmentMeasure::rise:
      return "rise";
    case SegmentMeasure::slope:
      return "slope";
    case SegmentMeasure::length:
      return "length";
    case SegmentMeasure::chord:
      return "chord";
    case SegmentMeasure::chord_rise:
      return "chord rise";
  }
  return {};
}

std::string segment_measure_key(SegmentMeasure measure) {
  std::string key(segment_measure_name(measure));
  std::replace(key.begin(), key.end(), ' ', '_');
  return key;
}

bool measures_an_angle(SegmentMeasure measure) {
  return measure == SegmentMeasure::angle || measure == SegmentMeasure::slope;
}

bool measures_a_radius(SegmentMeasure measure) {
  return measure == SegmentMeasure::radius || measure == SegmentMeasure::diameter ||
         measure == SegmentMeasure::start_radius || measure == SegmentMeasure::end_radius;
}

std::string segment_value_text(SegmentMeasure measure, double value, int decimals) {
  if (measure == SegmentMeasure::turns) return trimmed(value, 5) + (value == 1.0 ? " turn" : " turns");
  if (measures_an_angle(measure)) return trimmed(Angle::rad(value).deg(), 3) + " degrees";
  return length_text(Length::mm(value), Show::both, decimals);
}

bool measures_agree(SegmentMeasure measure, double a, double b) {
  double tolerance = 0.05;  // mm
  if (measure == SegmentMeasure::turns) tolerance = 0.00005;
  if (measures_an_angle(measure)) tolerance = Angle::deg(0.005).rad();
  return std::abs(a - b) <= std::max(tolerance, 1e-6 * std::max(std::abs(a), std::abs(b)));
}

}  // namespace coilwright
