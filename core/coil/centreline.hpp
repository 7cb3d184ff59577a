// The centreline of a part as a machine makes it: segment after segment, each by its curvature and torsion.
//
// A frame (t, n, b) goes along the curve: t' = kappa n, n' = -kappa t + tau b, b' = -tau n, tangent t,
// n toward the inside of the bend. From one segment to the next the tangent goes on without a kink; the bend
// may be turned about it: by 0 it goes on bending the same way, by pi the other way, by +-pi/2 up or down.
// Lengths in mm, angles in rad, curvature and torsion in 1/mm.
#pragma once

#include <Eigen/Core>
#include <coilwright/coil/helix.hpp>
#include <coilwright/quantity/quantity.hpp>
#include <cstddef>
#include <variant>
#include <vector>

namespace coilwright {

// The frame with which a curve in its own frame begins: at the origin, t = x, n = y, b = z.
CurveFrame start_frame();
// A frame given in the frame `base`, as seen from where `base` is given.
CurveFrame composed(const CurveFrame& base, const CurveFrame& in_base);

// One segment in its own frame: it starts at the origin with t = x, n = y, b = z.
class SegmentCurve {
 public:
  // Constant curvature >= 0 and torsion: a straight (both 0), an arc (torsion 0), a helix. Length > 0.
  struct Screw {
    double length_mm, curvature, torsion;
  };
  // Plan radius growing or shrinking evenly with the azimuth (Archimedean): a scroll without rise, a cone with
  // it. Radii > 0, turns > 0, start and end radius apart or not; a negative rise is a left-hand screw.
  struct Taper {
    double start_radius_mm, end_radius_mm, turns, rise_mm;
  };

  static SegmentCurve straight(Length length);
  static SegmentCurve arc(Length radius, Angle angle);
  static SegmentCurve helix(const Helix& helix, Length length);
  static SegmentCurve screw(Screw screw);
  static SegmentCurve taper(Taper taper);

  [[nodiscard]] const std::variant<Screw, Taper>& kind() const { return kind_; }
  [[nodiscard]] double length_mm() const { return length_mm_; }
  [[nodiscard]] double curvature(double along_mm) const;
  [[nodiscard]] double torsion(double along_mm) const;
  // At a length from its start; of a screw any length, of a taper 0 .. length_mm.
  [[nodiscard]] CurveFrame frame(double along_mm) const;
  // The turn in plan from the start, about the segment's own axis (0 for a straight), at a length.
  [[nodiscard]] double azimuth(double along_mm) const;
  // Proved bounds over the whole segment.
  [[nodiscard]] double least_curvature() const { return least_curvature_; }
  [[nodiscard]] double greatest_curvature() const { return greatest_curvature_; }
  [[nodiscard]] double greatest_torsion() const { return greatest_torsion_; }  // of its size
  // The same bend for the other hand: torsion and rise with the other sign.
  [[nodiscard]] SegmentCurve mirrored() const;

 private:
  explicit SegmentCurve(std::variant<Screw, Taper> kind);
  std::variant<Screw, Taper> kind_;
  double length_mm_ = 0.0, least_curvature_ = 0.0, greatest_curvature_ = 0.0, greatest_torsion_ = 0.0;
};

// The helix that a screw lies on: plan radius kappa / (kappa^2 + tau^2), pitch 2 pi |tau| / (kappa^2 + tau^2).
// Curvature > 0.
Helix helix_of(double curvature, double torsion);

class Centreline {
 public:
  struct Joined {
    SegmentCurve curve;
    double from_mm;         // length of what comes before
    double bend_turned_rad; // of this bend against the one before, about the tangent, right-handed
    CurveFrame start;       // in the frame of the centreline
    [[nodiscard]] double to_mm() const { return from_mm + curve.length_mm(); }
  };

  void append(SegmentCurve curve, double bend_turned_rad = 0.0);

  [[nodiscard]] bool empty() const { return segments_.empty(); }
  [[nodiscard]] std::size_t size() const { return segments_.size(); }
  [[nodiscard]] const std::vector<Joined>& segments() const { return segments_; }
  [[nodiscard]] double length_mm() const { return segments_.empty() ? 0.0 : segments_.back().to_mm(); }
  // The segment at a length; joints belong to the later one, lengths outside to the first and the last.
  [[nodiscard]] std::size_t index_at(double along_mm) const;
  // In the frame with which the first segment starts. Not empty; before the start and beyond the end the
  // curve goes on straight.
  [[nodiscard]] CurveFrame frame(double along_mm) const;
  [[nodiscard]] CurveFrame end() const { return frame(length_mm()); }
  // How far the bend of a segment is turned against the first one, about the tangent: by all the turns up to it.
  [[nodiscard]] double turned_rad(std::size_t segment) const;
  // Largest curvature of all segments.
  [[nodiscard]] double greatest_curvature() const;
  // Mirror image in the plane of t and n at the start: the other hand, bending the same way. Bends that are
  // turned up turn down.
  [[nodiscard]] Centreline mirrored() const;
  // Fed the other way round: what came last comes first. The same part seen from its other end.
  [[nodiscard]] Centreline reversed() const;

 private:
  std::vector<Joined> segments_;
};

}  // namespace coilwright
