// Moment against curvature of sections that are not round.
#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "fixture.hpp"
#include "numbers.hpp"

using namespace coilwright;
using namespace coilwright::rolling_fixture;

namespace {

Length mm(double v) { return Length::mm(v); }
Section made(const Section::Kind& kind) { return Section::from(kind).value(); }
// `width` along the shafts, `depth` in the plane of the bend.
Section rectangle(double width, double depth) {
  return width >= depth ? made(FlatBar{mm(width), mm(depth)}) : made(FlatBar{mm(depth), mm(width), Way::hard});
}
Section drawn(OutlineLoop loop) { return made(FreeOutline{Outline::from({std::move(loop)}, "stock.outline").value()}); }

std::vector<Section> one_of_each() {
  return {made(RectangularTube{mm(60), mm(40), mm(3)}),
          made(FlatBar{mm(50), mm(10), Way::hard}),
          made(AngleBar{mm(50), mm(50), mm(5), Points::to_the_centre, mm(7), mm(3.5)}),
          made(AngleBar{mm(75), mm(50), mm(6), Points::to_the_outside, mm(7), mm(3.5)}),
          made(ChannelBar{mm(80), mm(50), mm(4), mm(7), ChannelWay::flanges_in, mm(10)}),
          made(ChannelBar{mm(80), mm(45), mm(6), mm(8), ChannelWay::flanges_out, mm(8), mm(4), 0.08}),
          made(ChannelBar{mm(80), mm(45), mm(6), mm(8), ChannelWay::hard_way, mm(8), mm(4), 0.08}),
          made(TeeBar{mm(50), mm(50), mm(6), mm(6), Points::to_the_outside, mm(6)}),
          made(IBeam{mm(80), mm(46), mm(3.8), mm(5.2), Way::hard, mm(5)}),
          drawn({{0, 0, 0.3}, {40, 0}, {38, 12, -0.2}, {20, 22}, {0, 30, 0.1}})};
}

// The curvature that carries a moment, and what is left of the radius after release.
double curvature_for(const MomentCurvature& m, double moment) { return m.curvature_at(moment); }

}  // namespace

TEST_CASE("flat bar and square tube bend as an independent program says", "[moment_curvature][oracle]") {
  // Computed beforehand by a separate program; fy 300, E 210000, columns perfect / Et 2100, N mm. The square tube,
  // 50 x 3 with corners 2 t, came from fibres: within 1e-6.
  const auto check = [](const Section& section, double ky, std::initializer_list<std::array<double, 3>> rows) {
    const MomentCurvature perfect = law(section, 300, 0), hardening = law(section, 300, 2100);
    CHECK(perfect.first_yield_curvature() == Approx(ky).epsilon(1e-7));
    for (const auto& [ratio, soft, hard] : rows) {
      CHECK(perfect.moment(ratio * perfect.first_yield_curvature()) == Approx(soft).epsilon(1e-6));
      CHECK(hardening.moment(ratio * perfect.first_yield_curvature()) == Approx(hard).epsilon(1e-6));
    }
  };
  check(rectangle(50, 10), 2.8571429e-4,
        {{1, 250000, 250000}, {1.5, 319444.4, 320000.0}, {2, 343750.0, 345312.5}, {5, 370000.0, 378800.0},
         {10, 373750.0, 395012.5}, {20, 374687.5, 420940.6}});
  check(made(RectangularTube{mm(50), mm(50), mm(3)}), 5.7142857e-5,
        {{1, 2336056.4, 2336056.4}, {1.5, 2649624.5, 2658169.1}, {2, 2722541.2, 2742036.9}, {5, 2801291.2, 2890081.1},
         {10, 2812541.2, 3018021.4}, {20, 2815353.7, 3254411.4}});
}

TEST_CASE("textbook problems of elastic-plastic bending come out as printed", "[moment_curvature][published]") {
  // Beer and Johnston, Mechanics of Materials, elastic-perfectly plastic bending, as in posted solutions; kip, in.
  constexpr double inch = 25.4, kip_inch = 4448.2216152605 * inch;  // N mm
  const double E = Stress::ksi(29000).mpa();
  {
    // 4.79: square 0.75 in, 40 ksi, 4 kip in: yield at 2.8125 kip in, elastic core 0.39441 of the half depth,
    // radius 107.2 in.
    const MomentCurvature m = law(rectangle(0.75 * inch, 0.75 * inch), Stress::ksi(40).mpa(), 0, E);
    CHECK(halves_off(m.first_yield_moment() / kip_inch, "2.8125") <= half_a_digit);
    const double k = curvature_for(m, 4 * kip_inch);
    CHECK(halves_off(m.first_yield_curvature() / k, "0.39441") <= half_a_digit);
    CHECK(halves_off(1 / (m.first_yield_curvature() * inch), "271.88") <= half_a_digit);
    CHECK(halves_off(1 / (k * inch), "107.2") <= half_a_digit);
  }
  {
    // 4.80: 24 x 18 mm, E 200 GPa, 280 MPa, 525 N m: core 5.87 mm, radius printed 2.09 and 2.10 m.
    const MomentCurvature m = law(rectangle(24, 18), 280, 0, 200000);
    const double k = curvature_for(m, 525000);
    CHECK(halves_off(m.first_yield_curvature() / k, "0.32632") <= half_a_digit);
    CHECK(halves_off(18 * m.first_yield_curvature() / k, "5.87") <= half_a_digit);
    CHECK(halves_off(1e-3 / k, "2.10") <= half_a_digit);
  }
  // 4.85 and 4.86: three blocks of 3 in, 42 ksi, plastic zones 3 in deep: the core is the middle block.
  const auto blocks = [](double outer, double middle) {
    const double a = outer / 2 * inch, b = middle / 2 * inch, y = 1.5 * inch, h = 4.5 * inch;
    return drawn({{-a, -h}, {a, -h}, {a, -y}, {b, -y}, {b, y}, {a, y}, {a, h}, {-a, h}, {-a, y}, {-b, y}, {-b, -y}, {-a, -y}});
  };
  {
    const MomentCurvature m = law(blocks(3, 6), Stress::ksi(42).mpa(), 0, E);
    CHECK(halves_off(m.first_yield_moment() / kip_inch, "1764") <= half_a_digit);
    CHECK(halves_off(m.moment(3 * m.first_yield_curvature()) / kip_inch, "2646") <= half_a_digit);
  }
  {
    const MomentCurvature m = law(blocks(6, 3), Stress::ksi(42).mpa(), 0, E);
    const double k = 3 * m.first_yield_curvature(), M = m.moment(k);
    CHECK(halves_off(M / kip_inch, "4725") <= half_a_digit);
    const double recovery = Stress::mpa(M * 4.5 * inch / (m.bending_stiffness() / E)).ksi();
    CHECK(halves_off(recovery, "59.43") <= half_a_digit);
    CHECK(halves_off(recovery - 42, "17.43") <= half_a_digit);
    CHECK(halves_off(recovery / 3 - 42, "-22.19") <= half_a_digit);
    // "1960 in = 163.4 ft" after release.
    CHECK(halves_off(1 / ((k - M / m.bending_stiffness()) * inch * 12), "163.4") <= half_a_digit);
  }
}

TEST_CASE("a rectangle recovers its textbook examples", "[moment_curvature][memory]") {
  // Beer and Johnston, examples 4.05 and 4.06, from memory; the figures agree with one another: 50 x 120 mm,
  // 240 MPa, 200 GPa, 36.8 kN m: yield at 28.8 kN m, core 80 mm, radius 33.3 m, released 225 m.
  const MomentCurvature m = law(rectangle(50, 120), 240, 0, 200000);
  CHECK(m.first_yield_moment() == Approx(28.8e6).epsilon(1e-12));
  const double k = m.curvature_at(36.8e6);
  CHECK(120 * m.first_yield_curvature() / k == Approx(80).epsilon(1e-9));
  CHECK(halves_off(1e-3 / k, "33.3") <= half_a_digit);
  CHECK(halves_off(1e-3 / (k - 36.8e6 / m.bending_stiffness()), "225") <= half_a_digit);
}

TEST_CASE("force, moment and side moment are the sums over thin strips", "[moment_curvature][oracle]") {
  // Midpoint strips of the stress law itself about the neutral axis found: the axial force vanishes, the moment and
  // the side moment agree. Midpoint at round edges: 1e-5.
  const double E = 205000, fy = 260, Et = 2500;
  for (const Section& section : one_of_each()) {
    INFO(section.text());
    const MomentCurvature m = law(section, fy, Et, E);
    const DepthProfile& p = section.profile();
    for (const double ratio : {1.05, 1.6, 4.0, 15.0}) {
      const double k = ratio * m.first_yield_curvature(), n = m.state(k).neutral_depth;
      const int strips = 100000;
      const double h = (p.highest() - p.lowest()) / strips;
      double N = 0, M = 0, side = 0;
      for (int i = 0; i < strips; ++i) {
        const double y = p.lowest() + (i + 0.5) * h, strain = k * (y - n), bound = fy / E;
        const double stress = std::abs(strain) <= bound ? E * strain : std::copysign(fy + Et * (std::abs(strain) - bound), strain);
        N += stress * p.breadth(y) * h, M += stress * y * p.breadth(y) * h, side += stress * p.side_moment(y) * h;
      }
      CHECK(N == Approx(0).margin(2e-5 * fy * section.area_mm2()));
      CHECK(m.moment(k) == Approx(M).epsilon(2e-5));
      const MomentCurvature::Release r = m.release(k);
      const double EIy = E * section.inertia_mm4(), EIxy = E * section.product_of_inertia_mm4(), EIx = E * section.side_inertia_mm4();
      CHECK(EIy * r.in_plane - EIxy * r.sideways == Approx(M).epsilon(2e-5));
      CHECK(EIxy * r.in_plane - EIx * r.sideways == Approx(side).margin(3e-5 * std::max(M, std::abs(side))));
    }
  }
}

TEST_CASE("the neutral axis of a channel wanders as computed beforehand", "[moment_curvature][oracle]") {
  // Separate program: channel 100 x 50, web 6, flange 8.5, sharp corners: 0 to 6.5 mm at 10 times first yield, and
  // at last to the axis that halves the area.
  const Section channel = made(ChannelBar{mm(100), mm(50), mm(6), mm(8.5), ChannelWay::flanges_in});
  const MomentCurvature m = law(channel, 300, 0);
  CHECK(m.state(m.first_yield_curvature()).neutral_depth == 0.0);
  CHECK(halves_off(std::abs(m.state(10 * m.first_yield_curvature()).neutral_depth), "6.5") <= half_a_digit);
  CHECK(m.state(2000 * m.first_yield_curvature()).neutral_depth == Approx(channel.profile().halving_axis_mm()).margin(0.02));
  CHECK(m.moment(2000 * m.first_yield_curvature()) == Approx(300 * channel.plastic_modulus_mm3()).epsilon(1e-5));
}

TEST_CASE("a released angle bows sideways as computed beforehand", "[moment_curvature][oracle]") {
  // Separate program with fibres: 50 x 50 x 5, sharp corners, fy 300 without hardening, loaded radius 600: in the
  // plane 5.28e-5 /mm (uncoupled 7.21e-5), sideways 3.26e-5 /mm, 4.1 mm on a chord of 1 m. Fibres: 0.4 %.
  const MomentCurvature m = law(made(AngleBar{mm(50), mm(50), mm(5)}), 300, 0);
  const MomentCurvature::Release r = m.release(1.0 / 600);
  CHECK(r.in_plane == Approx(5.28e-5).epsilon(0.004));
  CHECK(r.held_loss == Approx(7.21e-5).epsilon(0.004));
  CHECK(std::abs(r.sideways) == Approx(3.26e-5).epsilon(0.004));
  CHECK(r.bow_mm(1000) == Approx(4.1).margin(0.05));
  // Alike either side of the plane: nothing goes sideways.
  const MomentCurvature::Release tube_release = law(tube(42.4, 2.6), 300, 2100).release(1.0 / 600);
  CHECK(tube_release.sideways == Approx(0).margin(1e-15));
  CHECK(tube_release.in_plane == Approx(tube_release.held_loss).epsilon(1e-12));
}

TEST_CASE("stiffness and work belong to the moment for any section and law", "[moment_curvature][property]") {
  for (const Section& section : one_of_each()) {
    INFO(section.text());
    const MomentCurvature line = law(section, 320, 1500), perfect = law(section, 320, 0);
    const MomentCurvature power(section, Stress::mpa(210000), Stress::mpa(320), PowerLaw{Stress::mpa(640), 0.15});
    for (const MomentCurvature* m : {&line, &perfect, &power})
      for (const double ratio : {0.5, 1.03, 1.31, 3.03, 9.07}) {
        const double k = ratio * m->first_yield_curvature(), h = 1e-5 * k;
        CHECK(m->stiffness(k) == Approx((m->moment(k + h) - m->moment(k - h)) / (2 * h)).epsilon(2e-5).margin(1e-7 * m->bending_stiffness()));
        CHECK(m->moment(k) == Approx((m->work(k + h) - m->work(k - h)) / (2 * h)).epsilon(1e-7));
        const double loaded = m->loaded(k - m->moment(k) / m->bending_stiffness());
        if (ratio > 1.0) CHECK(loaded == Approx(k).epsilon(1e-8));
      }
    for (const double kink : line.kinks()) CHECK(kink > line.first_yield_curvature());
    CHECK(std::is_sorted(line.kinks().begin(), line.kinks().end()));
  }
}

TEST_CASE("in and out are mirror images: the same moment, the axis on the other side", "[moment_curvature][property]") {
  ChannelBar c{mm(80), mm(50), mm(4), mm(7), ChannelWay::flanges_in, mm(10)};
  const MomentCurvature in = law(made(c), 300, 2100);
  c.way = ChannelWay::flanges_out;
  const MomentCurvature out = law(made(c), 300, 2100);
  for (const double ratio : {1.2, 3.0, 12.0}) {
    const double k = ratio * in.first_yield_curvature();
    CHECK(out.moment(k) == Approx(in.moment(k)).epsilon(1e-12));
    CHECK(out.state(k).neutral_depth == Approx(-in.state(k).neutral_depth).epsilon(1e-9));
  }
}

TEST_CASE("the torque factor is that of the sand heap", "[moment_curvature][oracle]") {
  CHECK(law(tube(42.4, 2.6), 300, 0).yield_torque_factor() == Approx(12 / (M_PI * M_PI)).epsilon(1e-12));
  CHECK(law(bar(25), 300, 0).yield_torque_factor() == Approx(12 / (M_PI * M_PI)).epsilon(1e-12));
  // Thin square tube: Mp = 1.5 a^2 t Y, Tp = 2 a^2 t Y / sqrt 3: factor 27 / 16.
  CHECK(law(made(RectangularTube{mm(100), mm(100), mm(0.1), Corners::given}), 300, 0).yield_torque_factor() ==
        Approx(27.0 / 16).epsilon(0.003));
  // Solid square a: Mp = a^3 Y / 4, sand heap Tp = a^3 Y / (3 sqrt 3): factor 27 / 16 too.
  CHECK(law(rectangle(20, 20), 300, 0).yield_torque_factor() == Approx(27.0 / 16).epsilon(1e-9));
}
