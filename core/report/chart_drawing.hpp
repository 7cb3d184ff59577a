// A chart as a page: the map with marks as well as colours, so that it reads in grey, axes, legend, sentences.
#pragma once

#include <coilwright/plan/chart.hpp>
#include <coilwright/report/drawing.hpp>
#include <string>

namespace coilwright {

// A4 lying; the same chart gives the same bytes.
std::string chart_drawing(const Chart& chart, DrawingFormat format);

}  // namespace coilwright
