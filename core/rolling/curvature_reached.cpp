#include <algorithm>
#include <cmath>
#include <coilwright/quantity/bracketed_root.hpp>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/curvature_reached.hpp>
#include <optional>

namespace coilwright {
namespace {

// What a moment leaves of curvature when it goes: the law of first loading as a table, linear in between. Steady states
// are taken from the same table, so that its coarseness cancels there.
class PlasticCurvature {
 public:
  struct Value {
    double left;  // free curvature P
    double sum;   // int m P dm
  };

  PlasticCurvature(const MomentCurvature& law, double most_curvature) {
    constexpr int rows = 2000;
    const double first = law.first_yield_curvature(), EI = law.bending_stiffness();
    const double growth = std::log(std::max(most_curvature / first, 2.0)) / rows;
    rows_.push_back({law.first_yield_moment(), {0.0, 0.0}});
    for (int i = 1; i <= rows; ++i) {
      const Row& last = rows_.back();
      const double k = first * std::exp(growth * i), m = std::max(last.moment, law.moment(k));
      const double left = std::max(last.value.left, k - m / EI);
      // Simpson's rule is exact for the product of two lines.
      const double middle = 0.25 * (last.moment + m) * (last.value.left + left);
      const double sum = (m - last.moment) / 6.0 * (last.moment * last.value.left + 4.0 * middle + m * left);
      rows_.push_back({m, {left, last.value.sum + sum}});
    }
  }

  [[nodiscard]] double most_moment() const { return rows_.back().moment; }

  [[nodiscard]] Value at(double moment) const {
    if (moment <= rows_.front().moment) return {0.0, 0.0};
    const auto above = std::upper_bound(rows_.begin(), rows_.end(), moment, [](double m, const Row& row) { return m < row.moment; });
    if (above == rows_.end()) return rows_.back().value;
    const Row& below = *std::prev(above);
    const double share = (moment - below.moment) / (above->moment - below.moment);
    const double left = std::lerp(below.value.left, above->value.left, share);
    const double middle = 0.25 * (below.moment + moment) * (below.value.left + left);
    return {left, below.value.sum + (moment - below.moment) / 6.0 *
                                        (below.moment * below.value.left + 4.0 * middle + moment * left)};
  }

  // The moment that leaves a free curvature.
  [[nodiscard]] double moment_for(double left) const {
    const auto above = std::lower_bound(rows_.begin(), rows_.end(), left, [](const Row& row, double l) { return row.value.left < l; });
    if (above == rows_.begin()) return above->moment;
    if (above == rows_.end()) return most_moment();
    const Row& below = *std::prev(above);
    return std::lerp(below.moment, above->moment, (left - below.value.left) / (above->value.left - below.value.left));
  }

 private:
  struct Row {
    double moment;
    Value value;
  };
  std::vector<Row> rows_;
};

// The stock between the outer rolls as a row of places a step apart.
class Spans {
 public:
  Spans(const MomentCurvature& law, const RollGeometry& rolls, double step_mm)
      : plastic_(law, 1.0 / (rolls.centre_radius_mm + rolls.inner_face_mm)), EI_(law.bending_stiffness()), a_(rolls.half_spacing_mm),
        across_(static_cast<std::size_t>(std::ceil(a_ / step_mm))), h_(a_ / static_cast<double>(across_)), yields_(across_ + 1) {}

  [[nodiscard]] std::size_t across() const { return across_; }
  [[nodiscard]] double step_mm() const { return h_; }

  // The travel that a moment takes, the stock under the centre roll at place `roll`.
  double travel(const std::vector<double>& left, std::size_t roll, double moment) {
    evaluate(moment);
    double sum = 0.0;
    for (std::size_t j = 0; j < across_; ++j)
      sum += piece(j, moment, left[roll - j], left[roll - j - 1]) + piece(j, moment, left[roll + j], left[roll + j + 1]);
    return 0.5 * sum + moment * a_ * a_ / (3.0 * EI_);
  }
  // Of a steady state, in stock that came with a free curvature.
  double steady_travel(double left, double before) {
    std::vector<double> stock(2 * across_ + 1, before);
    std::fill_n(stock.begin(), across_, left);
    return travel(stock, across_, plastic_.moment_for(left));
  }
  // Bends the stock to a travel. False: not even round the centre roll is it taken.
  bool bend(std::vector<double>& left, std::size_t roll, double wanted_travel) {
    if (travel(left, roll, plastic_.most_moment()) < wanted_travel) return false;
    const double moment = rising_root_between(0.0, plastic_.most_moment(),
                                              [&](double m) { return travel(left, roll, m) - wanted_travel; });
    evaluate(moment);
    for (std::size_t j = 0; j <= across_; ++j) {
      left[roll - j] = std::max(left[roll - j], yields_[j].left);
      left[roll + j] = std::max(left[roll + j], yields_[j].left);
    }
    return true;
  }

 private:
  void evaluate(double moment) {
    for (std::size_t j = 0; j <= across_; ++j)
      yields_[j] = plastic_.at(moment * (1.0 - static_cast<double>(j) / static_cast<double>(across_)));
  }
  // int (a - x) free dx from place j to the next, free curvatures there so far given. Where all of it yields, with
  // a - x = a m / M, in closed form; else linear from one place to the other.
  [[nodiscard]] double piece(std::size_t j, double moment, double near, double far) const {
    const PlasticCurvature::Value &here = yields_[j], &next = yields_[j + 1];
    if (here.left > 0.0 && here.left >= near && next.left >= far) return a_ * a_ / (moment * moment) * (here.sum - next.sum);
    const double p = std::max(near, here.left), q = std::max(far, next.left);
    const double w = a_ - static_cast<double>(j) * h_, v = w - h_;
    return h_ / 6.0 * (w * (2.0 * p + q) + v * (p + 2.0 * q));
  }

  PlasticCurvature plastic_;
  double EI_, a_;
  std::size_t across_;
  double h_;
  std::vector<PlasticCurvature::Value> yields_;  // from the centre roll to a contact
};

const ProgrammeStep& step_at(const std::vector<ProgrammeStep>& pass, double fed_mm) {
  const auto found = std::find_if(pass.begin(), pass.end(), [&](const ProgrammeStep& step) { return fed_mm <= step.fed_to_mm; });
  return found == pass.end() ? pass.back() : *found;
}

double share_of(const ProgrammeStep& step, double fed_mm) {
  return std::clamp((fed_mm - step.fed_from_mm) / (step.fed_to_mm - step.fed_from_mm), 0.0, 1.0);
}

double aimed_at(const std::vector<ProgrammeStep>& pass, double fed_mm) {
  const ProgrammeStep& step = step_at(pass, fed_mm);
  return std::lerp(step.from.curvature, step.to.curvature, share_of(step, fed_mm));
}

// The travel of the march that stands for a travel of the full model, by step.
class ScaledTravel {
 public:
  ScaledTravel(Spans& spans, const std::vector<ProgrammeStep>& pass, const std::vector<ProgrammeStep>* before) : pass_(pass) {
    const auto scale = [&](double travel, double curvature, double fed) {
      return travel > 0.0 && curvature > 0.0
                 ? std::optional(spans.steady_travel(curvature, before ? aimed_at(*before, fed) : 0.0) / travel)
                 : std::nullopt;  // of a straight there is none
    };
    for (const ProgrammeStep& step : pass) {
      const auto from = scale(step.from.travel_mm, step.from.curvature, step.fed_from_mm);
      const auto to = scale(step.to.travel_mm, step.to.curvature, step.fed_to_mm);
      scales_.push_back({from.value_or(to.value_or(1.0)), to.value_or(from.value_or(1.0))});
    }
  }
  [[nodiscard]] double at(double fed_mm) const {
    const ProgrammeStep& step = step_at(pass_, fed_mm);
    const auto& [from, to] = scales_[static_cast<std::size_t>(&step - pass_.data())];
    const double share = share_of(step, fed_mm);
    return std::lerp(step.from.travel_mm, step.to.travel_mm, share) * std::lerp(from, to, share);
  }

 private:
  const std::vector<ProgrammeStep>& pass_;
  std::vector<std::pair<double, double>> scales_;
};

// The curvature that a segment should have at a length along the part, held sideways as it is in the rolls.
double wanted_in(const MomentCurvature& law, const Centreline::Joined& segment, double along_mm) {
  const double drawn = segment.curve.curvature(std::clamp(along_mm - segment.from_mm, 0.0, segment.curve.length_mm()));
  return drawn > 0.0 ? held_curvature(law, drawn) : 0.0;
}

}  // namespace

ReachedOutcome curvature_reached(const MomentCurvature& law, const RollGeometry& rolls,
                                 std::span<const std::vector<ProgrammeStep>> passes, double step_mm) {
  require(!passes.empty() && !passes.front().empty() && step_mm > 0.0, "a march needs a programme and a step");
  Spans spans(law, rolls, step_mm);
  const double h = spans.step_mm();
  const std::size_t across = spans.across();
  const auto places = static_cast<std::size_t>(passes.back().back().fed_to_mm / h) + 1;
  // Behind the part each pass rolls on for three spans more than the next, so that no end comes into what is told.
  const std::size_t on = 3 * across;
  std::vector<double> left(across + places + (passes.size() + 1) * on, 0.0);
  for (std::size_t p = 0; p < passes.size(); ++p) {
    std::fill_n(left.begin(), across, passes[p].front().from.curvature);
    const ScaledTravel travel(spans, passes[p], p > 0 ? &passes[p - 1] : nullptr);
    const std::size_t end = places + (passes.size() - p) * on;
    for (std::size_t i = 0; i < end; ++i) {
      const double fed = static_cast<double>(i) * h, wanted = travel.at(fed);
      if (!spans.bend(left, across + i, wanted)) return FoldsRound{p, fed, wanted};
    }
  }
  std::vector<ReachedCurvature> reached;
  for (std::size_t i = 0; i < places; ++i) reached.push_back({static_cast<double>(i) * h, left[across + i]});
  return reached;
}

void mark_reached(Transition& transition, const MomentCurvature& law, const Centreline& part,
                  std::span<const ReachedCurvature> reached) {
  constexpr double share = 0.01;
  const Centreline::Joined &before = part.segments()[transition.before], &after = part.segments()[transition.before + 1];
  const double joint = after.from_mm;
  const double tighter = std::max(wanted_in(law, before, joint), wanted_in(law, after, joint));
  // From the middle of the one to the middle of the other: what is farther belongs to other joints.
  const double from = 0.5 * (before.from_mm + before.to_mm()), to = 0.5 * (after.from_mm + after.to_mm());
  for (const ReachedCurvature& place : reached) {
    if (place.fed_mm < from || place.fed_mm > to) continue;
    const double aim = wanted_in(law, place.fed_mm < joint ? before : after, place.fed_mm);
    if (std::abs(place.curvature - aim) <= share * (aim > 0.0 ? aim : tighter)) continue;
    if (!transition.reached_from_mm) transition.reached_from_mm = place.fed_mm;
    transition.reached_to_mm = place.fed_mm;
  }
  transition.from_mm = std::min(transition.from_mm, transition.reached_from_mm.value_or(transition.from_mm));
  transition.to_mm = std::max(transition.to_mm, transition.reached_to_mm.value_or(transition.to_mm));
  for (const ReachedCurvature& place : reached)
    if (place.fed_mm >= transition.from_mm && place.fed_mm <= transition.to_mm)
      transition.tightest = std::max(transition.tightest.value_or(0.0), place.curvature);
}

std::vector<TaperReached> worst_along_tapers(const MomentCurvature& law, const Centreline& part,
                                             std::span<const Transition> transitions, std::span<const ReachedCurvature> reached) {
  const auto changing = [&](double fed) {
    return std::any_of(transitions.begin(), transitions.end(),
                       [fed](const Transition& t) { return fed >= t.from_mm && fed <= t.to_mm; });
  };
  std::vector<TaperReached> worst;
  for (std::size_t i = 0; i < part.size(); ++i) {
    const Centreline::Joined& segment = part.segments()[i];
    if (setting_places_mm(segment.curve).size() == 1) continue;
    std::optional<TaperReached> of_this;
    for (const ReachedCurvature& place : reached) {
      if (place.fed_mm < segment.from_mm || place.fed_mm > segment.to_mm() || changing(place.fed_mm)) continue;
      const double wanted = wanted_in(law, segment, place.fed_mm), off = place.curvature / wanted - 1.0;
      if (!of_this || std::abs(off) > std::abs(of_this->off)) of_this = {i, place.fed_mm, off};
    }
    if (of_this) worst.push_back(*of_this);
  }
  return worst;
}

}  // namespace coilwright
