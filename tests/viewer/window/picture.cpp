#include "sample_subjects.hpp"
#include "scratch_folder.hpp"

#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <viewer/window/picture.hpp>

using namespace coilwright;
using namespace coilwright::view;

namespace {

// Pixels of one flat colour in the scene's area, which is above the panel with its legend.
int pixels_like(const Pixels& picture, Rgb colour, const PixelBox& area) {
  int count = 0;
  for (int y = static_cast<int>(area.low.y()); y < static_cast<int>(area.high.y()); ++y)
    for (int x = 0; x < picture.width; ++x) {
      const unsigned char* p = &picture.rgb[3 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(picture.width) + static_cast<std::size_t>(x))];
      const auto near = [](int a, int b) { return std::abs(a - b) <= 6; };
      if (near(p[0], colour.r) && near(p[1], colour.g) && near(p[2], colour.b)) ++count;
    }
  return count;
}

std::string bytes_of(const std::string& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

}  // namespace

TEST_CASE("a collision is drawn in its colour, and a clear part is not", "[property]") {
  Scene clear(samples::handrail()), hit(samples::colliding_handrail());
  const auto a = draw(clear, {900, 600}), b = draw(hit, {900, 600});
  REQUIRE(a);
  REQUIRE(b);
  CHECK(pixels_like(*a, collision, clear.scene_area()) == 0);
  // More than the banner alone: the mark, the leader and the label too.
  CHECK(pixels_like(*b, collision, hit.scene_area()) > 4000);
}

TEST_CASE("the part is in the picture, in the colours of its clearance", "[property]") {
  Scene scene(samples::handrail());
  const auto picture = draw(scene, {900, 600});
  REQUIRE(picture);
  // Bluish pixels where nothing else is blue.
  int blue = 0;
  for (std::size_t i = 0; i < picture->rgb.size(); i += 3)
    if (picture->rgb[i + 2] > picture->rgb[i] + 60) ++blue;
  CHECK(blue > 1500);
  scene.set_fed_length(0.0);
  const auto empty = draw(scene, {900, 600});
  REQUIRE(empty);
  int left = 0;
  for (std::size_t i = 0; i < empty->rgb.size(); i += 3)
    if (empty->rgb[i + 2] > empty->rgb[i] + 60) ++left;
  CHECK(left < blue);
}

TEST_CASE("the same scene gives the same bytes, without any display", "[property]") {
  const ScratchFolder folder;
  ::unsetenv("DISPLAY");
  for (const char* name : {"one.png", "two.png"}) {
    Scene scene(samples::colliding_handrail());
    REQUIRE_FALSE(write_picture(scene, {800, 500}, folder.path(name)));
  }
  const std::string one = bytes_of(folder.path("one.png"));
  CHECK(one.size() > 10000);
  CHECK(one == bytes_of(folder.path("two.png")));
  // And again from the same scene.
  Scene scene(samples::colliding_handrail());
  REQUIRE_FALSE(write_picture(scene, {800, 500}, folder.path("three.png")));
  REQUIRE_FALSE(write_picture(scene, {800, 500}, folder.path("four.png")));
  CHECK(bytes_of(folder.path("three.png")) == one);
  CHECK(bytes_of(folder.path("four.png")) == one);
}

TEST_CASE("a file that cannot be written is said, and nothing stays behind", "[input]") {
  const ScratchFolder folder;
  Scene scene(samples::handrail());
  for (const std::string& file : {folder.path("no/such/folder.png"), folder.path("."), std::string()}) {
    const auto refused = write_picture(scene, {400, 400}, file);
    REQUIRE(refused);
    CHECK(refused->kind == NoPicture::Kind::cannot_write);
    CHECK(refused->why.find("cannot be written") != std::string::npos);
  }
  CHECK(folder.empty());
}

TEST_CASE("picture sizes", "[input]") {
  const auto size = read_picture_size("1600x1000");
  REQUIRE(size);
  CHECK(size->width == 1600);
  CHECK(size->height == 1000);
  CHECK(read_picture_size("400X8192"));
  for (const char* wrong : {"", "1600", "1600x", "x1000", "1600 x 1000", "1600x1000x3", "399x1000", "1000x8193", "-800x600", "1e3x900",
                            "99999999999x800", "16.5x800"}) {
    INFO(wrong);
    const auto refused = read_picture_size(wrong);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().front().text.find("400 to 8192") != std::string::npos);
  }
}

TEST_CASE("the closer look magnifies, and is left out where the picture has no room", "[property]") {
  Scene scene(samples::handrail());
  REQUIRE(draw(scene, {1600, 1000}));
  REQUIRE(scene.closeup_box());
  CHECK(scene.scene_area().contains(*scene.closeup_box()));
  REQUIRE(draw(scene, {640, 400}));
  CHECK_FALSE(scene.closeup_box());
}
