// The [stock] of a job: every section and a shop's own material.
#include <algorithm>
#include <catch2/catch.hpp>
#include <coilwright/plan/job_file.hpp>

#include "scratch_folder.hpp"

using namespace coilwright;

namespace {

Result<Job> with_stock(const ScratchFolder& folder, const std::string& stock) {
  return read_job({.path = folder.file("job.toml", "[coil]\nradius = \"3000 mm\"\npitch = \"300 mm\"\nturns = 1.1\nclimbs = \"counter-clockwise\"\n"
                                                   "[stock]\n" + stock),
                   .options = {}});
}
Job good(const std::string& stock) {
  const ScratchFolder folder;
  const Result<Job> job = with_stock(folder, stock);
  if (!job)
    for (const Finding& f : job.error()) UNSCOPED_INFO(f.about << ": " << f.text);
  REQUIRE(job.has_value());
  return *job;
}
std::string fault(const std::string& stock, const std::string& about) {
  const ScratchFolder folder;
  const Result<Job> job = with_stock(folder, stock);
  REQUIRE_FALSE(job.has_value());
  for (const Finding& f : job.error())
    if (f.about == about) return f.text;
  for (const Finding& f : job.error()) UNSCOPED_INFO(f.about << ": " << f.text);
  FAIL("no fault about " << about);
  return {};
}

const std::string steel = "material = \"S235\"\n";

}  // namespace

TEST_CASE("a job may give any section", "[job][input]") {
  CHECK(good("square = \"50x50x3 mm\"\n" + steel).stock.section.inertia_mm4() == Approx(194671.36).epsilon(1e-7));
  CHECK(good("square = \"50x50x3 mm\"\ncorner_radius = \"hot-finished\"\n" + steel).stock.section.text().find("4.5 mm outside") != std::string::npos);
  CHECK(good("flat = \"50x10 mm hard way\"\n" + steel).stock.section.outer_face().mm() == Approx(25));
  CHECK(good("angle = \"L50x50x5 leg out\"\n" + steel).stock.size_source.find("EN 10056-1") == 0);
  const Job drawn = good("outline = [[0, 0], [40, 0, 1], [40, 20], [0, 20]]\n" + steel);
  CHECK(drawn.stock.section.area_mm2() == Approx(800 + 50 * M_PI));
  const Job hollow = good("outline = [[[0, 0], [40, 0], [40, 20], [0, 20]], [[3, 3], [37, 3], [37, 17], [3, 17]]]\n" + steel);
  CHECK(hollow.stock.section.area_mm2() == Approx(800 - 34 * 14));
}

TEST_CASE("a stock that cannot be is refused by its key", "[job][input]") {
  CHECK(fault("tube = \"42.4x2.6 mm\"\nflat = \"50x10 mm easy way\"\n" + steel, "stock.flat").find("as tube and as flat") != std::string::npos);
  CHECK(fault("tube = \"42.4x2.6 mm\"\ncorner_radius = \"6 mm\"\n" + steel, "stock.corner_radius").find("square or rectangular") != std::string::npos);
  CHECK(fault("outline = [[0, 0], [10, 10], [10, 0], [0, 10]]\n" + steel, "stock.outline").find("crosses or touches itself") != std::string::npos);
  CHECK(fault("outline = [[0, 0], [10, 10], [10]]\n" + steel, "stock.outline").find("list of points") != std::string::npos);
  CHECK(fault("square = \"50x50x30 mm\"\n" + steel, "stock.square").find("no bore") != std::string::npos);
  const std::string tube = "tube = \"42.4x2.6 mm\"\n" + steel;
  CHECK(fault(tube + "yield_mpa = 500\ntensile_mpa = 400\n", "stock.yield").find("above the tensile strength") != std::string::npos);
  CHECK(fault(tube + "power_law_strength_mpa = 600\n", "stock.power_law_strength").find("both") != std::string::npos);
  CHECK(fault(tube + "power_law_strength_mpa = 600\npower_law_exponent = 1.5\n", "stock.power_law_exponent").find("between 0 and 1") != std::string::npos);
  CHECK(fault(tube + "materials_file = \"none.toml\"\n", "stock.materials_file").find("none.toml") != std::string::npos);
}

TEST_CASE("a shop's own materials stand beside the job file", "[job][input]") {
  const ScratchFolder folder;
  folder.file("shop.toml", "[[material]]\nname = \"lot 14\"\nyield_mpa = 310\nmodulus_mpa = 205000\ndensity_kg_m3 = 7850\n");
  const Result<Job> job = with_stock(folder, "tube = \"42.4x2.6 mm\"\nmaterials_file = \"shop.toml\"\nmaterial = \"Lot 14\"\n");
  REQUIRE(job.has_value());
  CHECK(job->stock.material.yield.mpa() == 310);
  CHECK(good("tube = \"42.4x2.6 mm\"\npower_law_strength_mpa = 600\npower_law_exponent = 0.15\n" + steel).stock.material.power_law->exponent == 0.15);
}
