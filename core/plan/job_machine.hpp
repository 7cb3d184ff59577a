// The [machine] of a job: a file beside the job, a built-in machine, or one that stands in the job alone,
// with single values replaced.
#pragma once

#include <coilwright/machine/value_reader.hpp>
#include <coilwright/machine/machine.hpp>
#include <optional>
#include <string>
#include <vector>

namespace coilwright {

struct JobMachine {
  Machine machine;
  std::string origin;                    // "built-in example", the file, "described in the job"
  std::vector<std::string> assumptions;  // that it is the example, and the machine's own
};

// `values` are the job's under "machine."; `folder` is that of the job file, where `use` looks unless it
// came from an option. `stock_diameter` is the groove of rolls that do not name one: roll sets are chosen
// to fit. None if the machine cannot be used; the faults say why.
std::optional<JobMachine> read_job_machine(const KeyedValues& values, std::optional<LengthUnit> bare,
                                           const std::string& folder, std::optional<Length> stock_diameter,
                                           Findings& faults);

}  // namespace coilwright
