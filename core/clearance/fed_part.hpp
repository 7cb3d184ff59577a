// A part of several segments as it grows out of the machine, over all fed lengths: what the certified search
// stands on where the part is not one helix.
//
// A fed length s brings the point of the centreline at s (from the leading end) to the bend point, and the part
// ahead of it stands still in the frame of that point: its Frenet frame is held at X_FB of the segment that is
// in the bend. The point at u <= s of the part then stands at
//     X(s, u) = X_FB (frame at s)^-1 r(u).
// While a segment of constant curvature and torsion is in the bend, every point runs along a helix: with
// Omega = (torsion, 0, curvature) in the frame at the bend point,
//     dX/ds = -(e_x + Omega x X),   d2X/ds2 = -Omega x dX/ds,   d2X/ds du = -Omega x dX/du.
// Where the same such segment is in the bend and at u, X depends on the lag s - u only. On a cone
// rho = rho0 + b theta it depends on the azimuth behind, phi, and weakly on the azimuth fed:
//     X = F(rho)^T ((rho - b phi) cos phi - rho, -(rho - b phi) sin phi, -c phi),   F = [T N B] at rho.
// These coordinates are what keeps the search small.
//
// X_FB may change: with the settings along a cone, or while nothing is fed between two segments. It then follows the
// screw motion between two poses, X_FB exp(a xi), xi X = v + omega x X per unit of the parameter, and with Y the point
// as seen from the bend point, to second order about the middle of a box,
//     X = Y + a (Ys + xi Y) + b Yw + (a^2 (Yss + 2 omega x Ys + omega x xi Y) + 2 a b (Ysw + omega x Yw) + b^2 Yww) / 2.
// Everything in mm and rad; frames: P of the part at rest,
// B of the bend point (x along growing length, y toward the centre of curvature), F the machine.
#pragma once

#include <Eigen/Core>
#include <Eigen/Geometry>
#include <array>
#include <coilwright/clearance/segment_law.hpp>
#include <coilwright/coil/centreline.hpp>
#include <cstddef>
#include <span>
#include <vector>

namespace coilwright {

struct FedSegment {
  SegmentShape shape;
  Eigen::Isometry3d X_PS;  // the Frenet frame at its start
  Eigen::Isometry3d X_FB;  // where the machine holds the Frenet frame at the bend point while it is in the bend
};

// What happens in one go: a length of one segment is fed while the machine goes from one pose to another; with no
// length, the machine goes to the other pose at a standstill.
struct FedStep {
  std::size_t segment;
  double fed_from_mm, fed_to_mm;  // from the leading end, both within the segment
  Eigen::Isometry3d X_FB_from, X_FB_to;

  // On the way between the two; a share of it, 0 to 1.
  [[nodiscard]] Eigen::Isometry3d X_FB(double share) const;
};

// The segments of a centreline whose start is the leading end; one X_FB for each.
std::vector<FedSegment> fed_segments(const Centreline& centreline, std::span<const Eigen::Isometry3d> X_FB);

// A box of parameters: `s` of what is in the bend (at a standstill the share of the motion done, 0 to 1), `w` of the
// place on the part.
struct PatchBox {
  double s, half_s, w, half_w;
};

// A point of a patch at the middle of a box, in F, with derivatives and what bounds the rest: for |a| <= half_s and
// |b| <= half_w the point at (s + a, w + b) differs from
//     p + s a + w b + (ss a^2 + 2 sw a b + ww b^2) / 2
// by at most `rest_mm`, and from p by at most `reach_mm`. rest_s and rest_w: its share from each direction alone.
struct PatchPoint {
  Eigen::Vector3d p, s, w, ss, sw, ww;
  double rest_mm, rest_s_mm, rest_w_mm, reach_mm;
};

// The places of one segment while one segment is in the bend, with the bounds of second order.
class FedPatch {
 public:
  [[nodiscard]] const PatchBox& whole() const { return whole_; }
  [[nodiscard]] std::size_t bend_segment() const { return bend_; }
  [[nodiscard]] std::size_t part_segment() const { return place_; }

  // At the middle of a box; `offset` from the centreline along normal and binormal.
  [[nodiscard]] PatchPoint at(const PatchBox& box, const Eigen::Vector2d& offset) const;
  // The corners of a section, by their offsets.
  [[nodiscard]] std::array<PatchPoint, 4> at_corners(const PatchBox& box, const std::array<Eigen::Vector2d, 4>& offsets) const;
  // Whether a box winds so far round the axis of its helix that half-spaces tell less of it than that axis does, and how
  // far from a point the centreline in it stays, at the least: the way to the cylinder that it lies on, over its heights.
  [[nodiscard]] bool wound(const PatchBox& box) const {
    // From this angle on, in rad, what a half-space leaves out is more than the chord.
    constexpr double wide = 2.2;
    return by_lag_alone() && place_law_.rate * box.half_w > wide;
  }
  [[nodiscard]] double least_away(const PatchBox& box, const Eigen::Vector3d& p) const;
  // The point alone.
  [[nodiscard]] Eigen::Vector3d point(double s, double w, const Eigen::Vector2d& offset) const;
  // Whether the places of a box exist: have passed the bend, far enough behind it. And one of them that does.
  enum class Feasible { all, some, none };
  [[nodiscard]] Feasible feasible(const PatchBox& box) const {
    return standing_ || by_lag_alone() ? Feasible::all : feasible_while_fed(box);
  }
  [[nodiscard]] std::array<double, 2> nearest_feasible(const PatchBox& box) const;
  // The least of a + slope_s x + slope_w y over the places of the box that exist, as moves from its middle.
  [[nodiscard]] double least_linear(const PatchBox& box, double slope_s, double slope_w) const;
  // Fed length, and length of the place from the leading end.
  [[nodiscard]] double fed_mm(double s, double w) const;
  [[nodiscard]] double along_mm(double s, double w) const;
  // Size of the numbers met: rounding is relative to it.
  [[nodiscard]] double extent_mm() const { return extent_; }

 private:
  friend class FedPart;
  enum class Kind { like, cone, unlike };
  FedPatch(const SegmentShape& bend, const SegmentShape& place) : bend_law_(bend), place_law_(place) {}
  [[nodiscard]] Feasible feasible_while_fed(const PatchBox& box) const;
  // As seen from the bend point.
  [[nodiscard]] PatchPoint at_like(const PatchBox& box, const Eigen::Vector2d& offset) const;
  // In F, of a pair of which the lag alone counts.
  struct Turned {
    double half, sine, cosine, versine;
  };
  [[nodiscard]] Turned turned_to(const PatchBox& box) const;
  [[nodiscard]] PatchPoint at_lag(const Turned& turned, double lag_mm, const Eigen::Vector2d& offset) const;
  [[nodiscard]] PatchPoint at_cone(const PatchBox& box, const Eigen::Vector2d& offset) const;
  [[nodiscard]] PatchPoint at_unlike(const PatchBox& box, const Eigen::Vector2d& offset) const;
  [[nodiscard]] PatchPoint with_motion(const PatchPoint& at, const PatchBox& box) const;
  [[nodiscard]] double bend_parameter(double s) const { return standing_ ? stands_at_ : s; }
  // Of a like pair the lag alone counts, unless the pose changes while it is fed.
  [[nodiscard]] bool by_lag_alone() const { return kind_ == Kind::like && !standing_ && !moving_; }

  Kind kind_ = Kind::like;
  std::size_t bend_ = 0, place_ = 0;
  SegmentLaw bend_law_, place_law_;
  Eigen::Isometry3d X_FB_ = Eigen::Isometry3d::Identity();
  Eigen::Isometry3d X_bend_place_ = Eigen::Isometry3d::Identity();  // start of the place's segment in that of the bend's
  PatchBox whole_{};
  Twist twist_;  // of X_FB, per unit of s
  double s_from_ = 0.0;
  bool standing_ = false, moving_ = false;  // moving: X_FB changes
  double stands_at_ = 0.0;  // parameter of what is in the bend
  // Of a pair of which the lag alone counts: the helix in F, run backwards from the bend point. Unit: its axis; square to
  // it, the way round the axis and toward it, both at the bend point.
  Eigen::Vector3d coil_axis_ = Eigen::Vector3d::Zero(), coil_round_ = coil_axis_, coil_inward_ = coil_axis_;
  double bend_start_mm_ = 0.0, place_start_mm_ = 0.0, fed_from_mm_ = 0.0, fed_to_mm_ = 0.0;
  double lag_from_mm_ = 0.0;
  double extent_ = 0.0;
};

class FedPart {
 public:
  // Segments in the order of feeding: the first is at the leading end. Demands at least one, with positive
  // lengths and radii.
  explicit FedPart(std::vector<FedSegment> segments);
  [[nodiscard]] double length_mm() const { return starts_.back(); }
  [[nodiscard]] const std::vector<FedSegment>& segments() const { return segments_; }
  // Length from the leading end to the start of a segment; one more for the end of the last.
  [[nodiscard]] const std::vector<double>& starts_mm() const { return starts_; }

  // The Frenet frame of the part at rest at a length from the leading end, clamped to the part.
  [[nodiscard]] Eigen::Isometry3d frame(double along_mm) const;
  [[nodiscard]] std::size_t segment_at(double along_mm) const;  // joints belong to the later one

  // Everything between the leading end and a lag of `lag_from_mm` behind the bend point during a step: one patch
  // for every segment that has come so far.
  [[nodiscard]] std::vector<FedPatch> patches(const FedStep& step, double lag_from_mm) const;
  // The same for fed lengths from one to another, every segment held where it says.
  [[nodiscard]] std::vector<FedPatch> patches(double fed_from_mm, double fed_to_mm, double lag_from_mm) const;

 private:
  std::vector<FedSegment> segments_;
  std::vector<double> starts_;
};

// The least of a x + b y + (A x^2 + 2 B x y + C y^2) / 2 over |x| <= hx, |y| <= hy: exact.
double least_quadratic_on_box(double a, double b, double A, double B, double C, double hx, double hy);

}  // namespace coilwright
