// The blank as one line that adds up.
#pragma once

#include <coilwright/report/shown.hpp>
#include <coilwright/rolling/blank.hpp>
#include <string>

namespace coilwright {

// "235.3 flat front + 1455.3 lead arc + 1455.3 settling + 6276.4 part + 234.7 flat back = 9657.0 mm".
// Run-in and lead arc with settling are the same material: only the longer of the two stands in the sum.
// Parts of zero length are left out. The printed digits add up exactly. Inches with two decimals.
std::string blank_sum_text(const Blank& blank, System system);

// Which of the two governs the start-up, in one sentence; empty when there is no start-up.
std::string start_up_sentence(const Blank& blank, Show show);

}  // namespace coilwright
