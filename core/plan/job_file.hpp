// A job read from its file, from options, or both: options replace what the file says, and one set of
// rules understands the two.
#pragma once

#include <coilwright/machine/keyed_values.hpp>
#include <coilwright/plan/job.hpp>
#include <coilwright/plan/job_keys.hpp>
#include <optional>
#include <string>

namespace coilwright {

struct JobRequest {
  std::optional<std::string> path;                // of the job file
  KeyedValues options;                            // keys as in job_keys(); places name the option
  std::optional<LengthUnit> bare = std::nullopt;  // how to read a length without a unit
  Show show = Show::both;
};

// All problems at once: unknown keys with the nearest known one, values that cannot be read, measures that
// do not make a coil, a machine that cannot be. A job file that cannot be read is a fault about "file".
Result<Job> read_job(const JobRequest& request);

}  // namespace coilwright
