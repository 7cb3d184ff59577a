// Every value of a job: its key in a job file, and the option that gives the same value.
#pragma once

#include <coilwright/machine/keyed_values.hpp>
#include <string>
#include <vector>

namespace coilwright {

// In the order of a job file, the machine's keys under "machine.".
const std::vector<KnownKey>& job_keys();

// "coil.radius" -> "--radius", "tolerance.radius" -> "--tolerance-radius", "machine.use" -> "--machine",
// "machine.rolls.groove" -> "--rolls-groove". Empty for what only a file can hold (tables). No two are equal.
std::string flag_of(const std::string& key);

// Ways to say the same thing, of which the later layer (an option against the file) counts.
const std::vector<std::vector<std::string>>& same_thing_in_job();

}  // namespace coilwright
