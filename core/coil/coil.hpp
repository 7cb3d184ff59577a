// A coil: a helix with a number of turns, made from any sufficient set of its measures.
#pragma once

#include <coilwright/coil/helix.hpp>
#include <coilwright/quantity/finding.hpp>
#include <coilwright/quantity/quantity.hpp>
#include <optional>

namespace coilwright {

// What a radius or a diameter on a drawing is measured to.
enum class MeasuredTo { centreline, inside, outside };

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

class Coil {
 public:
  // Faults: not enough measures (with the question to ask), measures that disagree (with the numbers),
  // a radius not larger than half the tube, non-positive measures, no hand for a coil that climbs.
  // Guarantee: turns > 0, plan radius > outside_diameter / 2, pitch >= 0.
  static Result<Coil> from(const CoilSpec& spec, Length outside_diameter);

  [[nodiscard]] const Helix& helix() const { return helix_; }
  [[nodiscard]] double turns() const { return turns_; }
  [[nodiscard]] Length outside_diameter() const { return outside_diameter_; }  // of the tube
  [[nodiscard]] Hand hand() const { return helix_.hand(); }

  [[nodiscard]] Length rise() const;
  [[nodiscard]] Length overall_height() const;    // rise + OD cos(slope)
  [[nodiscard]] Length developed_length() const;  // of the centreline, N sqrt((2 pi R)^2 + pitch^2)
  [[nodiscard]] Length inside_length() const;     // along the face toward the axis, at R - OD/2
  [[nodiscard]] Length outside_length() const;    // along the face away from it, at R + OD/2
  [[nodiscard]] Length rise_per_quarter_turn() const;

 private:
  Coil(Helix helix, double turns, Length outside_diameter)
      : helix_(helix), turns_(turns), outside_diameter_(outside_diameter) {}
  Helix helix_;
  double turns_;
  Length outside_diameter_;
};

}  // namespace coilwright
