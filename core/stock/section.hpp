// The cross-section of what is bent, as it lies in the rolls.
//
// Axes: y is the depth, positive toward the centre-roll side; x runs along the shafts. "Outer" is the convex
// side of the bend (away from the coil's inside), "inner" the concave side. Bending is in the plane of the
// depth, held sideways by the rolls: the neutral axis is parallel to the shafts. Properties are of the nominal
// dimensions unless said, in mm and powers of it, exact for the outline (closed forms).
#pragma once

#include <coilwright/quantity/finding.hpp>
#include <coilwright/quantity/quantity.hpp>
#include <coilwright/stock/depth_profile.hpp>
#include <coilwright/stock/outline.hpp>
#include <memory>
#include <optional>
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

// How the corners of a square or rectangular tube are rounded.
enum class Corners {
  cold_formed,   // EN 10219-2: outside 2 t, inside t; from above 6 mm 2.5 t and 1.5 t, above 10 mm 3 t and 2 t
  hot_finished,  // EN 10210-2: outside 1.5 t, inside t
  given,         // an outside radius as given, inside a wall less
};
struct RectangularTube {
  Length depth;   // in the plane of the bend
  Length height;  // along the shafts
  Length wall;
  Corners corners = Corners::cold_formed;
  Length outside_corner = {};  // only for `given`; 0: sharp

  [[nodiscard]] Length outside_radius() const;
  [[nodiscard]] Length inside_radius() const;
};

// Easy way: about the weaker axis, the great measure along the shafts, like a belt. Hard way: in the plane of
// the bend, like a washer.
enum class Way { easy, hard };
struct FlatBar {
  Length width, thickness;
  Way way = Way::easy;
};

enum class Points { to_the_centre, to_the_outside };
// One leg lies in the plane of the bend and points in or out, the other along the shafts.
struct AngleBar {
  Length bend_plane_leg;  // the leg that is "in" or "out"
  Length shaft_leg;
  Length thickness;
  Points points = Points::to_the_centre;
  Length root_radius = {}, toe_radius = {};
};

enum class ChannelWay { flanges_in, flanges_out, hard_way };
struct ChannelBar {
  Length height, flange_width, web, flange;  // flange: thickness, of a taper at half the flange width
  ChannelWay way = ChannelWay::flanges_in;
  Length root_radius = {}, toe_radius = {};
  double taper = 0.0;  // slope of the flange's inner face against its outer one: 0.08 for UPN
};

struct TeeBar {
  Length height, flange_width, stem, flange;  // stem, flange: thickness
  Points stem_points = Points::to_the_centre;
  Length root_radius = {};
};

struct IBeam {
  Length height, flange_width, web, flange;
  Way way = Way::hard;
  Length root_radius = {};
};

// An extrusion or anything else: x along the shafts, y toward the centre-roll side.
struct FreeOutline {
  Outline outline;
};

class Section {
 public:
  using Kind = std::variant<RoundTube, RoundBar, RectangularTube, FlatBar, AngleBar, ChannelBar, TeeBar, IBeam, FreeOutline>;

  // Refuses a measure outside 0.01 mm to 10 m, or that is not a number, a wall that leaves no bore, a
  // thickness that does not fit and a radius that does not fit, all with the rule. The findings are about the
  // key of a job: "stock.tube", "stock.bar", "stock.square", "stock.rectangle", "stock.flat", "stock.angle",
  // "stock.channel", "stock.tee", "stock.beam".
  static Result<Section> from(const Kind& kind);
  static Result<Section> round_tube(Length outside_diameter, Length wall);
  static Result<Section> round_bar(Length diameter);

  [[nodiscard]] const Kind& kind() const { return shape_->kind; }
  [[nodiscard]] std::string text() const;  // "round tube 42.4 x 2.6 mm"; the orientation said twice
  [[nodiscard]] bool round() const;
  // One closed wall all round, so that torque runs round it.
  [[nodiscard]] bool hollow() const { return shape_->outline.loops().size() > 1; }

  // The outline about its centroid.
  [[nodiscard]] const Outline& outline() const { return shape_->outline; }
  [[nodiscard]] const DepthProfile& profile() const { return shape_->profile; }

  // Of the smallest circle about the centroid that holds the section: what it sweeps when it turns over.
  [[nodiscard]] Length outside_diameter() const;
  [[nodiscard]] Length outer_face() const;  // elastic neutral axis to the outer face (c_o)
  [[nodiscard]] Length inner_face() const;  // elastic neutral axis to the inner face (c_i)
  [[nodiscard]] Length depth() const { return outer_face() + inner_face(); }
  [[nodiscard]] Length height() const;      // along the shafts
  [[nodiscard]] Length above_centroid() const;  // along the shafts, to the farther end
  [[nodiscard]] double area_mm2() const;              // round: pi (D^2 - d^2) / 4
  [[nodiscard]] double inertia_mm4() const;           // about the bending axis; round: pi (D^4 - d^4) / 64
  [[nodiscard]] double side_inertia_mm4() const;      // about the axis square to it
  [[nodiscard]] double product_of_inertia_mm4() const;  // int x y about the centroid
  [[nodiscard]] double elastic_modulus_mm3() const;   // I over the farther face: the lesser of the two
  [[nodiscard]] double outer_modulus_mm3() const { return inertia_mm4() / outer_face().mm(); }
  [[nodiscard]] double inner_modulus_mm3() const { return inertia_mm4() / inner_face().mm(); }
  [[nodiscard]] double plastic_modulus_mm3() const;   // int |y - axis that halves the area| dA
  // Free warping (Saint-Venant). Round: 2 I. One closed wall: Bredt, 4 A_m^2 t / s along the middle of the wall
  // with its corners. Flat: the exact series of the rectangle. Open: sum b t^3 / 3 with end and junction
  // terms after El Darwish and Johnston (Proc. ASCE 91 (1965) ST1, 203), as used in published section tables,
  // from memory. Free outline: A^4 / (40 I_p) (Saint-Venant) if solid, Bredt with the mean wall if it has one hole.
  [[nodiscard]] double torsion_constant_mm4() const;
  // The fully plastic torque is this times the shear yield: round 2 pi (r_o^3 - r_i^3) / 3, one closed wall
  // 2 A_m t, open sum b t^2 / 2 (sand heap, ends of a flat taken off).
  [[nodiscard]] double plastic_torsion_modulus_mm3() const;
  [[nodiscard]] Length perimeter() const;  // outside, for paint and polish

  // Of the middle lines of thin walls, from the centroid. Not known for a free outline.
  struct ShearCentre {
    Length x, y;
  };
  [[nodiscard]] std::optional<ShearCentre> shear_centre() const { return shape_->shear_centre; }

 private:
  struct Shape {
    Kind kind;
    Outline outline;
    DepthProfile profile;
    double torsion_mm4, plastic_torsion_mm3;
    std::optional<ShearCentre> shear_centre;
  };
  explicit Section(std::shared_ptr<const Shape> shape) : shape_(std::move(shape)) {}
  std::shared_ptr<const Shape> shape_;
};

// What bending in the plane of the depth does sideways.
struct SideTendency {
  enum class Kind {
    none,       // the section is alike either side of the plane of the bend
    twists,     // the shear centre lies off that plane: roll forces through the middle twist the bar
    bows,       // the plane of the bend is no principal plane: released, the part bows sideways, and twists
    not_known,  // a free outline without that symmetry
  };
  Kind kind;
  Length shear_centre_off;  // from the plane of the bend through the centroid; 0 where not known
  [[nodiscard]] std::string text() const;  // whole sentences; empty for none
};
SideTendency side_tendency(const Section& section);

}  // namespace coilwright
