#include <algorithm>
#include <coilwright/coil/coil_measures.hpp>
#include <coilwright/quantity/characters.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/number_text.hpp>

namespace coilwright {
namespace {

// Without trailing zeros: "1.1", "396".
std::string trimmed(double value, int decimals) {
  std::string text = number_text(value, decimals);
  if (text.find('.') == std::string::npos) return text;
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

std::string_view to_text(MeasuredTo to) {
  if (to == MeasuredTo::inside) return "to the inside";
  return to == MeasuredTo::outside ? "to the outside" : "to the centreline";
}

}  // namespace

std::string_view measure_name(CoilMeasure measure) {
  switch (measure) {
    case CoilMeasure::radius:
      return "radius";
    case CoilMeasure::diameter:
      return "diameter";
    case CoilMeasure::bend_radius:
      return "bend radius";
    case CoilMeasure::pitch:
      return "pitch";
    case CoilMeasure::turns:
      return "turns";
    case CoilMeasure::rise:
      return "rise";
    case CoilMeasure::sweep:
      return "sweep";
    case CoilMeasure::slope:
      return "slope";
    case CoilMeasure::length:
      return "length";
  }
  return {};
}

std::string measure_key(CoilMeasure measure) {
  std::string key = "coil." + std::string(measure_name(measure));
  std::replace(key.begin(), key.end(), ' ', '_');
  return key;
}

std::vector<GivenMeasure> given_measures(const CoilSpec& spec) {
  std::vector<GivenMeasure> all;
  const auto add_length = [&](CoilMeasure measure, const std::optional<Length>& length) {
    if (length) all.push_back({measure, length->mm()});
  };
  const auto add_angle = [&](CoilMeasure measure, const std::optional<Angle>& angle) {
    if (angle) all.push_back({measure, angle->rad()});
  };
  add_length(CoilMeasure::radius, spec.radius);
  add_length(CoilMeasure::diameter, spec.diameter);
  add_length(CoilMeasure::bend_radius, spec.bend_radius);
  add_length(CoilMeasure::pitch, spec.pitch);
  if (spec.turns) all.push_back({CoilMeasure::turns, *spec.turns});
  add_length(CoilMeasure::rise, spec.rise);
  add_angle(CoilMeasure::sweep, spec.sweep);
  add_angle(CoilMeasure::slope, spec.slope);
  add_length(CoilMeasure::length, spec.length);
  return all;
}

std::vector<CoilMeasure> kinds_of(const std::vector<GivenMeasure>& given) {
  std::vector<CoilMeasure> kinds;
  for (const GivenMeasure& g : given) kinds.push_back(g.measure);
  return kinds;
}

bool is_angle(CoilMeasure m) {
  return m == CoilMeasure::sweep || m == CoilMeasure::slope;
}

bool may_be_zero(CoilMeasure m) {
  return m == CoilMeasure::pitch || m == CoilMeasure::rise || m == CoilMeasure::slope;
}

bool makes_flat(const std::vector<GivenMeasure>& given) {
  return std::any_of(given.begin(), given.end(),
                     [](const GivenMeasure& g) { return may_be_zero(g.measure) && g.value == 0.0; });
}

std::string value_text(CoilMeasure measure, double value, int decimals) {
  if (measure == CoilMeasure::turns) return trimmed(value, 5);
  if (is_angle(measure)) return trimmed(Angle::rad(value).deg(), 3) + " degrees";
  return length_text(Length::mm(value), Show::both, decimals);
}

std::string measure_text(const GivenMeasure& given, MeasuredTo to, int decimals) {
  const std::string value = value_text(given.measure, given.value, decimals);
  if (given.measure == CoilMeasure::turns) return value + (value == "1" ? " turn" : " turns");
  std::string text = std::string(measure_name(given.measure)) + " " + value;
  if (given.measure == CoilMeasure::radius || given.measure == CoilMeasure::diameter)
    text.append(" ").append(to_text(to));
  return text;
}

std::string joined(const std::vector<std::string>& items, std::string_view last) {
  std::string text;
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (i > 0) text += i + 1 == items.size() ? std::string(last) : ", ";
    text += items[i];
  }
  return text;
}

std::string named(const std::vector<CoilMeasure>& measures, std::string_view last) {
  std::vector<std::string> names;
  for (const CoilMeasure m : measures) names.push_back("the " + std::string(measure_name(m)));
  return joined(names, last);
}

std::string pitch_is_a_length_text(std::string_view given) {
  return quoted(given) +
         " is an angle, and a pitch is a length: the rise in one full turn. An "
         "angle is a slope: give it as slope, with the radius at which it is measured, since the same stair "
         "is steeper at a smaller radius.";
}

}  // namespace coilwright
