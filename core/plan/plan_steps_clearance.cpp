#include <algorithm>
#include <coilwright/plan/plan_steps.hpp>
#include <coilwright/plan/scene.hpp>
#include <coilwright/quantity/number_text.hpp>

namespace coilwright::plan_steps {
namespace {

std::string_view piece_in_words(Piece piece) {
  switch (piece) {
    case Piece::stock: return "incoming stock";
    case Piece::spans: return "stretch between the rolls";
    case Piece::coil: return "coil";
    case Piece::lead_arc: return "start-up ahead of the coil";
    case Piece::front_end: return "swinging front end";
  }
  return "part";
}

constexpr double travel_uncertainty_mm = 0.5;  // of how the part leaves the rolls (judgement)

PosedPart posed(const RollingSetup& setup, const RolledPass& pass, const LiftSolution* lift) {
  return place_part(pass.helix, setup.law, setup.rolls, pass.before, pass.rolling,
                    lift != nullptr ? &lift->model->arc() : nullptr, lift != nullptr ? &lift->state : nullptr);
}

ClearanceScene scene_of(const Plan& plan, const PosedPart& part, std::vector<Obstacle> obstacles) {
  return clearance_scene(part, plan.blank, plan.job.stock.section, std::move(obstacles));
}

// How much closer the part may stand than the nominal pose says: radius and pitch are those asked for
// (they get gauged), unknown is how the part stands. Each corner of the working band with the lift that
// gives this pitch there, and the way the part leaves the rolls.
double uncertainty_mm(const Plan& plan, const RollingSetup& setup, const RolledPass& pass,
                      const std::optional<BandedLift>& lift, const PosedPart& nominal, double nominal_least) {
  const Machine& machine = plan.job.machine;
  const Section& section = plan.job.stock.section;
  const Length travel = Length::mm(pass.rolling.travel_mm);
  double least = nominal_least;
  const auto lose = [&](const ClearanceScene& scene) {
    least = std::min(least, least_distance_mm(scene).value_or(least));
  };
  if (lift) {
    for (const std::optional<LiftSolution>& corner : lift->corners) {
      if (!corner) continue;
      const PosedPart part = posed(setup, pass, &*corner);
      lose(scene_of(plan, part, scene_around(machine, plan.coil.hand(), Contacts::of(part), section, {travel, corner->state.lift})));
    }
  }
  const Length arm = pass.lift ? pass.lift->state.lift : Length();
  for (const double slide : {-travel_uncertainty_mm, travel_uncertainty_mm}) {
    for (const double part_y : {-travel_uncertainty_mm, travel_uncertainty_mm}) {
      const PosedPart part = nominal.shifted({0.0, part_y, 0.0});
      // The rolls move with the part's own contact; only what rides on the slide stands elsewhere.
      std::vector<Obstacle> scene =
          scene_around(machine, plan.coil.hand(), Contacts::of(nominal), section, {travel + Length::mm(slide), arm});
      std::erase_if(scene, [](const Obstacle& o) { return o.contact_lag_mm.has_value(); });
      lose(scene_of(plan, part, std::move(scene)));
    }
  }
  return nominal_least - least;
}

}  // namespace

void plan_clearance(Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes,
                    const std::optional<BandedLift>& lift) {
  Remarks say(plan);
  const RolledPass& last = passes.back();
  // A pitch that nothing lifts has no pose to speak of.
  if (last.helix.pitch().mm() > 0.0 && !last.lift) return;
  const Length arm = last.lift ? last.lift->state.lift : Length();
  plan.pose = posed(setup, last, last.lift ? &*last.lift : nullptr);
  plan.scene = scene_around(plan.job.machine, plan.coil.hand(), Contacts::of(*plan.pose), plan.job.stock.section,
                            {Length::mm(last.rolling.travel_mm), arm});
  const ClearanceScene scene = scene_of(plan, *plan.pose, plan.scene);

  ClearancePlan clearance;
  clearance.result = certify(scene);
  if (!clearance.result.least_mm) return;  // nothing stands around the part
  clearance.margin = plan.job.clearance_margin;
  clearance.pose_uncertainty_mm =
      uncertainty_mm(plan, setup, last, lift, *plan.pose, *clearance.result.least_mm);
  if (last.lift) clearance.not_checked.push_back("lead arc lying flat");
  if (plan.job.machine.room.ceiling)
    clearance.most_turns_under_ceiling =
        most_turns_under(*plan.pose,
                         {scene.tube_radius_mm, scene.front_end_mm, scene.rolled_mm - plan.blank.developed.mm()},
                         plan.job.machine.room.ceiling->mm());

  conclude_clearance(plan, std::move(clearance), static_cast<int>(passes.size()));
}

void conclude_clearance(Plan& plan, ClearancePlan clearance, int passes) {
  Remarks say(plan);
  bool all_checked = true;
  if (passes > 1) {
    clearance.not_checked.push_back("passes before the last, and stock that is already bent");
    all_checked = false;
  }
  if (plan.job.stock_slope != Angle()) {
    clearance.not_checked.push_back("incoming stock at its slope (it is taken as level)");
    all_checked = false;
  }
  const double least_mm = *clearance.result.least_mm;
  const NearestPair& nearest = *clearance.result.nearest;
  if (least_mm <= 0.0) clearance.verdict = Verdict::collides;
  else if (least_mm - clearance.pose_uncertainty_mm > clearance.margin.mm() && all_checked)
    clearance.verdict = Verdict::clears;
  else clearance.verdict = Verdict::too_close_to_say;

  const std::string piece(piece_in_words(nearest.piece));
  const std::string at = ", at a fed length of " + say.length(Length::mm(nearest.fed_length_mm), 0);
  if (clearance.verdict == Verdict::collides)
    say.fault("clearance", "Collision: the " + piece + " and " + nearest.part + " overlap by " +
                               say.length(Length::mm(-least_mm)) + at + ".");
  else if (clearance.verdict == Verdict::too_close_to_say && all_checked)
    say.caution("clearance", "Too close to say: the " + piece + " passes " + nearest.part + " at " +
                                 say.length(Length::mm(least_mm)) + at + ", known to " +
                                 say.length(Length::mm(clearance.pose_uncertainty_mm)) + "; " +
                                 say.length(clearance.margin) + " is asked for.");
  plan.clearance = std::move(clearance);
}

}  // namespace coilwright::plan_steps
