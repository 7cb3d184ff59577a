#include <charconv>
#include <viewer/window/headless_window.hpp>
#include <viewer/window/picture.hpp>
#include <viewer/window/quiet.hpp>
#include <vtkNew.h>
#include <vtkRenderer.h>

namespace coilwright::view {

Result<PictureSize> read_picture_size(const std::string& text) {
  const auto refused = [&text] {
    return refuse("--size", "Picture size '" + text + "' is not understood: it is width x height in pixels, each from " +
                                std::to_string(least_side) + " to " + std::to_string(greatest_side) +
                                ", such as 1600x1000.");
  };
  PictureSize size;
  const char *at = text.data(), *end = text.data() + text.size();
  const auto side = [&](int& value) {
    const auto [next, error] = std::from_chars(at, end, value);
    if (error != std::errc{} || next == at) return false;
    at = next;
    return value >= least_side && value <= greatest_side;
  };
  if (!side(size.width)) return refused();
  if (at == end || (*at != 'x' && *at != 'X')) return refused();
  ++at;
  if (!side(size.height) || at != end) return refused();
  return size;
}

tl::expected<Pixels, NoPicture> draw(Scene& scene, PictureSize size) {
  const Quiet quiet;
  const vtkNew<HeadlessWindow> window;
  std::string why;
  if (!window->create(why))
    return tl::unexpected(NoPicture{NoPicture::Kind::cannot_draw_here,
                                    "No picture can be drawn here: " + why + ". On Debian the package libgl1-mesa-dri " +
                                        "brings a driver that needs no display."});
  scene.add_to(window);
  window->SetSize(size.width, size.height);
  window->SetMultiSamples(4);
  scene.set_size(size.width, size.height);
  scene.lay_out();
  window->Render();
  Pixels pixels = pixels_of(*window);
  scene.remove_from(window);
  return pixels;
}

std::optional<NoPicture> write_picture(Scene& scene, PictureSize size, const std::string& file) {
  // Asked before the second that drawing takes.
  if (auto refused = cannot_write(file)) return NoPicture{NoPicture::Kind::cannot_write, *refused};
  const auto pixels = draw(scene, size);
  if (!pixels) return pixels.error();
  if (auto refused = write_png(*pixels, file)) return NoPicture{NoPicture::Kind::cannot_write, *refused};
  return std::nullopt;
}

}  // namespace coilwright::view
