// Pixels of a render window, and a PNG file that appears whole or not at all.
#pragma once

#include <optional>
#include <string>
#include <vector>

class vtkRenderWindow;

namespace coilwright::view {

struct Pixels {
  int width = 0, height = 0;
  std::vector<unsigned char> rgb;  // rows from the bottom
};

// What was rendered last.
Pixels pixels_of(vtkRenderWindow& window);

// Why a file of this name cannot be written, as a whole sentence; nothing when it can. Leaves no trace.
std::optional<std::string> cannot_write(const std::string& file);
// The same after the attempt. Same pixels, same bytes.
std::optional<std::string> write_png(const Pixels& pixels, const std::string& file);

}  // namespace coilwright::view
