// The strip below the scene: title, verdict and legend; and the banner above it when the part collides.
#pragma once

#include <string>
#include <vector>
#include <viewer/scene/canvas.hpp>
#include <viewer/scene/palette.hpp>
#include <viewer/scene/subject.hpp>

namespace coilwright::view {

struct PanelState {
  int width = 0, height = 0;  // of the picture, pixels
  double scale = 1.0;
  std::string footing;        // small print: fed length, view
};

// Draws the strip along the bottom; returns its height in pixels.
double draw_panel(Canvas& canvas, const Subject& subject, const Ramp& ramp, const PanelState& state);
// Draws the banner of a collision at the top of `area`; nothing otherwise. Returns what it covers.
PixelBox draw_banner(Canvas& canvas, const Subject& subject, const PixelBox& area, double scale);

// A font size that grows with the picture and never falls below what can be read.
int letter_size(double size, double scale);
// Breaks at spaces so that no line is wider than `width`, at most `most` lines; the last one ends with an
// ellipsis when something is left over.
std::vector<std::string> wrapped(Canvas& canvas, const std::string& text, const Lettering& lettering,
                                 double width, int most);

}  // namespace coilwright::view
