#include <catch2/catch.hpp>
#include <coilwright/machine/shape.hpp>

using namespace coilwright;

TEST_CASE("moving and mirroring bodies", "[machine][oracle]") {
  const Eigen::Vector3d by(1, 2, 3);
  SECTION("cylinder") {
    const auto c = std::get<Cylinder>(moved(Cylinder{{0, 0, 0}, {0, 0, 9}, 4.0}, by));
    CHECK(c.from == Eigen::Vector3d(1, 2, 3));
    CHECK(c.to == Eigen::Vector3d(1, 2, 12));
    CHECK(c.radius_mm == 4.0);
    const auto m = std::get<Cylinder>(mirrored_in_x(c));
    CHECK(m.from == Eigen::Vector3d(-1, 2, 3));
    CHECK(m.to == Eigen::Vector3d(-1, 2, 12));
  }
  SECTION("frustum keeps its ends") {
    const auto f = std::get<Frustum>(mirrored_in_x(moved(Frustum{{5, 0, 0}, {6, 0, 9}, 4.0, 2.0}, by)));
    CHECK(f.from == Eigen::Vector3d(-6, 2, 3));
    CHECK(f.from_radius_mm == 4.0);
    CHECK(f.to_radius_mm == 2.0);
  }
  SECTION("box stays the right way round and turns the other way") {
    const auto b = std::get<Box>(mirrored_in_x(moved(Box{{0, 0, 0}, {4, 5, 6}, 0.3}, by)));
    CHECK(b.min == Eigen::Vector3d(-5, 2, 3));
    CHECK(b.max == Eigen::Vector3d(-1, 7, 9));
    CHECK(b.turned_rad == -0.3);
  }
  SECTION("half-space keeps its material on the same side") {
    const auto h = std::get<HalfSpace>(mirrored_in_x(HalfSpace{{7, 0, 0}, {1, 0, 0}}));
    CHECK(h.point == Eigen::Vector3d(-7, 0, 0));
    CHECK(h.normal == Eigen::Vector3d(-1, 0, 0));
  }
}

TEST_CASE("mirroring twice changes nothing", "[machine][property]") {
  const Box box{{1, 2, 3}, {4, 6, 9}, 0.7};
  const auto back = std::get<Box>(mirrored_in_x(mirrored_in_x(box)));
  CHECK(back.min == box.min);
  CHECK(back.max == box.max);
  CHECK(back.turned_rad == box.turned_rad);
}
