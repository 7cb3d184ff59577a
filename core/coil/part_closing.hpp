// Part from specifications, with the measures that are left to conditions. For Part.
#pragma once

#include <coilwright/coil/part.hpp>

namespace coilwright {

// The axis about which a segment winds, given its start; b of an arc, and for a straight likewise.
Eigen::Vector3d axis_of(const SegmentCurve& curve, const CurveFrame& start);

}  // namespace coilwright
