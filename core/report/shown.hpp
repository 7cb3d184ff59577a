// Quantities as a plan prints them: in millimetres and newtons, in inches and pounds, or both side by side.
#pragma once

#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/quantity.hpp>
#include <string>
#include <vector>

namespace coilwright {

enum class System { metric, inch };
// What a table is printed in, one table each.
std::vector<System> systems(Show show);

// A setting or a gap, where a sixteenth of an inch is too coarse: "212.4 mm (8.362 in)", the inches with
// two decimals more than the millimetres (a step of 0.001 in for 0.1 mm).
std::string fine_text(Length length, Show show, int decimals = 1);
// A reach that people must stay out of: whole millimetres, rounded up.
std::string keep_out_text(double mm, Show show);
// A length as in fine_text, with its sign always shown, for a step from one setting to the next: "+5.78 mm (+0.2276 in)".
std::string step_text(Length length, Show show, int decimals = 1);
// "11.92 kN (2680 lbf)"; below 1 kN in newtons. 1 lbf = 4.4482216152605 N exactly.
std::string force_text(Force force, Show show);
// "24.6 kg (54.3 lb)"; 1 lb = 0.45359237 kg exactly.
std::string mass_text(double kg, Show show);
// "0.836 m2 (9.00 ft2)".
std::string surface_text(double m2, Show show);
// "235 MPa (34.1 ksi)".
std::string stress_text(Stress stress, Show show);
// Two ends of a band with the unit once: "212.4 to 250.8 mm (8.362 to 9.874 in)".
std::string band_text(Length from, Length to, Show show, int decimals = 1);

// At most `decimals`, without the zeros at the end: "1.1", "3".
std::string short_number(double value, int decimals);
// A length or a force of one system as a bare number for a table whose head names the unit.
std::string bare_length(Length length, System system, int decimals);
std::string bare_force(Force force, System system);
std::string length_unit(System system);
std::string force_unit(System system);

}  // namespace coilwright
