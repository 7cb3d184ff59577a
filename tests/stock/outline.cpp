#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/stock/section.hpp>
#include <numbers>

#include "numbers.hpp"

using namespace coilwright;

namespace {

Outline good(std::vector<OutlineLoop> loops) {
  const Result<Outline> made = Outline::from(std::move(loops), "stock.outline");
  if (!made) UNSCOPED_INFO(made.error().front().text);
  REQUIRE(made.has_value());
  return *made;
}
std::string refused(std::vector<OutlineLoop> loops) {
  const Result<Outline> made = Outline::from(std::move(loops), "stock.outline");
  REQUIRE_FALSE(made.has_value());
  CHECK(made.error().front().about == "stock.outline");
  return made.error().front().text;
}

// A wavy ring of arcs and straights with a lens-shaped hole: nothing symmetric, arcs both ways round.
std::vector<OutlineLoop> odd_shape(std::mt19937_64& random) {
  OutlineLoop outside;
  const int n = 7;
  for (int i = 0; i < n; ++i) {
    const double at = 2.0 * std::numbers::pi * i / n, r = uniform(random, 30, 45);
    outside.push_back({5.0 + r * std::cos(at), -3.0 + r * std::sin(at), i % 3 == 0 ? 0.0 : i % 3 == 1 ? uniform(random, -0.15, -0.05) : uniform(random, 0.05, 0.25)});
  }
  return {outside, {{8, 2, 0.7}, {-4, uniform(random, -9, 1), 0.4}}};
}

}  // namespace

TEST_CASE("moments of an outline are the integrals over it", "[outline][oracle]") {
  // Points along the arcs and the shoelace sums of a fine polygon: error of the order of the chord rise.
  std::mt19937_64 random(31);
  for (int i = 0; i < 40; ++i) {
    const Outline o = good(odd_shape(random));
    std::vector<OutlineLoop> fine;
    for (const auto& loop : o.points(1e-7)) {
      auto& f = fine.emplace_back();
      for (const auto& p : loop) f.push_back({p[0], p[1], 0.0});
    }
    const AreaMoments a = o.moments(), b = moments_of(fine);
    CHECK(a.area_mm2 == Approx(b.area_mm2).epsilon(1e-7));
    CHECK(a.x_mm == Approx(b.x_mm).margin(1e-6));
    CHECK(a.y_mm == Approx(b.y_mm).margin(1e-6));
    CHECK(a.xx_mm4 == Approx(b.xx_mm4).epsilon(1e-7));
    CHECK(a.yy_mm4 == Approx(b.yy_mm4).epsilon(1e-7));
    CHECK(a.xy_mm4 == Approx(b.xy_mm4).margin(1e-7 * b.yy_mm4));
    // Neither the start of the loops' numbering nor a far origin matters.
    const AreaMoments far = o.moved(3000, -5000).moments();
    CHECK(far.yy_mm4 == Approx(a.yy_mm4).epsilon(1e-10));
  }
}

TEST_CASE("the depth profile adds up to the section and is the integral of its own breadth", "[outline][property]") {
  std::mt19937_64 random(32);
  for (int i = 0; i < 40; ++i) {
    const Outline o = good(odd_shape(random));
    const DepthProfile p(o);
    const AreaMoments m = o.moments();
    CHECK(p.total().area == Approx(m.area_mm2).epsilon(1e-11));
    CHECK(p.total().first == Approx(0).margin(1e-9 * m.area_mm2));
    CHECK(p.total().second == Approx(m.yy_mm4).epsilon(1e-10));
    CHECK(p.side_total().first == Approx(0).margin(1e-9 * m.area_mm2));
    CHECK(p.side_total().product == Approx(m.xy_mm4).margin(1e-10 * m.yy_mm4));
    CHECK_FALSE(p.even());
    for (std::size_t s = 0; s + 1 < p.breaks().size(); ++s) {
      const double width = p.breaks()[s + 1] - p.breaks()[s], y = p.breaks()[s] + 0.4 * width, h = 1e-4 * width;
      const auto up = p.below(y + h), down = p.below(y - h);
      // What rounding of the totals leaves in a difference over 2 h.
      const auto slope_is = [&](double difference, double expected, double total) {
        CHECK(difference / (2 * h) == Approx(expected).epsilon(1e-6).margin(1e-13 * total / h));
      };
      const double A = m.area_mm2;
      slope_is(up.area - down.area, p.breadth(y), A);
      slope_is(up.first - down.first, y * p.breadth(y), 50 * A);
      slope_is(up.second - down.second, y * y * p.breadth(y), 2500 * A);
      slope_is(p.side_below(y + h).first - p.side_below(y - h).first, p.side_moment(y), 50 * A);
      slope_is(p.side_below(y + h).product - p.side_below(y - h).product, y * p.side_moment(y), 2500 * A);
    }
    // Half the area lies either side of its axis.
    CHECK(p.below(p.halving_axis_mm()).area == Approx(0.5 * m.area_mm2).epsilon(1e-11));
  }
}

TEST_CASE("a free outline of a known shape is that shape", "[outline][oracle]") {
  // A square tube drawn by hand, either way round, against the same tube by its measures.
  const Section tube = Section::from(RectangularTube{Length::mm(50), Length::mm(50), Length::mm(3)}).value();
  std::vector<OutlineLoop> loops{rounded({{0, 0, 6}, {0, 50, 6}, {50, 50, 6}, {50, 0, 6}}), rounded({{3, 3, 3}, {47, 3, 3}, {47, 47, 3}, {3, 47, 3}})};
  const Section drawn = Section::from(FreeOutline{good(loops)}).value();
  CHECK(drawn.area_mm2() == Approx(tube.area_mm2()).epsilon(1e-13));
  CHECK(drawn.inertia_mm4() == Approx(tube.inertia_mm4()).epsilon(1e-13));
  CHECK(drawn.plastic_modulus_mm3() == Approx(tube.plastic_modulus_mm3()).epsilon(1e-13));
  CHECK(drawn.perimeter().mm() == Approx(200 - 48 + 12 * std::numbers::pi).epsilon(1e-13));
  CHECK(drawn.torsion_constant_mm4() == Approx(tube.torsion_constant_mm4()).epsilon(0.01));  // mean wall against the rule
  CHECK(drawn.profile().even());
  // A disc of two half circles, and the ring, against the round kinds' own closed forms.
  const Section disc = Section::from(FreeOutline{good({circle(7, -3, 12.5)})}).value();
  const Section bar = Section::round_bar(Length::mm(25)).value();
  CHECK(disc.inertia_mm4() == Approx(bar.inertia_mm4()).epsilon(1e-13));
  CHECK(disc.plastic_modulus_mm3() == Approx(bar.plastic_modulus_mm3()).epsilon(1e-13));
  CHECK(disc.outside_diameter().mm() == Approx(25).epsilon(1e-13));
  CHECK(disc.torsion_constant_mm4() == Approx(bar.torsion_constant_mm4()).epsilon(0.02));  // A^4 / (40 I_p): 1.3 %
}

TEST_CASE("outlines that are none are refused with the place", "[outline][input]") {
  CHECK(refused({}).find("no points") != std::string::npos);
  CHECK(refused({{{0, 0}, {10, 0}}}).find("at least 3 points") != std::string::npos);
  CHECK(refused({{{0, 0}, {10, 10}, {10, 0}, {0, 10}}}).find("crosses or touches itself at (5.00, 5.00)") != std::string::npos);
  CHECK(refused({{{0, 0}, {0, 0}, {10, 0}, {0, 10}}}).find("same point twice") != std::string::npos);
  CHECK(refused({{{0, 0}, {NAN, 0}, {10, 0}}}).find("not finite") != std::string::npos);
  CHECK(refused({{{0, 0, 0.004}, {40, 0}, {40, 10}}}).find("all but straight") != std::string::npos);
  // An arc that bulges in through the opposite side.
  CHECK(refused({{{0, 0}, {20, 0}, {20, 4, -0.9}, {0, 4}}}).find("crosses or touches itself") != std::string::npos);
  CHECK(refused({{{0, 0}, {20, 0}, {20, 4, 0}, {10, -2, 0}, {0, 4}}}).find("crosses or touches itself") != std::string::npos);
  const OutlineLoop square{{0, 0}, {50, 0}, {50, 50}, {0, 50}};
  CHECK(refused({square, {{40, 40}, {60, 40}, {60, 45}}}).find("touches another loop") != std::string::npos);
  CHECK(refused({square, {{70, 40}, {80, 40}, {80, 45}}}).find("outside the first loop") != std::string::npos);
  CHECK(refused({square, {{10, 10}, {40, 10}, {40, 40}, {10, 40}}, {{20, 20}, {30, 20}, {30, 30}}}).find("another hole") != std::string::npos);
}

TEST_CASE("measures that make no section are refused with the rule", "[section][input]") {
  const auto text = [](const Section::Kind& kind) {
    const Result<Section> s = Section::from(kind);
    REQUIRE_FALSE(s.has_value());
    return s.error().front().about + ": " + s.error().front().text;
  };
  const auto mm = [](double v) { return Length::mm(v); };
  CHECK(text(RectangularTube{mm(50), mm(50), mm(25)}).find("stock.square: A wall of 25 mm leaves no bore") == 0);
  CHECK(text(RectangularTube{mm(20), mm(20), mm(6)}).find("corner radius, 12 mm, by the cold-formed rule") != std::string::npos);
  CHECK(text(RectangularTube{mm(60), mm(40), mm(3), Corners::given, mm(20.5)}).find("at most half the smaller side, 20 mm") != std::string::npos);
  CHECK(text(FlatBar{mm(10), mm(50)}).find("the width comes first") != std::string::npos);
  CHECK(text(AngleBar{mm(50), mm(50), mm(50)}).find("stock.angle") == 0);
  CHECK(text(ChannelBar{mm(80), mm(50), mm(4), mm(7), ChannelWay::flanges_in, mm(40)}).find("root radius") != std::string::npos);
  CHECK(text(TeeBar{mm(50), mm(50), mm(6), mm(60)}).find("flange thickness") != std::string::npos);
  CHECK(text(IBeam{mm(80), mm(46), mm(3.8), mm(NAN)}).find("not a number") != std::string::npos);
}

TEST_CASE("each orientation is said twice", "[section]") {
  const auto mm = [](double v) { return Length::mm(v); };
  const auto text = [](const Section::Kind& kind) { return Section::from(kind).value().text(); };
  CHECK(text(FlatBar{mm(50), mm(10), Way::hard}) ==
        "flat bar 50 x 10 mm, hard way, like a washer: the 50 mm width lies in the plane of the bend");
  CHECK(text(AngleBar{mm(76.2), mm(50.8), mm(6.35)}) ==
        "angle 76.2 x 50.8 x 6.35 mm, leg in: the 76.2 mm leg points to the centre");
  CHECK(text(AngleBar{mm(50.8), mm(76.2), mm(6.35), Points::to_the_outside}).find("leg out: the 50.8 mm leg points away") != std::string::npos);
  CHECK(text(RectangularTube{mm(60), mm(40), mm(3)}).find("hard way: the 60 mm side lies in the plane of the bend") != std::string::npos);
  CHECK(text(ChannelBar{mm(80), mm(50), mm(4), mm(7)}).find("flanges in: the flanges point to the centre") != std::string::npos);
}

TEST_CASE("which sections twist or bow is named", "[section]") {
  const auto mm = [](double v) { return Length::mm(v); };
  const auto kind = [](const Section::Kind& k) { return side_tendency(Section::from(k).value()).kind; };
  using enum SideTendency::Kind;
  CHECK(kind(RoundTube{mm(42.4), mm(2.6)}) == none);
  CHECK(kind(RectangularTube{mm(60), mm(40), mm(3)}) == none);
  CHECK(kind(ChannelBar{mm(80), mm(50), mm(4), mm(7), ChannelWay::flanges_out, mm(10)}) == none);
  CHECK(kind(ChannelBar{mm(80), mm(50), mm(4), mm(7), ChannelWay::hard_way, mm(10)}) == twists);
  CHECK(kind(AngleBar{mm(50), mm(50), mm(5)}) == bows);
  CHECK(kind(TeeBar{mm(50), mm(50), mm(6), mm(6)}) == none);
  CHECK(kind(FreeOutline{good({{{0, 0}, {30, 0}, {30, 20}}})}) == bows);
  CHECK(kind(FreeOutline{good({{{0, 0}, {30, 0}, {30, 20}, {0, 20}}})}) == none);
}
