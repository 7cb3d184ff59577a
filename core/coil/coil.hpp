// A coil: a helix with a number of turns, made from any sufficient set of its measures.
#pragma once

#include <coilwright/coil/helix.hpp>
#include <coilwright/quantity/finding.hpp>
#include <coilwright/quantity/quantity.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coilwright {

// What a radius or a diameter on a drawing is measured to.
enum class MeasuredTo { centreline, inside, outside };

// How far the stock reaches from its centreline: to the face toward the coil's axis, to the face away from
// it, and along the axis in all. Round stock is its diameter.
struct StockFaces {
  Length inner, outer, height;
  StockFaces(Length diameter) : inner(diameter / 2.0), outer(diameter / 2.0), height(diameter) {}
  StockFaces(Length inner_face, Length outer_face, Length height_)
      : inner(inner_face), outer(outer_face), height(height_) {}
};

// What is known of a coil. Leave out what is not.
struct CoilSpec {
  std::optional<Length> radius;    // in plan, square to the axis, to `measured_to`
  std::optional<Length> diameter;  // likewise
  MeasuredTo measured_to = MeasuredTo::centreline;
  std::optional<Length> bend_radius;  // of the centreline, as a gauge on the rail reads it
  std::optional<Length> pitch;        // rise in one full turn
  std::optional<double> turns;
  std::optional<Length> rise;    // of the centreline from end to end
  std::optional<Angle> sweep;    // turn in plan
  std::optional<Angle> slope;    // of the centreline against the horizontal
  std::optional<Length> length;  // along the centreline
  std::optional<Hand> hand;      // right_screw when not given and the pitch is 0
};

enum class CoilMeasure { radius, diameter, bend_radius, pitch, turns, rise, sweep, slope, length };

std::string_view measure_name(CoilMeasure measure);  // "bend radius"
std::string measure_key(CoilMeasure measure);        // "coil.bend_radius", as in a job file

class Coil {
 public:
  // Any set of measures that leaves no choice is sufficient, for instance radius, pitch and turns; bend
  // radius, pitch and sweep; radius, rise and length. What is given beyond that must agree within half the
  // last digit that a plan prints (0.05 mm; 0.005 degrees; 0.00005 turns) or 1e-6 of the value, whichever is
  // more.
  // A bend radius and a pitch fit two plan radii: the larger one is taken (it climbs at less than 45
  // degrees), unless another measure decides; notes() says so.
  // Faults: too few measures (with a Level::question for each that is missing), measures that disagree or
  // that no coil can have (with the numbers), a plan radius not larger than the inner face, a slope of 80
  // degrees or more, measures that are not positive, below a millionth (of a millimetre, a turn,
  // a radian) or beyond 10 km or 100 000 turns, no hand for a coil
  // that climbs. Findings are about the keys of a job file: "coil.pitch".
  // Guarantee: turns > 0, plan radius > inner face, pitch >= 0, slope < 80 degrees, all finite.
  static Result<Coil> from(const CoilSpec& spec, const StockFaces& faces);

  [[nodiscard]] const Helix& helix() const { return helix_; }
  [[nodiscard]] double turns() const { return turns_; }
  [[nodiscard]] Angle sweep() const { return Angle::turns(turns_); }
  [[nodiscard]] const StockFaces& faces() const { return faces_; }  // of the stock
  [[nodiscard]] Hand hand() const { return helix_.hand(); }

  [[nodiscard]] Length rise() const;
  [[nodiscard]] Length overall_height() const;    // rise + height of the stock x cos(slope)
  [[nodiscard]] Length developed_length() const;  // of the centreline, N sqrt((2 pi R)^2 + pitch^2)
  [[nodiscard]] Length inside_length() const;     // along the face toward the axis, at R - inner face
  [[nodiscard]] Length outside_length() const;    // along the face away from it, at R + outer face
  [[nodiscard]] Length rise_per_quarter_turn() const;

  // How the measures were understood, for an echo: `radius 800.0 mm (2'-7 1/2") to the centreline, pitch
  // 2700.0 mm (8'-10 5/16"), 1.1 turns`.
  [[nodiscard]] std::string made_from() const;
  // "given", or "computed from the bend radius and the slope".
  [[nodiscard]] std::string origin_of(CoilMeasure measure) const;
  // What had to be chosen between two answers, and measures that settle another one poorly: whole sentences.
  [[nodiscard]] const std::vector<std::string>& notes() const { return notes_; }

 private:
  Coil(Helix helix, double turns, const StockFaces& faces) : helix_(helix), turns_(turns), faces_(faces) {}
  Helix helix_;
  double turns_;
  StockFaces faces_;
  std::vector<CoilMeasure> given_;       // in the order of CoilMeasure
  std::vector<CoilMeasure> used_;        // of those, the ones that were enough
  std::vector<double> given_values_;     // beside given_, as given_measures() has them
  MeasuredTo measured_to_ = MeasuredTo::centreline;
  std::vector<std::string> notes_;
};

// The answer to a pitch that is given as an angle ("30 deg"): it is a slope, and needs its radius.
std::string pitch_is_a_length_text(std::string_view given);

}  // namespace coilwright
