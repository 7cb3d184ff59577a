#include <algorithm>
#include <cmath>
#include <coilwright/clearance/bent_blank.hpp>
#include <coilwright/quantity/require.hpp>
#include <numbers>

namespace coilwright {
namespace {

using Eigen::Isometry3d;
using Eigen::Vector3d;

Vector3d mirrored(const Vector3d& v) { return {-v.x(), v.y(), v.z()}; }

// D X D.
Isometry3d mirrored(const Isometry3d& X) {
  Isometry3d result = X;
  result.translation() = mirrored(Vector3d(X.translation()));
  for (int i = 1; i < 3; ++i) {
    result.linear()(0, i) *= -1.0;
    result.linear()(i, 0) *= -1.0;
  }
  return result;
}

SegmentShape shortened(SegmentShape shape, double length_mm) {
  if (auto* cone = std::get_if<ConeSegment>(&shape)) cone->turn_rad = SegmentLaw(shape).parameter_at(length_mm);
  else std::get<ScrewSegment>(shape).length_mm = length_mm;
  return shape;
}

// From the back end to a place of the bar, at the least a hair of it.
FedPart blank_in_mirror(const Centreline& before, double back_end_mm, double from_mm) {
  constexpr double hair_mm = 1e-3;
  Centreline line = before;
  if (back_end_mm > 0.0) line.append(SegmentCurve::straight(Length::mm(back_end_mm)));
  line = line.reversed().mirrored();
  const double length = std::max(hair_mm, line.length_mm() - from_mm);
  std::vector<FedSegment> segments = fed_segments(line, std::vector<Isometry3d>(line.size(), Isometry3d::Identity()));
  const std::size_t last = line.index_at(length);
  segments.resize(last + 1);
  const double within = length - line.segments()[last].from_mm;
  if (within > 0.0) segments[last].shape = shortened(segments[last].shape, std::min(within, line.segments()[last].curve.length_mm()));
  else segments.pop_back();
  return FedPart(std::move(segments));
}

GrowingScene from_the_start(GrowingScene out) {
  require(out.blank != nullptr && !out.steps.empty(), "bent stock needs a blank and steps");
  GrowingStep first = out.steps.front();
  const double start = out.blank->starts_mm()[first.fed.segment];
  if (first.fed.fed_from_mm <= start) return out;
  first.fed.fed_to_mm = first.fed.fed_from_mm;
  first.fed.fed_from_mm = start;
  first.fed.X_FB_to = first.fed.X_FB_from;
  first.entry_to = first.entry_from;
  out.steps.insert(out.steps.begin(), std::move(first));
  return out;
}

// The first that is behind the entry contact when this pass begins.
double first_behind_mm(const GrowingScene& out) {
  double first = std::numeric_limits<double>::infinity();
  for (const GrowingStep& step : out.steps)
    first = std::min({first, step.fed.fed_from_mm + step.entry_from.span_in_mm, step.fed.fed_to_mm + step.entry_to.span_in_mm});
  return first;
}

// The loaded spans as the stock sees them from behind the entry contact; lag, as before, from the centre-roll contact.
std::shared_ptr<const PosedPart> spans_in_mirror(const GrowingStep& step) {
  std::vector<PosedPart::Station> spans;
  if (step.bent) {
    for (const PosedPart::Station& s : step.bent->spans())
      spans.push_back({-s.lag_mm, -s.direction_rad, s.curvature_per_mm, {-s.p.x(), s.p.y()}});
    std::reverse(spans.begin(), spans.end());
  } else {
    spans = {{-step.span_out_mm, 0.0, 0.0, {-step.span_out_mm, step.straight_y_mm}},
             {step.span_in_mm, 0.0, 0.0, {step.span_in_mm, step.straight_y_mm}}};
  }
  // No helix is asked for.
  const Helix any = step.bent ? step.bent->helix() : Helix(Length::metres(1), Length(), Hand::right_screw);
  const double entry = spans.back().lag_mm;
  PosedPart::Spec spec{any, std::move(spans), {}, entry, Isometry3d::Identity(), Isometry3d::Identity(), 0.0, 0.0};
  return std::make_shared<const PosedPart>(std::move(spec));
}

// Contacts behind the entry contact, which is at a lag of 0. The outboard roll is not on the way of the stock.
std::vector<Obstacle> obstacles_in_mirror(const GrowingStep& step) {
  std::vector<Obstacle> obstacles = step.obstacles;
  for (Obstacle& obstacle : obstacles) {
    for (Shape& body : obstacle.bodies) body = mirrored_in_x(body);
    if (obstacle.name == "outboard roll") obstacle.contact_lag_mm = std::nullopt;
    else if (obstacle.contact_lag_mm) obstacle.contact_lag_mm = -*obstacle.contact_lag_mm - step.span_in_mm;
  }
  return obstacles;
}

}  // namespace

BentBlank::BentBlank(const GrowingScene& out, const Centreline& before, double back_end_mm)
    : out_(from_the_start(out)),
      length_mm_(before.length_mm() + back_end_mm),
      blank_(coilwright::blank_in_mirror(before, back_end_mm, first_behind_mm(out_))) {
  require(before.size() == out.pieces.size() && back_end_mm >= 0.0, "the bent blank has the segments of the blank");
  for (const Centreline::Joined& joined : before.segments())
    turned_rad_.push_back((turned_rad_.empty() ? 0.0 : turned_rad_.back()) + joined.bend_turned_rad);
  if (back_end_mm > 0.0) turned_rad_.push_back(turned_rad_.back());
  const std::size_t all = turned_rad_.size(), count = blank_.segments().size();

  mirror_.blank = &blank_;
  mirror_.pieces.assign(count, Piece::coil);
  if (back_end_mm > 0.0) mirror_.pieces.front() = Piece::front_end;  // of what grows in the mirror
  mirror_.only_first = count;
  mirror_.tube_radius_mm = out.tube_radius_mm;
  mirror_.section = out.section;
  mirror_.greatest_curvature_per_mm = before.greatest_curvature();
  // Level and upright at the entry contact, as the rolls hold it.
  for (std::size_t i = 0; out.section && i < count; ++i) {
    Eigen::Matrix2d lies = Eigen::Rotation2Dd(turned_rad_[all - 1 - i]).toRotationMatrix();
    lies.row(1) *= -1.0;
    mirror_.section_in_segment.push_back(lies);
  }
  for (std::size_t k = out_.steps.size(); k-- > 0;) {
    const GrowingStep& step = out_.steps[k];
    const std::vector<Side> sides = behind(k, 0.0, 1.0);
    if (sides.empty()) continue;
    GrowingStep seen;
    seen.settings = step.settings;
    seen.bent = spans_in_mirror(step);
    seen.obstacles = obstacles_in_mirror(step);
    for (const Side& side : sides) {
      seen.fed = side.fed;
      mirror_.steps.push_back(seen);
      sides_.push_back(side);
    }
  }
}

double BentBlank::entry_mm(std::size_t step, double share) const {
  const GrowingStep& s = out_.steps[step];
  return std::lerp(s.fed.fed_from_mm, s.fed.fed_to_mm, share) + std::lerp(s.entry_from.span_in_mm, s.entry_to.span_in_mm, share);
}

Isometry3d BentBlank::in_mirror(std::size_t step, double share, std::size_t segment) const {
  const GrowingStep& s = out_.steps[step];
  const Isometry3d &a = s.entry_from.X_FE, &b = s.entry_to.X_FE;
  Isometry3d X = share <= 0.0 ? a : share >= 1.0 ? b : Isometry3d(a * twist_between(a, b, 1.0).after(share));
  const double turned = turned_rad_[turned_rad_.size() - 1 - segment] - turned_rad_[s.fed.segment];
  if (turned != 0.0) X.rotate(Eigen::AngleAxisd(turned, Vector3d::UnitX()));
  return mirrored(X);
}

std::vector<BentBlank::Side> BentBlank::behind(std::size_t step, double share_from, double share_to) const {
  // What grows in the mirror begins where less of it is left.
  double first = share_to, last = share_from;
  double from = length_mm_ - entry_mm(step, first), to = length_mm_ - entry_mm(step, last);
  if (from > to) std::swap(first, last), std::swap(from, to);
  const auto share_at = [&](double fed) { return to > from ? std::lerp(first, last, (fed - from) / (to - from)) : first; };
  std::vector<Side> sides;
  const auto add = [&](std::size_t segment, double a, double b) {
    const double share_a = share_at(a), share_b = share_at(b);
    sides.push_back({{segment, a, b, in_mirror(step, share_a, segment), in_mirror(step, share_b, segment)}, step, share_a, share_b});
  };
  if (to <= 0.0) return sides;
  const double begin = std::max(0.0, from);
  if (begin == to) add(blank_.segment_at(to), to, to);
  const std::vector<double>& starts = blank_.starts_mm();
  for (std::size_t i = 0; i + 1 < starts.size(); ++i)
    if (const double a = std::max(begin, starts[i]), b = std::min(to, starts[i + 1]); a < b) add(i, a, b);
  return sides;
}

NearestPair BentBlank::told(NearestPair met) const {
  double fed = met.fed_length_mm, along = met.along_part_mm;
  const auto here = std::find_if(sides_.begin(), sides_.end(), [&](const Side& side) { return fed <= side.fed.fed_to_mm; });
  const Side& side = here == sides_.end() ? sides_.back() : *here;
  const FedStep& step = side.fed;
  fed = std::clamp(fed, step.fed_from_mm, step.fed_to_mm);
  // Where one helix runs along itself the place is taken as early as it is there: in the mirror the latest.
  const bool runs_along_itself = std::holds_alternative<ScrewSegment>(blank_.segments()[step.segment].shape) &&
                                 along >= blank_.starts_mm()[step.segment] && step.X_FB_from.matrix() == step.X_FB_to.matrix();
  if (runs_along_itself) {
    along += step.fed_to_mm - fed;
    fed = step.fed_to_mm;
  }
  const double length = step.fed_to_mm - step.fed_from_mm;
  const double share = length > 0.0 ? std::lerp(side.share_from, side.share_to, (fed - step.fed_from_mm) / length) : side.share_to;
  const FedStep& out = out_.steps[side.step].fed;
  met.fed_length_mm = std::lerp(out.fed_from_mm, out.fed_to_mm, share) - out_.front_end_mm;
  met.along_part_mm = length_mm_ - along;
  met.piece = Piece::stock;
  if (met.part == "incoming stock") met.part = "itself";  // what lies at the rolls, seen from behind them
  met.part_point = mirrored(met.part_point);
  met.machine_point = mirrored(met.machine_point);
  return met;
}

std::pair<double, double> BentBlank::told(const std::pair<double, double>& lags) const {
  double least = std::numeric_limits<double>::infinity(), most = 0.0;
  for (const GrowingStep& step : out_.steps) {
    least = std::min(least, step.span_in_mm);
    most = std::max(most, step.span_in_mm);
  }
  return {-lags.second - most, -lags.first - least};
}

std::optional<Vector3d> BentBlank::at(std::size_t step, double share, double along_mm) const {
  const double fed = length_mm_ - entry_mm(step, share), along = length_mm_ - along_mm;
  if (fed < 0.0 || along < 0.0 || along > fed) return std::nullopt;
  const Isometry3d X = in_mirror(step, share, blank_.segment_at(fed));
  return mirrored(X * (blank_.frame(fed).inverse() * blank_.frame(along).translation()));
}

}  // namespace coilwright
