#include <catch2/catch.hpp>
#include <coilwright/stock/stock.hpp>

using namespace coilwright;

TEST_CASE("a worked handrail has its mass, surface and stiffness", "[stock][oracle]") {
  // 42.4 x 2.6 mm and 48.3 x 3.0 mm in steel of 7850 kg/m3, 8997.19 mm long (radius 900 mm, pitch 2000 mm,
  // 540 degrees), worked by hand: 2.55197 kg/m, 22.961 kg, 1.19846 m2; 30.154 kg, 1.36522 m2.
  const auto stock = [](double outside, double wall) {
    return Stock{Section::round_tube(Length::mm(outside), Length::mm(wall)).value(),
                 find_material("S235").value(),
                 "",
                 "",
                 {}};
  };
  const double length_m = 8.99719;
  const Stock rail = stock(42.4, 2.6), heavy = stock(48.3, 3.0);
  CHECK(rail.mass_per_metre_kg() == Approx(2.55197).margin(0.5e-5).epsilon(0));
  CHECK(rail.mass_per_metre_kg() * length_m == Approx(22.961).margin(0.5e-3).epsilon(0));
  CHECK(rail.surface_per_metre_m2() * length_m == Approx(1.19846).margin(0.5e-5).epsilon(0));
  CHECK(heavy.mass_per_metre_kg() * length_m == Approx(30.154).margin(0.5e-3).epsilon(0));
  CHECK(heavy.surface_per_metre_m2() * length_m == Approx(1.36522).margin(0.5e-5).epsilon(0));

  // EI and GJ from their own definitions; GJ / EI = 1 / (1 + nu) for a round section.
  CHECK(rail.bending_stiffness_n_mm2() == Approx(210000.0 * rail.section.inertia_mm4()).epsilon(1e-14));
  CHECK(rail.torsion_stiffness_n_mm2() / rail.bending_stiffness_n_mm2() == Approx(1.0 / 1.3).epsilon(1e-14));
}
