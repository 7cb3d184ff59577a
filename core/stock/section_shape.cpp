#include <algorithm>
#include <cmath>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/stock/section_shape.hpp>

namespace coilwright {
namespace {

// Turned over: what pointed in points out.
OutlineLoop turned_over(OutlineLoop loop) {
  for (OutlinePoint& p : loop) p.y_mm = -p.y_mm, p.bulge = -p.bulge;
  return loop;
}
// A quarter turn: depth and height change places (as a mirror image in the diagonal).
OutlineLoop swapped(OutlineLoop loop) {
  for (OutlinePoint& p : loop) std::swap(p.x_mm, p.y_mm), p.bulge = -p.bulge;
  return loop;
}

OutlineLoop box(double height, double depth, double radius) {
  const double x = 0.5 * height, y = 0.5 * depth;
  return rounded({{-x, -y, radius}, {x, -y, radius}, {x, y, radius}, {-x, y, radius}});
}

// Heel at the origin, the leg along the shafts on x, the other on y.
OutlineLoop angle(const AngleBar& a) {
  const double leg = a.bend_plane_leg.mm(), other = a.shaft_leg.mm(), t = a.thickness.mm();
  const double r = a.root_radius.mm(), toe = a.toe_radius.mm();
  OutlineLoop loop = rounded({{0, 0, 0}, {other, 0, 0}, {other, t, toe}, {t, t, r}, {t, leg, toe}, {0, leg, 0}});
  return a.points == Points::to_the_centre ? loop : turned_over(std::move(loop));
}

// Back of the web on y = 0, flanges toward +y, symmetric in x.
OutlineLoop channel(const ChannelBar& c) {
  const double h = 0.5 * c.height.mm(), b = c.flange_width.mm(), s = c.web.mm(), r = c.root_radius.mm();
  const double at_web = c.flange.mm() + c.taper * (0.5 * b - s), at_edge = c.flange.mm() - c.taper * 0.5 * b;
  const double toe = c.toe_radius.mm();
  OutlineLoop loop = rounded({{-h, 0, 0}, {h, 0, 0}, {h, b, 0}, {h - at_edge, b, toe}, {h - at_web, s, r},
                              {-h + at_web, s, r}, {-h + at_edge, b, toe}, {-h, b, 0}});
  if (c.way == ChannelWay::flanges_out) return turned_over(std::move(loop));
  return c.way == ChannelWay::hard_way ? swapped(std::move(loop)) : loop;
}

// Top of the flange on y = 0, stem toward +y.
OutlineLoop tee(const TeeBar& t) {
  const double h = t.height.mm(), b = 0.5 * t.flange_width.mm(), s = 0.5 * t.stem.mm(), f = t.flange.mm(), r = t.root_radius.mm();
  OutlineLoop loop = rounded({{-b, 0, 0}, {b, 0, 0}, {b, f, 0}, {s, f, r}, {s, h, 0}, {-s, h, 0}, {-s, f, r}, {-b, f, 0}});
  return t.stem_points == Points::to_the_centre ? loop : turned_over(std::move(loop));
}

// Hard way: the height in the plane of the bend.
OutlineLoop beam(const IBeam& i) {
  const double h = 0.5 * i.height.mm(), b = 0.5 * i.flange_width.mm(), s = 0.5 * i.web.mm(), r = i.root_radius.mm();
  const double f = h - i.flange.mm();
  OutlineLoop loop = rounded({{-b, -h, 0}, {b, -h, 0}, {b, -f, 0}, {s, -f, r}, {s, f, r}, {b, f, 0},
                              {b, h, 0}, {-b, h, 0}, {-b, f, 0}, {-s, f, r}, {-s, -f, r}, {-b, -f, 0}});
  return i.way == Way::hard ? loop : swapped(std::move(loop));
}

struct Loops {
  std::vector<OutlineLoop> operator()(const RoundTube& t) const {
    constexpr double too_small_to_count = 1e-7;  // of the radius: its area is below the rounding of the whole
    const double r = 0.5 * t.outside_diameter.mm(), bore = r - t.wall.mm();
    if (bore <= too_small_to_count * r) return {circle(0, 0, r)};
    return {circle(0, 0, r), circle(0, 0, bore)};
  }
  std::vector<OutlineLoop> operator()(const RoundBar& b) const { return {circle(0, 0, 0.5 * b.diameter.mm())}; }
  std::vector<OutlineLoop> operator()(const RectangularTube& t) const {
    const double w = 2.0 * t.wall.mm();
    return {box(t.height.mm(), t.depth.mm(), t.outside_radius().mm()),
            box(t.height.mm() - w, t.depth.mm() - w, t.inside_radius().mm())};
  }
  std::vector<OutlineLoop> operator()(const FlatBar& f) const {
    return {f.way == Way::easy ? box(f.width.mm(), f.thickness.mm(), 0) : box(f.thickness.mm(), f.width.mm(), 0)};
  }
  std::vector<OutlineLoop> operator()(const AngleBar& a) const { return {angle(a)}; }
  std::vector<OutlineLoop> operator()(const ChannelBar& c) const { return {channel(c)}; }
  std::vector<OutlineLoop> operator()(const TeeBar& t) const { return {tee(t)}; }
  std::vector<OutlineLoop> operator()(const IBeam& i) const { return {beam(i)}; }
  std::vector<OutlineLoop> operator()(const FreeOutline& f) const { return f.outline.loops(); }
};

// Gathers what is wrong with the measures of one section.
class Faults {
 public:
  explicit Faults(std::string key) : key_(std::move(key)) {}
  void say(std::string text) { list_.push_back({Level::fault, key_, std::move(text), std::nullopt}); }
  // Returns whether the measure can be used.
  bool measure(Length m, std::string_view name) {
    constexpr double smallest_mm = 0.01, largest_mm = 10000.0;
    if (!m.finite()) return say("The " + std::string(name) + " is not a number."), false;
    if (m.mm() >= smallest_mm && m.mm() <= largest_mm) return true;
    say("The " + std::string(name) + " must lie between 0.01 mm and 10 m; " +
        (m.mm() > largest_mm ? "more" : short_mm(m, 6) + " mm") + " is given.");
    return false;
  }
  bool radius(Length m, std::string_view name) {
    if (m.mm() == 0.0) return true;
    return measure(m, name);
  }
  void smaller(Length part, std::string_view name, Length whole, std::string_view of, double share) {
    if (part.mm() * share < whole.mm()) return;
    say("The " + std::string(name) + ", " + short_mm(part) + " mm, does not fit in the " + std::string(of) + ", " +
        short_mm(whole) + " mm: it must be less than " + (share == 2.0 ? "half of it, " : "that, ") +
        short_mm(whole / share) + " mm.");
  }
  // After the measures are right: do the roundings fit?
  void loops(const Section::Kind& kind, const std::string& rule) {
    if (!list_.empty()) return;
    for (const OutlineLoop& loop : loops_of(kind))
      if (loop.empty()) return say(rule);
  }
  Findings take() { return std::move(list_); }
  [[nodiscard]] bool none() const { return list_.empty(); }

 private:
  std::string key_;
  Findings list_;
};

struct Check {
  const Section::Kind& kind;
  Faults& f;
  void operator()(const RoundTube& t) const {
    const bool measures = f.measure(t.outside_diameter, "outside diameter") & f.measure(t.wall, "wall");
    if (!measures || 2.0 * t.wall.mm() < t.outside_diameter.mm()) return;
    f.say("A wall of " + short_mm(t.wall) + " mm leaves no bore in an outside diameter of " + short_mm(t.outside_diameter) +
          " mm: it must be less than half of it, " + short_mm(0.5 * t.outside_diameter) + " mm." +
          (2.0 * t.outside_diameter.mm() < t.wall.mm() ? " The outside diameter comes first, then the wall."
                                                       : " A solid round is a bar, not a tube."));
  }
  void operator()(const RoundBar& b) const { f.measure(b.diameter, "diameter"); }
  void operator()(const RectangularTube& t) const {
    f.measure(t.depth, "side in the plane of the bend"), f.measure(t.height, "side along the shafts"), f.measure(t.wall, "wall");
    if (t.corners == Corners::given) f.radius(t.outside_corner, "outside corner radius");
    if (!f.none()) return;
    const Length side = std::min(t.depth, t.height);
    if (2.0 * t.wall.mm() >= side.mm()) {
      f.say("A wall of " + short_mm(t.wall) + " mm leaves no bore in a side of " + short_mm(side) +
            " mm: it must be less than half of it, " + short_mm(side / 2.0) + " mm. The sides come first, then the wall.");
      return;
    }
    const char* rule = t.corners == Corners::cold_formed ? ", by the cold-formed rule," : t.corners == Corners::hot_finished ? ", by the hot-finished rule," : "";
    f.loops(kind, "The outside corner radius, " + short_mm(t.outside_radius()) + " mm" + rule +
                      " does not fit: it is at most half the smaller side, " + short_mm(side / 2.0) +
                      " mm, and inside, " + short_mm(t.inside_radius()) + " mm, at most half of what the walls leave, " +
                      short_mm(side / 2.0 - t.wall) + " mm. Give corner_radius as a length.");
  }
  void operator()(const FlatBar& b) const {
    const bool measures = f.measure(b.width, "width") & f.measure(b.thickness, "thickness");
    if (measures && b.thickness > b.width)
      f.say("The thickness, " + short_mm(b.thickness) + " mm, is more than the width, " + short_mm(b.width) +
            " mm: the width comes first.");
  }
  void operator()(const AngleBar& a) const {
    f.measure(a.bend_plane_leg, "leg in the plane of the bend"), f.measure(a.shaft_leg, "leg along the shafts");
    f.measure(a.thickness, "thickness"), f.radius(a.root_radius, "root radius"), f.radius(a.toe_radius, "toe radius");
    if (!f.none()) return;
    f.smaller(a.thickness, "thickness", std::min(a.bend_plane_leg, a.shaft_leg), "leg", 1.0);
    f.loops(kind, "The root radius " + short_mm(a.root_radius) + " mm and the toe radius " + short_mm(a.toe_radius) +
                      " mm do not fit: the toe radius is at most the thickness, both together at most the free leg.");
  }
  void operator()(const ChannelBar& c) const {
    f.measure(c.height, "height"), f.measure(c.flange_width, "flange width"), f.measure(c.web, "web thickness");
    f.measure(c.flange, "flange thickness"), f.radius(c.root_radius, "root radius"), f.radius(c.toe_radius, "toe radius");
    if (!f.none()) return;
    f.smaller(c.flange, "flange thickness", c.height, "height", 2.0);
    f.smaller(c.web, "web thickness", c.flange_width, "flange width", 1.0);
    f.loops(kind, "The root radius " + short_mm(c.root_radius) + " mm does not fit between the flanges of the channel.");
  }
  void operator()(const TeeBar& t) const {
    f.measure(t.height, "height"), f.measure(t.flange_width, "flange width"), f.measure(t.stem, "stem thickness");
    f.measure(t.flange, "flange thickness"), f.radius(t.root_radius, "root radius");
    if (!f.none()) return;
    f.smaller(t.flange, "flange thickness", t.height, "height", 1.0);
    f.smaller(t.stem, "stem thickness", t.flange_width, "flange width", 1.0);
    f.loops(kind, "The root radius " + short_mm(t.root_radius) + " mm does not fit between stem and flange.");
  }
  void operator()(const IBeam& i) const {
    f.measure(i.height, "height"), f.measure(i.flange_width, "flange width"), f.measure(i.web, "web thickness");
    f.measure(i.flange, "flange thickness"), f.radius(i.root_radius, "root radius");
    if (!f.none()) return;
    f.smaller(i.flange, "flange thickness", i.height, "height", 2.0);
    f.smaller(i.web, "web thickness", i.flange_width, "flange width", 1.0);
    f.loops(kind, "The root radius " + short_mm(i.root_radius) + " mm does not fit between the flanges.");
  }
  void operator()(const FreeOutline&) const {}
};

struct Key {
  std::string operator()(const RoundTube&) const { return "tube"; }
  std::string operator()(const RoundBar&) const { return "bar"; }
  std::string operator()(const RectangularTube& t) const { return t.depth == t.height ? "square" : "rectangle"; }
  std::string operator()(const FlatBar&) const { return "flat"; }
  std::string operator()(const AngleBar&) const { return "angle"; }
  std::string operator()(const ChannelBar&) const { return "channel"; }
  std::string operator()(const TeeBar&) const { return "tee"; }
  std::string operator()(const IBeam&) const { return "beam"; }
  std::string operator()(const FreeOutline&) const { return "outline"; }
};

std::string mm(Length a) { return short_mm(a) + " mm"; }
std::string by(Length a, Length b) { return short_mm(a) + " x " + short_mm(b); }

// What it is, then how it lies, said twice: in the trade's word and in plain ones.
struct Text {
  std::string operator()(const RoundTube& t) const { return "round tube " + by(t.outside_diameter, t.wall) + " mm"; }
  std::string operator()(const RoundBar& b) const { return "round bar " + mm(b.diameter); }
  std::string operator()(const RectangularTube& t) const {
    const std::string corners = std::string(t.corners == Corners::cold_formed    ? "cold-formed corners, "
                                            : t.corners == Corners::hot_finished ? "hot-finished corners, "
                                                                                 : "corners ") +
                                mm(t.outside_radius()) + " outside, " + mm(t.inside_radius()) + " inside";
    if (t.depth == t.height) return "square tube " + by(t.depth, t.height) + " x " + mm(t.wall) + " (" + corners + ")";
    const bool hard = t.depth > t.height;
    return "rectangular tube " + by(std::max(t.depth, t.height), std::min(t.depth, t.height)) + " x " + mm(t.wall) + " (" +
           corners + "), " + (hard ? "hard way: the " : "easy way: the ") + mm(std::max(t.depth, t.height)) +
           (hard ? " side lies in the plane of the bend" : " side stands along the shafts");
  }
  std::string operator()(const FlatBar& f) const {
    return "flat bar " + by(f.width, f.thickness) + " mm, " +
           (f.way == Way::easy ? "easy way, like a belt: the " + mm(f.width) + " width stands along the shafts"
                               : "hard way, like a washer: the " + mm(f.width) + " width lies in the plane of the bend");
  }
  std::string operator()(const AngleBar& a) const {
    const std::string leg = mm(a.bend_plane_leg);
    return "angle " + by(std::max(a.bend_plane_leg, a.shaft_leg), std::min(a.bend_plane_leg, a.shaft_leg)) + " x " +
           mm(a.thickness) +
           (a.points == Points::to_the_centre ? ", leg in: the " + leg + " leg points to the centre"
                                              : ", leg out: the " + leg + " leg points away from the centre");
  }
  std::string operator()(const ChannelBar& c) const {
    const std::string size = "channel " + by(c.height, c.flange_width) + " mm (web " + mm(c.web) + ", flange " + mm(c.flange) + "), ";
    switch (c.way) {
      case ChannelWay::flanges_in: return size + "flanges in: the flanges point to the centre, the web is the outside";
      case ChannelWay::flanges_out: return size + "flanges out: the flanges point away from the centre, the web is the inside";
      case ChannelWay::hard_way: break;
    }
    return size + "hard way: the web lies in the plane of the bend, one flange inside, one outside";
  }
  std::string operator()(const TeeBar& t) const {
    return "tee " + by(t.height, t.flange_width) + " mm (stem " + mm(t.stem) + ", flange " + mm(t.flange) + "), " +
           (t.stem_points == Points::to_the_centre ? "stem in: the stem points to the centre, the flange is the outside"
                                                   : "stem out: the stem points away from the centre, the flange is the inside");
  }
  std::string operator()(const IBeam& i) const {
    return "I-beam " + by(i.height, i.flange_width) + " mm (web " + mm(i.web) + ", flange " + mm(i.flange) + "), " +
           (i.way == Way::hard ? "hard way: the web lies in the plane of the bend, one flange inside, one outside"
                               : "easy way: the web stands along the shafts, the flanges lie in the plane of the bend");
  }
  std::string operator()(const FreeOutline& f) const {
    const Outline::Extent deep = f.outline.depth_mm(), high = f.outline.along_shafts_mm();
    const Length depth = Length::mm(deep.highest - deep.lowest);
    return "outline " + by(depth, Length::mm(high.highest - high.lowest)) + " mm, as drawn: y points to the centre, " +
           mm(depth) + " lie in the plane of the bend";
  }
};

}  // namespace

std::string short_mm(Length length, int decimals) {
  std::string text = number_text(length.mm(), decimals);
  if (text.find('.') == std::string::npos) return text;
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

std::string section_key(const Section::Kind& kind) { return "stock." + std::visit(Key{}, kind); }
std::vector<OutlineLoop> loops_of(const Section::Kind& kind) { return std::visit(Loops{}, kind); }
std::string section_text(const Section::Kind& kind) { return std::visit(Text{}, kind); }

Findings faults_of(const Section::Kind& kind) {
  Faults faults(section_key(kind));
  std::visit(Check{kind, faults}, kind);
  return faults.take();
}

}  // namespace coilwright
