// What the stock is made of. Every value carries where it comes from.
#pragma once

#include <coilwright/quantity/finding.hpp>
#include <coilwright/quantity/quantity.hpp>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace coilwright {

// Swift's hardening: stress = strength (e0 + plastic strain)^exponent, e0 such that it starts at the yield.
struct PowerLaw {
  Stress strength;  // K, above the yield
  double exponent;  // n, between 0 and 1
};

struct Material {
  std::string name;      // as the standard writes it: "S235"
  Stress modulus;        // E, Young's modulus
  double poisson = 0.3;  // nu
  Stress yield;          // minimum of the standard unless a user gives a measured one: a floor, the
                         // real one is higher and springs back more
  Stress hardening;      // tangent modulus after yield, d(stress)/d(strain)
  std::optional<PowerLaw> power_law = {};  // instead of the straight line of `hardening`
  double density_kg_m3 = 0.0;
  std::optional<Stress> tensile;             // minimum tensile strength
  std::optional<double> elongation_percent;  // minimum elongation after fracture
  // Where each value comes from: standard, "from memory", "common practice, no source", "given"; empty for
  // a value that is not there.
  struct Sources {
    std::string modulus, poisson, yield, hardening, density, tensile, elongation;
  } source;

  // G = E / (2 (1 + nu)), isotropic.
  [[nodiscard]] Stress shear_modulus() const { return modulus / (2.0 * (1.0 + poisson)); }
};

// The materials the program knows, in a fixed order.
std::span<const Material> known_materials();

// By its name or a usual alias, without regard to case, spaces, hyphens and points ("s 235", "a500-gr-b").
// A name that is not known is refused with the nearest known one, a word that stands for several grades
// ("copper", "stainless") with those to choose from. The finding is about "stock.material".
Result<Material> find_material(std::string_view name);

}  // namespace coilwright
