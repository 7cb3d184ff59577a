// A chart as text: a map of characters with a legend, the reasons with their counts, plain sentences.
#pragma once

#include <coilwright/plan/chart.hpp>
#include <coilwright/report/plan_text.hpp>
#include <string>

namespace coilwright {

// Same chart, same bytes; at most 100 columns. A map with more columns or rows than fit shows some of them and says so.
std::string chart_text(const Chart& chart, const TextStyle& style = {});

// One row a design, lengths in mm as the names of the columns say, `.` as decimal point; RFC 4180 but for lines that end
// in a line feed alone.
std::string chart_csv(const Chart& chart);

// { "schema": 1, "chart": { … }, "findings": [ … ] }, additive changes only.
std::string chart_json(const Chart& chart);

}  // namespace coilwright
