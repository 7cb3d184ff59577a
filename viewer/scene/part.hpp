// The part at one fed length: rings of every stretch of it, each with its clearance to everything.
#pragma once

#include <coilwright/clearance/shape_distance.hpp>
#include <vector>
#include <viewer/scene/subject.hpp>
#include <viewer/scene/sweep.hpp>

namespace coilwright::view {

// Rings in the machine frame, by stretch, from the tail to the front. A stretch that does not exist at this
// fed length is empty. Neighbouring stretches share their end ring.
struct PartRings {
  std::vector<Ring> stock;      // not yet at the rolls: straight, or as an earlier pass has bent it
  std::vector<Ring> spans;      // between the rolls
  std::vector<Ring> usable;     // the coil
  std::vector<Ring> start_up;   // ahead of it, to be cut off
  std::vector<Ring> front_end;  // straight, tangent to the leading end
};

// One after the other, without the rings that neighbours share.
std::vector<Ring> whole_part(const PartRings& rings);

// Steady rolling of one helix: a point that left the centre roll a length w ago stands at lag w, whatever the fed length.
// So what is measured against solids is measured once, and growing only chooses how much of it is shown.
class GrowingPart {
 public:
  explicit GrowingPart(const Subject& subject);  // the subject must have a part, and outlive this

  [[nodiscard]] PartRings at_fed_length(double fed_mm) const;  // clamped to 0 … rolled
  // Rings of the formed curve from the exit contact to the fully grown leading end, in the machine frame.
  [[nodiscard]] const std::vector<Ring>& formed() const { return formed_; }
  // How many of the rings drawn at a fed length touch something.
  [[nodiscard]] static int colliding(const PartRings& rings);
  [[nodiscard]] double ring_step_mm() const { return step_mm_; }
  // From a point of the machine frame to the nearest solid or to the surface of the part as drawn.
  [[nodiscard]] double to_anything(const Eigen::Vector3d& p_M, const PartRings& rings) const;

 private:
  enum class Stretch { formed, front_end };
  // Where a cross-section stands, and how it lies there, in F.
  struct Place {
    Eigen::Vector3d p, tangent;
    SectionDirections lies;
  };
  [[nodiscard]] static Place on(const PosedPart& part, Stage stage, double lag_mm, double turned_rad = 0.0);
  // In the frame of a point of the centreline (normal toward the inside of the bend), where the section is told to lie.
  [[nodiscard]] static Place in_frame(const Eigen::Isometry3d& frame, const Eigen::Matrix2d& section_in_segment);
  [[nodiscard]] Place finished_at(double along_mm) const;  // of a part of several segments by itself
  // The same place for rings that run the other way.
  [[nodiscard]] static Place seen_back(Place place);
  // Of the section, or else of the circle around it. `lag_mm` decides which rolls are touched there by design; for the
  // straight front end it is the lag of the leading end, which is still being guided on to the rolls ahead of it.
  [[nodiscard]] double to_solids(const Place& place, double lag_mm, Stretch stretch) const;
  // Measured at one lag, which its ring tells unless it is told another.
  [[nodiscard]] Ring ring(const Place& place, double lag_mm, Stretch stretch, std::optional<double> tells_lag_mm = {}) const;
  [[nodiscard]] Ring ring_at(double lag_mm) const;
  void to_itself(std::vector<Ring>& rings) const;
  [[nodiscard]] PartRings helix_at(double fed_mm) const;
  [[nodiscard]] std::vector<Ring> stock_at(double fed_mm) const;
  // Of several segments: every ring moves with the feed.
  [[nodiscard]] PartRings segments_at(double fed_mm) const;

  const Subject& subject_;
  double step_mm_, half_turn_mm_;
  std::vector<std::vector<ConvexBody>> bodies_;  // of each machine part
  std::vector<Ring> spans_, formed_;
};

}  // namespace coilwright::view
