#include <algorithm>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/stock/section.hpp>
#include <numbers>

namespace coilwright {
namespace {

constexpr double smallest_mm = 0.01, largest_mm = 10000.0;

// Without trailing zeros: "42.4", "3.556".
std::string short_mm(Length length, int decimals = 3) {
  std::string text = number_text(length.mm(), decimals);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

// Empty when the measure can be used; otherwise the sentence that says why not.
std::string fault_of(Length measure, std::string_view name) {
  if (!measure.finite()) return "The " + std::string(name) + " is not a number.";
  if (measure.mm() >= smallest_mm && measure.mm() <= largest_mm) return {};
  const bool huge = measure.mm() > largest_mm;
  return "The " + std::string(name) + " must lie between 0.01 mm and 10 m; " +
         (huge ? "more" : short_mm(measure, 6) + " mm") + " is given.";
}

struct Diameters {
  double outside_mm, inside_mm, wall_mm;  // a bar: inside 0, wall half the diameter
};

Diameters diameters(const Section::Kind& kind) {
  if (const auto* tube = std::get_if<RoundTube>(&kind)) {
    const double outside = tube->outside_diameter.mm(), wall = tube->wall.mm();
    return {outside, outside - 2.0 * wall, wall};
  }
  const double diameter = std::get<RoundBar>(kind).diameter.mm();
  return {diameter, 0.0, 0.5 * diameter};
}

}  // namespace

Result<Section> Section::round_tube(Length outside_diameter, Length wall) {
  Findings faults;
  for (const std::string& text : {fault_of(outside_diameter, "outside diameter"), fault_of(wall, "wall")})
    if (!text.empty()) faults.push_back({Level::fault, "stock.tube", text, std::nullopt});
  if (!faults.empty()) return refuse(std::move(faults));
  if (2.0 * wall.mm() >= outside_diameter.mm()) {
    std::string text = "A wall of " + short_mm(wall) + " mm leaves no bore in an outside diameter of " +
                       short_mm(outside_diameter) + " mm: it must be less than half of it, " +
                       short_mm(0.5 * outside_diameter) + " mm.";
    if (2.0 * outside_diameter.mm() < wall.mm())
      text += " The outside diameter comes first, then the wall.";
    else
      text += " A solid round is a bar, not a tube.";
    return refuse("stock.tube", std::move(text));
  }
  return Section(RoundTube{outside_diameter, wall});
}

Result<Section> Section::round_bar(Length diameter) {
  if (std::string text = fault_of(diameter, "diameter"); !text.empty())
    return refuse("stock.bar", std::move(text));
  return Section(RoundBar{diameter});
}

std::string Section::text() const {
  if (const auto* tube = std::get_if<RoundTube>(&kind_))
    return "round tube " + short_mm(tube->outside_diameter) + " x " + short_mm(tube->wall) + " mm";
  return "round bar " + short_mm(std::get<RoundBar>(kind_).diameter) + " mm";
}

Length Section::outside_diameter() const {
  return Length::mm(diameters(kind_).outside_mm);
}
Length Section::outer_face() const {
  return Length::mm(0.5 * diameters(kind_).outside_mm);
}
Length Section::inner_face() const {
  return outer_face();
}

// The differences of powers are factored, so that a thin wall loses no digits to cancellation.
double Section::area_mm2() const {
  const auto [outside, inside, wall] = diameters(kind_);
  return std::numbers::pi * wall * (outside - wall);
}

double Section::inertia_mm4() const {
  const auto [outside, inside, wall] = diameters(kind_);
  return area_mm2() * (outside * outside + inside * inside) / 16.0;
}

double Section::elastic_modulus_mm3() const {
  return inertia_mm4() / outer_face().mm();
}

double Section::plastic_modulus_mm3() const {
  const auto [outside, inside, wall] = diameters(kind_);
  return wall * (outside * outside + outside * inside + inside * inside) / 3.0;
}

double Section::torsion_constant_mm4() const {
  return 2.0 * inertia_mm4();
}
Length Section::perimeter() const {
  return Length::mm(std::numbers::pi * diameters(kind_).outside_mm);
}

}  // namespace coilwright
