// How near a growing part comes to the bent stock behind the rolls.
#include <algorithm>
#include <cmath>
#include <coilwright/clearance/bent_blank.hpp>
#include <coilwright/clearance/certified_minimum.hpp>

namespace coilwright {
namespace {

using Eigen::Vector3d;

constexpr double unlimited = std::numeric_limits<double>::infinity();
// The first slices are no longer than this, and so many are looked at before the error is left to tell the rest.
constexpr double first_slice_mm = 100.0;
constexpr std::size_t most_slices = 1500;
// What chords bulge beside what the stock moves sideways, and how thick they may be at least: a share of the slice. Both
// only decide how much work is done where.
constexpr double bulge_share = 0.25, bulge_of_slice = 1.0 / 64.0;
constexpr double least_half_chord = 1e-3;  // of a box of parameters, of the whole one

Vector3d mirrored(const Vector3d& v) { return {-v.x(), v.y(), v.z()}; }

// A stretch of stock during a slice, in the mirror; of it a capsule in F.
struct Covered {
  FedPatch patch;
  PatchBox box;
};

class Cover {
 public:
  explicit Cover(double enough_mm) : enough_(enough_mm) {}

  void add(const FedPatch& patch) { add(patch, patch.whole(), least_half_chord * patch.whole().half_w); }

  [[nodiscard]] const std::vector<ConvexBody>& bodies() const { return bodies_; }
  [[nodiscard]] const Covered& of(std::uint32_t body) const { return covered_[body]; }

 private:
  void add(const FedPatch& patch, const PatchBox& box, double least_half) {
    if (patch.feasible(box) == FedPatch::Feasible::none) return;
    const PatchPoint at = patch.at(box, Eigen::Vector2d::Zero());
    const double hs = box.half_s, hw = box.half_w, speed = at.w.norm();
    const Vector3d along = at.w / speed;
    const double slides = along.dot(at.s);
    const double moved = (at.s - slides * along).norm() * hs + 0.5 * at.ss.norm() * hs * hs + at.rest_s_mm;
    const double bulge = at.sw.norm() * hs * hw + 0.5 * at.ww.norm() * hw * hw + std::max(0.0, at.rest_mm - at.rest_s_mm);
    if (bulge > std::max(enough_, bulge_share * moved) && hw > least_half) {
      for (const double side : {-0.5, 0.5}) add(patch, {box.s, hs, box.w + side * hw, 0.5 * hw}, least_half);
      return;
    }
    covered_.push_back({patch, box});
    if (at.reach_mm < moved + bulge) {
      bodies_.push_back(ConvexBody::capsule(mirrored(at.p), mirrored(at.p), at.reach_mm));
      return;
    }
    const Vector3d half = (speed * hw + std::abs(slides) * hs) * along;
    bodies_.push_back(ConvexBody::capsule(mirrored(at.p - half), mirrored(at.p + half), moved + bulge));
  }

  double enough_;
  std::vector<ConvexBody> bodies_;
  std::vector<Covered> covered_;
};

// What happens between two shares of a step, with the least bound known of it.
struct Slice {
  std::size_t step;
  double from, to, lower;
};
constexpr auto later = [](const Slice& a, const Slice& b) { return a.lower > b.lower; };

class Across {
 public:
  Across(const BentBlank& stock, double tolerance_mm) : stock_(stock), out_(stock.out()), tolerance_(tolerance_mm) {}

  BentBlankDistance find() {
    for (std::size_t k = 0; k < out_.steps.size(); ++k) {
      const FedStep& fed = out_.steps[k].fed;
      const double pieces = std::max(1.0, std::ceil((fed.fed_to_mm - fed.fed_from_mm) / first_slice_mm));
      for (double i = 0.0; i < pieces; ++i) look_at({k, i / pieces, (i + 1.0) / pieces, -unlimited});
    }
    while (!heap_.empty() && looked_at_ < most_slices) {
      const Slice least = heap_.front();
      if (least.lower >= upper_ - tolerance_) break;
      std::pop_heap(heap_.begin(), heap_.end(), later);
      heap_.pop_back();
      const double middle = 0.5 * (least.from + least.to);
      look_at({least.step, least.from, middle, least.lower});
      look_at({least.step, middle, least.to, least.lower});
    }
    if (!heap_.empty()) dropped_ = std::min(dropped_, heap_.front().lower);
    best_.lower_mm = dropped_;
    if (best_.meeting) best_.error_mm = std::max(0.0, upper_ - dropped_);
    return best_;
  }

 private:
  void look_at(Slice slice) {
    ++looked_at_;
    const GrowingStep& step = out_.steps[slice.step];
    const double from = std::lerp(step.fed.fed_from_mm, step.fed.fed_to_mm, slice.from);
    const double to = std::lerp(step.fed.fed_from_mm, step.fed.fed_to_mm, slice.to);
    const FedStep fed{step.fed.segment, from, to, step.fed.X_FB(slice.from), step.fed.X_FB(slice.to)};
    const std::vector<FedPatch> formed = out_.blank->patches(fed, step.span_out_mm);
    if (formed.empty()) return;
    Cover cover(std::max(0.25 * tolerance_, bulge_of_slice * (to - from)));
    for (const BentBlank::Side& side : stock_.behind(slice.step, slice.from, slice.to))
      for (const FedPatch& patch : stock_.blank_in_mirror().patches(side.fed, 0.0)) cover.add(patch);
    if (cover.bodies().empty()) return;
    std::vector<std::uint32_t> all(cover.bodies().size());
    for (std::uint32_t i = 0; i < all.size(); ++i) all[i] = i;
    std::vector<PatchCourse> courses;
    for (const FedPatch& patch : formed) courses.push_back({patch, all});
    CertifiedMinimum search(std::max(0.25 * tolerance_, 0.1 * bulge_of_slice * (to - from)));
    const LeastDistance found = search.find(courses, Scenery{cover.bodies()}, upper_);
    best_.evaluations += search.evaluations();
    if (!found.meeting) {
      dropped_ = std::min(dropped_, found.lower_mm);
      return;
    }
    slice.lower = std::max(slice.lower, found.lower_mm);
    meet(slice.step, courses[found.meeting->course].patch, *found.meeting, cover.of(found.meeting->body));
    heap_.push_back(slice);
    std::push_heap(heap_.begin(), heap_.end(), later);
  }

  // A place of the part that was met, and the nearest of the stretch of stock, at that fed length.
  void meet(std::size_t k, const FedPatch& formed, const Meeting& met, const Covered& stock) {
    const FedStep& step = out_.steps[k].fed;
    const double length = step.fed_to_mm - step.fed_from_mm;
    const double share = length > 0.0 ? std::clamp((met.fed_mm - step.fed_from_mm) / length, 0.0, 1.0) : 1.0;
    // As it stands then, the same segment by the same parameter; at a joint perhaps with another one at the entry contact,
    // and then by all of it.
    for (const BentBlank::Side& side : stock_.behind(k, share, share))
      for (const FedPatch& patch : stock_.blank_in_mirror().patches(side.fed, 0.0)) {
        if (patch.part_segment() != stock.patch.part_segment()) continue;
        const PatchBox& whole = patch.whole();
        const bool same = patch.bend_segment() == stock.patch.bend_segment();
        const double least = whole.w - whole.half_w, most = whole.w + whole.half_w;
        const double low = same ? std::clamp(stock.box.w - stock.box.half_w, least, most) : least;
        const double high = same ? std::clamp(stock.box.w + stock.box.half_w, low, most) : most;
        take(formed, met, patch, low, high);
      }
  }
  void take(const FedPatch& formed, const Meeting& met, const FedPatch& standing, double low, double high) {
    const double s = standing.whole().s;
    const auto point = [&](double w) { return mirrored(standing.point(s, w, Eigen::Vector2d::Zero())); };
    const auto away = [&](double w) { return (point(w) - met.point).norm(); };
    constexpr int thirds = 25;
    for (int i = 0; i < thirds; ++i) {
      const double third = (high - low) / 3.0;
      if (away(low + third) <= away(high - third)) high -= third;
      else low += third;
    }
    const double at = 0.5 * (low + high), distance = away(at);
    if (!(distance < upper_)) return;
    upper_ = distance;
    best_.meeting = {met.fed_mm, met.along_mm, stock_.length_mm() - standing.along_mm(s, at), out_.pieces[formed.part_segment()],
                     met.point, point(at)};
  }

  const BentBlank& stock_;
  const GrowingScene& out_;
  double tolerance_;
  std::vector<Slice> heap_;
  std::size_t looked_at_ = 0;
  double upper_ = unlimited, dropped_ = unlimited;
  BentBlankDistance best_;
};

}  // namespace

BentBlankDistance distance_to_bent_blank(const BentBlank& stock, double tolerance_mm) {
  return Across(stock, tolerance_mm).find();
}

}  // namespace coilwright
