#include <catch2/catch.hpp>
#include <coilwright/machine/example_machine.hpp>
#include <coilwright/machine/machine_file.hpp>

#include "scratch_folder.hpp"

using namespace coilwright;

namespace {

// A machine of its own folder, with a mesh beside it: one plate, an open surface, in the numbers given.
Result<Machine> machine_with(const std::string& size, const std::string& unit) {
  const ScratchFolder folder;
  folder.file("plate.obj", "v 0 0 0\nv " + size + " 0 0\nv 0 " + size + " 0\nf 1 2 3\n");
  return read_machine_file(folder.file("m.toml", "name = \"m\"\n[rolls]\nouter_spacing = \"500 mm\"\nouter_radius = \"100 mm\"\n"
      "centre_radius = \"100 mm\"\n[[solid]]\nname = \"plate\"\nshape = \"mesh\"\n"
      "file = \"plate.obj\"\n" + unit));
}

}  // namespace

TEST_CASE("a mesh beside the machine file becomes a solid", "[machine][input]") {
  const auto machine = machine_with("1.2", "unit = \"m\"\n");
  REQUIRE(machine);
  const auto& mesh = std::get<MeshBody>(machine->solids.front().shape);
  CHECK(mesh.mesh->nodes().front().max.x() == Approx(1200.0));
  CHECK(mesh.placed({1, 2, 3}) == Eigen::Vector3d(1, 2, 3));
  const auto mirrored = std::get<MeshBody>(mirrored_in_x(moved(machine->solids.front().shape, {10, 20, 30})));
  CHECK(mirrored.placed({1, 2, 3}) == Eigen::Vector3d(-11, 22, 33));
  CHECK(std::get<MeshBody>(mirrored_in_x(mirrored)).placed({1, 2, 3}) == Eigen::Vector3d(11, 22, 33));
  const auto& said = machine->assumptions;
  CHECK(std::any_of(said.begin(), said.end(), [](const std::string& sentence) {
    return sentence.find("\"plate\" is open") != std::string::npos;
  }));
}

TEST_CASE("a mesh in a wrong unit is named", "[machine][input]") {
  for (const auto& [size, unit] : {std::pair("1.2", "unit = \"mm\"\n"), std::pair("1200", "unit = \"m\"\n")}) {
    const auto machine = machine_with(size, unit);
    REQUIRE_FALSE(machine);
    CHECK(machine.error().front().about == "solid.plate.unit");
    CHECK_THAT(machine.error().front().text, Catch::Contains("\"plate\""));
  }
  const auto unsaid = machine_with("1.2", "");
  REQUIRE_FALSE(unsaid);
  CHECK(unsaid.error().front().about == "solid.plate.unit");
}

TEST_CASE("the hull of points", "[machine][oracle]") {
  std::vector<Eigen::Vector3d> points;  // a cube with points inside, on its faces and on its edges
  for (int x = 0; x <= 2; ++x)
    for (int y = 0; y <= 2; ++y)
      for (int z = 0; z <= 2; ++z) points.emplace_back(10.0 * x, 10.0 * y, 10.0 * z);
  const auto hull = hull_of(points);
  REQUIRE(hull);
  CHECK(hull->points.size() == 8);
  CHECK(hull->faces.size() == 12);
  CHECK_FALSE(hull_of({{0, 0, 0}, {1, 0, 0}, {0, 1, 0}}));
  CHECK_FALSE(hull_of({{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {1, 1, 0}, {5, 5, 0}}));
  CHECK_FALSE(hull_of(std::vector<Eigen::Vector3d>(most_hull_points + 1, Eigen::Vector3d::Zero())));
}
