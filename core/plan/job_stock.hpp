// The [stock] of a job.
#pragma once

#include <coilwright/machine/value_reader.hpp>
#include <coilwright/stock/stock.hpp>
#include <optional>

namespace coilwright {

struct JobStock {
  Stock stock;
  Findings doubts;  // questions where words may mean something else; what to watch about the section
};

// None if there is no usable section or material; the faults go to the reader.
std::optional<JobStock> read_job_stock(ValueReader& in);

}  // namespace coilwright
