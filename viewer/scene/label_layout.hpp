// Where labels go so that none lies on another and the part stays visible. Pure geometry in pixels.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>
#include <viewer/scene/canvas.hpp>

namespace coilwright::view {

struct LabelRequest {
  std::vector<Pixel> anchors;  // the label may belong to any of them; the first is preferred
  Pixel size = Pixel::Zero();
  enum class Seat { beside, on_anchor } seat = Seat::beside;  // may it cover its anchor
};

struct LabelPlace {
  PixelBox box;
  Pixel anchor;        // the one taken
  Pixel leader_end;    // where the leader meets the box; equals anchor when none is needed
};

struct BusyPixel {
  Pixel at;
  std::optional<std::size_t> owner;  // the request that may lie on it all the same
};

struct LabelGround {
  PixelBox area;                 // labels stay inside
  std::vector<PixelBox> taken;   // nothing may lie on these
  std::vector<BusyPixel> busy;   // better not on these
  double spacing = 6.0;          // between boxes
  double unit = 1.0;             // pixels a unit of distance, grows with the picture
};

// In the order given, which is the order of weight: earlier ones choose first. A label for which no free
// place exists is left out. Guarantee: boxes lie inside the area, at least `spacing` apart from each other
// and outside `taken`; no leader crosses a box.
std::vector<std::optional<LabelPlace>> place_labels(const std::vector<LabelRequest>& requests,
                                                    const LabelGround& ground);

// Does the segment touch the box.
bool crosses(const PixelBox& box, const Pixel& a, const Pixel& b);

}  // namespace coilwright::view
