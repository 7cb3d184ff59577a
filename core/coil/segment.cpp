#include <algorithm>
#include <cmath>
#include <coilwright/coil/coil_measures.hpp>
#include <coilwright/coil/segment.hpp>
#include <coilwright/coil/segment_equations.hpp>
#include <coilwright/coil/segment_questions.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/require.hpp>
#include <numbers>

namespace coilwright {

using enum SegmentMeasure;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double longest_mm = 1e7, most_turns = 1e5, least = 1e-6;  // as for a coil

std::string face_text(MeasuredTo to) {
  if (to == MeasuredTo::inside) return " to the inside";
  return to == MeasuredTo::outside ? " to the outside" : " to the centreline";
}

// A helix is a coil that stands among other segments.
CoilSpec coil_spec(const SegmentSpec& spec) {
  CoilSpec coil;
  coil.measured_to = spec.measured_to;
  coil.hand = spec.hand;
  for (const auto& [measure, value] : spec.given) {
    const Length mm = Length::mm(value);
    if (measure == radius) coil.radius = mm;
    if (measure == diameter) coil.diameter = mm;
    if (measure == bend_radius) coil.bend_radius = mm;
    if (measure == pitch) coil.pitch = mm;
    if (measure == turns) coil.turns = value;
    if (measure == rise) coil.rise = mm;
    if (measure == angle) coil.sweep = Angle::rad(value);
    if (measure == slope) coil.slope = Angle::rad(value);
    if (measure == length) coil.length = mm;
  }
  return coil;
}

// Bent the other way the faces change places; bent up or down the height lies in the bend.
StockFaces bent(const StockFaces& faces, Bends bends) {
  if (bends == Bends::in) return faces;
  if (bends == Bends::out) return {faces.outer, faces.inner, faces.height};
  return {0.5 * faces.height, 0.5 * faces.height, faces.inner + faces.outer};
}

SegmentNumbers coil_numbers(const Coil& coil, double radius_more_mm) {
  const Helix& h = coil.helix();
  const double R = h.plan_radius().mm() + radius_more_mm;
  return {{radius, R},
          {diameter, 2.0 * R},
          {bend_radius, h.bend_radius().mm()},
          {pitch, h.pitch().mm()},
          {turns, coil.turns()},
          {angle, coil.sweep().rad()},
          {rise, coil.rise().mm()},
          {slope, h.slope().rad()},
          {length, coil.developed_length().mm()}};
}

}  // namespace

std::string_view segment_kind_name(SegmentKind kind) {
  switch (kind) {
    case SegmentKind::straight:
      return "straight";
    case SegmentKind::arc:
      return "arc";
    case SegmentKind::helix:
      return "helix";
    case SegmentKind::cone:
      return "cone";
    case SegmentKind::scroll:
      return "scroll";
  }
  return {};
}

SegmentSpec& SegmentSpec::with(SegmentMeasure measure, Length value) {
  require(!measures_an_angle(measure) && measure != turns, "this measure is not a length");
  given[measure] = value.mm();
  return *this;
}
SegmentSpec& SegmentSpec::with(SegmentMeasure measure, Angle value) {
  require(measures_an_angle(measure), "this measure is not an angle");
  given[measure] = value.rad();
  return *this;
}
SegmentSpec& SegmentSpec::with_turns(double value) {
  given[turns] = value;
  return *this;
}

std::vector<SegmentMeasure> measures_of(SegmentKind kind) {
  switch (kind) {
    case SegmentKind::straight:
      return {length};
    case SegmentKind::arc:
      return {radius, diameter, bend_radius, angle, turns, length, chord, chord_rise};
    case SegmentKind::helix:
      return {radius, diameter, bend_radius, pitch, turns, rise, angle, slope, length};
    case SegmentKind::cone:
      return {start_radius, end_radius, turns, angle, rise, pitch, length};
    case SegmentKind::scroll:
      return {start_radius, end_radius, turns, angle, length};
  }
  return {};
}

// Makes a segment step by step, gathering what is wrong.
class SegmentMaker {
 public:
  SegmentMaker(const SegmentSpec& spec, const StockFaces& faces, const std::string& about)
      : spec_(spec),
        faces_(bent(faces, spec.bends)),
        in_mm_(faces_.inner.mm()),
        out_mm_(faces_.outer.mm()),
        about_(about) {
    if (spec.measured_to == MeasuredTo::inside) face_mm_ = -in_mm_;
    if (spec.measured_to == MeasuredTo::outside) face_mm_ = out_mm_;
  }

  Result<Segment> make() {
    check_measures();
    check_bends();
    if (!faults_.empty()) return refuse(faults_);
    if (spec_.kind == SegmentKind::helix) return helix();
    if (spec_.kind == SegmentKind::straight) return straight();
    if (spec_.kind == SegmentKind::arc) return arc();
    return taper();
  }

 private:
  void fault(const std::string& key, std::string text) {
    faults_.push_back({Level::fault, about_ + key, std::move(text), std::nullopt});
  }
  void fault(SegmentMeasure measure, std::string text) {
    fault(segment_measure_key(measure), std::move(text));
  }
  [[nodiscard]] double more_at_face(SegmentMeasure measure) const {
    if (!measures_a_radius(measure)) return 0.0;
    return measure == diameter ? 2.0 * face_mm_ : face_mm_;
  }
  [[nodiscard]] std::string phrase(SegmentMeasure measure, double value) const {
    return std::string(segment_measure_name(measure)) + " " + segment_value_text(measure, value) +
           (measures_a_radius(measure) ? face_text(spec_.measured_to) : "");
  }

  void check_measures() {
    const auto known = measures_of(spec_.kind);
    for (const auto& [measure, value] : spec_.given) {
      const std::string the = "The " + std::string(segment_measure_name(measure)) + " ";
      const bool may_be_zero = measure == pitch || measure == rise || measure == slope;
      double most = longest_mm;
      if (measure == turns) most = most_turns;
      if (measure == angle) most = most_turns * 2.0 * pi;
      if (std::find(known.begin(), known.end(), measure) == known.end()) {
        std::vector<std::string> names;
        for (const SegmentMeasure m : known) names.emplace_back(segment_measure_name(m));
        fault(measure, std::string(spec_.kind == SegmentKind::arc ? "An " : "A ") +
                           std::string(segment_kind_name(spec_.kind)) + " has no " +
                           std::string(segment_measure_name(measure)) +
                           ". It is made from: " + joined(names, " and ") + ".");
      } else if (!std::isfinite(value)) {
        fault(measure, the + "is not a number.");
      } else if (value < 0.0 || (value == 0.0 && !may_be_zero)) {
        fault(measure, the + "must be " + (may_be_zero ? "0 or more" : "more than 0") + "; " +
                           segment_value_text(measure, value) + " is given.");
      } else if (value > 0.0 && value < least) {
        fault(measure,
              the + "is too small to be meant: less than a millionth of a millimetre, turn or radian.");
      } else if (value > most) {
        fault(measure, the + "is larger than any part planned here: at most 10 km, or 100000 turns.");
      } else if (measures_a_radius(measure)) {
        const double centreline = (measure == diameter ? 0.5 * value : value) - face_mm_;
        if (centreline <= in_mm_) fault(measure, radius_fault(centreline));
      }
    }
  }

  [[nodiscard]] std::string radius_fault(double centreline_mm) const {
    const auto mm = [](double v) { return length_text(Length::mm(v), Show::both, 2); };
    std::string text = "The radius to the centreline, " + mm(centreline_mm) +
                       ", is not larger than what the stock reaches toward the bend's centre, " + mm(in_mm_);
    if (centreline_mm < in_mm_) text += "; it is short by " + mm(in_mm_ - centreline_mm);
    text += ". More than " + mm(in_mm_) + " to the centreline";
    if (spec_.measured_to == MeasuredTo::outside)
      text += ", which is more than " + mm(in_mm_ + out_mm_) + " to the outside,";
    return text + " would do.";
  }

  void check_bends() {
    const bool eases = spec_.bends == Bends::up || spec_.bends == Bends::down;
    if (eases && spec_.kind != SegmentKind::arc)
      fault("bends", "Only an arc can bend up or down: it is an easing, bent in the upright plane. A " +
                         std::string(segment_kind_name(spec_.kind)) + " bends in or out.");
    const bool may_climb = spec_.kind == SegmentKind::helix || spec_.kind == SegmentKind::cone;
    if (spec_.hand && !may_climb)
      fault("climbs", std::string(spec_.kind == SegmentKind::arc ? "An " : "A ") +
                          std::string(segment_kind_name(spec_.kind)) +
                          " does not climb and has no hand. A helix or a cone does.");
  }

  Result<Segment> straight() {
    if (spec_.given.empty()) return too_few();
    Segment segment(spec_, SegmentCurve::straight(Length::mm(spec_.given.at(length))));
    segment.measures_ = spec_.given;
    segment.inside_length_ = segment.outside_length_ = segment.length();
    return segment;
  }

  Result<Segment> too_few() { return refuse(segment_questions(spec_, to_centreline(), about_)); }

  // The given numbers, radii to the centreline.
  [[nodiscard]] SegmentNumbers to_centreline() const {
    SegmentNumbers numbers = spec_.given;
    for (auto& [measure, value] : numbers) value -= more_at_face(measure);
    return numbers;
  }
  [[nodiscard]] SegmentNumbers as_measured(SegmentNumbers numbers) const {
    for (auto& [measure, value] : numbers) value += more_at_face(measure);
    return numbers;
  }
  [[nodiscard]] bool all_agree(const SegmentNumbers& made) const {
    return std::all_of(spec_.given.begin(), spec_.given.end(),
                       [&](const auto& g) { return measures_agree(g.first, g.second, made.at(g.first)); });
  }

  // The first shape that agrees with all that is given; otherwise what disagrees with the first.
  template <class Numbers, class Measures>
  std::optional<Numbers> settled(const SegmentShapes<Numbers>& shapes, Measures measures) {
    if (!shapes.impossible.empty()) return fault(shapes.about, shapes.impossible), std::nullopt;
    for (const Numbers& fit : shapes.fit) {
      measures_ = as_measured(measures(fit));
      if (!all_agree(measures_)) continue;
      if (&fit == &shapes.fit.front() && shapes.fit.size() > 1)
        note_other(as_measured(measures(shapes.fit[1])));
      return fit;
    }
    measures_ = as_measured(measures(shapes.fit.front()));
    std::vector<std::string> used;
    for (const SegmentMeasure m : shapes.used) used.push_back(phrase(m, spec_.given.at(m)));
    for (const auto& [measure, value] : spec_.given) {
      if (measures_agree(measure, value, measures_.at(measure))) continue;
      fault(measure, "The measures disagree: " + joined(used, " and ") + " make the " +
                         std::string(segment_measure_name(measure)) + " " +
                         segment_value_text(measure, measures_.at(measure)) + ", but " +
                         segment_value_text(measure, value) + " is given. Leave one out, or correct one.");
    }
    return std::nullopt;
  }

  void note_other(const SegmentNumbers& other) {
    // Whether anything given tells the two apart: then there was no choice.
    if (all_agree(other)) {
      std::vector<std::string> taken, left;
      for (const auto& [measure, value] : other) {
        if (measures_agree(measure, value, measures_.at(measure)) || measure == turns || measure == diameter)
          continue;
        taken.push_back(phrase(measure, measures_.at(measure)));
        left.push_back(phrase(measure, value));
      }
      notes_.push_back("Two shapes fit what is given: one with " + joined(taken, ", ") +
                       ", which is taken, and one with " + joined(left, ", ") +
                       ". Give one of these measures to say otherwise.");
    }
  }

  Result<Segment> arc() {
    const auto shapes = solve_arc(to_centreline());
    if (shapes.fit.empty() && shapes.impossible.empty()) return too_few();
    const auto arc = settled(shapes, arc_measures);
    if (!arc) return refuse(faults_);
    check_radius(arc->radius_mm, radius);
    // The last digit printed of one turn.
    if (arc->angle_rad > 2.0 * pi * (1.0 + 1e-9))
      fault(angle,
            "An arc of " + segment_value_text(angle, arc->angle_rad) +
                " goes more than once round and runs into itself. Up to 360 degrees would do, or a helix, "
                "whose pitch is at least the size of the stock.");
    if (!faults_.empty()) return refuse(faults_);
    Segment segment(spec_, SegmentCurve::arc(Length::mm(arc->radius_mm), Angle::rad(arc->angle_rad)));
    segment.inside_length_ = Length::mm((arc->radius_mm - in_mm_) * arc->angle_rad);
    segment.outside_length_ = Length::mm((arc->radius_mm + out_mm_) * arc->angle_rad);
    return finished(std::move(segment));
  }

  void check_radius(double radius_mm, SegmentMeasure about) {
    if (radius_mm <= in_mm_) fault(about, radius_fault(radius_mm));
    if (radius_mm > longest_mm)
      fault(
          about,
          "The radius comes out larger than any part planned here (10 km): what is given makes a straight.");
  }

  Result<Segment> taper() {
    SegmentNumbers numbers = to_centreline();
    const bool flat = spec_.kind == SegmentKind::scroll;
    if (flat) numbers[rise] = 0.0;
    auto shapes = solve_taper(numbers);
    std::erase_if(shapes.used, [&](SegmentMeasure m) { return flat && m == rise; });
    if (shapes.fit.empty() && shapes.impossible.empty()) return too_few();
    const auto taper = settled(shapes, taper_measures);
    if (!taper) return refuse(faults_);
    check_radius(taper->start_radius_mm, start_radius);
    check_radius(taper->end_radius_mm, end_radius);
    if (taper->turn_rad > most_turns * 2.0 * pi) fault(turns, "It comes out at more than 100000 turns.");
    const double least_radius = std::min(taper->start_radius_mm, taper->end_radius_mm);
    constexpr Angle steepest = Angle::deg(80.0);
    if (std::atan2(taper->rise_mm / taper->turn_rad, least_radius) >= steepest.rad())
      fault(rise, "At its smaller radius the cone would climb at 80 degrees or more. A rise of less than " +
                      segment_value_text(rise, least_radius * std::tan(steepest.rad()) * taper->turn_rad) +
                      " would do.");
    if (taper->rise_mm > 0.0 && !spec_.hand) {
      fault("climbs", "It climbs, and which way is not said.");
      faults_.push_back({Level::question, about_ + "climbs",
                         "Going up, seen from above, does it turn clockwise or counter-clockwise?",
                         std::nullopt});
    }
    if (!faults_.empty()) return refuse(faults_);
    const double turn_count = taper->turn_rad / (2.0 * pi);
    const double rise_mm = spec_.hand == Hand::left_screw ? -taper->rise_mm : taper->rise_mm;
    Segment segment(spec_,
                    SegmentCurve::taper({taper->start_radius_mm, taper->end_radius_mm, turn_count, rise_mm}));
    const auto face = [&](double more) {
      return Length::mm(taper_length_mm(
          {taper->start_radius_mm + more, taper->end_radius_mm + more, taper->turn_rad, taper->rise_mm}));
    };
    segment.inside_length_ = face(-in_mm_);
    segment.outside_length_ = face(out_mm_);
    if (flat) measures_.erase(rise), measures_.erase(pitch);
    return finished(std::move(segment));
  }

  Result<Segment> helix() {
    Result<Coil> coil = Coil::from(coil_spec(spec_), faces_);
    if (!coil) {
      Findings findings = coil.error();
      for (Finding& f : findings)
        if (f.about.starts_with("coil."))
          f.about = about_ + (f.about == "coil.sweep" ? "angle" : f.about.substr(5));
      return refuse(findings);
    }
    Segment segment(spec_, SegmentCurve::helix(coil->helix(), coil->developed_length()));
    measures_ = coil_numbers(*coil, face_mm_);
    notes_ = coil->notes();
    segment.inside_length_ = coil->inside_length();
    segment.outside_length_ = coil->outside_length();
    segment.coil_ = *std::move(coil);
    return finished(std::move(segment));
  }

  Segment finished(Segment segment) {
    segment.measures_ = measures_;
    segment.notes_ = notes_;
    return segment;
  }

  const SegmentSpec& spec_;
  StockFaces faces_;  // as this segment bends
  double in_mm_, out_mm_, face_mm_ = 0.0;
  std::string about_;
  Findings faults_;
  SegmentNumbers measures_;
  std::vector<std::string> notes_;
};

Result<Segment> Segment::from(const SegmentSpec& spec, const StockFaces& faces, const std::string& about) {
  require(!spec.closing, "a condition must have become a number before its segment is made");
  return SegmentMaker(spec, faces, about).make();
}

std::optional<Hand> Segment::hand() const {
  const bool climbs = measures_.contains(rise) && measures_.at(rise) > 0.0;
  if (!climbs) return std::nullopt;
  return coil_ ? coil_->hand() : spec_.hand;
}

std::string Segment::made_from() const {
  std::vector<std::string> phrases;
  for (const auto& [measure, value] : spec_.given) {
    const std::string text = segment_value_text(measure, value, 1);
    if (measure == turns || measure == angle)
      phrases.push_back(text);
    else
      phrases.push_back(std::string(segment_measure_name(measure)) + " " + text +
                        (measures_a_radius(measure) ? face_text(spec_.measured_to) : ""));
  }
  return std::string(segment_kind_name(spec_.kind)) + ": " + joined(phrases, ", ");
}

}  // namespace coilwright
