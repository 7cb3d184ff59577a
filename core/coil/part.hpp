// A part: segments in the order in which they are fed, joined with a continuous tangent.
//
// Frame P: origin at the front end, x along the tangent there in plan, y toward the inside of the first bend,
// z up. Up is the axis of the first segment that climbs, on the side to which the part climbs as it is fed;
// of a flat part, or one whose climb is preceded by an easing (bent up or down), the side of z on which a
// right-hand screw that bends toward y would climb (for a left-hand climb the other side, so that the part
// climbs as it is fed).
#pragma once

#include <Eigen/Core>
#include <coilwright/coil/centreline.hpp>
#include <coilwright/coil/segment.hpp>
#include <string>
#include <vector>

namespace coilwright {

// Between two segments.
struct Joint {
  std::size_t after;                         // index of the segment before it
  double along_mm;                           // from the front end
  double curvature_before, curvature_after;  // 1/mm
  double bend_turned_rad;                    // about the tangent, right-handed, as Centreline takes it
};

// A part that cannot be fed through as it is.
enum class TurnNeed {
  turn_over,          // a flat part with bends both ways: back out, turn the part over, feed again
  quarter_turn,       // an easing: the stock is turned by 90 degrees about its own axis
  other_hand,         // it climbs with the other hand: turning over does not make that; splice
  turn_over_climbing  // the same hand, bending the other way: it would go down where the rest goes up
};
struct Turning {
  TurnNeed need;
  std::size_t segment;  // the first one that needs it
  std::string text;     // whole sentences
};

// Largest extent in three directions.
struct Extent {
  Length width;   // along the direction in which the part starts, in plan
  Length depth;   // across it, in plan
  Length height;  // along up
};

class Part {
 public:
  // Faults of all segments at once, about "segment.N.key" with N from 1. Measures left to a closing condition
  // (closing.hpp) are solved: the least value above 0 that meets the condition, up to one turn (ten for
  // a helix, a cone or a scroll) or a length of 100 m. A condition that no value meets says how near it gets
  // and where.
  static Result<Part> from(const std::vector<SegmentSpec>& specs, const StockFaces& faces);
  // One helix.
  static Part of(const Coil& coil);

  [[nodiscard]] const std::vector<Segment>& segments() const { return segments_; }
  // Starts in its own start frame (t = x, n = y, b = z), as Centreline does; up_direction() leads to frame P.
  [[nodiscard]] const Centreline& centreline() const { return centreline_; }
  [[nodiscard]] const Eigen::Vector3d& up_direction() const { return up_; }  // in the centreline's frame

  [[nodiscard]] Length developed_length() const { return Length::mm(centreline_.length_mm()); }
  // Along the face that lies inside where the part bends in, and along the opposite one. Where it bends out
  // the two change places; easings count with their centreline.
  [[nodiscard]] Length inside_length() const;
  [[nodiscard]] Length outside_length() const;
  [[nodiscard]] Extent centreline_extent() const;
  [[nodiscard]] Extent overall_extent() const;  // over the outside

  [[nodiscard]] bool flat() const { return hands_.empty() && !eased_; }
  [[nodiscard]] const std::vector<Hand>& hands() const { return hands_; }  // none if flat, one, or both
  [[nodiscard]] std::vector<Joint> joints() const;
  // Empty if it can be fed through in one go as far as the bends go.
  [[nodiscard]] const std::vector<Turning>& turnings() const { return turnings_; }
  // What closing conditions came to and what was chosen between two shapes: whole sentences.
  [[nodiscard]] const std::vector<std::string>& notes() const { return notes_; }
  [[nodiscard]] const StockFaces& faces() const { return faces_; }  // of the stock

 private:
  friend class PartMaker;
  explicit Part(const StockFaces& faces) : faces_(faces) {}
  void join();  // centreline, up and hands from the segments
  void note_turns();
  StockFaces faces_;
  std::vector<Segment> segments_;
  Centreline centreline_;
  Eigen::Vector3d up_ = Eigen::Vector3d::UnitZ();
  std::vector<Hand> hands_;
  bool eased_ = false;
  bool climbs_to_minus_z_ =
      false;  // a left-hand screw that bends toward y, or a right-hand one that bends out
  std::vector<Turning> turnings_;
  std::vector<std::string> notes_;
};

// Largest extent in a direction of stock with these faces along a curve, with square ends: round where its height
// is its diameter, else the rectangle of its faces. Faces of no thickness: the curve itself.
double extent_mm(const Centreline& curve, const Eigen::Vector3d& direction, const StockFaces& faces);

}  // namespace coilwright
