#include <algorithm>
#include <coilwright/machine/check_machine.hpp>
#include <coilwright/plan/job_part.hpp>
#include <coilwright/plan/plan.hpp>
#include <coilwright/plan/plan_steps.hpp>

namespace coilwright {

std::string_view verdict_text(Verdict verdict) {
  switch (verdict) {
    case Verdict::clears: return "clears";
    case Verdict::too_close_to_say: return "too close to say";
    case Verdict::collides: return "collides";
  }
  return "";
}

bool Plan::answer_is_yes() const {
  const bool faultless =
      std::none_of(findings.begin(), findings.end(), [](const Finding& f) { return f.level == Level::fault; });
  return faultless && clearance && clearance->verdict == Verdict::clears;
}

Eigen::Vector3d to_machine_frame(const Eigen::Vector3d& v_F, bool mirrored) {
  return mirrored ? Eigen::Vector3d(-v_F.x(), v_F.y(), v_F.z()) : v_F;
}

namespace {

void check_hand(Plan& plan) {
  plan_steps::Remarks say(plan);
  const Hand hand = plan.coil.hand();
  if (plan.coil.helix().pitch().mm() == 0.0 || plan.job.machine.makes(hand)) return;
  const Hand other = hand == Hand::right_screw ? Hand::left_screw : Hand::right_screw;
  say.fault("machine.feed", "A " + std::string(hand_text(hand)) + " needs stock fed " +
                                std::string(feed_side_text(feed_side_for(hand))) + "; this machine takes it only " +
                                std::string(feed_side_text(feed_side_for(other))) + " and makes the " +
                                std::string(hand_text(other)) +
                                ". Turning the part over does not change its hand: roll it flat and pull it to pitch, or "
                                "use a machine that can be fed from the other side.");
}

// Where the machine cannot roll the pitch in: no outboard roll, the other hand, too little lift.
void consider_pulling(Plan& plan) {
  const bool cannot = std::any_of(plan.findings.begin(), plan.findings.end(), [](const Finding& f) {
    return f.level == Level::fault && (f.about == "machine.outboard_roll" || f.about == "machine.feed" || f.about == "lift" ||
                                       f.about == "machine.limits.roll_lift" || f.about == "machine.outboard_roll.reach");
  });
  if (cannot && !plan.part && plan.coil.helix().pitch() > Length())
    plan.pull = pull_to_pitch(plan.job.stock, plan.coil.helix());
}

void check_tolerances(Plan& plan) {
  plan_steps::Remarks say(plan);
  const Tolerances& asked = plan.job.tolerance;
  if (asked.radius) {
    // Published analytical and finite-element comparisons differ by this much before any trial piece:
    // Int J Adv Manuf Technol 2019, doi 10.1007/s00170-019-04183-2 (about 15 %).
    constexpr double share_before_trial = 0.15;
    const Length bend = plan.coil.helix().bend_radius();
    const bool wide = bend * share_before_trial > *asked.radius;
    say.caution("tolerance.radius",
                "The drawing asks for a radius within " + say.length(*asked.radius) +
                    ". From tables alone the radius is known to about 15 %, here " +
                    say.length(bend * share_before_trial, 0) +
                    (wide ? ": only a gauged trial piece of the same lot can promise it." : "."));
  }
  if (asked.rise && plan.lift && plan.lift->working_low && plan.lift->working_high) {
    const double pitch_band = (*plan.lift->working_high - *plan.lift->working_low).mm() * plan.lift->pitch_per_lift;
    const Length rise_band = Length::mm(0.5 * pitch_band * plan.coil.turns());
    say.caution("tolerance.rise",
                "The drawing asks for a rise within " + say.length(*asked.rise) + ". The working band of the lift is worth " +
                    say.length(rise_band, 0) + " of rise either way" +
                    (rise_band > *asked.rise ? ": gauge the rise after a quarter turn and correct, or roll a trial piece."
                                             : "."));
  }
}

// The coil of the job; of a part of several segments the governing one, with the part.
Result<Coil> coil_of(const Job& job, const StockFaces& faces, std::optional<PartPlan>& part) {
  if (job.segments.empty()) return Coil::from(job.coil, faces);  // of a stair: its rail, the extensions are spliced on
  Result<Part> made = part_of(job);
  if (!made) return refuse(made.error());
  const std::vector<Segment>& segments = made->segments();
  if (segments.size() == 1 && segments.front().coil()) return *segments.front().coil();
  Result<plan_steps::Governing> governing = plan_steps::governing_segment(*made, faces);
  if (!governing) return refuse(governing.error());
  part.emplace(PartPlan{*std::move(made), governing->segment, {}, std::nullopt});
  return std::move(governing->coil);
}

using plan_steps::Depth;

Result<Plan> plan_to(const Job& job, Depth depth) {
  Findings faults;
  const StockFaces faces = faces_of(job.stock.section);
  std::optional<PartPlan> part;
  Result<Coil> coil = coil_of(job, faces, part);
  if (!coil) append(faults, coil.error());
  append(faults, check_machine(job.machine));
  if (!faults.empty()) {
    locate(faults, job);
    return refuse(std::move(faults));
  }

  Plan plan(job, *coil);
  plan.part = std::move(part);
  plan.assumptions = job.assumptions;
  const std::vector<std::string>& notes = plan.part ? plan.part->part.notes() : coil->notes();
  plan.assumptions.insert(plan.assumptions.end(), notes.begin(), notes.end());
  plan.findings = job.remarks;
  append(plan.findings, check_fit(job.machine.rolls, job.stock.section));
  plan_steps::echo_inputs(plan);
  check_hand(plan);

  const RollingSetup setup = RollingSetup::of(job.stock, job.machine, job.stock_slope);
  const std::vector<RolledPass> passes = plan_steps::plan_rolling(plan, setup);
  if (depth == Depth::whole) {
    plan_steps::plan_capability(plan, setup, passes);
    plan_steps::plan_distortion(plan, setup, passes);
  }
  if (!passes.empty()) {
    const std::optional<BandedLift> lift = plan_steps::plan_lift(plan, setup, passes);
    plan_steps::plan_blank(plan, setup, passes);
    if (plan.part) plan_steps::plan_part(plan, setup, passes, depth);
    else plan_steps::plan_clearance(plan, setup, passes, lift, depth);
  }
  if (depth == Depth::trial) return plan;
  plan_steps::check_solids(plan);
  if (plan.clearance && plan.clearance->near()) plan.remedies = find_remedies(plan);
  consider_pulling(plan);
  check_tolerances(plan);
  plan_steps::speak_of_segments(plan);

  locate(plan.findings, job);
  std::stable_sort(plan.findings.begin(), plan.findings.end(), [](const Finding& a, const Finding& b) {
    const auto weight = [](Level level) { return level == Level::fault ? 0 : level == Level::caution ? 1 : 2; };
    return weight(a.level) < weight(b.level);
  });
  return plan;
}

}  // namespace

Result<Plan> make_plan(const Job& job) { return plan_to(job, Depth::whole); }
Result<Plan> plan_steps::plan_stand(const Job& job) { return plan_to(job, Depth::trial); }

}  // namespace coilwright
