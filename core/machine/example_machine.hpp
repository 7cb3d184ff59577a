// The built-in machine (example_machine() in machine.hpp) as text and as values that a job can replace.
#pragma once

#include <coilwright/machine/keyed_values.hpp>
#include <string_view>

namespace coilwright {

inline constexpr std::string_view example_machine_name = "example";  // as `use` and --machine call it
std::string_view example_machine_text();                             // as a machine file holds it
const KeyedValues& example_machine_values();

}  // namespace coilwright
