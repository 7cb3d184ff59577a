// The outline, the torsion and the shear centre of each kind of section. For Section::from.
#pragma once

#include <coilwright/stock/section.hpp>

namespace coilwright {

// The key of a job that gives this kind.
std::string section_key(const Section::Kind& kind);
// Without trailing zeros: "42.4", "3.556".
std::string short_mm(Length length, int decimals = 3);

// All that is wrong with the measures; empty when the outline can be made.
Findings faults_of(const Section::Kind& kind);
// The loops, wherever the origin lies; for a kind without faults.
std::vector<OutlineLoop> loops_of(const Section::Kind& kind);

struct Torsion {
  double constant_mm4, plastic_modulus_mm3;
};
Torsion torsion_of(const Section::Kind& kind, const Outline& outline);
// From the same origin as the loops.
std::optional<std::array<double, 2>> shear_centre_of(const Section::Kind& kind, const Outline& outline);

std::string section_text(const Section::Kind& kind);

}  // namespace coilwright
