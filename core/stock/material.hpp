// What the stock is made of. Every value carries where it comes from.
#pragma once

#include <coilwright/quantity/finding.hpp>
#include <coilwright/quantity/quantity.hpp>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

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
  // What such stock really has, where known: a certificate's minimum understates springback.
  std::optional<Stress> typical_yield = {};
  double density_kg_m3 = 0.0;
  std::optional<Stress> tensile;             // minimum tensile strength
  std::optional<double> elongation_percent;  // minimum elongation after fracture
  // Where each value comes from: standard, "from memory", "common practice, no source", "given"; empty for
  // a value that is not there.
  struct Sources {
    std::string modulus, poisson, yield, hardening, density, tensile, elongation, typical_yield = {};
  } source;

  // G = E / (2 (1 + nu)), isotropic.
  [[nodiscard]] Stress shear_modulus() const { return modulus / (2.0 * (1.0 + poisson)); }
};

// What no metal can be, each with the rule; empty when it can. The findings are about "stock.yield",
// "stock.hardening", "stock.poisson", "stock.modulus", "stock.density", "stock.power_law_strength",
// "stock.power_law_exponent": yield above the tensile strength or not far below the modulus, a tangent modulus of
// the modulus or more, Poisson's ratio of 0.5 or more, a power law that does not rise from the yield.
Findings check_material(const Material& material);

// The materials the program knows, in a fixed order.
std::span<const Material> known_materials();

// By its name or a usual alias, without regard to case, spaces, hyphens and points ("s 235", "a500-gr-b").
// A name that is not known is refused with the nearest known one, a word that stands for several grades
// ("copper", "stainless") with those to choose from. The finding is about "stock.material".
Result<Material> find_material(std::string_view name);
// Those of a user come first, by their own names.
Result<Material> find_material(std::string_view name, const std::vector<Material>& own);

}  // namespace coilwright
