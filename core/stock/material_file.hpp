// A shop's own materials, in a TOML file: one [[material]] for each.
//
//   [[material]]
//   name = "tube mill lot 14"
//   yield_mpa = 310                # as measured or certified
//   modulus_mpa = 210000
//   density_kg_m3 = 7850
//   source = "certificate 4711"    # told wherever the values are shown
//   # and, if known: typical_yield_mpa, tensile_mpa, elongation_percent, poisson (0.3), hardening_mpa (E/100), or
//   # Swift's law by strength_mpa and exponent
#pragma once

#include <coilwright/stock/material.hpp>
#include <vector>

namespace coilwright {

// Refuses, with place: keys not known, what is missing, values out of range, and what check_material refuses.
Result<std::vector<Material>> read_materials(std::string_view text, const std::string& name);
Result<std::vector<Material>> read_materials_file(const std::string& path);

}  // namespace coilwright
