#include <algorithm>
#include <cmath>
#include <coilwright/plan/plan_steps.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <numbers>

namespace coilwright::plan_steps {
namespace {

std::string segment_name(const Part& part, std::size_t index) {
  return "segment " + std::to_string(index + 1) + " (" + std::string(segment_kind_name(part.segments()[index].kind())) + ")";
}

std::string segment_about(std::size_t index) { return "segment." + std::to_string(index + 1); }

void say_turnings(Plan& plan) {
  Remarks say(plan);
  for (const Turning& turning : plan.part->part.turnings()) {
    const bool another_setup = turning.need == TurnNeed::turn_over || turning.need == TurnNeed::quarter_turn;
    if (another_setup) say.caution(segment_about(turning.segment), turning.text);
    else say.fault(segment_about(turning.segment), turning.text);
  }
}

// A level or straight end before what climbs cannot be rolled as drawn: the lead arc lies between them.
void say_lead_arc(Plan& plan) {
  Remarks say(plan);
  const std::vector<Segment>& segments = plan.part->part.segments();
  const Length lead_arc = plan.blank.lead_arc;
  if (lead_arc <= Length() || segments.front().hand()) return;
  std::size_t climbs = 0;
  while (climbs < segments.size() && !segments[climbs].hand()) ++climbs;
  if (climbs == segments.size()) return;
  say.caution(segment_about(climbs),
              "Before " + segment_name(plan.part->part, climbs) +
                  " lies what comes out flat until the outboard roll holds the part: a lead arc of " + say.length(lead_arc, 0) +
                  ". As drawn, with a level end right before it, it cannot be rolled in one go. Splice the level end on, put an "
                  "easing between, or roll the part from its other end so that the level end comes last.");
}

void say_transitions(Plan& plan) {
  Remarks say(plan);
  std::string where;
  for (const Transition& t : plan.part->programme->transitions)
    where += (where.empty() ? "" : "; ") + std::to_string(t.before + 1) + " to " + std::to_string(t.before + 2) + " from " +
             say.length(Length::mm(t.from_mm), 0) + " to " + say.length(Length::mm(t.to_mm), 0) +
             (t.reached_from_mm ? " (computed: off by more than 1 % from " + say.length(Length::mm(*t.reached_from_mm), 0) + " to " +
                                      say.length(Length::mm(*t.reached_to_mm), 0) + ")"
                                : "");
  if (!where.empty())
    say.caution("segment", "Where one segment meets the next the rolls span the change: in these lengths along the part no radius is "
                           "promised; computed, it can come out tighter or wider than both. Segment " + where + ".");
}

// What the stock really takes where settings change, at a joint or along a taper.
void march_changes(Plan& plan, const RollingSetup& setup) {
  constexpr double step_mm = 10.0;
  Remarks say(plan);
  PartPlan& part = *plan.part;
  RollProgramme& programme = *part.programme;
  const auto& last = programme.passes.back();
  if (std::all_of(last.begin(), last.end(), [](const ProgrammeStep& s) { return s.kind == ProgrammeStep::Kind::hold; })) return;
  const Centreline line = in_feed_frame(part.part);
  ReachedOutcome outcome = curvature_reached(setup.law, setup.rolls, programme.passes, step_mm);
  if (const auto* folds = std::get_if<FoldsRound>(&outcome))
    say.caution("segment", "Computed along the part, the stock would lie round the centre roll in pass " + std::to_string(folds->pass + 1) +
                               " at a fed length of " + say.length(Length::mm(folds->fed_mm), 0) + ", at a travel of " +
                               say.length(Length::mm(folds->travel_mm), 2) + ": the change of radius there is too sudden. What comes out "
                               "around the joints is not known. Put an easing between.");
  else part.reached = std::get<std::vector<ReachedCurvature>>(std::move(outcome));
  for (Transition& transition : programme.transitions) mark_reached(transition, setup.law, line, part.reached);
  part.tapers = worst_along_tapers(setup.law, line, programme.transitions, part.reached);
  say_transitions(plan);
  for (const TaperReached& taper : part.tapers)
    if (std::abs(taper.off) > 0.01)
      say.caution(segment_about(taper.segment),
                  "The radius of " + segment_name(part.part, taper.segment) + " changes while it passes the rolls: computed, it comes out " +
                      number_text(100.0 * std::abs(taper.off), 1) + " % too " + (taper.off > 0.0 ? "tight" : "wide") + " at " +
                      say.length(Length::mm(taper.fed_mm), 0) + " along the part, at worst, when the rolls are set to what the drawing "
                      "has in the bend.");
}

}  // namespace

Centreline in_feed_frame(const Part& part) {
  const bool left = !part.hands().empty() && part.hands().front() == Hand::left_screw;
  return left ? part.centreline().mirrored() : part.centreline();
}

void speak_of_segments(Plan& plan) {
  if (!plan.part) return;
  for (Finding& finding : plan.findings)
    if (finding.about.starts_with("coil.")) finding.about = segment_about(plan.part->governing);
}

Result<Governing> governing_segment(const Part& part, const StockFaces& faces) {
  const std::vector<Segment>& segments = part.segments();
  std::optional<std::size_t> best;
  for (std::size_t i = 0; i < segments.size(); ++i) {
    if (segments[i].curve().greatest_curvature() == 0.0) continue;
    const bool climbs = segments[i].hand().has_value();
    const bool better = !best || (climbs && !segments[*best].hand()) ||
                        (climbs == segments[*best].hand().has_value() &&
                         segments[i].curve().greatest_curvature() > segments[*best].curve().greatest_curvature());
    if (better) best = i;
  }
  if (!best)
    return refuse({{Level::fault, "segment", "Nothing of this part is bent: it is straight from end to end.", std::nullopt}});
  const SegmentCurve& curve = segments[*best].curve();
  // A taper is tightest at one of its ends.
  const double end = curve.length_mm();
  const double at = curve.curvature(0.0) >= curve.curvature(end) ? 0.0 : end;
  const Helix helix = helix_of(curve.curvature(at), curve.torsion(at));
  CoilSpec spec;
  spec.radius = helix.plan_radius();
  spec.pitch = helix.pitch();
  spec.hand = helix.hand();
  spec.turns = std::min(1.0, curve.azimuth(end) / (2.0 * std::numbers::pi));
  Result<Coil> coil = Coil::from(spec, faces);
  if (!coil) return refuse(coil.error());
  return Governing{*best, *std::move(coil)};
}

void plan_part(Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes, Depth depth) {
  Remarks say(plan);
  PartPlan& part = *plan.part;
  say_turnings(plan);
  say_lead_arc(plan);
  part.speeds = roll_speeds(plan.job.machine);
  if (!plan.job.machine.rolls.feed_mm_per_s || !plan.job.machine.rolls.centre_roll_mm_per_s)
    plan.assumptions.push_back("Speeds of the roll programme: feed " + number_text(part.speeds.feed_mm_per_s, 0) +
                               " mm/s, centre roll " + number_text(part.speeds.centre_roll_mm_per_s, 1) +
                               " mm/s, where the machine does not say (judgement).");
  auto made = roll_programme(setup, in_feed_frame(part.part), static_cast<int>(passes.size()), part.speeds);
  if (const auto* none = std::get_if<NoSetting>(&made)) {
    say.fault(segment_about(none->segment), "The machine has no setting for " + segment_name(part.part, none->segment) +
                                                ", pass " + std::to_string(none->why.pass) +
                                                ": see the smallest bend radius it reaches, and the reach of the outboard roll.");
    return;
  }
  part.programme = std::get<RollProgramme>(std::move(made));
  march_changes(plan, setup);
  plan_growing(plan, setup, static_cast<int>(passes.size()), depth);
}

}  // namespace coilwright::plan_steps
