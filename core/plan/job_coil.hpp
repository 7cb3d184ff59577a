// The [coil] of a job.
#pragma once

#include <coilwright/coil/coil.hpp>
#include <coilwright/machine/value_reader.hpp>

namespace coilwright {

struct JobCoil {
  CoilSpec spec;
  bool understood = false;  // every value given could be read
};

// A pitch given as an angle is answered with the pitch that it would be; a bare "right" or "left" with the
// choices. Faults go to the reader.
JobCoil read_job_coil(ValueReader& in);

}  // namespace coilwright
