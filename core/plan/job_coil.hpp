// The [coil] of a job.
#pragma once

#include <coilwright/coil/coil.hpp>
#include <coilwright/machine/value_reader.hpp>
#include <optional>
#include <string>

namespace coilwright {

struct JobCoil {
  CoilSpec spec;
  bool understood = false;  // every value given could be read
};

// A pitch given as an angle is answered with the pitch that it would be; a bare "right" or "left" with the
// choices. Faults go to the reader.
JobCoil read_job_coil(ValueReader& in);
// `prefix` + "hand" and `prefix` + "climbs", which must not contradict each other.
std::optional<Hand> read_job_direction(ValueReader& in, const std::string& prefix);
// A pitch; given as an angle it is answered, with the pitch at the radius if that is known.
std::optional<Length> read_job_pitch(ValueReader& in, const std::string& key, std::optional<Length> radius);

}  // namespace coilwright
