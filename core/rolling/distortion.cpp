#include <coilwright/rolling/distortion.hpp>
#include <numbers>

namespace coilwright {
namespace {

void wall_after_bending(Distortion& d, Length wall, double outer_strain, double inner_strain) {
  d.wall_outside = wall * (1.0 - 0.5 * outer_strain);
  d.wall_outside_least = wall / (1.0 + outer_strain);
  d.wall_inside = wall * (1.0 + 0.5 * inner_strain);
  // No wall grows without bound: at a strain of 1 the inner face has no length left.
  if (inner_strain < 1.0) d.wall_inside_most = wall / (1.0 - inner_strain);
}

}  // namespace

Distortion distortion(const Section& section, Length loaded_radius, Length free_radius) {
  Distortion d{};
  const double strain = section.outer_face() / loaded_radius;
  const double inner_strain = section.inner_face() / loaded_radius;
  d.strain_percent = 100.0 * strain;
  d.free_strain_percent = 100.0 * (section.outer_face() / free_radius);
  if (const auto* tube = std::get_if<RoundTube>(&section.kind())) {
    const double D = tube->outside_diameter.mm();
    const double bent = D * D / (tube->wall.mm() * loaded_radius.mm());
    const double percent = 100.0 * 0.015 * bent * bent;
    d.ovality = {percent, 0.7 * percent, 1.8 * percent};
    wall_after_bending(d, tube->wall, strain, inner_strain);
  } else if (const auto* box = std::get_if<RectangularTube>(&section.kind())) {
    wall_after_bending(d, box->wall, strain, inner_strain);
  }
  return d;
}

std::string_view bend_guide_text(BendGuide guide) {
  switch (guide) {
    case BendGuide::elongation: return "the outer fibre may crack";
    case BendGuide::wrinkling: return "the inner face may wrinkle";
    case BendGuide::wall_buckling: return "the inner wall may buckle";
    case BendGuide::wall_dishing: return "the walls dish in and the side walls bulge";
  }
  return "";
}

std::string_view bend_guide_origin(BendGuide guide) {
  switch (guide) {
    case BendGuide::elongation: return "strain against the material's minimum elongation after fracture";
    case BendGuide::wrinkling: return "strain of half the wall over the diameter, from memory, unverified";
    case BendGuide::wall_buckling:
      return "strain of 3.29 (wall / flat width)^2, a plate with hinged edges by deformation theory (Stowell 1948, from "
             "memory), early because the side walls hold the edges";
    case BendGuide::wall_dishing:
      return "flat width squared over twice the wall, a strip that yields across under the inward pull of the bent wall, "
             "derived for this program, unverified";
  }
  return "";
}

std::vector<GuideRadius> bend_guides(const Section& section, std::optional<double> elongation_percent) {
  std::vector<GuideRadius> guides;
  const auto at_strain = [&](BendGuide guide, Length face, double strain) {
    guides.push_back({guide, face / strain, 100.0 * strain});
  };
  if (elongation_percent && *elongation_percent > 0.0)
    at_strain(BendGuide::elongation, section.outer_face(), 0.01 * *elongation_percent);
  if (const auto* tube = std::get_if<RoundTube>(&section.kind())) {
    at_strain(BendGuide::wrinkling, section.inner_face(), 0.5 * (tube->wall / tube->outside_diameter));
  } else if (const auto* box = std::get_if<RectangularTube>(&section.kind())) {
    // The inner wall lies along the shafts between the corners of the side walls.
    const Length flat = box->height - 2.0 * box->outside_radius();
    if (flat > Length()) {
      const double slenderness = flat / box->wall;
      constexpr double hinged_plate = std::numbers::pi * std::numbers::pi / 3.0;
      at_strain(BendGuide::wall_buckling, section.inner_face(), hinged_plate / (slenderness * slenderness));
      const Length dishing = flat * (0.5 * slenderness);
      guides.push_back({BendGuide::wall_dishing, dishing, 100.0 * (section.inner_face() / dishing)});
    }
  }
  return guides;
}

std::optional<Length> released_radius(const MomentCurvature& law, Length loaded_radius) {
  const double loaded = 1.0 / loaded_radius.mm();
  if (loaded <= law.first_yield_curvature()) return std::nullopt;
  const double free = loaded - law.release(loaded).in_plane;
  if (!(free > 0.0)) return std::nullopt;
  return Length::mm(1.0 / free);
}

CurvatureVariation permitted_curvature_variation(Length developed_length, Length bend_radius) {
  const double variation = 1.0 / (120.0 * developed_length.mm());
  const double curvature = 1.0 / bend_radius.mm();
  CurvatureVariation permitted{developed_length / 960.0, Length::mm(1.0 / (curvature + variation)), std::nullopt};
  if (curvature > variation) permitted.slackest = Length::mm(1.0 / (curvature - variation));
  return permitted;
}

}  // namespace coilwright
