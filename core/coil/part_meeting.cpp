#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <coilwright/coil/part_meeting.hpp>
#include <limits>

namespace coilwright {
namespace {

using Gap = std::function<std::optional<MeetingGap>(const std::vector<double>&)>;

struct Found {
  std::vector<double> values;
  double gap_mm, length_mm;
};

bool in_range(const std::vector<Unknown>& unknowns, const std::vector<double>& values) {
  for (std::size_t k = 0; k < values.size(); ++k)
    if (!(values[k] > 0.0 && values[k] <= unknowns[k].most)) return false;
  return true;
}

// Levenberg's steps: short along the slope where the model is poor, Newton's where it is good.
std::optional<Found> descend(const std::vector<Unknown>& unknowns, const Gap& gap, double scale_mm,
                             std::vector<double> at) {
  auto here = gap(at);
  if (!here) return std::nullopt;
  const auto n = static_cast<Eigen::Index>(at.size());
  double damping = 1e-3;
  for (int i = 0; i < 80 && here->lack.norm() > 1e-3 * met_within_mm; ++i) {
    Eigen::MatrixXd J(6, n);
    for (Eigen::Index k = 0; k < n; ++k) {
      // A step whose square is rounding; backward where forward cannot be made.
      double h = 1e-7 * (unknowns[static_cast<std::size_t>(k)].turns_round
                             ? unknowns[static_cast<std::size_t>(k)].full_turn
                             : scale_mm);
      std::vector<double> moved = at;
      moved[static_cast<std::size_t>(k)] += h;
      auto there = in_range(unknowns, moved) ? gap(moved) : std::nullopt;
      if (!there) {
        h = -h;
        moved[static_cast<std::size_t>(k)] = at[static_cast<std::size_t>(k)] + h;
        there = in_range(unknowns, moved) ? gap(moved) : std::nullopt;
      }
      if (!there) return Found{at, here->lack.norm(), here->length_mm};
      J.col(k) = (there->lack - here->lack) / h;
    }
    const Eigen::MatrixXd A = J.transpose() * J;
    const Eigen::VectorXd g = J.transpose() * here->lack;
    bool better = false;
    for (int tries = 0; tries < 12 && !better; ++tries) {
      Eigen::MatrixXd damped = A;
      for (Eigen::Index k = 0; k < n; ++k) damped(k, k) += damping * std::max(A(k, k), 1e-30);
      const Eigen::VectorXd step = damped.ldlt().solve(g);
      std::vector<double> next = at;
      for (std::size_t k = 0; k < next.size(); ++k)
        next[k] = std::clamp(at[k] - step(static_cast<Eigen::Index>(k)), 0.1 * at[k], unknowns[k].most);
      const auto there = step.allFinite() ? gap(next) : std::nullopt;
      if (there && there->lack.norm() < here->lack.norm()) {
        at = next, here = there, better = true;
        damping = std::max(1e-12, 0.1 * damping);
      } else {
        damping *= 10.0;
      }
    }
    if (!better) break;
  }
  return Found{at, here->lack.norm(), here->length_mm};
}

}  // namespace

Meeting find_meeting(const std::vector<Unknown>& unknowns, double scale_mm, const Gap& gap) {
  constexpr double turn_starts[] = {0.08, 0.25, 0.42, 0.58, 0.75, 0.97};
  constexpr double length_starts[] = {0.05, 0.2, 0.5, 1.0, 2.0, 5.0};
  std::size_t count = 1;
  for (std::size_t k = 0; k < unknowns.size(); ++k) count *= 6;
  std::optional<Found> best;
  for (std::size_t start = 0; start < count; ++start) {
    std::vector<double> at;
    for (std::size_t k = 0, rest = start; k < unknowns.size(); ++k, rest /= 6)
      at.push_back(std::min(unknowns[k].most, unknowns[k].turns_round
                                                  ? turn_starts[rest % 6] * unknowns[k].full_turn
                                                  : length_starts[rest % 6] * scale_mm));
    const auto found = descend(unknowns, gap, scale_mm, at);
    if (!found) continue;
    const bool met = found->gap_mm <= met_within_mm;
    const bool best_met = best && best->gap_mm <= met_within_mm;
    // Shrunk to nothing is no segment.
    bool there = true;
    for (std::size_t k = 0; k < unknowns.size(); ++k)
      there = there && found->values[k] > 1e-6 * (unknowns[k].turns_round ? unknowns[k].full_turn : scale_mm);
    if (!there) continue;
    if (!best || (met && !best_met) ||
        (met == best_met && (met ? found->length_mm < best->length_mm : found->gap_mm < best->gap_mm)))
      best = found;
  }
  return best ? Meeting{best->values, best->gap_mm} : Meeting{};
}

}  // namespace coilwright
