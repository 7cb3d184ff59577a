// The part of several segments as it grows in the machine, and what it comes near to.
#include <algorithm>
#include <cmath>
#include <coilwright/clearance/growing_clearance.hpp>
#include <coilwright/plan/plan_steps.hpp>
#include <coilwright/plan/scene.hpp>
#include <coilwright/rolling/held_part.hpp>
#include <coilwright/rolling/left_by_pass.hpp>
#include <memory>

namespace coilwright::plan_steps {
namespace {

// While the machine goes from one setting to another behind a joint, what rides on it is taken at the middle of so many
// shares of the way; what that may be wrong by counts as uncertainty.
constexpr int shares_of_a_change = 4;

// What stands elsewhere than planned.
struct Astray {
  double slide_mm = 0.0, part_y_mm = 0.0, sag_mm = 0.0;
};

// The blank up to its flat back end, with the segment of the part that each of its segments is rolled like: those of the
// part, then the lead arc, which comes out flat until the outboard roll holds it.
struct BlankOfPart {
  Centreline line;
  std::vector<Piece> pieces;
  std::vector<std::size_t> like;
  std::optional<SegmentCurve> flat;  // the lead arc, where the part begins to climb at once
  // While the lead arc, flat, lies between centre roll and outboard roll it is raised by hand and roll, sprung as it may
  // be: how the part stands then is not known. Fed lengths, equal without a flat lead arc.
  double raised_from_mm = 0.0, raised_to_mm = 0.0;
  std::optional<std::size_t> only_first;  // as GrowingScene has it
  std::optional<Centreline> before;       // what the pass before left of it; none: straight stock
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
  double ahead = (blank.start_up() + blank.trim_front).mm();
  if (first.torsion(0.0) != 0.0 && blank.lead_arc.mm() > 0.0) {
    made.flat = SegmentCurve::screw({std::min(ahead, blank.lead_arc.mm()), first.curvature(0.0), 0.0});
    add(*made.flat, 0.0, Piece::lead_arc, segments.size());
    ahead -= made.flat->length_mm();
    made.raised_from_mm = made.line.length_mm();
    made.raised_to_mm = made.raised_from_mm + made.flat->length_mm();
  }
  if (ahead > 0.0) add(SegmentCurve::screw({ahead, first.curvature(0.0), first.torsion(0.0)}), 0.0, Piece::lead_arc, 0);
  for (std::size_t i = 0; i < segments.size(); ++i) add(segments[i].curve, segments[i].bend_turned_rad, Piece::coil, i);
  if (const double behind = blank.trim_back.mm(); behind > 0.0) {
    const double end = last.length_mm();
    add(SegmentCurve::screw({behind, last.curvature(end), last.torsion(end)}), 0.0, Piece::coil, segments.size() - 1);
  }
  return made;
}

BlankOfPart blank_in(PassOf which, const Centreline& part, const Blank& blank) {
  BlankOfPart made = blank_of(left_by_pass(part, which), blank);
  if (which.pass > 1) made.before = blank_of(left_by_pass(part, {which.pass - 1, which.passes}), blank).line;
  return made;
}

std::variant<std::vector<HeldSegment>, NotHeld> hold_blank(const RollingSetup& setup, const Centreline& part, const BlankOfPart& made,
                                                           PassOf which,
                                                           const std::optional<LiftAssumption>& assumption = std::nullopt) {
  auto held = hold_part(setup, part, which, assumption);
  if (!made.flat || std::holds_alternative<NotHeld>(held)) return held;
  Centreline flat;
  flat.append(SegmentCurve::screw({made.flat->length_mm(), part.segments().front().curve.curvature(0.0), 0.0}));
  auto lying = hold_part(setup, flat, which, assumption);
  if (std::holds_alternative<NotHeld>(lying)) return lying;
  std::get<std::vector<HeldSegment>>(held).push_back(std::get<std::vector<HeldSegment>>(lying).front());
  return held;
}

// What the lead arc is raised ahead of: the first segment, as far as it does not change.
RaisedStart raised_start(const Centreline& part, const Blank& blank, const BlankOfPart& made) {
  const SegmentCurve& first = part.segments().front().curve;
  const double ahead = (blank.start_up() + blank.trim_front).mm();
  const bool alike = std::holds_alternative<SegmentCurve::Screw>(first.kind());
  return {made.flat->length_mm(), first.curvature(0.0), first.torsion(0.0), ahead, ahead + (alike ? first.length_mm() : 0.0)};
}

bool raising(const BlankOfPart& made, const GrowingStep& step) {
  const double middle = 0.5 * (step.fed.fed_from_mm + step.fed.fed_to_mm);
  return middle > made.raised_from_mm && middle < made.raised_to_mm;
}

// How the section lies in every segment: as it lay in the rolls while the segment was formed, at its start. The binormal
// of the blank, told from its leading end, points down. The straight front end goes on as what it continues.
std::vector<Eigen::Matrix2d> section_in(const BlankOfPart& made, const std::vector<HeldSegment>& held) {
  std::vector<Eigen::Matrix2d> lies;
  for (std::size_t i = 0; i < made.like.size(); ++i) {
    const bool front = made.pieces[i] == Piece::front_end && i + 1 < made.like.size();
    const HeldPlace& place = held[made.like[front ? i + 1 : i]].front();
    Eigen::Matrix2d in_segment = Eigen::Rotation2Dd(made.line.turned_rad(i)).toRotationMatrix();
    if (place.bent) in_segment = Eigen::Matrix2d(place.bent->section_in_helix() * in_segment);
    in_segment.row(1) *= -1.0;
    lies.push_back(in_segment);
  }
  return lies;
}

class StepWriter {
 public:
  StepWriter(const Plan& plan, const RollingSetup& setup, const FedPart& blank, const BlankOfPart& made, Astray astray)
      : plan_(plan), setup_(setup), blank_(blank), made_(made), astray_(astray) {}

  std::vector<GrowingStep> write(const std::vector<HeldSegment>& held) {
    const BlankOfPart& made = made_;
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
        double to = k + 1 < own.size() && k + 2 < own.size() ? own[k + 1].within_mm : length;
        if (to <= within) continue;
        if (const double raised = made.raised_to_mm - from; raised > within && raised < to) {
          add(i, from + within, from + raised, place_at(own, within), place_at(own, raised), 0.0, 1.0, GrowingStep::Settings::settled);
          within = raised;
        }
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
  static Eigen::Isometry3d between(const Eigen::Isometry3d& a, const Eigen::Isometry3d& b, double share) {
    return share == 0.0 ? a : share == 1.0 ? b : Eigen::Isometry3d(a * twist_between(a, b, 1.0).after(share));
  }
  static EntryContact between(const EntryContact& a, const EntryContact& b, double share) {
    return {between(a.X_FE, b.X_FE, share), std::lerp(a.span_in_mm, b.span_in_mm, share)};
  }

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
    place.X_FB = between(a.X_FB, b.X_FB, share);
    place.entry = between(a.entry, b.entry, share);
    place.travel_mm = std::lerp(a.travel_mm, b.travel_mm, share);
    place.lift_mm = std::lerp(a.lift_mm, b.lift_mm, share);
    return place;
  }

  void add(std::size_t segment, double fed_from, double fed_to, const HeldPlace& a, const HeldPlace& b, double share_from,
           double share_to, GrowingStep::Settings settings) {
    const auto pose = [&](double share) {
      Eigen::Isometry3d X = between(a.X_FB, b.X_FB, share);
      X.translation().y() += astray_.part_y_mm;
      X.translation().z() -= astray_.sag_mm;
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
    step.section_turned_rad = made_.line.turned_rad(segment);
    step.span_in_mm = nearer.span_in_mm;
    step.span_out_mm = nearer.span_out_mm;
    step.entry_from = between(a.entry, b.entry, share_from);
    step.entry_to = between(a.entry, b.entry, share_to);
    const Contacts contacts =
        nearer.bent ? Contacts::of(*nearer.bent) : Contacts{nearer.span_in_mm, nearer.span_out_mm, std::nullopt};
    step.obstacles = scene_around(plan_.job.machine, plan_.coil.hand(), contacts, plan_.job.stock.section,
                                  {Length::mm(mixed(a.travel_mm, b.travel_mm) + astray_.slide_mm),
                                   Length::mm(mixed(a.lift_mm, b.lift_mm))});
    // The rolls move with the part's own contact; only what rides on the slide stands elsewhere. The outboard roll is
    // lowered out of the way of what is not lifted.
    const bool strays = astray_.slide_mm != 0.0 || astray_.part_y_mm != 0.0;
    std::erase_if(step.obstacles, [&](const Obstacle& o) { return o.contact_lag_mm && (strays || o.name == "outboard roll"); });
    // Nor does it hang deeper into a roll that it leaves.
    for (Obstacle& obstacle : step.obstacles)
      if (obstacle.contact_lag_mm) obstacle.play_mm += astray_.sag_mm;
    if (!raising(made_, step))
      riding_ = std::max(riding_, 0.5 * (share_to - share_from) *
                                      std::max(std::abs(b.travel_mm - a.travel_mm), std::abs(b.lift_mm - a.lift_mm)));
    steps_.push_back(std::move(step));
  }

  const Plan& plan_;
  const RollingSetup& setup_;
  const FedPart& blank_;
  const BlankOfPart& made_;
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
  StepWriter writer(plan, setup, blank, made, astray);
  Grown grown;
  grown.scene.blank = &blank;
  grown.scene.pieces = made.pieces;
  grown.scene.only_first = made.only_first;
  grown.scene.steps = writer.write(held);
  grown.scene.tube_radius_mm = 0.5 * plan.job.stock.section.outside_diameter().mm();
  grown.scene.section = SectionBox::of(plan.job.stock.section);
  grown.scene.section_in_segment = section_in(made, held);
  grown.scene.front_end_mm = plan.blank.flat_front.mm();
  double span_in = 0.0;
  for (const HeldSegment& segment : held)
    for (const HeldPlace& place : segment) span_in = std::max(span_in, place.span_in_mm);
  if (!made.before) grown.scene.stock_mm = std::max(0.0, (plan.blank.cut_length() - plan.blank.flat_front).mm() - span_in);
  grown.scene.greatest_curvature_per_mm = made.line.greatest_curvature();
  grown.riding_mm = writer.riding_mm();
  return grown;
}

// Whether what lies ahead of a segment is bent within a length, so that it would have to lie between the rolls.
bool bent_before(const Centreline& line, std::size_t segment, double length_mm) {
  const double from = line.segments()[segment].from_mm;
  return std::any_of(line.segments().begin(), line.segments().begin() + static_cast<std::ptrdiff_t>(segment),
                     [&](const Centreline::Joined& j) { return j.to_mm() > from - length_mm && j.curve.greatest_curvature() > 0.0; });
}

// Let in again behind a bend to the other side, the bar does not lie against the rolls as planned until that bend has
// passed the exit roll.
bool let_in_again(const BlankOfPart& made, const GrowingStep& step) {
  return step.settings == GrowingStep::Settings::changing && made.line.segments()[step.fed.segment].bend_turned_rad != 0.0 &&
         bent_before(made.line, step.fed.segment, step.span_out_mm);
}

// Without what happens while the lead arc is raised, or the part is let in again.
GrowingScene known(GrowingScene scene, const BlankOfPart& made) {
  std::erase_if(scene.steps, [&](const GrowingStep& step) { return raising(made, step) || let_in_again(made, step); });
  return scene;
}

// As for one helix: the working corners of the lift, all segments at the same one, and half a millimetre of travel. By
// how much the part then comes nearer.
double loss_mm(const Plan& plan, const RollingSetup& setup, const Centreline& part, const FedPart& blank, const BlankOfPart& made,
               const std::vector<HeldSegment>& nominal, PassOf which, double nominal_least) {
  double least = nominal_least;
  bool lifted = false;
  for (const HeldSegment& segment : nominal)
    for (const HeldPlace& place : segment) lifted = lifted || place.lift_mm != 0.0;
  const auto lose = [&](const std::vector<HeldSegment>& held, Astray astray) {
    least = std::min(least, least_distance_mm(known(grow(plan, setup, blank, made, held, astray).scene, made), 0.1).value_or(least));
  };
  if (lifted)
    for (const LiftAssumption& corner : working_corners(setup)) {
      auto held = hold_blank(setup, part, made, which, corner);
      if (const auto* places = std::get_if<std::vector<HeldSegment>>(&held)) lose(*places, {});
    }
  for (const double slide : {-travel_uncertainty_mm, travel_uncertainty_mm})
    for (const double part_y : {-travel_uncertainty_mm, travel_uncertainty_mm}) lose(nominal, {slide, part_y});
  if (plan.carrying) lose(nominal, {0.0, 0.0, plan.carrying->then.sag.mm()});
  return nominal_least - least;
}

// Between two segments that bend to different sides of the stock it is taken out, turned, and let in again.
bool turned_between(const Centreline& part) {
  return std::any_of(part.segments().begin(), part.segments().end(),
                     [](const Centreline::Joined& joined) { return joined.bend_turned_rad != 0.0; });
}

// One pass of a part, followed through the machine.
struct Followed {
  Grown grown;
  std::vector<HeldSegment> held;
};
std::optional<Followed> follow(const Plan& plan, const RollingSetup& setup, const Centreline& part, const FedPart& blank,
                               const BlankOfPart& made, PassOf which) {
  auto held = hold_blank(setup, part, made, which);
  auto* places = std::get_if<std::vector<HeldSegment>>(&held);
  if (places == nullptr) return std::nullopt;
  return Followed{grow(plan, setup, blank, made, *places, {}), std::move(*places)};
}

// What it comes near to all the way. Besides what `uncertainty` counts: how far the free arc up to the outboard roll
// stands off the rigid part, and what rides on the machine during a step.
ClearanceMoment all_the_way(const Plan& plan, const RollingSetup& setup, const Centreline& part, const FedPart& blank,
                            const BlankOfPart& made, PassOf which, const Followed& followed) {
  ClearanceMoment moment{"in pass " + std::to_string(which.pass) + " of " + std::to_string(which.passes),
                         certify(known(followed.grown.scene, made)), followed.grown.riding_mm};
  if (!moment.result.least_mm) return moment;
  moment.uncertainty_mm += loss_mm(plan, setup, part, blank, made, followed.held, which, *moment.result.least_mm);
  double sprung = 0.0;
  for (const HeldSegment& segment : followed.held)
    for (const HeldPlace& place : segment) sprung = std::max(sprung, place.sprung_mm);
  moment.uncertainty_mm += sprung;
  if (!made.before) return moment;
  const GrowingScene& scene = followed.grown.scene;
  add_bent_blank(moment.result, scene, known(scene, made), *made.before, plan.blank.flat_back.mm());
  // Whatever it comes near to, bent stock moves with the part, and the slide by itself.
  moment.uncertainty_mm = std::max(moment.uncertainty_mm, 2.0 * travel_uncertainty_mm + followed.grown.riding_mm);
  return moment;
}

FedPart fed_blank(const BlankOfPart& made) {
  return FedPart(fed_segments(made.line, std::vector<Eigen::Isometry3d>(made.line.size(), Eigen::Isometry3d::Identity())));
}

void say_swing(Remarks& say) {
  say.caution("clearance", "Behind a joint of two segments the part is taken to swing from one pose to the other by the shortest way, "
                           "while the length between centre roll and exit contact is fed. Watch it there: the settings decide how "
                           "it really goes.");
}

}  // namespace

void check_flat_start(const Plan& plan, const RollingSetup& setup, int passes, ClearancePlan& clearance) {
  const Centreline part = in_feed_frame(Part::of(plan.coil));
  BlankOfPart made = blank_of(part, plan.blank);
  if (!made.flat) return;
  // What climbs is checked as one helix, with its sprung arc.
  made.only_first = static_cast<std::size_t>(std::find(made.like.begin() + 1, made.like.end(), 0) - made.like.begin());
  const FedPart blank = fed_blank(made);
  const PassOf last = PassOf::last(passes);
  const auto followed = follow(plan, setup, part, blank, made, last);
  if (!followed) clearance.not_checked.emplace_back("lead arc lying flat");
  if (!followed || !check_raised(plan, setup, raised_start(part, plan.blank, made), last, clearance))
    clearance.not_checked.emplace_back(lead_arc_raised);
  if (!followed) return;
  ClearanceMoment moment{"with the lead arc flat ahead", certify(known(followed->grown.scene, made)), 0.0};
  if (!moment.result.least_mm) return;
  moment.uncertainty_mm = loss_mm(plan, setup, part, blank, made, followed->held, last, *moment.result.least_mm);
  clearance.moments.push_back(std::move(moment));
}

void plan_growing(Plan& plan, const RollingSetup& setup, int passes, Depth depth) {
  Remarks say(plan);
  const Centreline part = in_feed_frame(plan.part->part);
  const auto held = hold_part(setup, part, PassOf::last(passes));
  const auto* places = std::get_if<std::vector<HeldSegment>>(&held);
  if (places == nullptr) return;  // the roll programme has said which segment
  for (std::size_t i = 0; i < places->size(); ++i)
    for (const HeldPlace& place : (*places)[i])
      if (part.segments()[i].curve.greatest_torsion() > 0.0 && place.lift_mm == 0.0 && place.bent) {
        say.caution("clearance", "The clearance of this part is not checked: nothing lifts it to its pitch.");
        return;
      }
  const BlankOfPart made = blank_in(PassOf::last(passes), part, plan.blank);
  const FedPart blank = fed_blank(made);
  const auto last = follow(plan, setup, part, blank, made, PassOf::last(passes));
  if (!last) return;
  const GrowingScene& scene = last->grown.scene;
  plan.scene = scene.steps.back().obstacles;
  // What climbs leaves its support.
  if (std::any_of(places->begin(), places->end(), [](const HeldSegment& segment) {
        return std::any_of(segment.begin(), segment.end(), [](const HeldPlace& place) { return place.lift_mm != 0.0; });
      }))
    plan.carrying = carry_part(plan.job.stock, plan.blank.rolled(), plan.blank.flat_front, sag_allowed);
  PartGrowth growth{blank, made.pieces, {}, scene.section_in_segment, scene.front_end_mm, scene.stock_mm};
  for (const GrowingStep& step : scene.steps)
    growth.steps.push_back({step.fed, step.bent, step.straight_y_mm, step.span_in_mm, step.span_out_mm, step.section_turned_rad});
  plan.part->growth = std::move(growth);
  ClearanceMoment as_it_runs = all_the_way(plan, setup, part, blank, made, PassOf::last(passes), *last);
  if (!as_it_runs.result.least_mm) return;

  ClearancePlan clearance;
  clearance.result = std::move(as_it_runs.result);
  clearance.margin = plan.job.clearance_margin;
  clearance.pose_uncertainty_mm = as_it_runs.uncertainty_mm;
  const bool enough = depth == Depth::trial && clearance.near();
  for (int pass = 1; pass < passes && !enough; ++pass) {
    const PassOf which{pass, passes};
    const BlankOfPart then = blank_in(which, part, plan.blank);
    const FedPart blank_then = fed_blank(then);
    const auto earlier = follow(plan, setup, part, blank_then, then, which);
    if (!earlier) {
      clearance.not_checked.push_back("pass " + std::to_string(pass) + " of " + std::to_string(passes));
      continue;
    }
    ClearanceMoment moment = all_the_way(plan, setup, part, blank_then, then, which, *earlier);
    if (moment.result.least_mm) clearance.moments.push_back(std::move(moment));
  }
  if (made.flat && !check_raised(plan, setup, raised_start(part, plan.blank, made), PassOf::last(passes), clearance))
    clearance.not_checked.emplace_back(lead_arc_raised);
  if (turned_between(part)) {
    clearance.not_checked.push_back(part_turned);
    if (std::any_of(scene.steps.begin(), scene.steps.end(), [&](const GrowingStep& step) { return let_in_again(made, step); }))
      clearance.not_checked.push_back("joint of two bends to different sides until it has passed the exit roll");
    say.caution("clearance", "While the part is turned between two segments it swings about the line of the stock, as far out as it is "
                             "bent by then, on all sides: clear the room, and hold it. Let in again, it lies askew between the rolls "
                             "until the earlier bend has passed the exit roll; a straight of half the outer-roll spacing between the "
                             "two bends does away with that.");
  }
  if (plan.job.stock_slope != Angle()) clearance.not_checked.push_back("incoming stock at its slope (it is taken as level)");
  if (passes > 1) say_stock_comes_in_bent(say);
  if (plan.part->part.segments().size() > 1) say_swing(say);
  conclude_clearance(plan, std::move(clearance));
}

}  // namespace coilwright::plan_steps
