#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/stock/section.hpp>
#include <coilwright/stock/section_shape.hpp>
#include <numbers>

namespace coilwright {
namespace {

struct Diameters {
  double outside_mm, inside_mm, wall_mm;  // a bar: inside 0, wall half the diameter
};

// Round sections keep their own closed forms: factored, so that a thin wall loses no digits to cancellation.
std::optional<Diameters> diameters(const Section::Kind& kind) {
  if (const auto* tube = std::get_if<RoundTube>(&kind)) {
    const double outside = tube->outside_diameter.mm(), wall = tube->wall.mm();
    return Diameters{outside, outside - 2.0 * wall, wall};
  }
  const auto* bar = std::get_if<RoundBar>(&kind);
  if (bar == nullptr) return std::nullopt;
  return Diameters{bar->diameter.mm(), 0.0, 0.5 * bar->diameter.mm()};
}

}  // namespace

Length RectangularTube::outside_radius() const {
  switch (corners) {
    case Corners::cold_formed: return wall * (wall.mm() <= 6.0 ? 2.0 : wall.mm() <= 10.0 ? 2.5 : 3.0);
    case Corners::hot_finished: return wall * 1.5;
    case Corners::given: break;
  }
  return outside_corner;
}

Length RectangularTube::inside_radius() const {
  if (corners == Corners::hot_finished) return wall;
  return std::max(Length::mm(0), outside_radius() - wall);
}

Result<Section> Section::from(const Kind& kind) {
  if (Findings faults = faults_of(kind); !faults.empty()) return refuse(std::move(faults));
  Result<Outline> made = Outline::from(loops_of(kind), section_key(kind));
  if (!made) return refuse(std::move(made.error()));
  const AreaMoments& m = made->moments();
  std::optional<ShearCentre> shear_centre;
  if (const auto at = shear_centre_of(kind, *made))
    shear_centre = ShearCentre{Length::mm((*at)[0] - m.x_mm), Length::mm((*at)[1] - m.y_mm)};
  const Torsion torsion = torsion_of(kind, *made);
  Outline outline = made->moved(-m.x_mm, -m.y_mm);
  DepthProfile profile(outline);
  return Section(std::make_shared<const Shape>(Shape{kind, std::move(outline), std::move(profile), torsion.constant_mm4,
                                                     torsion.plastic_modulus_mm3, shear_centre}));
}

Result<Section> Section::round_tube(Length outside_diameter, Length wall) {
  return from(RoundTube{outside_diameter, wall});
}
Result<Section> Section::round_bar(Length diameter) { return from(RoundBar{diameter}); }

std::string Section::text() const { return section_text(kind()); }
bool Section::round() const { return diameters(kind()).has_value(); }

Length Section::outside_diameter() const {
  if (const auto d = diameters(kind())) return Length::mm(d->outside_mm);
  return Length::mm(2.0 * outline().radius_about_mm(0.0, 0.0));
}
Length Section::outer_face() const {
  if (const auto d = diameters(kind())) return Length::mm(0.5 * d->outside_mm);
  return Length::mm(-outline().depth_mm().lowest);
}
Length Section::inner_face() const {
  if (const auto d = diameters(kind())) return Length::mm(0.5 * d->outside_mm);
  return Length::mm(outline().depth_mm().highest);
}
Length Section::height() const {
  const Outline::Extent e = outline().along_shafts_mm();
  return Length::mm(e.highest - e.lowest);
}
Length Section::above_centroid() const {
  const Outline::Extent e = outline().along_shafts_mm();
  return Length::mm(std::max(e.highest, -e.lowest));
}

double Section::area_mm2() const {
  if (const auto d = diameters(kind())) return std::numbers::pi * d->wall_mm * (d->outside_mm - d->wall_mm);
  return outline().moments().area_mm2;
}
double Section::inertia_mm4() const {
  if (const auto d = diameters(kind()))
    return area_mm2() * (d->outside_mm * d->outside_mm + d->inside_mm * d->inside_mm) / 16.0;
  return outline().moments().yy_mm4;
}
double Section::side_inertia_mm4() const { return round() ? inertia_mm4() : outline().moments().xx_mm4; }
double Section::product_of_inertia_mm4() const { return round() ? 0.0 : outline().moments().xy_mm4; }
double Section::elastic_modulus_mm3() const {
  return inertia_mm4() / std::max(outer_face(), inner_face()).mm();
}
double Section::plastic_modulus_mm3() const {
  if (const auto d = diameters(kind()))
    return d->wall_mm * (d->outside_mm * d->outside_mm + d->outside_mm * d->inside_mm + d->inside_mm * d->inside_mm) / 3.0;
  return profile().plastic_modulus_mm3();
}
double Section::torsion_constant_mm4() const {
  return round() ? 2.0 * inertia_mm4() : shape_->torsion_mm4;
}
double Section::plastic_torsion_modulus_mm3() const {
  // Of a disc 2 pi r^3 / 3 against d^3 / 6 in bending.
  return round() ? 0.5 * std::numbers::pi * plastic_modulus_mm3() : shape_->plastic_torsion_mm3;
}
Length Section::perimeter() const {
  if (const auto d = diameters(kind())) return Length::mm(std::numbers::pi * d->outside_mm);
  return Length::mm(outline().outside_perimeter_mm());
}

SideTendency side_tendency(const Section& section) {
  using enum SideTendency::Kind;
  // Rounding of the integrals, against the size of what they are the difference of.
  constexpr double rounding = 1e-9;
  const double product = std::abs(section.product_of_inertia_mm4());
  const bool skew = product > rounding * std::sqrt(section.inertia_mm4() * section.side_inertia_mm4());
  const auto centre = section.shear_centre();
  if (skew) return {bows, centre ? Length::mm(std::abs(centre->x.mm())) : Length::mm(0)};
  if (!centre) {
    // Without a product of inertia a free outline may still lack the mirror symmetry that rules out twist.
    const DepthProfile& p = section.profile();
    for (std::size_t i = 0; i + 1 < p.breaks().size(); ++i)
      for (const double part : {0.2, 0.5, 0.8}) {
        const double y = p.breaks()[i] + part * (p.breaks()[i + 1] - p.breaks()[i]);
        if (std::abs(p.side_moment(y)) > rounding * p.breadth(y) * section.height().mm()) return {not_known, Length::mm(0)};
      }
    return {none, Length::mm(0)};
  }
  if (std::abs(centre->x.mm()) > rounding * section.height().mm()) return {twists, Length::mm(std::abs(centre->x.mm()))};
  return {none, Length::mm(0)};
}

std::string SideTendency::text() const {
  switch (kind) {
    case Kind::none: return {};
    case Kind::twists:
      return "The shear centre lies " + short_mm(shear_centre_off, 1) +
             " mm off the plane of the bend through the centroid: the rolls twist the bar as they bend it. Guide it "
             "against turning and expect to take twist out.";
    case Kind::bows:
      return "The plane of the bend is not a principal plane of the section: when the rolls let go the part bows "
             "sideways as well as springing back, and it tends to twist (shear centre " +
             short_mm(shear_centre_off, 1) +
             " mm off the plane). A correction roll or a second handling takes that out.";
    case Kind::not_known: break;
  }
  return "This outline is not alike either side of the plane of the bend: it may twist and bow sideways; how much is not "
         "computed for a free outline.";
}

}  // namespace coilwright
