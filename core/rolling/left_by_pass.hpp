// A part as one of several passes leaves it.
#pragma once

#include <coilwright/coil/centreline.hpp>
#include <coilwright/rolling/held_part.hpp>

namespace coilwright {

// Every place with the share of curvature and torsion that passes.hpp gives this pass, lengths kept: an arc with a larger
// radius and a smaller angle, a helix of the same slope. A taper stays a taper: curvature at both ends, length and rise
// are exact; in between its curvature differs by the square of the change of radius per radian over the radius.
Centreline left_by_pass(const Centreline& part, PassOf which);

}  // namespace coilwright
