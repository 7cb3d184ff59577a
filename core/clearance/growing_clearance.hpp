// The certified least distance of a part of several segments, over all that happens while it grows.
//
// All in the feed frame F, mm, from the surface of the stock as clearance.hpp takes it. The whole blank up to its
// flat back end is one FedPart: the straight front end, the start-up, the segments, the trim at the back. What happens
// to it is a list of steps (fed_part.hpp), each with the machine as it stands during the step. Ahead of the exit
// contact the part is taken as rigid in the frame of the bend point; stock and loaded spans are checked as they lie
// at each setting. Of stock that is not round the part is checked with its section against all that stands around; the
// circle around it stands in for the stock and the spans that the part comes near to, and for the part near itself.
#pragma once

#include <coilwright/clearance/clearance.hpp>
#include <coilwright/clearance/fed_part.hpp>
#include <coilwright/rolling/incoming.hpp>
#include <memory>
#include <optional>
#include <vector>

namespace coilwright {

// One step with what stands around. Obstacles come in the same order in every step, under the same names.
struct GrowingStep {
  // While settings change it is known only roughly how the part leaves the rolls.
  enum class Settings { settled, changing };
  Settings settings = Settings::settled;
  FedStep fed;
  std::shared_ptr<const PosedPart> bent;  // spans and stock; null: the stock lies straight through the rolls, along x,
  double straight_y_mm = 0.0;             // at this height
  double section_turned_rad = 0.0;        // how the bar lies in the rolls, as SectionBox has it
  double span_in_mm = 0.0, span_out_mm = 0.0;
  std::vector<Obstacle> obstacles;
  // Of a pass after the first: where the bent stock comes in, at both ends of the step (bent_blank.hpp). Else not asked for.
  EntryContact entry_from = {}, entry_to = {};
};

struct GrowingScene {
  const FedPart* blank = nullptr;   // not owned, not null; from the front end of the blank on
  std::vector<Piece> pieces;        // what each of its segments is
  // Only so many segments of the blank from its front are looked at, without spans and stock as such; what follows is
  // checked elsewhere. None: all of it.
  std::optional<std::size_t> only_first;
  std::vector<GrowingStep> steps;   // at least one
  double tube_radius_mm = 0.0;      // half the outside diameter, or of the circle about the centreline round the section
  // None: round. Then one for every segment of the blank: takes (inward, along the shafts) of the section to (normal,
  // binormal) of the segment, as fed_part.hpp has them.
  std::optional<SectionBox> section = {};
  std::vector<Eigen::Matrix2d> section_in_segment = {};
  double front_end_mm = 0.0;        // of the blank, ahead of the centre roll when feeding begins
  double stock_mm = 0.0;            // straight stock behind the entry contact before rolling starts
  double greatest_curvature_per_mm = 0.0;  // of all segments, > 0

  // A quarter turn of the tightest segment: so far behind the contact with a roll the part is not counted as near to
  // it, only, with settled settings, as struck when it lies deeper in the roll than the play. No sooner can it be on
  // its way back.
  [[nodiscard]] double leaving_mm() const;
  [[nodiscard]] SectionBox box() const { return section.value_or(SectionBox::round(tube_radius_mm)); }
  [[nodiscard]] bool looked_at(std::size_t segment) const { return !only_first || segment < *only_first; }
};

// As certify() of one helix; self_at_end is not told apart. Swept radius and height are upper bounds within 1 mm, the radius
// and 0.2 %.
ClearanceResult certify(const GrowingScene& scene, double tolerance_mm = 0.01);

// Only the overall least distance.
std::optional<double> least_distance_mm(const GrowingScene& scene, double tolerance_mm = 0.01);

}  // namespace coilwright
