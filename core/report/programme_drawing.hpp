// A roll programme as a drawing.
#pragma once

#include <coilwright/plan/programme.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/report/drawing.hpp>
#include <string>

namespace coilwright {

// Travel, lift, curvature and feed over fed length, one above the other, every pass a line; joints marked, and where no
// radius is promised. A4 across.
std::string programme_drawing(const PlannedProgramme& planned, const std::string& title, DrawingFormat format, Show show);

}  // namespace coilwright
