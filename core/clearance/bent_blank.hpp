// The stock of a part of several segments that comes in bent by the pass before, while the part of this pass grows ahead.
//
// It is rigid, and its Frenet frame at the entry contact is held where the step says (EntryContact). A fed length s has
// brought its place e = s + span_in there; what lies behind, a place u > e, stands at
//     X_FE (frame at e)^-1 r(u)
// and shrinks as s grows. Seen in the mirror x -> -x with time run backwards it grows, as a part does ahead of the rolls:
// with D = diag(-1, 1, 1) the mirrored curve walked from its back end, r'(L - u) = D r(u), has the Frenet frame
// D (t, n, b) D, the same curvature and minus the torsion, so
//     D X_FE (frame at e)^-1 r(u) = (D X_FE D) (frame' at L - e)^-1 r'(L - u).
// So it is a FedPart of its own, and its scene a GrowingScene with everything in the mirror, searched as any other.
// A bar that is turned between two segments lies turned by the bends between the one that is rolled and the one that
// comes in. All else in F, mm.
#pragma once

#include <Eigen/Core>
#include <Eigen/Geometry>
#include <coilwright/clearance/growing_clearance.hpp>
#include <coilwright/coil/centreline.hpp>
#include <cstddef>
#include <limits>
#include <optional>
#include <vector>

namespace coilwright {

class BentBlank {
 public:
  // `out`: this pass, every step with its entry contact; its blank must outlive this. What is fed of the first segment
  // before its first step, until there is a part ahead of the exit contact, is fed as that step begins. `before`: its blank
  // as the pass before left it, segment by segment of the same lengths, bent somewhere. `back_end_mm`: the straight back end
  // behind it, >= 0.
  BentBlank(const GrowingScene& out, const Centreline& before, double back_end_mm);
  BentBlank(const BentBlank&) = delete;
  BentBlank& operator=(const BentBlank&) = delete;

  // A stretch of a step, in the mirror: the shares of the step at both ends of it.
  struct Side {
    FedStep fed;
    std::size_t step;
    double share_from, share_to;
  };
  // All that happens behind the rolls between two shares of a step of out(), cut where the segment at the entry contact changes.
  [[nodiscard]] std::vector<Side> behind(std::size_t step, double share_from, double share_to) const;

  // In the mirror: lag counts from the entry contact, and no stretch is told apart as stock or spans. No steps: nothing
  // of it is left behind the entry contact.
  [[nodiscard]] const GrowingScene& in_mirror() const { return mirror_; }
  // What the search of that scene met, told in F of the bar: first there, and what of it.
  [[nodiscard]] NearestPair told(NearestPair met) const;
  // Lags from the entry contact in the mirror as lags of the part.
  [[nodiscard]] std::pair<double, double> told(const std::pair<double, double>& lags) const;

  // Where a place of the bar stands, by its length from the front end, at a share of a step. None: not behind then.
  [[nodiscard]] std::optional<Eigen::Vector3d> at(std::size_t step, double share, double along_mm) const;
  // What of it lies at the entry contact then, e.
  [[nodiscard]] double entry_mm(std::size_t step, double share) const;
  // From its back end to what lies at the entry contact first.
  [[nodiscard]] const FedPart& blank_in_mirror() const { return blank_; }
  [[nodiscard]] double length_mm() const { return length_mm_; }  // of the whole bar
  [[nodiscard]] const GrowingScene& out() const { return out_; }

 private:
  [[nodiscard]] Eigen::Isometry3d in_mirror(std::size_t step, double share, std::size_t segment) const;

  GrowingScene out_;
  double length_mm_;
  std::vector<double> turned_rad_;  // of each segment of the bar, by the bends up to it
  FedPart blank_;
  GrowingScene mirror_;
  std::vector<Side> sides_;  // of the steps of the mirror
};

// A place of the part, or of the front end ahead of it, and one of the stock, at the same fed length.
struct BentBlankMeeting {
  double fed_mm;                     // from the front end of the blank
  double out_along_mm, in_along_mm;  // likewise
  Piece piece;                       // of the part
  Eigen::Vector3d out_point, in_point;
};

// Of the two centrelines, straight ends with them.
struct BentBlankDistance {
  double lower_mm = std::numeric_limits<double>::infinity();  // proved
  double error_mm = 0.0;                                      // the truth lies at most this above it
  std::optional<BentBlankMeeting> meeting;                    // none: never both there
  std::size_t evaluations = 0;
};

// Between what this pass has formed, from the exit contact on, and the stock behind the entry contact. The feed is cut into
// slices; during each the stock is covered by capsules as thick as it moves sideways, and the slice with the least bound is
// halved until that is within the tolerance of a place, or so many slices were looked at that the error tells the rest.
BentBlankDistance distance_to_bent_blank(const BentBlank& stock, double tolerance_mm);

}  // namespace coilwright
