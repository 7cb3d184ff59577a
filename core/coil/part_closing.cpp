#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <coilwright/quantity/bracketed_root.hpp>
#include <coilwright/coil/part_closing.hpp>
#include <coilwright/coil/part_meeting.hpp>
#include <coilwright/coil/segment_questions.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <limits>
#include <numbers>

namespace coilwright {
namespace {

constexpr double pi = std::numbers::pi;

using Eigen::Vector3d;

bool may_climb(const SegmentSpec& s) {
  return s.kind == SegmentKind::helix || s.kind == SegmentKind::cone;
}

// Of a specification, before its segment can be made.
bool climbs(const SegmentSpec& s) {
  const auto zero = [&](SegmentMeasure m) { return s.given.contains(m) && s.given.at(m) == 0.0; };
  return may_climb(s) && s.hand && !zero(SegmentMeasure::pitch) && !zero(SegmentMeasure::rise) &&
         !zero(SegmentMeasure::slope);
}

double largest_value(const SegmentSpec& spec) {
  constexpr double longest_mm = 1e5, most_turns = 10.0;
  const double most = spec.kind == SegmentKind::arc ? 1.0 : most_turns;
  if (spec.closing->of == SegmentMeasure::length) return longest_mm;
  return spec.closing->of == SegmentMeasure::angle ? 2.0 * pi * most : most;
}

// Fine enough that what a condition speaks of turns back at most once between two looks.
double look_step(const SegmentSpec& spec) {
  if (spec.closing->of != SegmentMeasure::length)
    return largest_value(spec) / (spec.kind == SegmentKind::arc ? 360.0 : 1440.0);
  double step = 50.0;
  for (const auto& [measure, value] : spec.given)
    if (measures_a_radius(measure) || measure == SegmentMeasure::bend_radius)
      step = std::min(step, 0.25 * value);
  return std::max(step, largest_value(spec) / 10000.0);
}

}  // namespace

Vector3d axis_of(const SegmentCurve& curve, const CurveFrame& start) {
  Vector3d in_frame = Vector3d::UnitZ();
  if (const auto* s = std::get_if<SegmentCurve::Screw>(&curve.kind())) {
    if (s->curvature > 0.0) in_frame = Vector3d(s->torsion, 0.0, s->curvature).normalized();
  } else {
    const auto& t = std::get<SegmentCurve::Taper>(curve.kind());
    const double turn = 2.0 * pi * t.turns, b = (t.end_radius_mm - t.start_radius_mm) / turn,
                 c = t.rise_mm / turn;
    const double r = t.start_radius_mm;
    const Vector3d tangent = Vector3d(b, r, c).normalized();
    const Vector3d binormal = Vector3d(-2.0 * b * c, -c * r, r * r + 2.0 * b * b).normalized();
    in_frame = Vector3d(tangent.z(), binormal.cross(tangent).z(), binormal.z());
  }
  return in_frame.x() * start.tangent + in_frame.y() * start.normal + in_frame.z() * start.binormal;
}

// Replaces conditions by numbers, one after the other, and makes the part.
class PartMaker {
 public:
  PartMaker(const std::vector<SegmentSpec>& specs, const StockFaces& faces) : specs_(specs), faces_(faces) {}

  Result<Part> make() {
    if (specs_.empty()) return refuse("segment", "A part has at least one segment.");
    check();
    if (!faults_.empty()) return refuse(faults_);
    for (std::size_t i = 0; i < specs_.size(); ++i)
      if (specs_[i].closing && specs_[i].closing->word != ClosingWord::meet) close(i);
    if (!faults_.empty()) return refuse(faults_);
    if (!meeting_.empty()) meet();
    if (!faults_.empty()) return refuse(faults_);
    Findings findings;
    std::optional<Part> part = build(specs_.size(), &findings);
    if (!part) return refuse(findings);
    part->note_turns();
    part->notes_ = notes_;
    for (std::size_t i = 0; i < part->segments_.size(); ++i)
      for (const std::string& note : part->segments_[i].notes())
        part->notes_.push_back("Segment " + std::to_string(i + 1) + ": " + note);
    return *std::move(part);
  }

 private:
  [[nodiscard]] static std::string about(std::size_t i) { return "segment." + std::to_string(i + 1) + "."; }
  void fault(std::size_t i, const std::string& key, std::string text) {
    faults_.push_back({Level::fault, about(i) + key, std::move(text), std::nullopt});
  }

  void check() {
    for (std::size_t i = 0; i < specs_.size(); ++i) {
      const SegmentSpec& s = specs_[i];
      if (!s.closing) {
        if (const auto made = Segment::from(s, faces_, about(i)); !made) append(faults_, made.error());
        continue;
      }
      const std::string key = segment_measure_key(s.closing->of);
      const auto known = measures_of(s.kind);
      const bool fits = std::find(known.begin(), known.end(), s.closing->of) != known.end() &&
                        (s.closing->of == SegmentMeasure::angle || s.closing->of == SegmentMeasure::turns ||
                         s.closing->of == SegmentMeasure::length);
      if (!fits)
        fault(i, key,
              "Only the length of a segment, or the angle or turns of one that bends, can be left to a "
              "condition.");
      else if (s.closing->word == ClosingWord::meet)
        meeting_.push_back(i);
      else if (!meeting_.empty())
        fault(i, key,
              "A condition behind a segment that is to meet the start cannot be judged: only further ones "
              "\"to meet\" can follow.");
      if (fits) check_with_number(i);
    }
    if (meeting_.size() > 3)
      fault(meeting_[3], segment_measure_key(specs_[meeting_[3]].closing->of),
            "At most three segments can be left to meet the start: two bring the end point there, the third "
            "the direction.");
  }

  // What is wrong with it whatever the condition comes to.
  void check_with_number(std::size_t i) {
    SegmentSpec tried = specs_[i];
    const SegmentMeasure of = tried.closing->of;
    const double most = largest_value(tried);
    tried.closing.reset();
    Findings last;
    for (const double share : {1e-4, 1e-3, 0.01, 0.03, 0.1, 0.2, 0.4, 0.6, 0.8, 1.0}) {
      tried.given[of] = share * most;
      const auto made = Segment::from(tried, faces_, about(i));
      if (made) return;
      last = made.error();
    }
    append(faults_, last);
  }

  // The first `count` segments; none if one of them cannot be.
  [[nodiscard]] std::optional<Part> build(std::size_t count, Findings* findings = nullptr) const {
    Part part(faces_);
    const auto first = std::find_if(specs_.begin(), specs_.end(), climbs);
    part.climbs_to_minus_z_ =
        first != specs_.end() && (*first->hand == Hand::left_screw) != (first->bends == Bends::out);
    for (std::size_t i = 0; i < count; ++i) {
      const auto made = Segment::from(specs_[i], faces_, about(i));
      if (!made) {
        if (findings != nullptr) append(*findings, made.error());
        return std::nullopt;
      }
      part.segments_.push_back(*made);
    }
    part.join();
    return part;
  }

  // What a condition still lacks at the end of the part so far; 0 when it is met.
  [[nodiscard]] double lacking(const Part& part, const Closing& closing, double next_slope_sine) const {
    const Vector3d up = part.up_direction(), start = part.centreline().frame(0.0).tangent;
    const Vector3d x = (start - up * up.dot(start)).normalized();
    const Vector3d y_right = up.cross(x);  // toward the inside when up is z, away from it when it is -z
    const Vector3d y = part.climbs_to_minus_z_ ? Vector3d(-y_right) : y_right;
    const CurveFrame end = part.centreline().end();
    switch (closing.word) {
      case ClosingWord::level:
        return end.tangent.dot(up);
      case ClosingWord::slope:
        return end.tangent.dot(up) - next_slope_sine;
      case ClosingWord::parallel:
        return end.tangent.dot(y);
      case ClosingWord::square:
        return end.tangent.dot(x);
      case ClosingWord::x:
        return end.point.dot(x) - closing.to.mm();
      case ClosingWord::y:
        return end.point.dot(y) - closing.to.mm();
      case ClosingWord::height:
        return end.point.dot(up) - closing.to.mm();
      case ClosingWord::width:
        return part.centreline_extent().width.mm() - closing.to.mm();
      case ClosingWord::depth:
        return part.centreline_extent().depth.mm() - closing.to.mm();
      case ClosingWord::meet:
        break;
    }
    return 0.0;
  }

  [[nodiscard]] std::optional<double> next_slope_sine(std::size_t i) const {
    for (std::size_t j = i + 1; j < specs_.size(); ++j) {
      if (!may_climb(specs_[j]) || specs_[j].closing) continue;
      const auto made = Segment::from(specs_[j], faces_, about(j));
      if (!made || !made->hand()) continue;
      return std::abs(axis_of(made->curve(), start_frame()).dot(Vector3d::UnitX()));
    }
    return std::nullopt;
  }

  void close(std::size_t i) {
    const Closing closing = *specs_[i].closing;
    const std::string key = segment_measure_key(closing.of);
    const std::optional<double> slope = next_slope_sine(i);
    if (closing.word == ClosingWord::slope && !slope) {
      fault(i, key,
            "No segment behind this one climbs, so there is no slope to come to. Give the angle, or \"to "
            "level\".");
      return;
    }
    const double most = largest_value(specs_[i]), step = look_step(specs_[i]);
    SegmentSpec& spec = specs_[i];
    spec.closing.reset();
    const auto value = [&](double v) -> std::optional<double> {
      spec.given[closing.of] = v;
      const auto part = build(i + 1);
      if (!part) return std::nullopt;
      return lacking(*part, closing, slope.value_or(0.0));
    };
    std::optional<double> before;
    double best = 0.0, best_lack = std::numeric_limits<double>::infinity();
    for (double v = step; v <= most * (1.0 + 1e-12); v += step) {
      const auto at = value(v);
      if (at && std::abs(*at) < std::abs(best_lack)) best = v, best_lack = *at;
      // Between nothing and the first look: whatever is not met at once may be met there.
      const double low = before ? v - step : 1e-3 * step;
      if (at && !before && v == step) before = value(low);
      if (at && before && (*before < 0.0) != (*at < 0.0)) {
        const double side = *at < 0.0 ? -1.0 : 1.0;
        spec.given[closing.of] =
            rising_root_between(low, v, [&](double x) { return side * value(x).value_or(0.0); });
        notes_.push_back("Segment " + std::to_string(i + 1) + ": " + closing_text(closing) + " makes its " +
                         std::string(segment_measure_name(closing.of)) + " " +
                         segment_value_text(closing.of, spec.given[closing.of]) + ".");
        return;
      }
      before = at;
    }
    std::string text = "No " + std::string(segment_measure_name(closing.of)) + " up to " +
                       segment_value_text(closing.of, most, 0) + " brings this segment " +
                       closing_text(closing) + ".";
    if (std::isfinite(best_lack)) text += " " + nearest_text(closing, best, best_lack);
    fault(i, key, text);
  }

  static std::string nearest_text(const Closing& closing, double best, double lack) {
    const bool by_direction = closing.word == ClosingWord::level || closing.word == ClosingWord::slope ||
                              closing.word == ClosingWord::parallel || closing.word == ClosingWord::square;
    const std::string off =
        by_direction ? segment_value_text(SegmentMeasure::angle, std::asin(std::min(1.0, std::abs(lack))))
                     : length_text(Length::mm(std::abs(lack)), Show::both);
    return "The nearest is " + segment_value_text(closing.of, best) + ", which misses it by " + off +
           (by_direction ? "."
                         : ": it comes to " + length_text(closing.to + Length::mm(lack), Show::both) + ".");
  }

  void meet() {
    std::vector<Unknown> unknowns;
    double scale = 0.0;
    for (const SegmentSpec& s : specs_) {
      if (s.closing) continue;
      if (const auto made = Segment::from(s, faces_, "")) scale += made->length().mm();
    }
    for (const std::size_t i : meeting_) {
      unknowns.push_back({specs_[i].closing->of != SegmentMeasure::length, largest_value(specs_[i]),
                          specs_[i].closing->of == SegmentMeasure::turns ? 1.0 : 2.0 * pi});
      if (scale == 0.0)
        for (const auto& [m, v] : specs_[i].given) scale = std::max(scale, v);
    }
    std::vector<Closing> closings;
    for (const std::size_t i : meeting_) closings.push_back(*specs_[i].closing), specs_[i].closing.reset();
    const auto put = [&](const std::vector<double>& values) {
      for (std::size_t k = 0; k < meeting_.size(); ++k) specs_[meeting_[k]].given[closings[k].of] = values[k];
    };
    const bool with_direction = meeting_.size() == 3;
    const auto gap = [&](const std::vector<double>& values) -> std::optional<MeetingGap> {
      put(values);
      const auto part = build(specs_.size());
      if (!part) return std::nullopt;
      MeetingGap result;
      const CurveFrame end = part->centreline().end(), start = part->centreline().frame(0.0);
      result.lack << end.point - start.point,
          with_direction ? Vector3d(scale * (end.tangent - start.tangent)) : Vector3d::Zero();
      result.length_mm = part->developed_length().mm();
      return result;
    };
    const Meeting met = find_meeting(unknowns, scale > 0.0 ? scale : 1000.0, gap);
    if (met.values.empty()) {
      fault(meeting_.front(), segment_measure_key(closings.front().of),
            "No value could be tried: the segments that are to meet cannot be made.");
      return;
    }
    put(met.values);
    std::vector<std::string> values;
    for (std::size_t k = 0; k < meeting_.size(); ++k)
      values.push_back("the " + std::string(segment_measure_name(closings[k].of)) + " of segment " +
                       std::to_string(meeting_[k] + 1) + " " +
                       segment_value_text(closings[k].of, met.values[k]));
    std::string list = values.front();
    for (std::size_t k = 1; k < values.size(); ++k)
      list += (k + 1 == values.size() ? " and " : ", ") + values[k];
    if (met.gap_mm <= met_within_mm) {
      notes_.push_back("To meet makes " + list + ".");
      return;
    }
    fault(meeting_.front(), segment_measure_key(closings.front().of),
          "Nothing brings the end of the part to its start. The nearest found is " + list +
              ", which leaves " + length_text(Length::mm(met.gap_mm), Show::both) +
              (with_direction ? ", the direction counted with the size of the part." : ".") +
              " A flat part takes two segments \"to meet\", and three to close without a kink.");
  }

  std::vector<SegmentSpec> specs_;
  StockFaces faces_;
  Findings faults_;
  std::vector<std::string> notes_;
  std::vector<std::size_t> meeting_;
};

Result<Part> Part::from(const std::vector<SegmentSpec>& specs, const StockFaces& faces) {
  return PartMaker(specs, faces).make();
}

}  // namespace coilwright
