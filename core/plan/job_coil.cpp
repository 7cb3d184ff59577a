#include <cmath>
#include <coilwright/plan/job_coil.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <numbers>

namespace coilwright {
namespace {

// "30 deg" under pitch is a slope, which means something only together with the radius it is measured at.
std::string slope_answer(Angle slope, std::optional<Length> radius) {
  const std::string degrees = number_text(slope.deg(), 1) + " deg";
  std::string text =
      "A pitch is a length, the rise in one full turn; " + degrees + " is a slope. Give slope = \"" +
      degrees +
      "\" if it is the slope of the centreline. A slope measured at another radius of the same stair is "
      "another slope: multiply its tangent by that radius and divide by the centreline radius.";
  if (radius && slope.rad() > 0.0 && slope.rad() < 0.5 * std::numbers::pi)
    text += " At a radius of " + mm_text(*radius) + " it makes a pitch of " +
            mm_text(2.0 * std::numbers::pi * *radius * std::tan(slope.rad())) + ".";
  return text;
}

}  // namespace

std::optional<Length> read_job_pitch(ValueReader& in, const std::string& key, std::optional<Length> radius) {
  const GivenValue* given = in.values().find(key);
  const auto* text = given && given->unit.empty() ? std::get_if<std::string>(&given->value.value) : nullptr;
  if (text != nullptr)
    if (const Result<Angle> slope = read_angle(*text, key))
      return in.fault(key, slope_answer(*slope, radius)), std::nullopt;
  return in.length(key, Allowed::not_negative);
}

std::optional<Hand> read_job_direction(ValueReader& in, const std::string& prefix) {
  std::optional<Hand> hand, climbs;
  if (const auto word = in.words(prefix + "hand")) {
    if (const Result<Hand> read = read_hand(*word))
      hand = *read;
    else
      in.adopt(prefix + "hand", read.error());
  }
  if (const auto word = in.words(prefix + "climbs")) {
    if (const Result<Hand> read = read_climbs(*word))
      climbs = *read;
    else
      in.adopt(prefix + "climbs", read.error());
  }
  if (hand && climbs && *hand != *climbs)
    in.fault(prefix + "climbs", "hand and climbs contradict each other: a " + std::string(hand_text(*hand)) +
                                " climbs " + std::string(climbs_text(*hand)) +
                                " seen from above. Keep the one that is meant.");
  return hand ? hand : climbs;
}

JobCoil read_job_coil(ValueReader& in) {
  const std::size_t before = in.fault_count();
  CoilSpec spec;
  spec.radius = in.length("coil.radius", Allowed::positive);
  spec.diameter = in.length("coil.diameter", Allowed::positive);
  const std::vector<std::pair<std::string, MeasuredTo>> choices{{"centreline", MeasuredTo::centreline},
                                                                {"inside", MeasuredTo::inside},
                                                                {"outside", MeasuredTo::outside}};
  spec.measured_to = in.choice("coil.measured_to", choices).value_or(MeasuredTo::centreline);
  spec.bend_radius = in.length("coil.bend_radius", Allowed::positive);
  spec.pitch = read_job_pitch(in, "coil.pitch", spec.radius     ? spec.radius
                              : spec.diameter ? std::optional(*spec.diameter / 2.0)
                                              : std::nullopt);
  spec.turns = in.number("coil.turns", Allowed::positive);
  spec.rise = in.length("coil.rise", Allowed::not_negative);
  spec.sweep = in.angle("coil.sweep", Allowed::positive);
  spec.slope = in.angle("coil.slope", Allowed::not_negative);
  spec.length = in.length("coil.length", Allowed::positive);
  spec.hand = read_job_direction(in, "coil.");
  return {spec, in.fault_count() == before};
}

}  // namespace coilwright
