// A bending law answered from a table.
#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/rolling/curvature_table.hpp>
#include <random>

#include "fixture.hpp"

using namespace coilwright;
using namespace coilwright::rolling_fixture;

namespace {

Length mm(double v) { return Length::mm(v); }

std::vector<Section> some_sections() {
  return {Section::from(RoundTube{mm(42.4), mm(2.6)}).value(), Section::from(RoundBar{mm(30)}).value(),
          Section::from(RectangularTube{mm(60), mm(40), mm(3)}).value(),
          Section::from(FlatBar{mm(50), mm(10), Way::hard}).value(),
          Section::from(AngleBar{mm(50), mm(50), mm(5), Points::to_the_centre, mm(7), mm(3.5)}).value()};
}

}  // namespace

TEST_CASE("a law answered from its table is the law", "[curvature_table][oracle]") {
  std::mt19937_64 random(17);
  // Some thousand times what a table is made to meet, still far below what a machine can be set to.
  constexpr double share = 1e-11;
  for (const Section& section : some_sections())
    for (const double tangent_modulus : {0.0, 2100.0}) {
      const MomentCurvature plain = law(section, 300, tangent_modulus);
      const double yield = plain.first_yield_curvature(), to = 300.0 * yield;
      const MomentCurvature quick = plain.tabulated(to);
      const MomentCurvature::State largest = plain.state(to);
      double moment = 0.0, stiffness = 0.0, work = 0.0, depth = 0.0;
      for (int i = 0; i < 4000; ++i) {
        // A fifth of it beyond the table, some before first yield.
        const double k = yield * std::exp(std::uniform_real_distribution<double>(-0.5, std::log(600.0))(random));
        const MomentCurvature::State a = plain.state(k), b = quick.state(k);
        moment = std::max(moment, std::abs(a.moment - b.moment) / largest.moment);
        stiffness = std::max(stiffness, std::abs(a.stiffness - b.stiffness) / plain.bending_stiffness());
        work = std::max(work, std::abs(a.work - b.work) / largest.work);
        depth = std::max(depth, std::abs(a.neutral_depth - b.neutral_depth) / section.depth().mm());
      }
      CAPTURE(section.outside_diameter().mm(), tangent_modulus);
      CHECK(moment < share);
      CHECK(stiffness < share);
      CHECK(work < share);
      CHECK(depth < share);
    }
}

TEST_CASE("what no polynomial meets is left out of a table", "[curvature_table][property]") {
  // A law with a corner that nobody told of: the panels around it do not meet it however they are halved, so the
  // table has no answer there, and a right one elsewhere.
  constexpr double corner = 3.3;
  const auto kinked = [](double k) { return CurvatureTable::Row(std::abs(k - corner), k, k * k, 1.0); };
  const double starts[] = {1.0};
  const CurvatureTable table(kinked, starts, 10.0);
  CHECK_FALSE(table.at(corner));
  CHECK_FALSE(table.at(0.99));
  CHECK_FALSE(table.at(10.01));
  int answered = 0;
  for (double k = 1.0; k <= 10.0; k += 0.001)
    if (const auto row = table.at(k)) {
      ++answered;
      CHECK((*row - kinked(k)).abs().maxCoeff() < 1e-11);
    }
  CHECK(answered > 8000);
}
