// Torsion and shear centre of each kind.
#include <algorithm>
#include <cmath>
#include <coilwright/stock/section_shape.hpp>
#include <numbers>

namespace coilwright {
namespace {

constexpr double pi = std::numbers::pi;
double cube(double t) { return t * t * t; }
double fourth(double t) { return t * t * t * t; }

// J of a rectangle b x t, t <= b: b t^3 / 3 (1 - 192 t / (pi^5 b) sum tanh(n pi b / 2 t) / n^5, n odd), Saint-Venant's
// series (Timoshenko and Goodier, Theory of Elasticity, torsion of rectangular bars; from memory).
double rectangle(double b, double t) {
  double sum = 0.0;
  for (int n = 1; n < 60; n += 2) sum += std::tanh(0.5 * n * pi * b / t) / std::pow(n, 5);
  return b * cube(t) / 3.0 * (1.0 - 192.0 * t / (std::pow(pi, 5) * b) * sum);
}

// El Darwish and Johnston: factor and circle at the junction of web w and flange f with root radius r, where
// both end there (corner) and where the web meets the flange's middle (middle). From memory.
double corner_term(double w, double f, double r) {
  const double factor = -0.0908 + 0.2621 * w / f + 0.1231 * r / f - 0.0752 * w * r / (f * f) - 0.0945 * w * w / (f * f);
  return factor * fourth(2.0 * (3.0 * r + w + f - std::sqrt(2.0 * (2.0 * r + w) * (2.0 * r + f))));
}
double middle_term(double w, double f, double r) {
  const double factor = -0.042 + 0.2204 * w / f + 0.1355 * r / f - 0.0865 * r * w / (f * f) - 0.0725 * w * w / (f * f);
  return factor * fourth(((f + r) * (f + r) + (r + 0.25 * w) * w) / (2.0 * r + f));
}
constexpr double end_loss = 0.105;  // t^4 of each free end

struct OfKind {
  const Outline& outline;
  Torsion operator()(const RoundTube&) const { return {0, 0}; }  // Section has their closed forms
  Torsion operator()(const RoundBar&) const { return {0, 0}; }
  Torsion operator()(const RectangularTube& t) const {
    const double w = t.wall.mm(), a = t.depth.mm() - w, b = t.height.mm() - w;
    const double corner = 0.5 * (t.outside_radius() + t.inside_radius()).mm();
    const double area = a * b - (4.0 - pi) * corner * corner, around = 2.0 * (a + b) - 2.0 * (4.0 - pi) * corner;
    return {4.0 * area * area * w / around, 2.0 * area * w};
  }
  Torsion operator()(const FlatBar& f) const {
    const double b = f.width.mm(), t = f.thickness.mm();
    return {rectangle(b, t), t * t * (3.0 * b - t) / 6.0};
  }
  Torsion operator()(const AngleBar& a) const {
    const double t = a.thickness.mm(), line = a.bend_plane_leg.mm() + a.shaft_leg.mm() - t;
    return {line * cube(t) / 3.0 + corner_term(t, t, a.root_radius.mm()) - 2.0 * end_loss * fourth(t), line * t * t / 2.0};
  }
  Torsion operator()(const ChannelBar& c) const {
    const double b = c.flange_width.mm(), f = c.flange.mm(), w = c.web.mm(), h = c.height.mm() - 2.0 * f;
    // A taper: int t^3 along the flange with t running linearly, less by its square term alone.
    const double slope = c.taper * b, cubed = b * (cube(f) + f * slope * slope / 4.0);
    return {2.0 / 3.0 * cubed + h * cube(w) / 3.0 + 2.0 * corner_term(w, f, c.root_radius.mm()) - 4.0 * end_loss * fourth(f),
            b * f * f + h * w * w / 2.0};
  }
  Torsion operator()(const TeeBar& t) const {
    const double b = t.flange_width.mm(), f = t.flange.mm(), w = t.stem.mm(), h = t.height.mm() - f;
    return {b * cube(f) / 3.0 + h * cube(w) / 3.0 + middle_term(w, f, t.root_radius.mm()) -
                2.0 * end_loss * fourth(f) - end_loss * fourth(w),
            (b * f * f + h * w * w) / 2.0};
  }
  Torsion operator()(const IBeam& i) const {
    const double b = i.flange_width.mm(), f = i.flange.mm(), w = i.web.mm(), h = i.height.mm() - 2.0 * f;
    return {2.0 / 3.0 * b * cube(f) + h * cube(w) / 3.0 + 2.0 * middle_term(w, f, i.root_radius.mm()) - 4.0 * end_loss * fourth(f),
            b * f * f + h * w * w / 2.0};
  }
  Torsion operator()(const FreeOutline&) const {
    const AreaMoments& m = outline.moments();
    const double around = outline.outside_perimeter_mm();
    if (outline.loops().size() == 2) {
      const double middle = 0.5 * (around + outline.hole_perimeter_mm()), wall = m.area_mm2 / middle;
      const double enclosed = outline.outside_area_mm2() - 0.5 * m.area_mm2;
      return {4.0 * enclosed * enclosed * wall / middle, 2.0 * enclosed * wall};
    }
    // A solid shape, by the area and perimeter alone: a wall of thickness 2 A / perimeter.
    return {fourth(m.area_mm2) / (40.0 * (m.xx_mm4 + m.yy_mm4)), m.area_mm2 * m.area_mm2 / around};
  }
};

using Point = std::optional<std::array<double, 2>>;
struct ShearCentreOf {
  const Outline& outline;
  [[nodiscard]] Point centroid() const { return {{outline.moments().x_mm, outline.moments().y_mm}}; }
  Point operator()(const RoundTube&) const { return centroid(); }
  Point operator()(const RoundBar&) const { return centroid(); }
  Point operator()(const RectangularTube&) const { return centroid(); }
  Point operator()(const FlatBar&) const { return centroid(); }
  Point operator()(const IBeam&) const { return centroid(); }
  // Where the middle lines of the walls meet: their shear flows have no lever there.
  Point operator()(const AngleBar& a) const {
    const double half = 0.5 * a.thickness.mm();
    return {{half, a.points == Points::to_the_centre ? half : -half}};
  }
  Point operator()(const TeeBar& t) const {
    const double half = 0.5 * t.flange.mm();
    return {{0.0, t.stem_points == Points::to_the_centre ? half : -half}};
  }
  // On the axis of symmetry behind the web: e = b^2 h^2 t_f / (4 I) from its middle, b, h and I of the middle
  // lines (elementary theory of thin open sections).
  Point operator()(const ChannelBar& c) const {
    const double b = c.flange_width.mm() - 0.5 * c.web.mm(), h = c.height.mm() - c.flange.mm();
    const double strong = 0.5 * b * c.flange.mm() * h * h + c.web.mm() * cube(h) / 12.0;
    const double off = 0.5 * c.web.mm() - b * b * h * h * c.flange.mm() / (4.0 * strong);
    switch (c.way) {
      case ChannelWay::flanges_in: return {{0.0, off}};
      case ChannelWay::flanges_out: return {{0.0, -off}};
      case ChannelWay::hard_way: break;
    }
    return {{off, 0.0}};
  }
  Point operator()(const FreeOutline&) const { return std::nullopt; }
};

}  // namespace

Torsion torsion_of(const Section::Kind& kind, const Outline& outline) { return std::visit(OfKind{outline}, kind); }

std::optional<std::array<double, 2>> shear_centre_of(const Section::Kind& kind, const Outline& outline) {
  return std::visit(ShearCentreOf{outline}, kind);
}

}  // namespace coilwright
