// The part of several segments as it grows in the machine, and what it comes near to.
#include <algorithm>
#include <cmath>
#include <coilwright/clearance/growing_clearance.hpp>
#include <coilwright/plan/plan_steps.hpp>
#include <coilwright/plan/scene.hpp>
#include <coilwright/rolling/held_part.hpp>
#include <memory>

namespace coilwright {

const PartGrowth::Step& PartGrowth::step_at(double fed_mm) const {
  for (const Step& step : steps)
    if (fed_mm <= step.fed.fed_to_mm) return step;
  return steps.back();
}

Eigen::Isometry3d PartGrowth::X_FP(double fed_mm) const {
  const FedStep& fed = step_at(fed_mm).fed;
  const double length = fed.fed_to_mm - fed.fed_from_mm, at = std::clamp(fed_mm, fed.fed_from_mm, fed.fed_to_mm);
  return fed.X_FB(length > 0.0 ? (at - fed.fed_from_mm) / length : 0.0) * blank.frame(at).inverse();
}

namespace plan_steps {
namespace {

constexpr double travel_uncertainty_mm = 0.5;  // of how the part leaves the rolls (judgement)
// While the machine goes from one setting to another behind a joint, what rides on it is taken at the middle of so many
// shares of the way; what that may be wrong by counts as uncertainty.
constexpr int shares_of_a_change = 4;

// What stands elsewhere than planned.
struct Astray {
  double slide_mm = 0.0, part_y_mm = 0.0;
};

// The blank up to its flat back end, with the segment of the part that each of its segments is rolled like.
struct BlankOfPart {
  Centreline line;
  std::vector<Piece> pieces;
  std::vector<std::size_t> like;
};

BlankOfPart blank_of(const Centreline& part, const Blank& blank) {
  BlankOfPart made;
  const auto add = [&](SegmentCurve curve, double turned, Piece piece, std::size_t like) {
    made.line.append(std::move(curve), turned);
    made.pieces.push_back(piece);
    made.like.push_back(like);
  };
  const auto& segments = part.segments();
  const SegmentCurve& first = segments.front().curve;
  const SegmentCurve& last = segments.back().curve;
  if (blank.flat_front.mm() > 0.0) add(SegmentCurve::straight(blank.flat_front), 0.0, Piece::front_end, 0);
  if (const double ahead = (blank.start_up() + blank.trim_front).mm(); ahead > 0.0)
    add(SegmentCurve::screw({ahead, first.curvature(0.0), first.torsion(0.0)}), 0.0, Piece::lead_arc, 0);
  for (std::size_t i = 0; i < segments.size(); ++i) add(segments[i].curve, segments[i].bend_turned_rad, Piece::coil, i);
  if (const double behind = blank.trim_back.mm(); behind > 0.0) {
    const double end = last.length_mm();
    add(SegmentCurve::screw({behind, last.curvature(end), last.torsion(end)}), 0.0, Piece::coil, segments.size() - 1);
  }
  return made;
}

class StepWriter {
 public:
  StepWriter(const Plan& plan, const RollingSetup& setup, const FedPart& blank, Astray astray)
      : plan_(plan), setup_(setup), blank_(blank), astray_(astray) {}

  std::vector<GrowingStep> write(const BlankOfPart& made, const std::vector<HeldSegment>& held) {
    std::optional<HeldPlace> before;
    for (std::size_t i = 0; i < made.like.size(); ++i) {
      if (made.pieces[i] == Piece::front_end) continue;
      HeldSegment own = held[made.like[i]];
      // What is rolled ahead of the first segment and behind the last is rolled as their ends are.
      const bool behind = i > 0 && made.pieces[i - 1] == Piece::coil && made.like[i - 1] == made.like[i];
      if (made.pieces[i] == Piece::lead_arc) own.resize(1, own.front());
      if (behind) own.erase(own.begin(), own.end() - 1);
      const double from = blank_.starts_mm()[i], length = blank_.starts_mm()[i + 1] - from;
      double within = 0.0;
      if (!behind && !(before && before->bent == own.front().bent)) {
        // New settings hold when what lies between centre roll and exit contact has been rolled by them.
        within = std::min(own.front().span_out_mm, length);
        const HeldPlace settled = place_at(own, within);
        for (int k = 0; before && k < shares_of_a_change; ++k) {
          const double share = static_cast<double>(k) / shares_of_a_change, next = (k + 1.0) / shares_of_a_change;
          add(i, from + share * within, from + next * within, *before, settled, share, next, GrowingStep::Settings::changing);
        }
      }
      for (std::size_t k = 0; within < length; ++k) {
        const double to = k + 1 < own.size() && k + 2 < own.size() ? own[k + 1].within_mm : length;
        if (to <= within) continue;
        add(i, from + within, from + to, place_at(own, within), place_at(own, to), 0.0, 1.0, GrowingStep::Settings::settled);
        within = to;
      }
      before = place_at(own, length);
    }
    return std::move(steps_);
  }
  // The most that something riding on the machine may stand elsewhere during a step.
  [[nodiscard]] double riding_mm() const { return riding_; }

 private:
  // How a segment is held at one of its places, between those that were solved.
  static HeldPlace place_at(const HeldSegment& solved, double within_mm) {
    const auto after =
        std::find_if(solved.begin(), solved.end(), [&](const HeldPlace& p) { return p.within_mm >= within_mm; });
    if (solved.size() == 1 || after == solved.begin()) return solved.front();
    if (after == solved.end()) return solved.back();
    const HeldPlace &a = *std::prev(after), &b = *after;
    const double share = (within_mm - a.within_mm) / (b.within_mm - a.within_mm);
    HeldPlace place = share < 0.5 ? a : b;
    place.within_mm = within_mm;
    place.X_FB = share == 1.0 ? b.X_FB : Eigen::Isometry3d(a.X_FB * twist_between(a.X_FB, b.X_FB, 1.0).after(share));
    place.travel_mm = std::lerp(a.travel_mm, b.travel_mm, share);
    place.lift_mm = std::lerp(a.lift_mm, b.lift_mm, share);
    return place;
  }

  void add(std::size_t segment, double fed_from, double fed_to, const HeldPlace& a, const HeldPlace& b, double share_from,
           double share_to, GrowingStep::Settings settings) {
    const Twist way = twist_between(a.X_FB, b.X_FB, 1.0);
    const auto pose = [&](double share) {
      Eigen::Isometry3d X = share == 0.0 ? a.X_FB : share == 1.0 ? b.X_FB : Eigen::Isometry3d(a.X_FB * way.after(share));
      X.translation().y() += astray_.part_y_mm;
      return X;
    };
    const double middle = 0.5 * (share_from + share_to);
    const auto mixed = [middle](double from, double to) { return std::lerp(from, to, middle); };
    GrowingStep step;
    step.settings = settings;
    step.fed = {segment, fed_from, fed_to, pose(share_from), pose(share_to)};
    const HeldPlace& nearer = middle < 0.5 ? a : b;
    if (nearer.bent) step.bent = astray_.part_y_mm == 0.0 ? nearer.bent
                                 : std::make_shared<const PosedPart>(nearer.bent->shifted({0.0, astray_.part_y_mm, 0.0}));
    step.straight_y_mm = setup_.rolls.outer_radius_mm + setup_.rolls.outer_face_mm + astray_.part_y_mm;
    step.span_in_mm = nearer.span_in_mm;
    step.span_out_mm = nearer.span_out_mm;
    const Contacts contacts =
        nearer.bent ? Contacts::of(*nearer.bent) : Contacts{nearer.span_in_mm, nearer.span_out_mm, std::nullopt};
    step.obstacles = scene_around(plan_.job.machine, plan_.coil.hand(), contacts, plan_.job.stock.section,
                                  {Length::mm(mixed(a.travel_mm, b.travel_mm) + astray_.slide_mm),
                                   Length::mm(mixed(a.lift_mm, b.lift_mm))});
    // The rolls move with the part's own contact; only what rides on the slide stands elsewhere. The outboard roll is
    // lowered out of the way of what is not lifted.
    const bool strays = astray_.slide_mm != 0.0 || astray_.part_y_mm != 0.0;
    std::erase_if(step.obstacles, [&](const Obstacle& o) { return o.contact_lag_mm && (strays || o.name == "outboard roll"); });
    riding_ = std::max(riding_, 0.5 * (share_to - share_from) *
                                    std::max(std::abs(b.travel_mm - a.travel_mm), std::abs(b.lift_mm - a.lift_mm)));
    steps_.push_back(std::move(step));
  }

  const Plan& plan_;
  const RollingSetup& setup_;
  const FedPart& blank_;
  Astray astray_;
  std::vector<GrowingStep> steps_;
  double riding_ = 0.0;
};

struct Grown {
  GrowingScene scene;
  double riding_mm;
};

Grown grow(const Plan& plan, const RollingSetup& setup, const FedPart& blank, const BlankOfPart& made,
           const std::vector<HeldSegment>& held, Astray astray) {
  StepWriter writer(plan, setup, blank, astray);
  Grown grown;
  grown.scene.blank = &blank;
  grown.scene.pieces = made.pieces;
  grown.scene.steps = writer.write(made, held);
  grown.scene.tube_radius_mm = 0.5 * plan.job.stock.section.outside_diameter().mm();
  grown.scene.front_end_mm = plan.blank.flat_front.mm();
  double span_in = 0.0;
  for (const HeldSegment& segment : held)
    for (const HeldPlace& place : segment) span_in = std::max(span_in, place.span_in_mm);
  grown.scene.stock_mm = std::max(0.0, (plan.blank.cut_length() - plan.blank.flat_front).mm() - span_in);
  grown.scene.greatest_curvature_per_mm = plan.part->part.centreline().greatest_curvature();
  grown.riding_mm = writer.riding_mm();
  return grown;
}

// As for one helix: the working corners of the lift, all segments at the same one, and half a millimetre of travel.
// Besides: how far the free arc up to the outboard roll stands off the rigid part, and what rides during a step.
double uncertainty_mm(const Plan& plan, const RollingSetup& setup, const Centreline& part, const FedPart& blank,
                      const BlankOfPart& made, const std::vector<HeldSegment>& nominal, int passes, double nominal_least,
                      double riding) {
  double least = nominal_least, sprung = 0.0;
  bool lifted = false;
  for (const HeldSegment& segment : nominal)
    for (const HeldPlace& place : segment) {
      sprung = std::max(sprung, place.sprung_mm);
      lifted = lifted || place.lift_mm != 0.0;
    }
  const auto lose = [&](const std::vector<HeldSegment>& held, Astray astray) {
    least = std::min(least, least_distance_mm(grow(plan, setup, blank, made, held, astray).scene, 0.1).value_or(least));
  };
  if (lifted)
    for (const LiftAssumption& corner : working_corners(setup)) {
      auto held = hold_part(setup, part, passes, corner);
      if (const auto* places = std::get_if<std::vector<HeldSegment>>(&held)) lose(*places, {});
    }
  for (const double slide : {-travel_uncertainty_mm, travel_uncertainty_mm})
    for (const double part_y : {-travel_uncertainty_mm, travel_uncertainty_mm}) lose(nominal, {slide, part_y});
  return nominal_least - least + sprung + riding;
}

// Why the part is not followed through the machine.
std::optional<std::string> not_followed(const Plan& plan) {
  for (const Centreline::Joined& joined : plan.part->part.centreline().segments())
    if (joined.bend_turned_rad != 0.0) return "it is turned over between segments";
  return std::nullopt;
}

}  // namespace

void plan_growing(Plan& plan, const RollingSetup& setup, int passes) {
  Remarks say(plan);
  if (const auto why = not_followed(plan)) {
    say.caution("clearance", "The clearance of this part is not checked: " + *why +
                                 ". Watch the first piece all the way, slowly, with a hand at the stop.");
    return;
  }
  const Centreline part = in_feed_frame(plan.part->part);
  const auto held = hold_part(setup, part, passes);
  const auto* places = std::get_if<std::vector<HeldSegment>>(&held);
  if (places == nullptr) return;  // the roll programme has said which segment
  bool lifted = false;
  for (std::size_t i = 0; i < places->size(); ++i)
    for (const HeldPlace& place : (*places)[i]) {
      lifted = lifted || place.lift_mm != 0.0;
      if (part.segments()[i].curve.greatest_torsion() > 0.0 && place.lift_mm == 0.0 && place.bent) {
        say.caution("clearance", "The clearance of this part is not checked: nothing lifts it to its pitch.");
        return;
      }
    }
  const BlankOfPart made = blank_of(part, plan.blank);
  const FedPart blank(fed_segments(made.line, std::vector<Eigen::Isometry3d>(made.line.size(), Eigen::Isometry3d::Identity())));
  Grown grown = grow(plan, setup, blank, made, *places, {});
  const ClearanceResult result = certify(grown.scene);
  plan.scene = grown.scene.steps.back().obstacles;
  PartGrowth growth{blank, made.pieces, {}, grown.scene.front_end_mm, grown.scene.stock_mm};
  for (const GrowingStep& step : grown.scene.steps)
    growth.steps.push_back({step.fed, step.bent, step.straight_y_mm, step.span_in_mm, step.span_out_mm});
  plan.part->growth = std::move(growth);
  if (!result.least_mm) return;

  ClearancePlan clearance;
  clearance.result = result;
  clearance.margin = plan.job.clearance_margin;
  clearance.pose_uncertainty_mm =
      uncertainty_mm(plan, setup, part, blank, made, *places, passes, *result.least_mm, grown.riding_mm);
  if (lifted) clearance.not_checked.push_back("lead arc lying flat");
  say.caution("clearance", "Behind a joint of two segments the part is taken to swing from one pose to the other by the shortest way, "
                           "while the length between centre roll and exit contact is fed. Watch it there: the settings decide how it "
                           "really goes.");
  conclude_clearance(plan, std::move(clearance), passes);
}

}  // namespace plan_steps
}  // namespace coilwright
