#include <algorithm>
#include <coilwright/plan/plan_steps.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/rolling/distortion.hpp>

namespace coilwright {

const Capability::RadiusReason* Capability::suggested() const {
  const RadiusReason* largest = nullptr;
  for (const RadiusReason& reason : radius_reasons) {
    if (!reason.bend_radius) return nullptr;
    if (largest == nullptr || *reason.bend_radius > *largest->bend_radius) largest = &reason;
  }
  return largest;
}

namespace plan_steps {
namespace {

std::string percent(double value, int decimals = 1) { return number_text(value, decimals) + " %"; }

// The key of the job that gave the section.
std::string section_key_of(const Section& section) {
  if (std::holds_alternative<RoundTube>(section.kind())) return "stock.tube";
  if (const auto* box = std::get_if<RectangularTube>(&section.kind()))
    return box->depth == box->height ? "stock.square" : "stock.rectangle";
  return "stock";
}

void bent_section(Plan& plan, const PassPlan& last) {
  RollingResult& rolling = plan.rolling;
  const Distortion bent = distortion(plan.job.stock.section, last.loaded_radius, last.free_radius);
  rolling.strain_percent = bent.strain_percent;
  rolling.free_strain_percent = bent.free_strain_percent;
  if (bent.ovality) {
    rolling.ovality_percent = bent.ovality->percent;
    rolling.ovality_low_percent = bent.ovality->low_percent;
    rolling.ovality_high_percent = bent.ovality->high_percent;
  }
  rolling.wall_outside = bent.wall_outside;
  rolling.wall_inside = bent.wall_inside;
  rolling.wall_outside_least = bent.wall_outside_least;
  rolling.wall_inside_most = bent.wall_inside_most;
}

std::string remedy(BendGuide guide) {
  switch (guide) {
    case BendGuide::elongation: return "Roll a larger radius or use a softer temper.";
    case BendGuide::wrinkling: return "Grooved rolls that fit, or a heavier wall, help.";
    case BendGuide::wall_buckling:
    case BendGuide::wall_dishing:
      return "A heavier wall helps, or rolls that hold the side walls; roll a trial piece.";
  }
  return "";
}

// What the section does below the radius of a guide, with the numbers.
void check_guides(Plan& plan, const PassPlan& last) {
  Remarks say(plan);
  const Section& section = plan.job.stock.section;
  for (const GuideRadius& guide : bend_guides(section, plan.job.stock.material.elongation_percent)) {
    if (last.loaded_radius >= guide.loaded_radius) continue;
    if (guide.guide == BendGuide::elongation) {
      say.fault("coil.radius", "The outer fibre stretches by " + percent(plan.rolling.strain_percent) +
                                   ", the material's minimum elongation is " + percent(guide.guide_strain_percent, 0) +
                                   ": it may crack. " + remedy(guide.guide));
      continue;
    }
    std::string happens(bend_guide_text(guide.guide));
    happens.front() = static_cast<char>(happens.front() - 'a' + 'A');
    const double inner = 100.0 * (section.inner_face() / last.loaded_radius);
    const std::string numbers = guide.guide == BendGuide::wall_dishing
                                    ? "loaded radius " + say.length(last.loaded_radius, 0) + ", guide " +
                                          say.length(guide.loaded_radius, 0)
                                    : "strain " + percent(inner) + ", guide " + percent(guide.guide_strain_percent);
    say.caution(section_key_of(section), happens + ": " + numbers + " (" + std::string(bend_guide_origin(guide.guide)) +
                                             "). " + remedy(guide.guide));
  }
}

void sideways(Plan& plan, const RollingSetup& setup, const PassPlan& last) {
  if (side_tendency(plan.job.stock.section).kind != SideTendency::Kind::bows) return;
  const double loaded = 1.0 / last.loaded_radius.mm();
  const MomentCurvature::Release release = setup.law.release(loaded);
  const double bow = release.bow_mm(1000.0);
  plan.rolling.sideways_bow = Length::mm(bow);
  Remarks say(plan);
  say.caution("rolling", "Let go by the rolls, the part bows sideways by about " + say.length(Length::mm(bow)) +
                             " on a chord of " + say.length(Length::metres(1), 0) +
                             " and tends to twist. It needs a correction roll from the side, or a second handling that takes "
                             "bow and twist out. Letting go changes the springback in the plane of the bend too: while the rolls hold it "
                             "the part has a bend radius of " + say.length(last.free_radius, 0) + ", let go " +
                             say.length(Length::mm(1.0 / (loaded - release.in_plane)), 0) + ", as planned.");
}

void radius_reasons(Plan& plan, const RollingSetup& setup) {
  Capability& capability = plan.rolling.capability;
  const auto add = [&](std::string reason, std::string origin, std::optional<Length> radius) {
    capability.radius_reasons.push_back({std::move(reason), std::move(origin), radius});
  };
  const double wrap = setup.rolls.centre_radius_mm + setup.rolls.inner_face_mm;
  if (const auto radius = released_radius(setup.law, Length::mm(wrap)))
    add("the part wraps the centre roll", "its radius and the inner face, after springback", radius);
  const SmallestBend* tightest = nullptr;
  for (const SmallestBend& bend : capability.smallest_bends)
    if (bend.bend_radius && (tightest == nullptr || *bend.bend_radius < *tightest->bend_radius)) tightest = &bend;
  if (tightest != nullptr)
    add("the machine: below, " + std::string(obstruction_text(tightest->stopped_by)),
        "computed, in " + std::to_string(tightest->passes) + (tightest->passes == 1 ? " pass" : " passes"),
        tightest->bend_radius);
  else if (!capability.smallest_bends.empty())
    add("the machine: " + std::string(obstruction_text(capability.smallest_bends.front().stopped_by)), "computed",
        std::nullopt);
  for (const GuideRadius& guide : bend_guides(plan.job.stock.section, plan.job.stock.material.elongation_percent))
    add(std::string(bend_guide_text(guide.guide)), std::string(bend_guide_origin(guide.guide)),
        released_radius(setup.law, guide.loaded_radius));
}

void check_asked(Plan& plan) {
  Remarks say(plan);
  const Tolerances& asked = plan.job.tolerance;
  RollingResult& rolling = plan.rolling;
  if (asked.distortion_percent) {
    const std::string given = "The shop allows the section a distortion of " + percent(*asked.distortion_percent) + ". ";
    if (rolling.ovality_low_percent && rolling.ovality_high_percent) {
      const bool never = *rolling.ovality_low_percent > *asked.distortion_percent;
      const bool always = *rolling.ovality_high_percent <= *asked.distortion_percent;
      say.caution("tolerance.distortion",
                  given + "The ovality of free bending is estimated at " + number_text(*rolling.ovality_low_percent, 1) +
                      " to " + percent(*rolling.ovality_high_percent) +
                      (always  ? ", within it; grooves help, denting by the roll is not counted."
                       : never ? ", above it even at its low end: a heavier wall, a larger radius or grooves that fit closely, "
                                 "and a trial piece measured across both diameters."
                               : ": only a trial piece measured across both diameters can promise it."));
    } else if (!rolling.passes.empty()) {
      say.caution("tolerance.distortion", given + "For this section no estimate of it is known here: measure a trial piece.");
    }
  }
  if (asked.curvature) {
    // Of a part of several radii the band is that of its governing segment.
    const Length bend = plan.coil.helix().bend_radius();
    const Length developed = plan.part ? plan.part->part.segments()[plan.part->governing].length() : plan.coil.developed_length();
    const CurvatureVariation permitted = permitted_curvature_variation(developed, bend);
    rolling.permitted_variation = permitted;
    say.caution("tolerance.curvature",
                "The drawing asks for the curvature by AISC 303, section 6.4.2: it may vary from the theoretical by the sweep "
                "that ASTM A6 permits a straight member of the same length. Over " + say.length(developed) + " that is " +
                    say.length(permitted.bow) + " of chord rise either way (1/8 in per 10 ft, as A6 has it for wide shapes; "
                    "narrow ones are allowed twice that, and A6 does not speak of tube), unrolled: a bend radius of " +
                    say.length(permitted.tightest) +
                    (permitted.slackest ? " to " + say.length(*permitted.slackest) : " and more") +
                    ". From tables alone the radius is known to about 15 %: only a gauged trial piece of the same lot can "
                    "promise it.");
  }
}

}  // namespace

void plan_distortion(Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes) {
  radius_reasons(plan, setup);
  if (!passes.empty()) {
    const PassPlan& last = plan.rolling.passes.back();
    bent_section(plan, last);
    check_guides(plan, last);
    sideways(plan, setup, last);
  }
  check_asked(plan);
}

}  // namespace plan_steps
}  // namespace coilwright
