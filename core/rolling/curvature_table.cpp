#include <algorithm>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/curvature_table.hpp>

namespace coilwright {

void CurvatureTable::cover(const std::function<Row(double)>& law, double from, double to, Panel::Begins begins, int halvings) {
  const auto answer = [&](double curvature) { return std::optional<Row>(law(curvature)); };
  std::optional<Panel> panel = Panel::fitted(answer, from, to, begins, curvature_table_share, Row::Zero());
  if (panel || halvings == 0) {
    ends_.push_back(to);
    panels_.push_back(std::move(panel));
    return;
  }
  const double middle = 0.5 * (from + to);
  cover(law, from, middle, begins, halvings - 1);
  cover(law, middle, to, Panel::Begins::smoothly, halvings - 1);
}

CurvatureTable::CurvatureTable(const std::function<Row(double)>& law, std::span<const double> starts, double to) {
  require(!starts.empty() && starts.front() > 0.0, "a table begins at first yield");
  constexpr double growth = 2.0;  // of a panel's curvature: few need to be halved
  constexpr int halvings = 5;
  if (!(to > starts.front())) return;
  from_ = starts.front();
  to_ = to;
  for (std::size_t i = 0; i < starts.size() && starts[i] < to; ++i) {
    const double stop = i + 1 < starts.size() ? std::min(starts[i + 1], to) : to;
    double from = starts[i];
    for (auto begins = Panel::Begins::like_a_root; from < stop; begins = Panel::Begins::smoothly) {
      // No sliver at the end of a stretch.
      const double next = growth * from < 0.9 * stop ? growth * from : stop;
      cover(law, from, next, begins, halvings);
      from = next;
    }
  }
}

}  // namespace coilwright
