// The certified least distance of the growing part to everything around it.
//
// All in the feed frame F (rolling/pose.hpp), mm. Distances are from the stock's surface: of round stock the distance
// of its centreline to a body, less half the outside diameter; negative when they overlap. Of other stock it is the
// distance of the section (section_box.hpp), which lies as rolling/pose.hpp says: its rectangle's to the body, less the
// rounding of its edges; where they overlap, as deep as its deepest point lies in the body. Flat ends are taken as
// rounded by as much, which errs to the safe side by at most half the diameter, at the two ends only.
//
// The circle around the section still stands in for it where the part comes near to itself, to the loaded spans or to
// bent stock. Straight stock that the part comes near to is a prism with sharp edges: 0.42 of their rounding is in the
// error. What a contact by design leaves out is told by the section too.
#pragma once

#include <Eigen/Core>
#include <array>
#include <coilwright/clearance/section_box.hpp>
#include <coilwright/clearance/shape_distance.hpp>
#include <coilwright/machine/shape.hpp>
#include <coilwright/rolling/pose.hpp>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace coilwright {

// The part is checked as pieces:
//   stock      straight, behind the entry contact, as long as it is before rolling starts
//   spans      between the rolls, loaded
//   coil       lag span_out ... coil_to
//   lead_arc   lag coil_to ... rolled, taken as continuing the helix (longer and higher than the truth)
//   front_end  the straight end, tangent to the leading end at every fed length span_out ... rolled
enum class Piece { stock, spans, coil, lead_arc, front_end };
inline constexpr std::array<Piece, 5> all_pieces{Piece::stock, Piece::spans, Piece::coil, Piece::lead_arc,
                                                 Piece::front_end};
std::string_view piece_text(Piece piece);  // "stock", "spans", "coil", "lead_arc", "front_end"

// One thing the part must not touch: a union of convex bodies and meshes. A mesh counts as its surface and, when it
// is closed, the material inside: a centreline that enters it is as near as 0, never less. With a contact all
// bodies must be convex.
//
// A roll is touched by design. With `contact_lag_mm` the stretch of the part around that lag is not counted
// against it, and is reported: what counts is where the part comes back. It starts at the contact and goes
// on, on each side, while the distance grows or stays within the play, at most half a turn of arc on the
// coil side; the rule in full, and what is proved of it, in contact.hpp. If the tube on leaving goes deeper
// into the roll than the play, the stretch ends there, so that the overlap counts.
struct Obstacle {
  std::string name;
  std::vector<Shape> bodies;              // in F, at least one
  std::optional<double> contact_lag_mm;   // lag of the contact by design
  double play_mm = 0.0;                   // with a contact: play, and by how much the bodies are larger than the roll
};

// Obstacles without a contact that stand in many scenes the same, worked out once.
class StandingObstacles {
 public:
  explicit StandingObstacles(std::vector<Obstacle> obstacles);
  [[nodiscard]] const std::vector<Obstacle>& obstacles() const { return obstacles_; }
  // Their convex bodies, in order.
  [[nodiscard]] const std::vector<ConvexBody>& convex() const { return convex_; }

 private:
  std::vector<Obstacle> obstacles_;
  std::vector<ConvexBody> convex_;
};

struct ClearanceScene {
  const PosedPart* part = nullptr;  // not owned, not null
  double tube_radius_mm = 0.0;      // half the outside diameter, or of the circle about the centreline round the section
  std::optional<SectionBox> section = {};  // none: round
  double coil_to_mm = 0.0;          // lag where the usable part ends
  double rolled_mm = 0.0;           // lag of the leading end when all is rolled, >= coil_to
  double front_end_mm = 0.0;        // straight front end beyond the exit contact
  double stock_mm = 0.0;            // straight stock behind the entry contact before rolling starts: the
                                    // part is checked against all of it at every fed length
  double flat_front_mm = 0.0;       // blank length ahead of lag 0, for along_part_mm
  std::vector<Obstacle> obstacles;
  const StandingObstacles* standing = nullptr;  // behind them; not owned, null: none

  // All of them, `obstacles` first.
  [[nodiscard]] std::size_t obstacle_count() const {
    return obstacles.size() + (standing != nullptr ? standing->obstacles().size() : 0);
  }
  [[nodiscard]] const Obstacle& obstacle(std::size_t place) const {
    return place < obstacles.size() ? obstacles[place] : standing->obstacles()[place - obstacles.size()];
  }
  [[nodiscard]] SectionBox box() const { return section.value_or(SectionBox::round(tube_radius_mm)); }
};

struct NearestPair {
  std::string part;                         // the obstacle, "itself" or "incoming stock"
  Piece piece = Piece::coil;
  double fed_length_mm = 0.0;               // fed length at which this place is first reached: by the
                                            // leading end; 0 for stock and spans, which are always there
  double along_part_mm = 0.0;               // what is there then, from the front end of the blank
  double distance_mm = 0.0;                 // between the surfaces
  // On the two surfaces, F. Where they overlap, each lies inside the other body.
  Eigen::Vector3d part_point = Eigen::Vector3d::Zero(), machine_point = Eigen::Vector3d::Zero();
};

struct ObstacleClearance {
  std::string part;
  std::optional<double> least_mm;  // proved lower bound; none when all of the part belongs to the contact
  // By Piece, proved lower bounds; none: this piece does not exist or belongs to the contact.
  std::array<std::optional<double>, 5> pieces;
  std::optional<std::pair<double, double>> excluded_lag_mm;  // of a roll: what is not counted
  std::optional<NearestPair> nearest;
};

struct ClearanceResult {
  // Proved lower bound over all obstacles, itself and the stock; none when there was nothing to check.
  std::optional<double> least_mm;
  double error_bound_mm = 0.0;   // the model's true value lies at most this above least_mm
  std::optional<NearestPair> nearest;
  std::vector<ObstacleClearance> obstacles;  // in the order given
  // Of coil, lead arc and front end, between surfaces, from a lag of pi / curvature on: to the part itself,
  // and to the incoming stock with the spans. Proved lower bounds; none for a shorter part.
  std::optional<double> self_mm;
  std::optional<double> stock_mm;
  bool self_at_end = false;  // self_mm is at an end of the part or of the search, not turn to turn
  // Largest plan distance of the surface from the origin and its highest z, over all feeds: spans, coil,
  // lead arc and front end. Not the stock, which lies still on its line. Proved upper bounds, within tolerance.
  double swept_radius_mm = 0.0;
  double swept_height_mm = 0.0;
  std::size_t evaluations = 0;  // distances of one point to one convex body
};

// Every piece against every obstacle, each proved to `tolerance_mm`.
//
// Over the free arc that the roll forces have sprung, the front end is taken as long as it must be to be long
// enough at every lag: the unit of length along that curve is true only to the strain of bending.
ClearanceResult certify(const ClearanceScene& scene, double tolerance_mm = 0.01);

// Only the overall least distance (proved lower bound, within tolerance; none when there is nothing to
// check): a fraction of the work.
std::optional<double> least_distance_mm(const ClearanceScene& scene, double tolerance_mm = 0.01);

// The same with what is nearest, as far as it matters: a search that sets aside whatever is farther than a limit.
struct NearestOfAll {
  // Proved lower bound, within tolerance. None: everything is at least `limit_mm` away, or there is nothing to check.
  std::optional<double> least_mm;
  enum class Thing { obstacle, stock, itself };
  Thing thing = Thing::obstacle;  // with a least distance; ties go to the first of these
  std::size_t obstacle = 0;       // its place in the scene, as ClearanceScene::obstacle counts
  std::size_t evaluations = 0;
};
NearestOfAll nearest_within(const ClearanceScene& scene, double limit_mm, double tolerance_mm = 0.01);

// Most turns of the usable coil for which the whole part, with what runs ahead of it (`ahead_mm` of start-up
// formed like the coil, then the straight front end), stays below z = ceiling (within 0.01 mm of lag). None
// when no number of turns reaches it (a ring), 0 when not even the start-up fits.
struct Overhead {
  double tube_radius_mm, front_end_mm, ahead_mm;
  std::optional<SectionBox> section = {};  // none: round
};
std::optional<double> most_turns_under(const PosedPart& part, const Overhead& overhead, double ceiling_mm);

}  // namespace coilwright
