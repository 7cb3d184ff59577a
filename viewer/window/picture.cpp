#include <cerrno>
#include <charconv>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <viewer/window/headless_window.hpp>
#include <viewer/window/picture.hpp>
#include <vtkImageData.h>
#include <vtkNew.h>
#include <vtkOutputWindow.h>
#include <vtkPNGWriter.h>
#include <vtkRenderer.h>
#include <vtkSmartPointer.h>
#include <vtkUnsignedCharArray.h>
#include <vtkWindowToImageFilter.h>

namespace coilwright::view {
namespace {

// VTK's own complaints would speak of its internals; ours name the file and the reason.
class Quiet {
 public:
  Quiet() : before_(vtkOutputWindow::GetInstance()->GetDisplayMode()) {
    vtkOutputWindow::GetInstance()->SetDisplayModeToNever();
  }
  ~Quiet() { vtkOutputWindow::GetInstance()->SetDisplayMode(before_); }
  Quiet(const Quiet&) = delete;
  Quiet& operator=(const Quiet&) = delete;

 private:
  int before_;
};

tl::expected<vtkSmartPointer<vtkImageData>, NoPicture> drawn(Scene& scene, PictureSize size) {
  const Quiet quiet;
  const vtkNew<HeadlessWindow> window;
  std::string why;
  if (!window->create(why))
    return tl::unexpected(NoPicture{NoPicture::Kind::cannot_draw_here,
                                    "No picture can be drawn here: " + why +
                                        ". On Debian the package libgl1-mesa-dri brings a driver that needs no display."});
  window->SetNumberOfLayers(2);
  window->AddRenderer(scene.solids());
  window->AddRenderer(scene.glass());
  window->SetSize(size.width, size.height);
  window->SetMultiSamples(4);
  scene.set_size(size.width, size.height);
  scene.lay_out();
  window->Render();
  const vtkNew<vtkWindowToImageFilter> grab;
  grab->SetInput(window);
  grab->SetInputBufferTypeToRGB();
  grab->ReadFrontBufferOff();
  grab->ShouldRerenderOff();
  grab->Update();
  vtkSmartPointer<vtkImageData> image = grab->GetOutput();
  window->RemoveRenderer(scene.glass());
  window->RemoveRenderer(scene.solids());
  return image;
}

}  // namespace

Result<PictureSize> read_picture_size(const std::string& text) {
  const auto refused = [&] {
    return refuse("--size", "Picture size '" + text + "' is not understood: it is width x height in pixels, each from " +
                                std::to_string(least_side) + " to " + std::to_string(greatest_side) + ", such as 1600x1000.");
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
  const auto image = drawn(scene, size);
  if (!image) return tl::unexpected(image.error());
  Pixels out{size.width, size.height, {}};
  const auto* bytes = static_cast<const unsigned char*>((*image)->GetScalarPointer());
  out.rgb.assign(bytes, bytes + static_cast<std::size_t>(size.width) * static_cast<std::size_t>(size.height) * 3);
  return out;
}

std::optional<NoPicture> write_picture(Scene& scene, PictureSize size, const std::string& file) {
  // Asked first: drawing takes a second, and nothing half-written may stay behind.
  const std::string beside = file + ".part";
  const auto cannot_write = [&file](const std::string& reason) {
    return NoPicture{NoPicture::Kind::cannot_write, "The picture cannot be written to '" + file + "': " + reason + "."};
  };
  std::error_code ignored;
  if (std::filesystem::is_directory(file, ignored)) return cannot_write("it is a folder");
  {
    errno = 0;
    std::ofstream probe(beside, std::ios::binary);
    if (!probe) return cannot_write(errno ? std::strerror(errno) : "it cannot be opened");
  }
  const auto fail = [&](NoPicture reason) {
    std::filesystem::remove(beside, ignored);
    return reason;
  };
  const auto image = drawn(scene, size);
  if (!image) return fail(image.error());
  const vtkNew<vtkPNGWriter> png;
  png->SetInputData(*image);
  png->WriteToMemoryOn();
  png->Write();
  vtkUnsignedCharArray* bytes = png->GetResult();
  if (!bytes) return fail(cannot_write("it cannot be packed as PNG"));
  {
    errno = 0;
    std::ofstream out(beside, std::ios::binary);
    out.write(reinterpret_cast<const char*>(bytes->GetPointer(0)), bytes->GetNumberOfValues());
    out.flush();
    if (!out) return fail(cannot_write(errno ? std::strerror(errno) : "the disk is full"));
  }
  std::error_code moved;
  std::filesystem::rename(beside, file, moved);
  if (moved) return fail(cannot_write(moved.message()));
  return std::nullopt;
}

}  // namespace coilwright::view
