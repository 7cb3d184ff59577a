// The [stair] of a job.
#pragma once

#include <coilwright/coil/stair.hpp>
#include <coilwright/machine/value_reader.hpp>

namespace coilwright {

struct JobStair {
  StairSpec spec;
  bool understood = false;  // every value given could be read
};

// Faults go to the reader, about "stair.KEY".
JobStair read_job_stair(ValueReader& in);
// The keys of [stair], for files and options.
std::vector<KnownKey> stair_keys();

}  // namespace coilwright
