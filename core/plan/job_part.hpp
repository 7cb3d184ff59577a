// The part that a job asks for, however it is described.
#pragma once

#include <coilwright/coil/part.hpp>
#include <coilwright/plan/job.hpp>

namespace coilwright {

// From [coil], the [[segment]] list or [stair], whichever the job has. read_job has checked that it can be
// made; a job put together otherwise may be refused, about the same keys.
Result<Part> part_of(const Job& job);

}  // namespace coilwright
