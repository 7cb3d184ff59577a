// The bar as bought: section, material and the lengths it is sold in.
#pragma once

#include <coilwright/stock/material.hpp>
#include <coilwright/stock/section.hpp>
#include <string>
#include <vector>

namespace coilwright {

struct Stock {
  Section section;
  Material material;
  std::string designation;  // as asked for: "42.4x2.6 mm", "NPS 1-1/4 Sch 40"
  std::string size_source;  // the standard a size was looked up in; empty when dimensions were given
  std::vector<Length> stock_lengths;  // empty: not known, to be asked

  [[nodiscard]] double mass_per_metre_kg() const {
    return section.area_mm2() * 1e-6 * material.density_kg_m3;
  }
  [[nodiscard]] double surface_per_metre_m2() const { return section.perimeter().mm() * 1e-3; }
  [[nodiscard]] double bending_stiffness_n_mm2() const {  // EI
    return material.modulus.mpa() * section.inertia_mm4();
  }
  [[nodiscard]] double torsion_stiffness_n_mm2() const {  // GJ
    return material.shear_modulus().mpa() * section.torsion_constant_mm4();
  }
};

}  // namespace coilwright
