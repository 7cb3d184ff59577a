// A sum printed so that the digits on the paper add up.
#pragma once

#include <string>
#include <vector>

namespace coilwright {

struct PrintedSum {
  std::vector<std::string> parts;  // in the order given
  std::string total;               // what number_text prints of it
};

// Rounding each part for itself can leave the printed parts a digit off the printed total. Here every part
// is rounded down and the units that are missing go to the parts with the largest remainders (the method
// of largest remainders), the earlier one first among equals: each printed part is within one unit of the
// last digit of its value, and the printed parts add up to the printed total exactly.
// Parts finite, not negative, below 1e12; `total` their sum, added up in any order; decimals 0 to 3.
PrintedSum printed_sum(const std::vector<double>& parts, double total, int decimals);

}  // namespace coilwright
