#include <cmath>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/shown.hpp>

namespace coilwright {
namespace {

constexpr double newtons_per_lbf = 4.4482216152605;
constexpr double kg_per_lb = 0.45359237;
constexpr double m2_per_ft2 = 0.3048 * 0.3048;

// The metric text, the text in inches and pounds, or the second in brackets behind the first.
std::string as_shown(const std::string& metric, const std::string& inch, Show show) {
  switch (show) {
    case Show::mm:
      return metric;
    case Show::inch:
      return inch;
    case Show::both:
      break;
  }
  return metric + " (" + inch + ")";
}

std::string inches_number(Length length, int mm_decimals) { return number_text(length.inches(), mm_decimals + 2); }

std::string signed_number(const std::string& number) { return number.starts_with('-') ? number : "+" + number; }

}  // namespace

std::vector<System> systems(Show show) {
  if (show == Show::mm) return {System::metric};
  if (show == Show::inch) return {System::inch};
  return {System::metric, System::inch};
}

std::string fine_text(Length length, Show show, int decimals) {
  return as_shown(mm_text(length, decimals), inches_number(length, decimals) + " in", show);
}

std::string keep_out_text(double mm, Show show) { return fine_text(Length::mm(std::ceil(mm)), show, 0); }

std::string step_text(Length length, Show show, int decimals) {
  return as_shown(signed_number(mm_text(length, decimals)), signed_number(inches_number(length, decimals)) + " in",
                  show);
}

std::string force_text(Force force, Show show) {
  const double newtons = force.newtons(), lbf = newtons / newtons_per_lbf;
  const std::string metric = std::abs(newtons) < 999.5 ? number_text(newtons, 0) + " N"
                                                       : number_text(force.kilonewtons(), 2) + " kN";
  return as_shown(metric, number_text(lbf, std::abs(lbf) < 9.95 ? 1 : 0) + " lbf", show);
}

std::string mass_text(double kg, Show show) {
  const int decimals = kg < 9.995 ? 2 : 1;
  return as_shown(number_text(kg, decimals) + " kg", number_text(kg / kg_per_lb, decimals) + " lb", show);
}

std::string surface_text(double m2, Show show) {
  return as_shown(number_text(m2, 3) + " m2", number_text(m2 / m2_per_ft2, 2) + " ft2", show);
}

std::string stress_text(Stress stress, Show show) {
  return as_shown(number_text(stress.mpa(), 0) + " MPa", number_text(stress.ksi(), 1) + " ksi", show);
}

std::string band_text(Length from, Length to, Show show, int decimals) {
  return as_shown(number_text(from.mm(), decimals) + " to " + mm_text(to, decimals),
                  inches_number(from, decimals) + " to " + inches_number(to, decimals) + " in", show);
}

std::string short_number(double value, int decimals) {
  std::string text = number_text(value, decimals);
  if (text.find('.') == std::string::npos) return text;
  text.erase(text.find_last_not_of('0') + 1);
  if (text.ends_with('.')) text.pop_back();
  return text;
}

std::string bare_length(Length length, System system, int decimals) {
  return system == System::metric ? number_text(length.mm(), decimals) : inches_number(length, decimals);
}

std::string bare_force(Force force, System system) {
  return system == System::metric ? number_text(force.kilonewtons(), 2)
                                  : number_text(force.newtons() / newtons_per_lbf, 0);
}

std::string length_unit(System system) { return system == System::metric ? "mm" : "in"; }
std::string force_unit(System system) { return system == System::metric ? "kN" : "lbf"; }

}  // namespace coilwright
