#include <coilwright/plan/plan_steps.hpp>
#include <coilwright/quantity/number_text.hpp>

namespace coilwright::plan_steps {
namespace {

std::string stress_text(Stress stress, Show show) {
  const std::string mpa = number_text(stress.mpa(), 0) + " MPa", ksi = number_text(stress.ksi(), 1) + " ksi";
  if (show == Show::mm) return mpa;
  return show == Show::inch ? ksi : mpa + " (" + ksi + ")";
}

std::string measured_text(MeasuredTo to) {
  switch (to) {
    case MeasuredTo::centreline: return "to the centreline";
    case MeasuredTo::inside: return "to the inside face";
    case MeasuredTo::outside: return "to the outside face";
  }
  return "";
}

void echo_segments(Plan& plan) {
  const std::vector<Segment>& segments = plan.part->part.segments();
  for (std::size_t i = 0; i < segments.size(); ++i)
    plan.understood.push_back({"segment " + std::to_string(i + 1), segments[i].made_from(), "given"});
}

void echo_coil(Plan& plan) {
  const Job& job = plan.job;
  const Coil& coil = plan.coil;
  const auto add = [&](std::string label, std::string value, std::string origin) {
    plan.understood.push_back({std::move(label), std::move(value), std::move(origin)});
  };
  add("coil", coil.made_from(), "given");
  if (job.coil.radius || job.coil.diameter)
    add("measured", measured_text(job.coil.measured_to), job.measured_to_given ? "given" : "assumed");
  add("plan radius to the centreline", length_text(coil.helix().plan_radius(), job.show), coil.origin_of(CoilMeasure::radius));
  add("pitch, rise in one full turn", length_text(coil.helix().pitch(), job.show), coil.origin_of(CoilMeasure::pitch));
  add("turns", number_text(coil.turns(), 4) + " (" + number_text(coil.sweep().deg(), 2) + " degrees)",
      coil.origin_of(CoilMeasure::turns));
  add("direction", std::string(hand_text(coil.hand())), job.coil.hand ? "given" : "a ring has none");
}

}  // namespace

void echo_inputs(Plan& plan) {
  const Job& job = plan.job;
  const Show show = job.show;
  const auto add = [&](std::string label, std::string value, std::string origin) {
    plan.understood.push_back({std::move(label), std::move(value), std::move(origin)});
  };
  if (plan.part) echo_segments(plan);
  else echo_coil(plan);
  add("stock", job.stock.section.text(), job.stock.size_source.empty() ? "given as " + job.stock.designation
                                                                       : job.stock.designation + ", " + job.stock.size_source);
  const Material& m = job.stock.material;
  add("material", m.name, "");
  add("yield", stress_text(m.yield, show), m.source.yield);
  add("hardening after yield", stress_text(m.hardening, show), m.source.hardening);
  add("elastic modulus", stress_text(m.modulus, show), m.source.modulus);
  add("Poisson's ratio", number_text(m.poisson, 2), m.source.poisson);
  add("density", number_text(m.density_kg_m3, 0) + " kg/m3", m.source.density);
  for (const Length bar : job.stock.stock_lengths) add("stock length", length_text(bar, show), "given");
  add("machine", job.machine.name, job.machine_origin);
  add("outer-roll spacing", length_text(job.machine.rolls.outer_spacing, show), job.machine_origin);
  add("clearance asked for", length_text(job.clearance_margin, show), job.clearance_margin_given ? "given" : "assumed");
}

}  // namespace coilwright::plan_steps
