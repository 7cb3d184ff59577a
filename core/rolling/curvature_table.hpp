// A bending law as polynomials: what a section answers at a curvature, at a small share of the price of asking it.
//
// Between first yield, the kinks and the end the curvature is cut into panels (chebyshev_panel.hpp). Behind a kink the law
// runs in powers of the root of what is beyond it. A panel is halved until it meets the law to `curvature_table_share` of
// the largest value on it. What that does not reach is left out of the table: the law is asked there.
#pragma once

#include <Eigen/Core>
#include <coilwright/rolling/chebyshev_panel.hpp>
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
    return panels_[i] ? std::optional<Row>(panels_[i]->at(curvature)) : std::nullopt;
  }
  [[nodiscard]] std::size_t panels() const { return panels_.size(); }

 private:
  using Panel = ChebyshevPanel<Row>;
  void cover(const std::function<Row(double)>& law, double from, double to, Panel::Begins begins, int halvings);

  double from_ = 0.0, to_ = -1.0;
  std::vector<double> ends_;
  std::vector<std::optional<Panel>> panels_;  // none: not met
};

}  // namespace coilwright
