// A bending law as polynomials: what a section answers at a curvature, at a small share of the price of asking it.
//
// Between first yield, the kinks and the end the curvature is cut into panels. Behind a kink the law runs in powers of the
// root of what is beyond it, so the panel there is a polynomial of that root, every other one of the curvature; each meets
// the law at Chebyshev points (Trefethen, Approximation Theory and Approximation Practice, 2013, chapters 2 to 8) and is
// halved until it meets it between them too, to `curvature_table_share` of the largest value on the panel. What that does
// not reach is left out of the table: the law is asked there.
#pragma once

#include <Eigen/Core>
#include <array>
#include <functional>
#include <optional>
#include <span>
#include <vector>

namespace coilwright {

inline constexpr double curvature_table_share = 2e-14;  // of rounding: a few hundred operations

class CurvatureTable {
 public:
  using Row = Eigen::Array4d;
  // `starts`: first yield and the kinks, rising; up to `to` and no farther.
  CurvatureTable(const std::function<Row(double)>& law, std::span<const double> starts, double to);

  // None where the table does not reach.
  [[nodiscard]] std::optional<Row> at(double curvature) const {
    if (!(curvature >= from_ && curvature <= to_)) return std::nullopt;
    std::size_t i = 0;
    while (curvature > ends_[i]) ++i;
    const Panel& panel = panels_[i];
    if (!panel.met) return std::nullopt;
    const double share = (curvature - panel.origin) * panel.scale;
    const double t = panel.rooted ? 2.0 * std::sqrt(share) - 1.0 : share;
    const double t2 = t * t;
    Row even = panel.powers[terms - 2], odd = panel.powers[terms - 1];
    for (std::size_t k = terms - 2; k > 0; k -= 2) {
      even = even * t2 + panel.powers[k - 2];
      odd = odd * t2 + panel.powers[k - 1];
    }
    return Row(even + t * odd);
  }
  [[nodiscard]] std::size_t panels() const { return panels_.size(); }

 private:
  static constexpr std::size_t terms = 16;
  struct Panel {
    bool met, rooted;
    double origin, scale;
    std::array<Row, terms> powers;  // of t in -1 .. 1
  };
  void cover(const std::function<Row(double)>& law, double from, double to, bool rooted, int halvings);
  // The panel, if it meets the law between its points too.
  static Panel fitted(const std::function<Row(double)>& law, double from, double to, bool rooted);

  double from_ = 0.0, to_ = -1.0;
  std::vector<double> ends_;
  std::vector<Panel> panels_;
};

}  // namespace coilwright
