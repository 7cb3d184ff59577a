// The certified least distance of the growing part to everything around it.
//
// All in the feed frame F (rolling/pose.hpp), mm. Distances are from the tube's surface: the distance of
// its centreline to a body, less half the outside diameter; negative when they overlap. The tube's flat
// ends are taken as rounded, which errs to the safe side by at most half the diameter, at the two ends only.
#pragma once

#include <Eigen/Core>
#include <array>
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

// One thing the part must not touch: a union of convex bodies.
struct Obstacle {
  std::string name;
  std::vector<Shape> bodies;  // in F
  // Where the part touches it by design (a roll): the lag of the contact. The contiguous stretch of the
  // part around it on which the distance stays below `play` or still grows on leaving is not counted, and
  // is reported.
  std::optional<double> contact_lag_mm;
  double play_mm = 0.0;
};

struct ClearanceScene {
  const PosedPart* part = nullptr;  // not owned, not null
  double tube_radius_mm = 0.0;      // half the outside diameter
  double coil_to_mm = 0.0;          // lag where the usable part ends
  double rolled_mm = 0.0;           // lag of the leading end when all is rolled, >= coil_to
  double front_end_mm = 0.0;        // straight front end beyond the exit contact
  double stock_mm = 0.0;            // straight stock behind the entry contact before rolling starts
  double flat_front_mm = 0.0;       // blank length ahead of lag 0, for along_part_mm
  std::vector<Obstacle> obstacles;
};

struct NearestPair {
  std::string part;                         // the obstacle, "itself" or "incoming stock"
  Piece piece = Piece::coil;
  double fed_length_mm = 0.0;               // fed length at which this place is first reached
  double along_part_mm = 0.0;               // from the front end of the blank
  double distance_mm = 0.0;                 // between the surfaces
  Eigen::Vector3d part_point, machine_point;  // on the two surfaces, F
};

struct ObstacleClearance {
  std::string part;
  double least_mm = 0.0;                               // proved lower bound
  std::array<std::optional<double>, 5> pieces;         // by Piece; none: this piece does not exist
  std::optional<std::pair<double, double>> excluded_lag_mm;
  NearestPair nearest;
};

struct ClearanceResult {
  double least_mm = 0.0;         // proved lower bound over all obstacles, itself and the stock
  double error_bound_mm = 0.0;   // the model's true value lies at most this above least_mm
  NearestPair nearest;
  std::vector<ObstacleClearance> obstacles;  // in the order given
  std::optional<double> self_mm;   // none for a part shorter than pi / curvature
  std::optional<double> stock_mm;  // against stock and spans; none likewise
  bool self_at_end = false;        // the distance to itself is at an end of the part, not turn to turn
  double swept_radius_mm = 0.0;    // largest plan distance of the surface from the origin, over all feeds
  double swept_height_mm = 0.0;    // highest z of the surface, over all feeds
  std::size_t evaluations = 0;     // distances of one point to one convex body
};

// Every piece against every obstacle, each proved to `tolerance_mm`.
ClearanceResult certify(const ClearanceScene& scene, double tolerance_mm = 0.01);

// Only the overall least distance (proved lower bound, within tolerance): a fraction of the work.
double least_distance_mm(const ClearanceScene& scene, double tolerance_mm = 0.01);

// Most turns of the coil whose surface stays below z = ceiling; none when no number of turns reaches it
// (a ring), 0 when not even the exit contact fits.
std::optional<double> most_turns_under(const PosedPart& part, double tube_radius_mm, double ceiling_mm);

}  // namespace coilwright
