#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <coilwright/clearance/box_search.hpp>
#include <coilwright/quantity/require.hpp>
#include <limits>
#include <numbers>
#include <viewer/scene/part.hpp>

namespace coilwright::view {
namespace {

using Eigen::Vector3d;

// Rings stand at most this far apart in turn: the chord then leaves the arc by 0.1 % of the radius.
constexpr double ring_turn_rad = 5.0 * std::numbers::pi / 180.0;

// Values from `from` to `to`, both included, at most `step` apart.
std::vector<double> evenly(double from, double to, double step) {
  const auto count = std::max<std::size_t>(1, static_cast<std::size_t>(std::ceil((to - from) / step - 1e-9)));
  std::vector<double> out;
  for (std::size_t i = 0; i <= count; ++i)
    out.push_back(i == count ? to : from + (to - from) * static_cast<double>(i) / static_cast<double>(count));
  return out;
}

// About the centreline, from inward toward the shafts, as SectionBox has it.
SectionDirections turned(const SectionDirections& lies, double by_rad) {
  const double cosine = std::cos(by_rad), sine = std::sin(by_rad);
  return {cosine * lies.inward + sine * lies.shafts, cosine * lies.shafts - sine * lies.inward};
}

}  // namespace

std::vector<Ring> whole_part(const PartRings& rings) {
  std::vector<Ring> whole;
  for (const auto* stretch : {&rings.stock, &rings.spans, &rings.usable, &rings.start_up, &rings.front_end})
    for (const Ring& ring : *stretch)
      if (whole.empty() || (ring.centre - whole.back().centre).norm() > 1e-6) whole.push_back(ring);
  return whole;
}

GrowingPart::GrowingPart(const Subject& subject) : subject_(subject) {
  require(subject.part.has_value(), "a growing part needs a pose");
  for (const MachinePart& solid : subject.machine) {
    auto& bodies = bodies_.emplace_back();
    for (const Shape& body : solid.bodies) bodies.emplace_back(body);
  }
  const PosedPart& part = *subject.part;
  step_mm_ = ring_turn_rad * part.helix().arc_per_radian_mm();
  half_turn_mm_ = std::numbers::pi / part.helix().curvature().per_mm();
  if (subject.several) step_mm_ = ring_turn_rad / subject.several->greatest_curvature();
  if (subject.growth) {
    double tightest = 0.0;
    for (const PartGrowth::Step& step : subject.growth->steps)
      if (step.bent) tightest = std::max(tightest, step.bent->helix().curvature().per_mm());
    step_mm_ = ring_turn_rad / tightest;
    half_turn_mm_ = std::numbers::pi / tightest;
    const PartRings whole = segments_at(subject.rolled_mm);
    formed_ = whole.usable;
    formed_.insert(formed_.end(), whole.start_up.begin(), whole.start_up.end());
    return;
  }
  for (const double lag : evenly(-part.span_in_mm(), part.span_out_mm(), step_mm_ / 2.0))
    spans_.push_back(ring_at(lag));
  const double to = std::max(subject.rolled_mm, part.span_out_mm());
  // The step where the outboard roll takes hold is a ring of its own.
  const double hold = std::clamp(part.outboard_lag_mm(), part.span_out_mm(), to);
  for (const double lag : evenly(part.span_out_mm(), hold, step_mm_)) formed_.push_back(ring_at(lag));
  if (hold == part.span_out_mm()) formed_.clear();
  for (const double lag : evenly(hold, to, step_mm_))
    if (formed_.empty() || lag > formed_.back().lag_mm) formed_.push_back(ring_at(lag));
}

GrowingPart::Place GrowingPart::on(const PosedPart& part, Stage stage, double lag_mm, double turned_rad) {
  const CurvePoint at = part.at(stage, lag_mm);
  const PosedPart::SectionAxes axes = part.section_axes(stage, lag_mm);
  return {at.p, at.d1.normalized(), turned({axes.inward, axes.shafts}, turned_rad)};
}

GrowingPart::Place GrowingPart::in_frame(const Eigen::Isometry3d& frame, const Eigen::Matrix2d& section_in_segment) {
  const Eigen::Matrix<double, 3, 2> lies = frame.linear().rightCols<2>() * section_in_segment;
  return {frame.translation(), frame.linear().col(0), {lies.col(0), lies.col(1)}};
}

GrowingPart::Place GrowingPart::finished_at(double along_mm) const {
  const Centreline& line = *subject_.several;
  const CurveFrame f = line.frame(along_mm);
  Eigen::Isometry3d frame = Eigen::Isometry3d::Identity();
  frame.linear() << f.tangent, f.normal, f.binormal;
  frame.translation() = f.point;
  return in_frame(subject_.X_several * frame, subject_.section_in_several[line.index_at(along_mm)]);
}

GrowingPart::Place GrowingPart::seen_back(Place place) {
  place.tangent = -place.tangent;
  return place;
}

double GrowingPart::to_solids(const Place& place, double lag_mm, Stretch stretch) const {
  SearchBox box;
  if (subject_.box.has_edges()) {
    const auto in_space = [&](const Eigen::Vector2d& at) -> Vector3d { return at.x() * place.lies.inward + at.y() * place.lies.shafts; };
    const Eigen::Matrix2d edges = subject_.box.edges();
    box.centre = place.p + in_space(subject_.box.middle());
    box.axes[0] = in_space(edges.col(0));
    box.axes[1] = in_space(edges.col(1));
  }
  double least = std::numeric_limits<double>::infinity();
  const auto meet = [&](const ConvexBody& body) {
    const double of_circle = body.distance(place.p).distance_mm - subject_.tube_radius_mm;
    if (of_circle >= least) return;  // nor is the section within it nearer
    if (!subject_.box.has_edges()) {
      least = of_circle;
      return;
    }
    constexpr double enough_mm = 0.05;  // for a colour
    BoxSearch search(
        box, Depth::signed_distance, [&](const Vector3d& x) { return body.distance(box.at(x)); },
        [&](const Vector3d& g, double at_centre) { return at_centre - box.slope(g).cwiseAbs().sum(); }, enough_mm,
        [](double) { return false; });
    search.run(Vector3d::Zero());
    least = std::min(least, search.least() - subject_.box.rounding_mm);
  };
  for (std::size_t i = 0; i < bodies_.size(); ++i) {
    if (const auto& touches = subject_.machine[i].touches_lag_mm) {
      const bool before_or_at = lag_mm <= touches->second;
      if (before_or_at && (stretch == Stretch::front_end || lag_mm >= touches->first)) continue;
    }
    for (const ConvexBody& body : bodies_[i]) meet(body);
  }
  return least;
}

Ring GrowingPart::ring(const Place& place, double lag_mm, Stretch stretch, std::optional<double> tells_lag_mm) const {
  return {placed(subject_, place.p), placed(subject_, place.tangent), to_solids(place, lag_mm, stretch), tells_lag_mm.value_or(lag_mm),
          SectionDirections{placed(subject_, place.lies.inward), placed(subject_, place.lies.shafts)}};
}

double GrowingPart::to_anything(const Vector3d& p_M, const PartRings& part) const {
  double least = std::numeric_limits<double>::infinity();
  for (const auto& bodies : bodies_)
    for (const ConvexBody& body : bodies) least = std::min(least, body.distance(placed(subject_, p_M)).distance_mm);
  for (const auto* rings : {&part.spans, &part.usable, &part.start_up, &part.front_end})
    for (std::size_t i = 0; i + 1 < rings->size(); ++i) {
      const Vector3d a = (*rings)[i].centre, d = (*rings)[i + 1].centre - a;
      const double x = std::clamp((p_M - a).dot(d) / d.squaredNorm(), 0.0, 1.0);
      least = std::min(least, (p_M - a - x * d).norm() - subject_.tube_radius_mm);
    }
  return least;
}

Ring GrowingPart::ring_at(double lag_mm) const {
  const PosedPart& part = *subject_.part;
  return ring(subject_.several ? finished_at(lag_mm) : on(part, part.stage_at(lag_mm), lag_mm), lag_mm, Stretch::formed);
}

// Turn against turn: only rings half a turn to a turn and a half apart can be the nearest.
void GrowingPart::to_itself(std::vector<Ring>& rings) const {
  const double half_turn = half_turn_mm_;
  const double diameter = 2.0 * subject_.tube_radius_mm;
  for (std::size_t i = 0; i < rings.size(); ++i) {
    const auto first = std::lower_bound(rings.begin(), rings.begin() + static_cast<std::ptrdiff_t>(i),
                                        rings[i].lag_mm - 3.0 * half_turn,
                                        [](const Ring& r, double lag) { return r.lag_mm < lag; });
    for (auto other = first; other != rings.end() && rings[i].lag_mm - other->lag_mm >= half_turn; ++other) {
      // The other curve is taken as straight near its ring, which finds the foot between two rings.
      const Vector3d away = rings[i].centre - other->centre;
      const double along = std::clamp(away.dot(other->tangent), -step_mm_, step_mm_);
      const double gap = (away - along * other->tangent).norm() - diameter;
      rings[i].clearance_mm = std::min(rings[i].clearance_mm, gap);
      other->clearance_mm = std::min(other->clearance_mm, gap);
    }
  }
}

PartRings GrowingPart::at_fed_length(double fed_mm) const {
  return subject_.growth ? segments_at(fed_mm) : helix_at(fed_mm);
}

PartRings GrowingPart::segments_at(double fed_mm) const {
  const PartGrowth& growth = *subject_.growth;
  const double front = growth.front_end_mm;
  // Before the first step the part is still being pressed in.
  const double fed = std::clamp(front + fed_mm, growth.steps.front().fed.fed_from_mm, growth.blank.length_mm());
  const PartGrowth::Step& step = growth.step_at(fed);
  const Eigen::Isometry3d X = growth.X_FP(fed);
  PartRings out;
  const auto lying = [&](double lag) {
    if (step.bent)
      return ring(on(*step.bent, lag < -step.span_in_mm ? Stage::stock : Stage::spans, lag, step.section_turned_rad), lag, Stretch::formed);
    return ring({{lag, step.straight_y_mm, 0.0}, Vector3d::UnitX(), turned({Vector3d::UnitY(), Vector3d::UnitZ()}, step.section_turned_rad)},
                lag, Stretch::formed);
  };
  for (const double lag : evenly(-step.span_in_mm, step.span_out_mm, step_mm_ / 2.0)) out.spans.push_back(lying(lag));
  const double stock = subject_.cut_mm - fed - step.span_in_mm;
  if (stock > 0.0) out.stock = {lying(-step.span_in_mm - stock), out.spans.front()};

  // From the exit contact on, with a ring of its own where one stretch ends and the next begins.
  const double usable = front + subject_.start_up_mm, exit = fed - step.span_out_mm;
  std::vector<Ring> whole;
  std::vector<double> places;  // along the blank, from the exit contact to the front end
  const auto stretch = [&](double from, double to) {
    if (from - to < 1e-6) return;
    for (const double along : evenly(-from, -to, step_mm_))
      if (places.empty() || -along < places.back() - 1e-6) places.push_back(-along);
  };
  stretch(exit, std::min(exit, usable));
  stretch(std::min(exit, usable), std::min(exit, front));
  stretch(std::min(exit, front), 0.0);
  for (const double along : places) {
    // The part is followed toward the stock, its rings run away from it.
    const Place at = in_frame(X * growth.blank.frame(along), growth.section_in_segment[growth.blank.segment_at(along)]);
    whole.push_back(ring(seen_back(at), fed - along, along < front ? Stretch::front_end : Stretch::formed));
  }
  to_itself(whole);
  constexpr double same_mm = 1e-6;
  for (std::size_t i = 0; i < whole.size(); ++i) {
    if (places[i] >= usable - same_mm) out.usable.push_back(whole[i]);
    if (places[i] <= usable + same_mm && places[i] >= front - same_mm) out.start_up.push_back(whole[i]);
    if (places[i] <= front + same_mm) out.front_end.push_back(whole[i]);
  }
  for (auto* rings : {&out.usable, &out.start_up, &out.front_end})
    if (rings->size() < 2) rings->clear();
  return out;
}

std::vector<Ring> GrowingPart::stock_at(double fed_mm) const {
  const double entry = subject_.part->span_in_mm(), left = subject_.cut_mm - subject_.front_mm - fed_mm - entry;
  if (left <= 0.0) return {};
  if (!subject_.bent_stock) return {ring_at(-entry - left), spans_.front()};
  // From the entry contact against the feed: what is bent, and the flat back end.
  const PosedPart& in = *subject_.bent_stock;
  std::vector<Ring> rings{spans_.front()};
  const double bent_to = std::max(entry, entry + left - subject_.back_mm), turn = ring_turn_rad * in.helix().arc_per_radian_mm();
  if (bent_to > entry)
    for (const double lag : evenly(entry, bent_to, turn))
      if (lag > entry) rings.push_back(ring(seen_back(on(in, Stage::coil, lag)), -lag, Stretch::formed));
  Place end = on(in, Stage::coil, bent_to);
  end.p += (entry + left - bent_to) * end.tangent;
  rings.push_back(ring(seen_back(end), -(entry + left), Stretch::formed));
  std::reverse(rings.begin(), rings.end());
  return rings;
}

PartRings GrowingPart::helix_at(double fed_mm) const {
  const PosedPart& part = *subject_.part;
  const double fed = std::clamp(fed_mm, 0.0, subject_.rolled_mm);
  const double exit = part.span_out_mm();
  PartRings out;
  out.spans = spans_;

  out.stock = stock_at(fed);

  const double lead = std::max(fed, exit);  // lag of the foremost formed ring
  std::vector<Ring> formed;
  for (const Ring& ring : formed_)
    if (ring.lag_mm < lead) formed.push_back(ring);
  formed.push_back(ring_at(lead));

  // What is still straight ahead of the leading end. Before the leading end is through the exit contact a
  // stretch of it lies within the spans.
  const double straight = subject_.front_mm + fed - lead;
  std::vector<Ring> front;
  if (straight > 0.0) {
    const Place tip = on(part, part.stage_at(lead), lead);
    for (const double x : evenly(0.0, straight, std::max(straight / 40.0, subject_.tube_radius_mm / 2.0)))
      front.push_back(ring({tip.p + x * tip.tangent, tip.tangent, tip.lies}, lead, Stretch::front_end, lead + x));
  }

  std::vector<Ring> whole = formed;
  if (!front.empty()) whole.insert(whole.end(), front.begin() + 1, front.end());
  to_itself(whole);

  // Split the formed stretch where the usable part begins.
  const double usable_front = fed - subject_.start_up_mm;
  for (std::size_t i = 0; i < formed.size(); ++i) {
    const Ring& ring = whole[i];
    if (ring.lag_mm <= usable_front) out.usable.push_back(ring);
    else out.start_up.push_back(ring);
  }
  if (!out.usable.empty() && !out.start_up.empty()) {
    Ring border = ring_at(usable_front);
    border.clearance_mm = std::min({border.clearance_mm, std::max(out.usable.back().clearance_mm, out.start_up.front().clearance_mm)});
    if (out.usable.back().lag_mm < usable_front) out.usable.push_back(border);
    out.start_up.insert(out.start_up.begin(), border);
  }
  for (std::size_t i = formed.size() - 1; straight > 0.0 && i < whole.size(); ++i) out.front_end.push_back(whole[i]);
  for (auto* stretch : {&out.usable, &out.start_up, &out.front_end})
    if (stretch->size() < 2) stretch->clear();
  return out;
}

int GrowingPart::colliding(const PartRings& rings) {
  int count = 0;
  for (const auto* stretch : {&rings.usable, &rings.start_up, &rings.front_end})
    count += static_cast<int>(std::count_if(stretch->begin(), stretch->end(),
                                            [](const Ring& r) { return r.clearance_mm <= 0.0; }));
  return count;
}

}  // namespace coilwright::view
