// The values that bring the end of a part to its start. For Part.
#pragma once

#include <Eigen/Core>
#include <functional>
#include <optional>
#include <vector>

namespace coilwright {

struct Unknown {
  bool turns_round;  // an angle or turns; otherwise a length
  double most;
  double full_turn;  // in its unit
};

struct MeetingGap {
  Eigen::Matrix<double, 6, 1> lack = Eigen::Matrix<double, 6, 1>::Zero();  // mm
  double length_mm = 0.0;                                                  // of the whole part
};

struct Meeting {
  std::vector<double> values;  // empty if nothing could be tried
  double gap_mm = 0.0;
};

// A gap that is rounding and not distance: a millionth of a millimetre.
inline constexpr double met_within_mm = 1e-6;

// Least squares by damped Newton steps from starts all over the range. Of all places where the gap closes the
// one with the shortest part; otherwise the nearest. `gap` is none where the part cannot be made.
Meeting find_meeting(const std::vector<Unknown>& unknowns, double scale_mm,
                     const std::function<std::optional<MeetingGap>(const std::vector<double>&)>& gap);

}  // namespace coilwright
