#include <algorithm>
#include <array>
#include <cmath>
#include <coilwright/clearance/fed_part.hpp>
#include <coilwright/quantity/require.hpp>
#include <numbers>

namespace coilwright {

using Eigen::Isometry3d;

std::vector<FedSegment> fed_segments(const Centreline& centreline, std::span<const Isometry3d> X_FB) {
  require(X_FB.size() == centreline.size(), "every segment is held somewhere");
  std::vector<FedSegment> segments;
  for (std::size_t i = 0; i < centreline.size(); ++i) {
    const Centreline::Joined& joined = centreline.segments()[i];
    Isometry3d X_PS = Isometry3d::Identity();
    X_PS.linear() << joined.start.tangent, joined.start.normal, joined.start.binormal;
    X_PS.translation() = joined.start.point;
    if (const auto* screw = std::get_if<SegmentCurve::Screw>(&joined.curve.kind())) {
      segments.push_back({ScrewSegment{screw->curvature, screw->torsion, screw->length_mm}, X_PS, X_FB[i]});
    } else {
      const auto& taper = std::get<SegmentCurve::Taper>(joined.curve.kind());
      const double turn = 2.0 * std::numbers::pi * taper.turns;
      segments.push_back({ConeSegment{taper.start_radius_mm, (taper.end_radius_mm - taper.start_radius_mm) / turn,
                                      taper.rise_mm / turn, turn},
                          X_PS, X_FB[i]});
    }
  }
  return segments;
}

FedPart::FedPart(std::vector<FedSegment> segments) : segments_(std::move(segments)) {
  require(!segments_.empty(), "a part has segments");
  starts_.push_back(0.0);
  for (const FedSegment& segment : segments_) {
    if (const auto* cone = std::get_if<ConeSegment>(&segment.shape)) {
      const double end = cone->start_radius_mm + cone->taper_mm_per_rad * cone->turn_rad;
      require(cone->start_radius_mm > 0.0 && end > 0.0 && cone->turn_rad > 0.0 && std::isfinite(end) &&
                  std::isfinite(cone->climb_mm_per_rad),
              "a cone has radii and a turn");
    } else {
      const auto& screw = std::get<ScrewSegment>(segment.shape);
      require(screw.length_mm > 0.0 && std::isfinite(screw.length_mm) && std::isfinite(screw.curvature_per_mm) &&
                  screw.curvature_per_mm >= 0.0 && std::isfinite(screw.torsion_per_mm),
              "a segment has a length and a curvature");
    }
    require(segment.X_PS.matrix().allFinite() && segment.X_FB.matrix().allFinite(), "a segment has a place");
    starts_.push_back(starts_.back() + coilwright::length_mm(segment.shape));
  }
}

Isometry3d FedStep::X_FB(double share) const {
  if (share <= 0.0) return X_FB_from;
  if (share >= 1.0) return X_FB_to;
  return X_FB_from * twist_between(X_FB_from, X_FB_to, 1.0).after(share);
}

std::size_t FedPart::segment_at(double along_mm) const {
  const auto after = std::upper_bound(starts_.begin() + 1, starts_.end() - 1, along_mm);
  return static_cast<std::size_t>(after - starts_.begin()) - 1;
}

Isometry3d FedPart::frame(double along_mm) const {
  const std::size_t i = segment_at(along_mm);
  const double within = std::clamp(along_mm - starts_[i], 0.0, starts_[i + 1] - starts_[i]);
  return segments_[i].X_PS * frame_along(segments_[i].shape, within);
}

std::vector<FedPatch> FedPart::patches(double fed_from_mm, double fed_to_mm, double lag_from_mm) const {
  require(fed_from_mm <= fed_to_mm, "fed lengths run forward");
  std::vector<FedPatch> all;
  for (std::size_t i = 0; i < segments_.size(); ++i) {
    const double from = std::max(starts_[i], fed_from_mm), to = std::min(starts_[i + 1], fed_to_mm);
    if (from >= to) continue;
    const std::vector<FedPatch> here = patches({i, from, to, segments_[i].X_FB, segments_[i].X_FB}, lag_from_mm);
    all.insert(all.end(), here.begin(), here.end());
  }
  return all;
}

std::vector<FedPatch> FedPart::patches(const FedStep& step, double lag_from_mm) const {
  const std::size_t i = step.segment;
  require(i < segments_.size() && lag_from_mm >= 0.0, "a step feeds a segment, and lag is behind the bend");
  // A millionth of a millimetre is what sums of lengths may lose.
  constexpr double slack_mm = 1e-6;
  require(starts_[i] - slack_mm <= step.fed_from_mm && step.fed_from_mm <= step.fed_to_mm &&
              step.fed_to_mm <= starts_[i + 1] + slack_mm,
          "a step feeds forward, within its segment");
  const auto between = [](double low, double high) { return std::array{0.5 * (low + high), 0.5 * (high - low)}; };
  const bool moving = step.X_FB_from.matrix() != step.X_FB_to.matrix();
  std::vector<FedPatch> patches;
  for (std::size_t j = 0; j <= i; ++j) {
    FedPatch patch(segments_[i].shape, segments_[j].shape);
    patch.bend_ = i;
    patch.place_ = j;
    patch.X_FB_ = step.X_FB_from;
    patch.X_bend_place_ = segments_[i].X_PS.inverse() * segments_[j].X_PS;
    patch.bend_start_mm_ = starts_[i];
    patch.place_start_mm_ = starts_[j];
    patch.fed_from_mm_ = step.fed_from_mm;
    patch.fed_to_mm_ = step.fed_to_mm;
    patch.lag_from_mm_ = lag_from_mm;
    patch.standing_ = step.fed_from_mm == step.fed_to_mm;
    patch.moving_ = moving;
    patch.extent_ = std::max(step.X_FB_from.translation().norm(), step.X_FB_to.translation().norm()) + 2.0 * length_mm();
    const double to = step.fed_to_mm;
    if (to - starts_[j] <= lag_from_mm) continue;
    const SegmentLaw& bend = patch.bend_law_;
    const double first = bend.parameter_at(step.fed_from_mm - starts_[i]), last = bend.parameter_at(to - starts_[i]);
    patch.stands_at_ = last;
    std::array<double, 2> s = patch.standing_ ? std::array{0.5, moving ? 0.5 : 0.0} : between(first, last), w{};
    patch.s_from_ = patch.standing_ ? 0.0 : first;
    if (moving) patch.twist_ = twist_between(step.X_FB_from, step.X_FB_to, patch.standing_ ? 1.0 : last - first);
    if (i == j && !bend.cone) {
      patch.kind_ = FedPatch::Kind::like;
      if (patch.by_lag_alone()) s = {0.0, 0.0};
      w = between(lag_from_mm, to - starts_[i]);
    } else if (i == j) {
      patch.kind_ = FedPatch::Kind::cone;
      const double speed = std::hypot(std::max(bend.rho0, bend.rho0 + bend.taper * bend.turn), bend.taper, bend.climb);
      w = between(lag_from_mm / speed, last);
    } else {
      patch.kind_ = FedPatch::Kind::unlike;
      // At a standstill only what lies far enough behind; else the boxes know what exists.
      const double end = patch.standing_ ? std::min(starts_[j + 1], to - lag_from_mm) : starts_[j + 1];
      w = between(0.0, patch.place_law_.parameter_at(end - starts_[j]));
    }
    if (w[1] <= 0.0) continue;
    if (patch.by_lag_alone()) {
      const SegmentLaw& law = patch.place_law_;
      const bool straight = law.rate == 0.0;
      const double a = straight ? 0.0 : law.axis_t, b = straight ? 1.0 : law.axis_b;
      const auto& R = patch.X_FB_.linear();
      patch.coil_axis_ = R * Eigen::Vector3d(a, 0.0, b);
      patch.coil_round_ = R * Eigen::Vector3d(b, 0.0, -a);
      patch.coil_inward_ = R * Eigen::Vector3d::UnitY();
    }
    patch.whole_ = {s[0], s[1], w[0], w[1]};
    patches.push_back(patch);
  }
  return patches;
}

}  // namespace coilwright
