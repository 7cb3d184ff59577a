// The words that stand in the scene: dimensions with their lines, callouts, directions. Where they go is
// decided per picture; here is only what there is to say and about which places.
#pragma once

#include <functional>
#include <string>
#include <vector>
#include <viewer/scene/canvas.hpp>
#include <viewer/scene/part.hpp>
#include <viewer/scene/subject.hpp>

namespace coilwright::view {

// A measure between two points, with thin lines from the part to its ends.
struct Dimension {
  Eigen::Vector3d from, to;
  std::vector<std::pair<Eigen::Vector3d, Eigen::Vector3d>> extensions;
  std::string label;
  enum class Ends { both, far } ends = Ends::both;  // which carry an arrow head
};

struct Callout {
  std::vector<Eigen::Vector3d> anchors;  // places it may point at, the best first
  std::string label;
  enum class Kind { plain, nearest, hit, keep_out } kind = Kind::plain;
};

// A broad arrow with its word.
struct Direction {
  Eigen::Vector3d from, to;
  std::string word;
};

struct Notes {
  std::vector<Callout> callouts;      // in order of weight
  std::vector<Dimension> dimensions;  // likewise
  std::vector<Direction> directions;
  std::vector<Eigen::Vector3d> axis;  // of the coil, two ends, or empty
};

// `floor_z_mm`: where the keep-out line lies.
Notes notes_of(const Subject& subject, const PartRings& rings, double fed_mm, double floor_z_mm);

using Projector = std::function<Pixel(const Eigen::Vector3d&)>;

// Draws them; returns the labels for which there was no free place.
std::vector<std::string> draw_notes(Canvas& canvas, const Notes& notes, const Subject& subject,
                                    const Projector& to_pixel, const PixelBox& area,
                                    const std::vector<PixelBox>& taken, const std::vector<Pixel>& busy,
                                    double scale);

}  // namespace coilwright::view
