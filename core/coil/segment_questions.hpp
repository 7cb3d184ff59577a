// What to ask the customer when a segment has too few measures. For Segment.
#pragma once

#include <coilwright/coil/segment.hpp>
#include <coilwright/coil/segment_equations.hpp>
#include <vector>

namespace coilwright {

// The measures that a kind can be made from, and has.
std::vector<SegmentMeasure> measures_of(SegmentKind kind);

// A fault that says what is known and what is missing, and the questions, each with what the usual replies
// would give. `known` holds what is given, radii to the centreline.
Findings segment_questions(const SegmentSpec& spec, const SegmentNumbers& known, const std::string& about);

}  // namespace coilwright
