// The least distance of a box of space (a section, or a section and the straight that continues it) from a convex body,
// with a half-space below it: inside certified searches.
//
// Apart from the body the distance is smooth: accelerated steps of the length of the distance itself (to the box's point
// nearest to the body's nearest point), until the half-space of one look leaves little below it (Y. Nesterov 1983 for
// the steps; the gap of M. Frank and P. Wolfe 1956 for the end). Inside the body the signed distance has edges, where one
// half-space leaves much: there, and where the steps take long, cutting planes, one direction of the box inside the other;
// the mix of two half-spaces that is level along a direction holds too.
#pragma once

#include <Eigen/Core>
#include <algorithm>
#include <array>
#include <cmath>
#include <coilwright/clearance/shape_distance.hpp>
#include <limits>
#include <optional>

namespace coilwright {

// centre + sum of x_i axis_i, |x_i| <= 1; an axis may be zero.
struct SearchBox {
  Eigen::Vector3d centre;
  std::array<Eigen::Vector3d, 3> axes{Eigen::Vector3d::Zero(), Eigen::Vector3d::Zero(), Eigen::Vector3d::Zero()};
  [[nodiscard]] Eigen::Vector3d at(const Eigen::Vector3d& x) const {
    return centre + x.x() * axes[0] + x.y() * axes[1] + x.z() * axes[2];
  }
  [[nodiscard]] Eigen::Vector3d slope(const Eigen::Vector3d& g) const { return {g.dot(axes[0]), g.dot(axes[1]), g.dot(axes[2])}; }
};

// `look(x)` is the distance at a place of the box; `bound(direction, at_centre)` what the half-space that has this value at
// the box's centre proves of everything that is asked about, and `proved(bound)` whether that is all that is wanted.
enum class Depth { none, signed_distance };
template <class Look, class Bound, class Proved>
class BoxSearch {
 public:
  // Ends when it is proved, or when the half-space found leaves at most `enough` below the least. Without depth a place
  // at no distance ends it with a bound of 0.
  BoxSearch(const SearchBox& box, Depth depth, Look look, Bound bound, double enough, Proved proved)
      : box_(box), depth_(depth), look_(look), bound_(bound), enough_(enough), proved_(proved) {
    for (int i = 0; i < 3; ++i) {
      const double size = box.axes[static_cast<std::size_t>(i)].squaredNorm();
      square_[i] = size > 0.0 ? size : 1.0;
    }
  }

  // From a place of the box.
  void run(const Eigen::Vector3d& from) {
    Eigen::Vector3d ahead = from, at = from;
    double momentum = 1.0;
    for (int looks = 0; looks < most_steps; ++looks) {
      const SurfaceDistance found = look_(ahead);
      note(ahead, found.distance_mm);
      if (found.distance_mm <= 0.0 && depth_ == Depth::none) {
        most_ = std::max(most_, 0.0);
        return;
      }
      if (found.distance_mm <= 0.0) break;
      const Eigen::Vector3d slope = box_.slope(found.direction);
      consider(found.direction, found.distance_mm - slope.dot(ahead));
      if (slope.cwiseAbs().sum() + slope.dot(ahead) <= enough_ || done()) return;
      const Eigen::Vector3d step = found.distance_mm * slope.cwiseQuotient(square_);
      const Eigen::Vector3d next = (ahead - step).cwiseMax(-1.0).cwiseMin(1.0);
      const double grown = 0.5 * (1.0 + std::sqrt(1.0 + 4.0 * momentum * momentum));
      // Back to plain steps when the last one led away.
      if (slope.dot(next - at) > 0.0) momentum = 1.0, ahead = next;
      else ahead = (next + (momentum - 1.0) / grown * (next - at)).cwiseMax(-1.0).cwiseMin(1.0), momentum = grown;
      at = next;
    }
    cut(3, nearest_);
  }

  // The best bound, and the half-space that gives it: direction . p + level is at most the distance of p, anywhere.
  [[nodiscard]] double most() const { return most_; }
  [[nodiscard]] const Eigen::Vector3d& direction() const { return direction_; }
  [[nodiscard]] double level() const { return at_centre_ - direction_.dot(box_.centre); }
  // Where the least was seen.
  [[nodiscard]] const Eigen::Vector3d& nearest() const { return nearest_; }
  [[nodiscard]] double least() const { return least_; }

 private:
  // More than the steps take apart from a body; the cuts then halve at every third look.
  static constexpr int most_steps = 60, most_cuts = 60;

  struct Cut {
    Eigen::Vector3d direction;
    double at_centre, slope, place, least_inside;  // along the direction that is cut, with the least over those inside it
  };

  [[nodiscard]] bool done() const { return proved_(most_); }
  void note(const Eigen::Vector3d& x, double distance) {
    if (distance < least_) least_ = distance, nearest_ = x;
  }
  void consider(const Eigen::Vector3d& direction, double at_centre) {
    const double bound = bound_(direction, at_centre);
    if (bound > most_) most_ = bound, direction_ = direction, at_centre_ = at_centre;
  }

  // The least over the first `axes` directions with the others held: a half-space as low as `enough` for each direction.
  Cut cut(int axes, Eigen::Vector3d x) {
    if (axes == 0) {
      const SurfaceDistance found = look_(x);
      note(x, found.distance_mm);
      const double at_centre = found.distance_mm - box_.slope(found.direction).dot(x);
      consider(found.direction, at_centre);
      return {found.direction, at_centre, 0.0, 0.0, found.distance_mm};
    }
    const int i = axes - 1;
    if (box_.axes[static_cast<std::size_t>(i)].isZero(0.0)) return cut(i, x);
    std::optional<Cut> falling, rising;
    double least = std::numeric_limits<double>::infinity();
    for (int looks = 0;; ++looks) {
      Cut one = cut(i, x);
      least = std::min(least, one.least_inside);
      one.least_inside = least;
      one.slope = box_.slope(one.direction)[i];
      one.place = x[i];
      if (done() || looks >= most_cuts || std::max(one.slope * (one.place + 1.0), -one.slope * (1.0 - one.place)) <= enough_)
        return one;
      (one.slope > 0.0 ? rising : falling) = one;
      if (!falling) {
        x[i] = -1.0;
      } else if (!rising) {
        x[i] = 1.0;
      } else {
        const double share = rising->slope / (rising->slope - falling->slope);
        Cut mixed{share * falling->direction + (1.0 - share) * rising->direction,
                  share * falling->at_centre + (1.0 - share) * rising->at_centre, 0.0, x[i], least};
        consider(mixed.direction, mixed.at_centre);
        if (done() || least - level_of(mixed, i, x) <= enough_ * axes || looks + 1 >= most_cuts) return mixed;
        const double low = std::min(falling->place, rising->place), high = std::max(falling->place, rising->place);
        x[i] = looks % 3 == 2 ? 0.5 * (low + high)
                              : std::clamp((level_of(*falling, i, x) - level_of(*rising, i, x)) / (rising->slope - falling->slope),
                                           low, high);
      }
    }
  }
  // Of a half-space the least over the directions inside, where the one that is cut has its middle.
  [[nodiscard]] double level_of(const Cut& cut, int i, const Eigen::Vector3d& x) const {
    const Eigen::Vector3d slope = box_.slope(cut.direction);
    double level = cut.at_centre;
    for (int k = 0; k < 3; ++k)
      if (k != i) level += k < i ? -std::abs(slope[k]) : slope[k] * x[k];
    return level;
  }

  const SearchBox& box_;
  Depth depth_;
  Look look_;
  Bound bound_;
  double enough_;
  Proved proved_;
  Eigen::Vector3d square_;
  double most_ = -std::numeric_limits<double>::infinity(), at_centre_ = most_;
  Eigen::Vector3d direction_ = Eigen::Vector3d::Zero(), nearest_ = Eigen::Vector3d::Zero();
  double least_ = std::numeric_limits<double>::infinity();
};

}  // namespace coilwright
