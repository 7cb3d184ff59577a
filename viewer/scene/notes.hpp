// The words that stand in the scene: dimensions with their lines, callouts, directions. Where they go is
// decided per picture; here is only what there is to say and about which places.
#pragma once

#include <optional>
#include <string>
#include <vector>
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
  std::string short_label;  // of a hit: the name alone
};

// A broad arrow in the scene with its word.
struct Direction {
  Eigen::Vector3d from, to;
  std::string word;
};

struct Notes {
  std::vector<Callout> callouts;      // in order of weight
  std::vector<std::vector<Dimension>> dimensions;  // each with the places it may stand; the view decides
  std::vector<Direction> directions;
  std::vector<Eigen::Vector3d> axis;  // of the coil, two ends, or empty
};

// What the notes are about besides the subject.
struct Setting {
  double fed_mm = 0.0;
  double floor_z_mm = 0.0;    // where the keep-out line lies
  double stage_radius_mm = 0.0;  // of the floor that is drawn
  std::optional<Eigen::Vector3d> ceiling_edge;  // a point to hang its name on
};

Notes notes_of(const Subject& subject, const PartRings& rings, const Setting& setting);

}  // namespace coilwright::view
