// The [[segment]] list of a job.
#pragma once

#include <coilwright/coil/segment.hpp>
#include <coilwright/machine/value_reader.hpp>
#include <map>
#include <string>
#include <vector>

namespace coilwright {

struct JobSegments {
  std::vector<SegmentSpec> specs;
  bool understood = false;               // every value given could be read
  std::vector<std::string> assumptions;  // sentences
};

// Tables only, so files only. Faults are about "segment.N.key", N from 1; `places` receives where each value
// of a segment stands, and for what is not given where its segment begins.
JobSegments read_job_segments(const DocumentValue& tables, std::optional<LengthUnit> bare, Findings& faults,
                              std::map<std::string, Place>& places);

}  // namespace coilwright
