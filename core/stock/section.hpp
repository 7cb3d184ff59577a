// The cross-section of what is bent.
//
// Axes: the bend is about the horizontal axis of the section as it lies in the grooves; "outer" is the
// convex side of the bend (away from the coil's inside), "inner" the concave side. Properties are of the
// nominal dimensions, about the bending axis, in mm and powers of it.
#pragma once

#include <coilwright/quantity/finding.hpp>
#include <coilwright/quantity/quantity.hpp>
#include <string>
#include <variant>

namespace coilwright {

struct RoundTube {
  Length outside_diameter;
  Length wall;
};
struct RoundBar {
  Length diameter;
};

class Section {
 public:
  using Kind = std::variant<RoundTube, RoundBar>;

  // Refuses a measure outside 0.01 mm to 10 m, or that is not a number, and a wall that leaves no bore.
  // The findings are about "stock.tube" and "stock.bar".
  static Result<Section> round_tube(Length outside_diameter, Length wall);
  static Result<Section> round_bar(Length diameter);

  [[nodiscard]] const Kind& kind() const { return kind_; }
  [[nodiscard]] std::string text() const;  // "round tube 42.4 x 2.6 mm"

  [[nodiscard]] Length outside_diameter() const;      // of the smallest circle around the section
  [[nodiscard]] Length outer_face() const;            // neutral axis to the outer face (c_o)
  [[nodiscard]] Length inner_face() const;            // neutral axis to the inner face (c_i)
  [[nodiscard]] double area_mm2() const;              // pi (D^2 - d^2) / 4
  [[nodiscard]] double inertia_mm4() const;           // I = pi (D^4 - d^4) / 64
  [[nodiscard]] double elastic_modulus_mm3() const;   // I / (D/2)
  [[nodiscard]] double plastic_modulus_mm3() const;   // (D^3 - d^3) / 6
  [[nodiscard]] double torsion_constant_mm4() const;  // J = 2 I for round sections
  [[nodiscard]] Length perimeter() const;             // outside, for paint and polish

 private:
  explicit Section(Kind kind) : kind_(kind) {}
  Kind kind_;
};

}  // namespace coilwright
