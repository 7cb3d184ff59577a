#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/left_by_pass.hpp>

namespace coilwright {
namespace {

using Taper = SegmentCurve::Taper;

SegmentCurve share_of_taper(const SegmentCurve& whole, const Taper& taper, double share) {
  // What is off shrinks by the square of the change of radius per radian over the radius each time.
  constexpr int rounds = 40;
  const double at_start = share * whole.curvature(0.0), at_end = share * whole.curvature(whole.length_mm());
  Taper left{taper.start_radius_mm / share, taper.end_radius_mm / share, taper.turns * share, taper.rise_mm};
  SegmentCurve curve = SegmentCurve::taper(left);
  for (int i = 0; i < rounds; ++i) {
    left.start_radius_mm *= curve.curvature(0.0) / at_start;
    left.end_radius_mm *= curve.curvature(curve.length_mm()) / at_end;
    left.turns *= whole.length_mm() / SegmentCurve::taper(left).length_mm();
    curve = SegmentCurve::taper(left);
  }
  return curve;
}

}  // namespace

Centreline left_by_pass(const Centreline& part, PassOf which) {
  require(which.pass >= 1 && which.pass <= which.passes, "a pass is one of its passes");
  if (which.pass == which.passes) return part;
  const double share = static_cast<double>(which.pass) / which.passes;
  Centreline left;
  for (const Centreline::Joined& joined : part.segments()) {
    const SegmentCurve& curve = joined.curve;
    if (const auto* screw = std::get_if<SegmentCurve::Screw>(&curve.kind()))
      left.append(SegmentCurve::screw({screw->length_mm, share * screw->curvature, share * screw->torsion}), joined.bend_turned_rad);
    else left.append(share_of_taper(curve, std::get<Taper>(curve.kind()), share), joined.bend_turned_rad);
  }
  return left;
}

}  // namespace coilwright
