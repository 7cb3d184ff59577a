#include <algorithm>
#include <cmath>
#include <coilwright/quantity/bracketed_root.hpp>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/curvature_reached.hpp>
#include <coilwright/rolling/quadrature.hpp>
#include <optional>

namespace coilwright {
namespace {

// Under the centre roll, by the curvature there.
class Peak {
 public:
  Peak(const MomentCurvature& law, double half_spacing_mm) : law_(law), a_(half_spacing_mm) {}

  [[nodiscard]] double moment(double peak) const {
    return peak <= law_.first_yield_curvature() ? law_.bending_stiffness() * peak : law_.moment(peak);
  }
  [[nodiscard]] double left_free(double peak) const {
    return std::max(0.0, peak - moment(peak) / law_.bending_stiffness());
  }
  // What the incoming span takes of the travel.
  [[nodiscard]] double incoming(double peak) const {
    const double elastic = std::min(peak, law_.first_yield_curvature()), EI = law_.bending_stiffness();
    double squares = EI * EI * elastic * elastic * elastic / 3.0;
    if (peak > elastic) {
      const std::vector<double> panels = law_.panels(elastic, peak);
      for (std::size_t i = 0; i + 1 < panels.size(); ++i)
        for (const auto& [u, weight] : gauss_20()) {
          const double m = law_.moment(panels[i] + (panels[i + 1] - panels[i]) * u * u);
          squares += m * m * weight * (panels[i + 1] - panels[i]) * 2.0 * u;
        }
    }
    const double m = moment(peak);
    return m > 0.0 ? 0.25 * a_ * a_ * (peak - squares / (m * m)) : 0.0;
  }
  // What the outgoing span takes by its spring alone.
  [[nodiscard]] double outgoing_spring(double peak) const { return a_ * a_ * moment(peak) / (6.0 * law_.bending_stiffness()); }
  // Of a steady state with this free curvature.
  [[nodiscard]] double steady(double free_curvature) const {
    const double peak = law_.loaded(free_curvature);
    return incoming(peak) + outgoing_spring(peak) + 0.25 * a_ * a_ * free_curvature;
  }

 private:
  const MomentCurvature& law_;
  double a_;
};

}  // namespace

std::vector<ReachedCurvature> curvature_reached(const MomentCurvature& law, double half_spacing_mm,
                                                std::span<const ProgrammeStep> pass, double step_mm) {
  require(!pass.empty() && half_spacing_mm > 0.0 && step_mm > 0.0, "a march needs a programme and a step");
  const Peak peak_of(law, half_spacing_mm);
  // The scale of travel in a steady state; of a straight there is none.
  const auto scale = [&](double travel, double curvature) {
    return travel > 0.0 && curvature > 0.0 ? std::optional(peak_of.steady(curvature) / travel) : std::nullopt;
  };
  const auto scaled_travel = [&](const ProgrammeStep& step, double share) {
    const auto from = scale(step.travel_from_mm, step.curvature_from), to = scale(step.travel_to_mm, step.curvature_to);
    const double travel = std::lerp(step.travel_from_mm, step.travel_to_mm, share);
    if (!from && !to) return travel;
    return travel * std::lerp(from.value_or(to.value_or(1.0)), to.value_or(from.value_or(1.0)), share);
  };
  const double length = pass.back().fed_to_mm, a = half_spacing_mm;
  const auto across = static_cast<std::size_t>(std::ceil(a / step_mm));
  const double h = a / static_cast<double>(across);
  std::vector<double> left(across + 1, pass.front().curvature_from);  // from a half spacing ahead of the part on
  std::vector<ReachedCurvature> reached{{0.0, pass.front().curvature_from}};
  // A search above anything that could be asked for: ten times the tightest, or where the stock yields.
  double most = 10.0 * law.first_yield_curvature();
  for (const ProgrammeStep& step : pass) most = std::max(most, 10.0 * std::max(step.curvature_from, step.curvature_to));
  std::size_t at = 0;
  for (double fed = h; fed <= length + 1e-9; fed += h) {
    while (at + 1 < pass.size() && fed > pass[at].fed_to_mm) ++at;
    const ProgrammeStep& step = pass[at];
    const double share = std::clamp((fed - step.fed_from_mm) / (step.fed_to_mm - step.fed_from_mm), 0.0, 1.0);
    const double travel = scaled_travel(step, share);
    // Trapezium rule over what was left before; the place under the roll itself is what is sought.
    double known = 0.0;
    for (std::size_t i = 1; i <= across; ++i) {
      const double weight = (i == across ? 0.5 : 1.0) * (a - static_cast<double>(i) * h);
      known += weight * left[left.size() - i];
    }
    const auto too_much = [&](double peak) {
      return peak_of.incoming(peak) + peak_of.outgoing_spring(peak) + 0.5 * h * (known + 0.5 * a * peak_of.left_free(peak)) - travel;
    };
    const double peak = rising_root_between(0.0, most, too_much);
    left.push_back(peak_of.left_free(peak));
    reached.push_back({fed, left.back()});
  }
  return reached;
}

void mark_reached(Transition& transition, const Centreline& part, std::span<const ReachedCurvature> reached) {
  constexpr double share = 0.01;
  const Centreline::Joined &before = part.segments()[transition.before], &after = part.segments()[transition.before + 1];
  const auto curvature_in = [](const Centreline::Joined& segment, double along) {
    return segment.curve.curvature(std::clamp(along - segment.from_mm, 0.0, segment.curve.length_mm()));
  };
  const double joint = after.from_mm;
  const double enough = share * std::max(curvature_in(before, joint), curvature_in(after, joint));
  // From the middle of the one to the middle of the other: what is farther belongs to other joints.
  const double from = 0.5 * (before.from_mm + before.to_mm()), to = 0.5 * (after.from_mm + after.to_mm());
  for (const ReachedCurvature& place : reached) {
    if (place.fed_mm < from || place.fed_mm > to) continue;
    const Centreline::Joined& own = place.fed_mm < joint ? before : after;
    if (std::abs(place.curvature - curvature_in(own, place.fed_mm)) <= enough) continue;
    if (!transition.reached_from_mm) transition.reached_from_mm = place.fed_mm;
    transition.reached_to_mm = place.fed_mm;
  }
}

}  // namespace coilwright
