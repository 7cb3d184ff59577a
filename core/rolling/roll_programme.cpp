#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/lift_plan.hpp>
#include <coilwright/rolling/roll_programme.hpp>
#include <iterator>
#include <numbers>

namespace coilwright {
namespace {

// What the machine is set to at one place of the part, in one pass.
struct Setting {
  double along_mm;
  ProgrammeSetting set;
  double span_out_mm;
};

using Settings = std::vector<Setting>;  // by pass, or by place

std::variant<Settings, NoPass> settings_at(const RollingSetup& setup, const SegmentCurve& curve, double within_mm,
                                           double along_mm, int passes) {
  const double curvature = curve.curvature(within_mm);
  Settings result;
  if (curvature == 0.0) {
    const std::optional<double> level = setup.outboard_roll ? std::optional(0.0) : std::nullopt;
    result.assign(static_cast<std::size_t>(passes), {along_mm, {0.0, level, 0.0, 0.0, level}, setup.rolls.half_spacing_mm});
    return result;
  }
  const Helix helix = helix_of(curvature, std::abs(curve.torsion(within_mm)));
  const PassesOutcome outcome = roll_in_passes(setup, helix, passes);
  if (const auto* none = std::get_if<NoPass>(&outcome)) return *none;
  for (const RolledPass& pass : std::get<std::vector<RolledPass>>(outcome)) {
    ProgrammeSetting set{pass.rolling.travel_mm, std::nullopt, pass.rolling.free_curvature, pass.rolling.centre_force_n, {}};
    if (setup.outboard_roll) set.lift_mm = pass.lift ? pass.lift->state.lift.mm() : 0.0;
    if (setup.outboard_roll && setup.outboard_roll->radius) set.roll_rise_mm = pass.lift ? roll_rise(setup, pass).mm() : 0.0;
    result.push_back({along_mm, set, pass.rolling.span_out_mm});
  }
  return result;
}

Setting between(const Setting& a, const Setting& b, double along_mm) {
  const double x = (along_mm - a.along_mm) / (b.along_mm - a.along_mm);
  const auto mixed = [x](const std::optional<double>& from, const std::optional<double>& to) {
    return from && to ? std::optional(std::lerp(*from, *to, x)) : std::nullopt;
  };
  return {along_mm,
          {std::lerp(a.set.travel_mm, b.set.travel_mm, x), mixed(a.set.lift_mm, b.set.lift_mm),
           std::lerp(a.set.curvature, b.set.curvature, x), std::lerp(a.set.centre_force_n, b.set.centre_force_n, x),
           mixed(a.set.roll_rise_mm, b.set.roll_rise_mm)},
          std::lerp(a.span_out_mm, b.span_out_mm, x)};
}

// The setting of a segment, solved at growing places, at a length along the part.
Setting setting_at(const Settings& solved, double along_mm) {
  const auto after = std::find_if(solved.begin(), solved.end(), [&](const Setting& s) { return s.along_mm >= along_mm; });
  if (after == solved.begin() || solved.size() == 1) return solved.front();
  if (after == solved.end()) return solved.back();
  return between(*std::prev(after), *after, along_mm);
}

class PassWriter {
 public:
  PassWriter(const Centreline& part, const RollSpeeds& speeds) : part_(part), speeds_(speeds) {}

  // Settings of each segment in this pass, by place.
  std::vector<ProgrammeStep> write(const std::vector<Settings>& segments, double half_spacing_mm) {
    const auto& joined = part_.segments();
    // Around each joint the settings change over half the spacing, less where a segment is too short for it (judgement:
    // over a shorter way the stock would be pressed rather than rolled). Half of it lies on either side.
    std::vector<double> half(segments.size() + 1, 0.0);
    for (std::size_t i = 1; i < segments.size(); ++i)
      if (!alike(segments[i - 1].back(), segments[i].front()))
        half[i] = 0.5 * std::min({half_spacing_mm, joined[i - 1].curve.length_mm(), joined[i].curve.length_mm()});
    for (std::size_t i = 0; i < segments.size(); ++i) {
      const double from = joined[i].from_mm + half[i], to = joined[i].to_mm() - half[i + 1];
      if (half[i] > 0.0) {
        const double begun = joined[i].from_mm - half[i];
        add(ProgrammeStep::Kind::change, i, begun, from, setting_at(segments[i - 1], begun), setting_at(segments[i], from));
      }
      within(segments[i], i, from, to);
    }
    return std::move(steps_);
  }

 private:
  static bool alike(const Setting& a, const Setting& b) {
    return a.set.travel_mm == b.set.travel_mm && a.set.lift_mm == b.set.lift_mm;
  }

  void within(const Settings& solved, std::size_t segment, double from, double to) {
    if (!(to > from)) return;  // the changes at its ends take all of it
    if (solved.size() == 1) {
      add(ProgrammeStep::Kind::hold, segment, from, to, solved.front(), solved.front());
      return;
    }
    Setting begin = setting_at(solved, from);
    for (const Setting& place : solved) {
      if (place.along_mm <= from) continue;
      const double end = std::min(place.along_mm, to);
      const Setting here = setting_at(solved, end);
      add(ProgrammeStep::Kind::follow, segment, from, end, begin, here);
      if (end == to) return;
      from = end, begin = here;
    }
  }

  void add(ProgrammeStep::Kind kind, std::size_t segment, double from, double to, const Setting& a, const Setting& b) {
    const double moves = std::abs(b.set.travel_mm - a.set.travel_mm);
    const double seconds = std::max((to - from) / speeds_.feed_mm_per_s, moves / speeds_.centre_roll_mm_per_s);
    steps_.push_back({kind, segment, from, to, a.set, b.set, (to - from) / seconds, seconds});
  }

  const Centreline& part_;
  const RollSpeeds& speeds_;
  std::vector<ProgrammeStep> steps_;
};

}  // namespace

RollSpeeds roll_speeds(const Machine& machine) {
  return {machine.rolls.feed_mm_per_s.value_or(usual_feed_mm_per_s),
          machine.rolls.centre_roll_mm_per_s.value_or(usual_centre_roll_mm_per_s)};
}

std::vector<double> setting_places_mm(const SegmentCurve& curve) {
  const double length = curve.length_mm();
  if (std::holds_alternative<SegmentCurve::Screw>(curve.kind())) return {0.5 * length};
  const double eighths = std::ceil(curve.azimuth(length) / (0.25 * std::numbers::pi));
  const auto steps = static_cast<std::size_t>(std::clamp(eighths, 1.0, static_cast<double>(most_taper_steps)));
  std::vector<double> places;
  for (std::size_t i = 0; i <= steps; ++i) places.push_back(length * static_cast<double>(i) / static_cast<double>(steps));
  return places;
}

std::variant<RollProgramme, NoSetting> roll_programme(const RollingSetup& setup, const Centreline& part, int passes,
                                                      const RollSpeeds& speeds) {
  require(!part.empty() && passes >= 1, "a programme needs a part and a pass");
  require(speeds.feed_mm_per_s > 0.0 && speeds.centre_roll_mm_per_s > 0.0, "a programme needs speeds");
  // By pass, segment and place.
  std::vector<std::vector<Settings>> solved(static_cast<std::size_t>(passes));
  for (std::size_t i = 0; i < part.size(); ++i) {
    const Centreline::Joined& joined = part.segments()[i];
    for (auto& pass : solved) pass.emplace_back();
    for (const double within : setting_places_mm(joined.curve)) {
      auto outcome = settings_at(setup, joined.curve, within, joined.from_mm + within, passes);
      if (const auto* none = std::get_if<NoPass>(&outcome)) return NoSetting{i, *none};
      const Settings& settings = std::get<Settings>(outcome);
      for (std::size_t p = 0; p < solved.size(); ++p) solved[p][i].push_back(settings[p]);
    }
  }
  RollProgramme programme{{}, {}, 0.0};
  for (const std::vector<Settings>& pass : solved) {
    programme.passes.push_back(PassWriter(part, speeds).write(pass, setup.rolls.half_spacing_mm));
    for (const ProgrammeStep& step : programme.passes.back()) programme.seconds += step.seconds;
  }
  for (const ProgrammeStep& step : programme.passes.back()) {
    if (step.kind != ProgrammeStep::Kind::change) continue;
    const double clearing = solved.back()[step.segment].front().span_out_mm;
    programme.transitions.push_back({step.segment - 1, step.fed_from_mm, step.fed_to_mm + clearing,
                                     step.fed_to_mm - step.fed_from_mm, clearing});
  }
  return programme;
}

}  // namespace coilwright
