// A picture of a scene, drawn without any display.
#pragma once

#include <coilwright/quantity/finding.hpp>
#include <optional>
#include <string>
#include <viewer/scene/scene.hpp>
#include <viewer/window/picture_file.hpp>

namespace coilwright::view {

struct PictureSize {
  int width = 1600, height = 1000;  // pixels
};
inline constexpr int least_side = 400, greatest_side = 8192;

// "1600x1000"; refused with the rule when it is not two whole numbers within the limits.
Result<PictureSize> read_picture_size(const std::string& text);

// Why there is no picture; the two kinds end a program differently.
struct NoPicture {
  enum class Kind { cannot_draw_here, cannot_write } kind;
  std::string why;  // whole sentences
};

// Four samples a pixel.
tl::expected<Pixels, NoPicture> draw(Scene& scene, PictureSize size);
// The file appears whole or not at all. Same scene, same bytes.
std::optional<NoPicture> write_picture(Scene& scene, PictureSize size, const std::string& file);

}  // namespace coilwright::view
