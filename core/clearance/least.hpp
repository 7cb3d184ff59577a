// Collects what several searches found: a proved lower bound each, and the pair that was met.
#pragma once

#include <algorithm>
#include <coilwright/clearance/clearance.hpp>
#include <limits>
#include <utility>
#include <vector>

namespace coilwright {

class Least {
 public:
  void take(double lower_mm, NearestPair pair) {
    lower_ = std::min(lower_, lower_mm);
    pairs_.push_back(std::move(pair));
  }
  [[nodiscard]] bool empty() const { return pairs_.empty(); }
  [[nodiscard]] double lower_mm() const { return lower_; }
  // The first pair that is as near as can be told: so a coil and the front end that continues it from the
  // same place do not change places by chance. Not empty.
  [[nodiscard]] const NearestPair& nearest(double tolerance_mm) const {
    for (const NearestPair& pair : pairs_)
      if (pair.distance_mm <= lower_ + tolerance_mm) return pair;
    return *std::min_element(pairs_.begin(), pairs_.end(), [](const NearestPair& x, const NearestPair& y) {
      return x.distance_mm < y.distance_mm;
    });
  }

 private:
  double lower_ = std::numeric_limits<double>::infinity();
  std::vector<NearestPair> pairs_;
};

}  // namespace coilwright
