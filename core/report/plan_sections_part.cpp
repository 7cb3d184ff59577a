#include <cmath>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/plan_sections.hpp>
#include <coilwright/report/shown.hpp>
#include <string>

namespace coilwright {
namespace {

void tolerance_row(TextPage& page, const Plan& plan) {
  const Show show = plan.job.show;
  const Tolerances& tolerance = plan.job.tolerance;
  std::string asked;
  const auto add = [&](const std::string& what) { asked += (asked.empty() ? "" : ", ") + what; };
  if (tolerance.radius) add("radius +-" + fine_text(*tolerance.radius, show));
  if (tolerance.rise) add("rise +-" + fine_text(*tolerance.rise, show));
  if (tolerance.distortion_percent)
    add("distortion of the section up to " + short_number(*tolerance.distortion_percent, 2) + " % (the shop's own figure)");
  if (tolerance.curvature) add("curvature by AISC 303, 6.4.2");
  if (!asked.empty()) page.row("Tolerance asked", asked + "; nothing here promises it before a trial piece is gauged");
}

void mass_rows(TextPage& page, const Plan& plan) {
  const double metres = plan.developed_length().mm() / 1000.0;
  page.row("Mass of the part", mass_text(metres * plan.job.stock.mass_per_metre_kg(), plan.job.show));
  page.row("Surface", surface_text(metres * plan.job.stock.surface_per_metre_m2(), plan.job.show) + ", outside, of the part");
}

// Stock with flat faces must twist along a helix, by its torsion, if the top is to stay level across.
void twist_row(TextPage& page, const Plan& plan) {
  const double torsion = std::abs(plan.coil.helix().torsion().per_mm());
  if (torsion == 0.0 || plan.job.stock.section.round()) return;
  const double per_metre = Angle::rad(1000.0 * torsion).deg();
  std::string text = number_text(per_metre, 2) + " deg a metre";
  if (!plan.part) text += ", " + number_text(per_metre * plan.coil.developed_length().mm() / 1000.0, 1) + " deg in all";
  page.row("Twist of the stock", text + ", so that its top face stays level across");
}

std::string bend_words(const SegmentCurve& curve, Show show) {
  const double at_start = curve.curvature(0.0), at_end = curve.curvature(curve.length_mm());
  if (curve.greatest_curvature() == 0.0) return "not bent";
  std::string text = "bend radius " + length_text(Length::mm(1.0 / at_start), show);
  if (at_end != at_start) text += " to " + length_text(Length::mm(1.0 / at_end), show);
  return text;
}

void segments_section(TextPage& page, const Plan& plan) {
  const Show show = plan.job.show;
  const Part& part = plan.part->part;
  page.heading("The part");
  for (std::size_t i = 0; i < part.segments().size(); ++i) {
    const Segment& segment = part.segments()[i];
    page.item(std::to_string(i + 1) + ".", segment.made_from() + "; " + length_text(segment.length(), show) + " long, " +
                                               bend_words(segment.curve(), show));
  }
  page.gap();
  page.row("Developed length", length_text(plan.developed_length(), show) + ", along the centreline");
  page.row("Inside and outside", length_text(part.inside_length(), show) + " along the inside face, " +
                                     length_text(part.outside_length(), show) + " along the outside face");
  const Extent extent = part.overall_extent();
  page.row("Overall size", length_text(extent.width, show) + " along the direction in which it starts, " +
                               length_text(extent.depth, show) + " across, " + length_text(extent.height, show) + " high");
  mass_rows(page, plan);
  twist_row(page, plan);
  tolerance_row(page, plan);
}

}  // namespace

void part_section(TextPage& page, const Plan& plan) {
  if (plan.part) return segments_section(page, plan);
  const Show show = plan.job.show;
  const Coil& coil = plan.coil;
  const Helix& helix = coil.helix();
  page.heading("The part");
  page.row("Turns", short_number(coil.turns(), 4) + " (" + short_number(coil.turns() * 360.0, 1) + " deg in plan)");
  page.row("Developed length", length_text(coil.developed_length(), show) + ", along the centreline");
  page.row("Inside and outside", length_text(coil.inside_length(), show) + " along the inside face, " +
                                     length_text(coil.outside_length(), show) + " along the outside face");
  page.row("Rise", length_text(coil.rise(), show) + ", centreline end to end");
  page.row("Overall height", length_text(coil.overall_height(), show) + ", with the thickness of the stock");
  page.row("Pitch", length_text(helix.pitch(), show) + ", the rise in one full turn");
  page.row("Rise per quarter turn", length_text(coil.rise_per_quarter_turn(), show));
  page.row("Slope", number_text(helix.slope().deg(), 2) + " deg, of the centreline, at " +
                        length_text(helix.plan_radius(), show));
  mass_rows(page, plan);
  twist_row(page, plan);
  tolerance_row(page, plan);

  page.subheading("Three radii, each to the centreline, each for something else");
  page.row("Plan radius", length_text(helix.plan_radius(), show) + ": what the drawing shows, seen along the axis");
  page.row("Flat-then-pull radius", length_text(helix.flat_then_pull_radius(), show) +
                                        ": for rolling flat and pulling to pitch afterwards (R / cos slope)");
  page.row("Bend radius", length_text(helix.bend_radius(), show) +
                              ": for rolling the pitch in, and what a gauge on the rail reads (R / cos^2 slope)");
}

}  // namespace coilwright
