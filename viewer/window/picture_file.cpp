#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <viewer/window/picture_file.hpp>
#include <vtkImageData.h>
#include <vtkNew.h>
#include <vtkPNGWriter.h>
#include <vtkRenderWindow.h>
#include <vtkUnsignedCharArray.h>
#include <vtkWindowToImageFilter.h>

namespace coilwright::view {
namespace {

std::string refusal(const std::string& file, const std::string& reason) {
  return "The picture cannot be written to '" + file + "': " + reason + ".";
}

// Written beside it and moved over it when complete.
std::string beside(const std::string& file) { return file + ".part"; }

std::string reason_of(int error, const char* otherwise) { return error ? std::strerror(error) : otherwise; }

}  // namespace

Pixels pixels_of(vtkRenderWindow& window) {
  const vtkNew<vtkWindowToImageFilter> grab;
  grab->SetInput(&window);
  grab->SetInputBufferTypeToRGB();
  grab->ReadFrontBufferOff();
  grab->ShouldRerenderOff();
  grab->Update();
  vtkImageData* image = grab->GetOutput();
  const int* size = image->GetDimensions();
  Pixels out{size[0], size[1], {}};
  const auto* bytes = static_cast<const unsigned char*>(image->GetScalarPointer());
  out.rgb.assign(bytes, bytes + static_cast<std::size_t>(size[0]) * static_cast<std::size_t>(size[1]) * 3);
  return out;
}

std::optional<std::string> cannot_write(const std::string& file) {
  std::error_code error;
  if (file.empty()) return refusal(file, "it has no name");
  if (std::filesystem::is_directory(file, error)) return refusal(file, "it is a folder");
  const std::string trial = beside(file);
  errno = 0;
  const bool opened = std::ofstream(trial, std::ios::binary).is_open();
  if (!opened) return refusal(file, reason_of(errno, "it cannot be opened"));
  std::filesystem::remove(trial, error);
  return std::nullopt;
}

std::optional<std::string> write_png(const Pixels& pixels, const std::string& file) {
  if (auto refused = cannot_write(file)) return refused;
  const vtkNew<vtkImageData> image;
  image->SetDimensions(pixels.width, pixels.height, 1);
  image->AllocateScalars(VTK_UNSIGNED_CHAR, 3);
  std::copy(pixels.rgb.begin(), pixels.rgb.end(), static_cast<unsigned char*>(image->GetScalarPointer()));
  const vtkNew<vtkPNGWriter> png;
  png->SetInputData(image);
  png->WriteToMemoryOn();
  png->Write();
  vtkUnsignedCharArray* bytes = png->GetResult();
  if (!bytes) return refusal(file, "it cannot be packed");
  const std::string trial = beside(file);
  std::error_code error;
  {
    errno = 0;
    std::ofstream out(trial, std::ios::binary);
    out.write(reinterpret_cast<const char*>(bytes->GetPointer(0)), bytes->GetNumberOfValues());
    out.close();
    if (!out) {
      const std::string reason = reason_of(errno, "the disk is full");
      std::filesystem::remove(trial, error);
      return refusal(file, reason);
    }
  }
  std::filesystem::rename(trial, file, error);
  if (!error) return std::nullopt;
  const std::string reason = error.message();
  std::filesystem::remove(trial, error);
  return refusal(file, reason);
}

}  // namespace coilwright::view
