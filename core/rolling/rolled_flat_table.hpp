// Rolling flat, in one pass or several, as polynomials of the free curvature: what roll_flat answers, at a small share of
// the price of asking it, for whoever asks it thousands of times of the same stock and rolls.
//
// The curvature is cut into panels (chebyshev_panel.hpp), halved until each meets `rolled_flat_table_share` of the largest
// value on it, of lengths of the half spacing and of directions of a radian where that is more. What no panel meets (a kink of the bending law, the
// end of what has a state) is left out of the table, and roll_flat asked there.
#pragma once

#include <coilwright/rolling/capability.hpp>
#include <coilwright/rolling/chebyshev_panel.hpp>
#include <array>
#include <memory>
#include <mutex>
#include <optional>
#include <vector>

namespace coilwright {

inline constexpr double rolled_flat_table_share = 1e-11;  // a hundred times what roll_flat is converged to

class RolledFlatTable {
 public:
  // Covers free curvatures `from` ... `to`, 0 < from <= to. Law and rolls must outlive it.
  RolledFlatTable(const MomentCurvature& law, const RollGeometry& rolls, double from, double to);
  RolledFlatTable(const RolledFlatTable&) = delete;
  RolledFlatTable& operator=(const RolledFlatTable&) = delete;

  // As roll_flat of these passes; law_points is 0 where the table answers. Worked out for a number of passes when
  // that is first asked for; safe to call from several threads at once.
  [[nodiscard]] FlatPasses at(double free_curvature, int passes) const;
  // The loaded spans of the last of these passes. None where the table does not reach.
  [[nodiscard]] std::optional<std::vector<PosedPart::Station>> spans_at(double free_curvature, int passes) const;

 private:
  using Panel = ChebyshevPanel<Eigen::ArrayXd>;
  struct Piece {
    double to;
    std::optional<Panel> states, spans;
  };
  struct OfPasses {
    std::once_flag made;
    std::vector<Piece> pieces;
  };
  [[nodiscard]] const Piece* piece_at(double free_curvature, int passes) const;
  void cover(int passes, double from, double to, int halvings, std::vector<Piece>& pieces) const;

  const MomentCurvature& law_;
  const RollGeometry& rolls_;
  double from_, to_;
  mutable std::array<OfPasses, most_passes_planned> of_passes_;
};

}  // namespace coilwright
