// What part a job asks for, from its [coil], its [[segment]] list or its [stair]: exactly one of them.
#pragma once

#include <coilwright/coil/coil.hpp>
#include <coilwright/coil/segment.hpp>
#include <coilwright/coil/stair.hpp>
#include <coilwright/machine/value_reader.hpp>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace coilwright {

struct JobShape {
  CoilSpec coil;                      // also the rail of a stair, and a single helix given as a segment
  std::vector<SegmentSpec> segments;  // of more than a single helix
  std::optional<StairSpec> stair;
  bool from_coil = true;
  std::vector<std::string> assumptions;
  Findings remarks;
  std::map<std::string, Place> places;  // of the values of segments
};

// Everything that is wrong goes to `faults`, with what the part itself has against its measures when all of
// them could be read and the stock is known.
JobShape read_job_shape(ValueReader& in, const std::optional<StockFaces>& stock, Findings& faults);

}  // namespace coilwright
