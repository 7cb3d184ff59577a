#include <catch2/catch.hpp>
#include <coilwright/machine/mesh_file.hpp>
#include <cstring>
#include <fstream>

using namespace coilwright;
using Eigen::Vector3d;

namespace {

const std::string facet =
    "solid plate\n facet normal 0 0 1\n  outer loop\n   vertex 0 0 0\n   vertex 1.5e0 0 0\n   vertex 0 +2 0\n"
    "  endloop\n endfacet\nendsolid plate\n";

std::string binary(std::uint32_t announced, std::size_t written) {
  std::string text(80, 's');
  text.append(reinterpret_cast<const char*>(&announced), 4);
  for (std::size_t i = 0; i < written; ++i) {
    const float numbers[12]{0, 0, 1, 0, 0, 0, 1.5f, 0, 0, 0, 2, static_cast<float>(i)};
    text.append(reinterpret_cast<const char*>(numbers), sizeof numbers);
    text.append(2, '\0');
  }
  return text;
}

std::string why(const Result<TriangleMesh>& mesh) { return mesh ? "it was read" : mesh.error().front().text; }

}  // namespace

TEST_CASE("the same triangle from every kind of file", "[machine][oracle]") {
  for (const auto& mesh :
       {read_stl(facet, 10.0), read_stl(binary(1, 1), 10.0), read_obj("v 0 0 0\nv 1.5 0 0\nv 0 2 0\nf 1 2 3\n", 10.0),
        read_obj("# words\nv 0 0 0\r\nv 1.5 0 0\r\nv 0 2 0 1.0\r\nvn 0 0 1\r\nf -3//1 -2//1 -1//1", 10.0)}) {
    REQUIRE(mesh);
    CHECK(mesh->triangles().size() == 1);
    CHECK(mesh->nodes().front().max == Vector3d(15, 20, 0));
  }
  CHECK(read_obj("v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\nf 1/1/1 2/2/2 3/3/3 4/4/4\n", 1.0)->triangles().size() == 2);
}

TEST_CASE("what is wrong with a mesh file is named", "[machine][input]") {
  using Catch::Contains;
  CHECK_THAT(why(read_stl(facet.substr(0, facet.find("endsolid")), 1.0)), Contains("cut off"));
  CHECK_THAT(why(read_stl(binary(2, 1), 1.0)), Contains("cut off"));
  CHECK_THAT(why(read_stl("solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 zero\n", 1.0)), Contains("Line 4"));
  CHECK_THAT(why(read_stl("solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nendloop\nendfacet\nendsolid", 1.0)),
             Contains("1 corners"));
  CHECK_THAT(why(read_stl("solid a\nbanana\n", 1.0)), Contains("Line 2"));
  CHECK_THAT(why(read_stl("solid a\nendsolid a\n", 1.0)), Contains("no triangles"));
  CHECK_THAT(why(read_stl("", 1.0)), Contains("not an STL"));
  CHECK_THAT(why(read_obj("v 0 0 0\nf 1 2 3\n", 1.0)), Contains("Line 2"));
  CHECK_THAT(why(read_obj("v 0 0\n", 1.0)), Contains("Line 1"));
  CHECK_THAT(why(read_obj("words\n", 1.0)), Contains("no faces"));
  CHECK_THAT(why(read_mesh_file("/nowhere/at/all.stl", 1.0)), Contains("cannot be read"));
  CHECK_THAT(why(read_stl("solid a\nfacet\nvertex 1e999 0 0\nvertex 1 0 0\nvertex 0 1 0\nendfacet\nendsolid", 1.0)),
             Contains("not a number"));
}
