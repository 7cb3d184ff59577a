#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/plan_sections.hpp>
#include <coilwright/report/shown.hpp>
#include <string>

namespace coilwright {

void part_section(TextPage& page, const Plan& plan) {
  const Show show = plan.job.show;
  const Coil& coil = plan.coil;
  const Helix& helix = coil.helix();
  const double metres = coil.developed_length().mm() / 1000.0;
  page.heading("The part");
  page.row("Turns", short_number(coil.turns(), 4) + " (" + short_number(coil.turns() * 360.0, 1) + " deg in plan)");
  page.row("Developed length", length_text(coil.developed_length(), show) + ", along the centreline");
  page.row("Inside and outside", length_text(coil.inside_length(), show) + " along the inside face, " +
                                     length_text(coil.outside_length(), show) + " along the outside face");
  page.row("Rise", length_text(coil.rise(), show) + ", centreline end to end");
  page.row("Overall height", length_text(coil.overall_height(), show) + ", with the thickness of the tube");
  page.row("Pitch", length_text(helix.pitch(), show) + ", the rise in one full turn");
  page.row("Rise per quarter turn", length_text(coil.rise_per_quarter_turn(), show));
  page.row("Slope", number_text(helix.slope().deg(), 2) + " deg, of the centreline, at " +
                        length_text(helix.plan_radius(), show));
  page.row("Mass of the part", mass_text(metres * plan.job.stock.mass_per_metre_kg(), show));
  page.row("Surface", surface_text(metres * plan.job.stock.surface_per_metre_m2(), show) + ", outside, of the part");
  if (plan.job.tolerance.radius || plan.job.tolerance.rise || plan.job.tolerance.distortion_percent ||
      plan.job.tolerance.curvature) {
    std::string asked;
    if (plan.job.tolerance.radius) asked = "radius +-" + fine_text(*plan.job.tolerance.radius, show);
    if (plan.job.tolerance.rise)
      asked += (asked.empty() ? "rise +-" : ", rise +-") + fine_text(*plan.job.tolerance.rise, show);
    if (plan.job.tolerance.distortion_percent)
      asked += (asked.empty() ? "distortion of the section up to " : ", distortion of the section up to ") +
               short_number(*plan.job.tolerance.distortion_percent, 2) + " % (the shop's own figure)";
    if (plan.job.tolerance.curvature) asked += std::string(asked.empty() ? "" : ", ") + "curvature by AISC 303, 6.4.2";
    page.row("Tolerance asked", asked + "; nothing here promises it before a trial piece is gauged");
  }

  page.subheading("Three radii, each to the centreline, each for something else");
  page.row("Plan radius", length_text(helix.plan_radius(), show) + ": what the drawing shows, seen along the axis");
  page.row("Flat-then-pull radius", length_text(helix.flat_then_pull_radius(), show) +
                                        ": for rolling flat and pulling to pitch afterwards (R / cos slope)");
  page.row("Bend radius", length_text(helix.bend_radius(), show) +
                              ": for rolling the pitch in, and what a gauge on the rail reads (R / cos^2 slope)");
}

}  // namespace coilwright
