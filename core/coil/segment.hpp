// A segment of a part: straight, arc, helix, cone or scroll, made from any sufficient set of its measures.
//
// Everything is said of the centreline except radius, diameter, start and end radius, which are measured to
// what the drawing measures them to. A scroll is a flat spiral (pancake coil) whose radius grows evenly with
// the turn (Archimedean); a cone is the same with an even rise.
#pragma once

#include <coilwright/coil/centreline.hpp>
#include <coilwright/coil/closing.hpp>
#include <coilwright/coil/coil.hpp>
#include <coilwright/coil/segment_measure.hpp>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coilwright {

enum class SegmentKind { straight, arc, helix, cone, scroll };

// Which way it bends as it is fed: in, the way the part bends; out, the other way; up or down for an arc that
// is an easing, its bend plane turned by 90 degrees about the tangent.
enum class Bends { in, out, up, down };

std::string_view segment_kind_name(SegmentKind kind);  // "straight", as in a job file

// What is known of a segment. Leave out what is not.
struct SegmentSpec {
  SegmentKind kind = SegmentKind::straight;
  std::map<SegmentMeasure, double> given;  // in mm, rad or turns
  MeasuredTo measured_to = MeasuredTo::centreline;
  Bends bends = Bends::in;
  std::optional<Hand> hand;        // of a helix or a cone that climbs
  std::optional<Closing> closing;  // the one measure that is left to a condition on the part

  SegmentSpec& with(SegmentMeasure measure, Length length);
  SegmentSpec& with(SegmentMeasure measure, Angle angle);
  SegmentSpec& with_turns(double turns);
};

class Segment {
 public:
  // What each kind can be made from, any set that leaves no choice:
  //   straight  length;
  //   arc       two of: radius (or diameter, or bend radius), angle (or turns), length, chord, chord rise;
  //   helix     as Coil::from;
  //   cone      four of: start radius, end radius, turns (or angle), rise, pitch, length;
  //   scroll    three of: start radius, end radius, turns (or angle), length.
  // What is given beyond that must agree within half the last digit a plan prints (0.05 mm, 0.005 degrees,
  // 0.00005 turns) or 1e-6 of the value. Where two shapes fit, the flatter arc or the larger radius is taken
  // unless another measure decides; notes() says so.
  // Faults: a measure that this kind does not have, too few (with a Level::question and what the usual
  // replies would give), measures that disagree or that no such segment can have (which, by how much, and the
  // nearest that would work), a radius to the centreline no larger than the
  // stock reaches from its centreline toward the bend's centre, an arc of more than one
  // full turn, no hand for what climbs, bends up or down for what is not an arc. A measure left to a closing
  // condition must have been replaced by a number before.
  // Findings are about `about` + the key of the measure: "segment.2.chord_rise".
  static Result<Segment> from(const SegmentSpec& spec, const StockFaces& faces, const std::string& about);

  [[nodiscard]] SegmentKind kind() const { return spec_.kind; }
  [[nodiscard]] Bends bends() const { return spec_.bends; }
  // Of a helix with pitch or a cone with rise; none for what is flat.
  [[nodiscard]] std::optional<Hand> hand() const;
  [[nodiscard]] const SegmentCurve& curve() const { return curve_; }
  // Of a helix.
  [[nodiscard]] const std::optional<Coil>& coil() const { return coil_; }
  [[nodiscard]] MeasuredTo measured_to() const { return spec_.measured_to; }

  // All measures that this kind has, in mm, rad or turns; radii to measured_to(). Any sufficient set of them
  // makes the same segment again.
  [[nodiscard]] const std::map<SegmentMeasure, double>& measures() const { return measures_; }
  [[nodiscard]] bool was_given(SegmentMeasure measure) const { return spec_.given.contains(measure); }
  [[nodiscard]] Length length() const { return Length::mm(curve_.length_mm()); }
  // Along the face toward the bend's centre, and along the one away from it. Where it bends out that is the
  // stock's outer and inner face.
  [[nodiscard]] Length inside_length() const { return inside_length_; }
  [[nodiscard]] Length outside_length() const { return outside_length_; }
  [[nodiscard]] const std::vector<std::string>& notes() const { return notes_; }
  // "arc: radius 800.0 mm to the inside, 90 degrees"
  [[nodiscard]] std::string made_from() const;

 private:
  friend class SegmentMaker;
  Segment(SegmentSpec spec, SegmentCurve curve) : spec_(std::move(spec)), curve_(curve) {}
  SegmentSpec spec_;
  SegmentCurve curve_;
  std::optional<Coil> coil_;
  std::map<SegmentMeasure, double> measures_;
  Length inside_length_, outside_length_;
  std::vector<std::string> notes_;
};

}  // namespace coilwright
