#include <algorithm>
#include <cmath>
#include <coilwright/coil/coil.hpp>
#include <coilwright/coil/coil_equations.hpp>
#include <coilwright/coil/coil_measures.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/quantity/require.hpp>
#include <numbers>

namespace coilwright {
namespace {

constexpr double longest_mm = 1e7, most_turns = 1e5;
constexpr double least = 1e-6;  // mm, turns or rad: what is meant to be there at all
constexpr Angle steepest = Angle::deg(80.0);

class Maker {
 public:
  Maker(const CoilSpec& spec, const StockFaces& faces)
      : spec_(spec),
        inner_face_mm_(faces.inner.mm()),
        outer_face_mm_(faces.outer.mm()),
        given_(given_measures(spec)),
        flat_(makes_flat(given_)) {}

  // The plan radius of the centreline, from a radius or diameter as given.
  [[nodiscard]] double centreline_mm(const GivenMeasure& g) const {
    return (g.measure == CoilMeasure::diameter ? 0.5 * g.value : g.value) - face_mm();
  }
  // A measure as it would be given: radius and diameter to the face that the drawing means.
  [[nodiscard]] double value_of(CoilMeasure measure, const CoilNumbers& k) const {
    return k.value(measure).value() + more_at_face_mm(measure);
  }
  [[nodiscard]] tl::expected<CoilNumbers, Contradiction> solve(const std::vector<GivenMeasure>& given) const {
    CoilNumbers known;
    for (const GivenMeasure& g : given) known.learn(g.measure, g.value - more_at_face_mm(g.measure));
    return solve_coil(known);
  }

  [[nodiscard]] Findings unusable() const;
  [[nodiscard]] Findings too_few() const;
  [[nodiscard]] Findings disagreeing(const std::vector<GivenMeasure>& used, const CoilNumbers& k) const;
  [[nodiscard]] Findings out_of_range(const CoilNumbers& k) const;
  [[nodiscard]] std::vector<std::string> notes(const std::vector<GivenMeasure>& used,
                                               const CoilNumbers& k) const;
  // The fewest of the given measures that settle everything, the surest first.
  [[nodiscard]] std::vector<GivenMeasure> enough() const;
  [[nodiscard]] std::vector<std::string> phrases() const {
    std::vector<std::string> all;
    for (const GivenMeasure& g : given_) all.push_back(measure_text(g, spec_.measured_to));
    return all;
  }
  [[nodiscard]] const std::vector<GivenMeasure>& given() const { return given_; }
  [[nodiscard]] bool flat() const { return flat_; }

 private:
  // What a radius as given has more than the one to the centreline.
  [[nodiscard]] double face_mm() const {
    if (spec_.measured_to == MeasuredTo::inside) return -inner_face_mm_;
    return spec_.measured_to == MeasuredTo::outside ? outer_face_mm_ : 0.0;
  }
  [[nodiscard]] double more_at_face_mm(CoilMeasure measure) const {
    if (measure == CoilMeasure::diameter) return 2.0 * face_mm();
    return measure == CoilMeasure::radius ? face_mm() : 0.0;
  }
  [[nodiscard]] std::string radius_fault(double radius_mm) const;
  [[nodiscard]] bool all_agree(const std::vector<GivenMeasure>& given, const CoilNumbers& k) const {
    return std::all_of(given.begin(), given.end(), [&](const GivenMeasure& g) {
      return agree(g.measure, g.value, value_of(g.measure, k));
    });
  }

  const CoilSpec& spec_;
  double inner_face_mm_, outer_face_mm_;
  std::vector<GivenMeasure> given_;
  bool flat_;
};

std::string Maker::radius_fault(double radius_mm) const {
  const auto mm = [](double v) { return length_text(Length::mm(v), Show::both, 2); };
  std::string text = "The plan radius to the centreline, " + mm(radius_mm) +
                     ", is not larger than the stock's inner face from its centreline, " + mm(inner_face_mm_);
  if (radius_mm < inner_face_mm_) text += "; it is short by " + mm(inner_face_mm_ - radius_mm);
  text += ". More than " + mm(inner_face_mm_) + " to the centreline";
  if (spec_.measured_to == MeasuredTo::outside)
    text += ", which is more than " + mm(inner_face_mm_ + outer_face_mm_) + " to the outside,";
  return text + " would do.";
}

Findings Maker::unusable() const {
  Findings faults;
  const auto fault = [&](CoilMeasure m, std::string text) {
    faults.push_back({Level::fault, measure_key(m), std::move(text), std::nullopt});
  };
  for (const GivenMeasure& g : given_) {
    const std::string the = "The " + std::string(measure_name(g.measure)) + " ";
    double most = longest_mm;
    if (g.measure == CoilMeasure::turns) most = most_turns;
    if (g.measure == CoilMeasure::sweep) most = Angle::turns(most_turns).rad();
    if (!std::isfinite(g.value)) {
      fault(g.measure, the + "is not a number.");
    } else if (g.value < 0.0 || (g.value == 0.0 && !may_be_zero(g.measure))) {
      std::string text = the + "must be " + (may_be_zero(g.measure) ? "0 or more" : "more than 0") + "; " +
                         value_text(g.measure, g.value, 1) + " is given.";
      if (may_be_zero(g.measure)) text += " Which way the coil climbs is said by `climbs` or `hand`.";
      fault(g.measure, text);
    } else if (g.value > 0.0 && g.value < least) {
      fault(g.measure,
            the + "is too small to be meant: less than a millionth of a millimetre, turn or radian.");
    } else if (g.measure == CoilMeasure::slope ? g.value >= steepest.rad() : g.value > most) {
      fault(g.measure,
            g.measure == CoilMeasure::slope
                ? the + "must be less than 80 degrees; " + value_text(g.measure, g.value, 1) + " is given."
                : the + "is larger than any coil planned here: at most 10 km, or 100000 turns.");
    } else if ((g.measure == CoilMeasure::radius || g.measure == CoilMeasure::diameter) &&
               centreline_mm(g) <= inner_face_mm_) {
      fault(g.measure, radius_fault(centreline_mm(g)));
    }
  }
  return faults;
}

std::vector<GivenMeasure> Maker::enough() const {
  // Dropped first: what settles the rest worst, or leaves two answers.
  constexpr CoilMeasure surest_last[] = {
      CoilMeasure::bend_radius, CoilMeasure::length,   CoilMeasure::slope,
      CoilMeasure::rise,        CoilMeasure::sweep,    CoilMeasure::turns,
      CoilMeasure::pitch,       CoilMeasure::diameter, CoilMeasure::radius};
  std::vector<GivenMeasure> used = given_;
  for (const CoilMeasure measure : surest_last) {
    std::vector<GivenMeasure> fewer = used;
    std::erase_if(fewer, [&](const GivenMeasure& g) { return g.measure == measure; });
    // A flat coil stays flat only while one of its zeros is kept.
    if (makes_flat(fewer) == flat_ && determines_all(kinds_of(fewer), flat_)) used = std::move(fewer);
  }
  return used;
}

Finding direction_question() {
  return {Level::question, "coil.climbs",
          "Going up, seen from above, does it turn clockwise or counter-clockwise?", std::nullopt};
}

Findings Maker::too_few() const {
  struct Step {
    CoilMeasure measure;
    std::string question;
  };
  std::vector<CoilMeasure> kinds = kinds_of(given_);
  const bool turn_known = determines(kinds, flat_, CoilMeasure::turns);
  const bool climb_known = determines(kinds, flat_, CoilMeasure::pitch);
  const Step steps[] = {
      {CoilMeasure::radius,
       "What is the radius in plan, seen along the axis, and is it to the centreline, the inside or the "
       "outside of the stock?"},
      {CoilMeasure::pitch, std::string("What is the pitch, the rise in one full turn, in mm or in feet and "
                                       "inches? Or the total rise") +
                               (turn_known ? " from end to end?" : " and the total turn?")},
      {CoilMeasure::turns,
       std::string("How many turns does it make, or through how many degrees does it turn "
                   "in plan from end to end?") +
           (climb_known && !flat_ ? " Or what is its total rise?" : "")},
  };
  Findings questions;
  for (const Step& step : steps) {
    const bool has_radius =
        determines(kinds, flat_, CoilMeasure::radius) || determines(kinds, flat_, CoilMeasure::bend_radius);
    if (step.measure == CoilMeasure::radius && has_radius) continue;
    if (determines_all(kinds, flat_) || determines(kinds, flat_, step.measure)) continue;
    questions.push_back({Level::question, measure_key(step.measure), step.question, std::nullopt});
    kinds.push_back(step.measure);
  }

  std::string text;
  if (given_.empty()) {
    text =
        "Nothing is known of the coil. It takes three measures that do not follow from one another, for "
        "instance radius, pitch and turns.";
  } else {
    text = "The coil is not settled by its " + joined(phrases()) + ". ";
    std::vector<CoilMeasure> would_do;
    for (int i = 0; i <= static_cast<int>(CoilMeasure::length); ++i) {
      const auto candidate = static_cast<CoilMeasure>(i);
      std::vector<CoilMeasure> with = kinds_of(given_);
      if (candidate == CoilMeasure::diameter || std::find(with.begin(), with.end(), candidate) != with.end())
        continue;
      with.push_back(candidate);
      if (determines_all(with, flat_)) would_do.push_back(candidate);
    }
    std::vector<std::string> asked;
    for (const Finding& q : questions) asked.push_back("the " + q.about.substr(q.about.find('.') + 1));
    text += would_do.empty() ? "More is needed, for instance " + joined(asked) + "."
                             : "One more is needed: " + named(would_do, " or ") + ".";
  }
  Findings findings{{Level::fault, questions.front().about, text, std::nullopt}};
  append(findings, questions);
  if (!spec_.hand && !flat_) findings.push_back(direction_question());
  return findings;
}

Findings Maker::disagreeing(const std::vector<GivenMeasure>& used, const CoilNumbers& k) const {
  if (all_agree(given_, k)) return {};
  std::vector<std::string> used_phrases;
  for (const GivenMeasure& g : used) used_phrases.push_back(measure_text(g, spec_.measured_to, 2));
  Findings faults;
  for (const GivenMeasure& g : given_) {
    const double made = value_of(g.measure, k);
    if (agree(g.measure, g.value, made)) continue;
    const std::string name(measure_name(g.measure));
    faults.push_back({Level::fault, measure_key(g.measure),
                      "The measures disagree: " + joined(used_phrases) + " make the " + name + " " +
                          value_text(g.measure, made, 2) + ", but " + value_text(g.measure, g.value, 2) +
                          " is given.",
                      std::nullopt});
  }

  std::vector<std::string> changes;
  for (const GivenMeasure& g : given_) {
    std::vector<GivenMeasure> others = given_;
    std::erase_if(others, [&](const GivenMeasure& o) { return o.measure == g.measure; });
    if (!determines_all(kinds_of(others), makes_flat(others))) continue;
    const auto solved = solve(others);
    if (!solved || !solved->complete() || !all_agree(others, *solved)) continue;
    changes.push_back("the " + std::string(measure_name(g.measure)) + " to " +
                      value_text(g.measure, value_of(g.measure, *solved), 2));
  }
  faults.back().text += changes.empty() ? " Leave out all but three."
                                        : " Leave one out, or change one: " + joined(changes, " or ") + ".";
  return faults;
}

Findings Maker::out_of_range(const CoilNumbers& k) const {
  Findings faults;
  const auto fault = [&](CoilMeasure m, std::string text) {
    faults.push_back({Level::fault, measure_key(m), std::move(text), std::nullopt});
  };
  const auto from = [&] { return "From " + joined(phrases()) + ": "; };
  const double turns = value_of(CoilMeasure::turns, k);
  for (const CoilMeasure m :
       {CoilMeasure::radius, CoilMeasure::bend_radius, CoilMeasure::pitch, CoilMeasure::turns})
    if (!(value_of(m, k) <= (m == CoilMeasure::turns ? most_turns : longest_mm)))
      fault(m, from() + "the " + std::string(measure_name(m)) +
                   " comes out larger than any coil planned here (10 km, 100000 turns).");
  if (!(turns > 0.0)) fault(CoilMeasure::turns, from() + "the turns come out as 0.");
  if (*k.radius_mm <= inner_face_mm_)
    fault(CoilMeasure::radius, from() + radius_fault(*k.radius_mm));
  else if (*k.slope_rad >= steepest.rad())
    fault(CoilMeasure::slope,
          from() + "the coil would climb at " + value_text(CoilMeasure::slope, *k.slope_rad, 1) +
              "; coils are planned up to 80 degrees. At this plan radius that is a pitch of less than " +
              length_text(Length::mm(*k.radius_mm * std::tan(steepest.rad()) * 2.0 * std::numbers::pi),
                          Show::both) +
              ".");
  return faults;
}

std::vector<std::string> Maker::notes(const std::vector<GivenMeasure>& used, const CoilNumbers& k) const {
  std::vector<std::string> notes;
  const auto kinds = kinds_of(used);
  const auto has = [&](CoilMeasure m) { return std::find(kinds.begin(), kinds.end(), m) != kinds.end(); };
  // Without a pitch the length settles the plan radius together with the turns or the rise.
  const bool two_roots = has(CoilMeasure::bend_radius) && !has(CoilMeasure::radius) &&
                         !has(CoilMeasure::diameter) && !has(CoilMeasure::slope) &&
                         (has(CoilMeasure::pitch) || !has(CoilMeasure::length));
  const double steep_radius_mm = *k.bend_radius_mm - *k.radius_mm;
  if (two_roots && steep_radius_mm > inner_face_mm_ && steep_radius_mm < *k.radius_mm &&
      std::atan2(*k.climb_mm, steep_radius_mm) < steepest.rad())
    notes.push_back("The bend radius and the pitch fit two plan radii: " +
                    length_text(Length::mm(*k.radius_mm), Show::both) + ", climbing at " +
                    number_text(Angle::rad(*k.slope_rad).deg(), 1) + " degrees, and " +
                    length_text(Length::mm(steep_radius_mm), Show::both) + ", climbing at " +
                    number_text(Angle::rad(std::atan2(*k.climb_mm, steep_radius_mm)).deg(), 1) +
                    " degrees. The larger is taken; give the radius to say otherwise.");

  // A misreading that moves another measure twentyfold: a turn is worth 2 pi by itself.
  constexpr double misread_mm = 0.1;
  for (std::size_t i = 0; i < used.size(); ++i) {
    if (is_angle(used[i].measure) || used[i].measure == CoilMeasure::turns || used[i].value == 0.0) continue;
    std::vector<GivenMeasure> other = used;
    other[i].value += misread_mm;
    auto moved = solve(other);
    if (!moved) {
      other[i].value = used[i].value - misread_mm;
      moved = solve(other);
    }
    if (!moved || !moved->complete()) continue;
    const double radius_moves = std::abs(*moved->radius_mm - *k.radius_mm);
    const double pitch_moves = std::abs(*moved->climb_mm - *k.climb_mm) * 2.0 * std::numbers::pi;
    const double turns = std::min(1.0, value_of(CoilMeasure::turns, k));
    const bool pitch_is_poor = pitch_moves * turns > 20.0 * misread_mm;
    if (!pitch_is_poor && radius_moves <= 20.0 * misread_mm) continue;
    notes.push_back(
        "A tenth of a millimetre in the " + std::string(measure_name(used[i].measure)) + " moves the " +
        (pitch_is_poor
             ? "pitch by " + mm_text(Length::mm(pitch_moves)) +
                   ": ask for the pitch itself, or for the total rise."
             : "plan radius by " + mm_text(Length::mm(radius_moves)) + ": ask for the radius itself."));
  }
  return notes;
}

}  // namespace

Result<Coil> Coil::from(const CoilSpec& spec, const StockFaces& faces) {
  require(faces.inner.finite() && faces.inner > Length() && faces.outer.finite() && faces.outer > Length() &&
              faces.height.finite() && faces.height > Length(),
          "a coil needs stock of some thickness");
  const Maker maker(spec, faces);
  if (Findings faults = maker.unusable(); !faults.empty()) return refuse(std::move(faults));
  if (!determines_all(kinds_of(maker.given()), maker.flat())) return refuse(maker.too_few());

  const std::vector<GivenMeasure> used = maker.enough();
  const auto solved = maker.solve(used);
  if (!solved)
    return refuse(measure_key(solved.error().about),
                  solved.error().text + " Given are " + joined(maker.phrases()) + ".");
  require(solved->complete(), "measures that determine a coil leave nothing open");
  if (Findings faults = maker.out_of_range(*solved); !faults.empty()) return refuse(std::move(faults));
  if (Findings faults = maker.disagreeing(used, *solved); !faults.empty()) return refuse(std::move(faults));

  // A pitch and turns that it was made from are kept to the last digit.
  const auto value = [&](CoilMeasure measure) {
    for (const GivenMeasure& g : used)
      if (g.measure == measure) return g.value;
    return maker.value_of(measure, *solved);
  };
  const Length pitch = Length::mm(value(CoilMeasure::pitch));
  if (!spec.hand && pitch > Length()) {
    Findings findings{
        {Level::fault, "coil.climbs",
         "The coil climbs, and which way is not said. Give climbs = \"counter-clockwise\" or "
         "\"clockwise\" (going up, seen from above), or hand = \"right-screw\" or \"left-screw\".",
         std::nullopt}};
    findings.push_back(direction_question());
    return refuse(std::move(findings));
  }
  Coil coil(Helix(Length::mm(*solved->radius_mm), pitch, spec.hand.value_or(Hand::right_screw)),
            value(CoilMeasure::turns), faces);
  coil.given_ = kinds_of(maker.given());
  coil.used_ = kinds_of(used);
  for (const GivenMeasure& g : maker.given()) coil.given_values_.push_back(g.value);
  coil.measured_to_ = spec.measured_to;
  coil.notes_ = maker.notes(used, *solved);
  return coil;
}

Length Coil::rise() const {
  return helix_.pitch() * turns_;
}

Length Coil::overall_height() const {
  return rise() + faces_.height * (helix_.plan_radius() / helix_.flat_then_pull_radius());
}

Length Coil::developed_length() const {
  return Length::mm(helix_.arc_per_radian_mm() * 2.0 * std::numbers::pi * turns_);
}

Length Coil::inside_length() const {
  const double radius_mm = helix_.plan_radius().mm() - faces_.inner.mm();
  return Length::mm(std::hypot(radius_mm, helix_.rise_per_radian_mm()) * 2.0 * std::numbers::pi * turns_);
}

Length Coil::outside_length() const {
  const double radius_mm = helix_.plan_radius().mm() + faces_.outer.mm();
  return Length::mm(std::hypot(radius_mm, helix_.rise_per_radian_mm()) * 2.0 * std::numbers::pi * turns_);
}

Length Coil::rise_per_quarter_turn() const {
  return helix_.pitch() / 4.0;
}

std::string Coil::made_from() const {
  std::vector<std::string> phrases;
  for (std::size_t i = 0; i < given_.size(); ++i) phrases.push_back(measure_text({given_[i], given_values_[i]}, measured_to_));
  return joined(phrases, ", ");
}

std::string Coil::origin_of(CoilMeasure measure) const {
  if (std::find(given_.begin(), given_.end(), measure) != given_.end()) return "given";
  const bool flat = helix_.pitch() == Length();
  std::vector<CoilMeasure> from = used_;
  for (auto it = used_.rbegin(); it != used_.rend(); ++it) {
    std::vector<CoilMeasure> fewer = from;
    std::erase(fewer, *it);
    if (determines(fewer, flat, measure)) from = std::move(fewer);
  }
  return "computed from " + named(from);
}

}  // namespace coilwright
