#include <algorithm>
#include <cmath>
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

// Straight stock lies behind the rolls in the first pass only.
ClearanceScene scene_of(const Plan& plan, const PosedPart& part, std::vector<Obstacle> obstacles) {
  ClearanceScene scene = clearance_scene(part, plan.blank, plan.job.stock.section, std::move(obstacles));
  if (plan.rolling.passes.size() > 1) scene.stock_mm = 0.0;
  return scene;
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

PosedPart posed(const RollingSetup& setup, const RolledPass& pass, const LiftSolution* lift) {
  return place_part(pass.helix, setup.law, setup.rolls, pass.before, pass.rolling,
                    lift != nullptr ? &lift->model->arc() : nullptr, lift != nullptr ? &lift->state : nullptr,
                    setup.entry_slope_rad);
}

void plan_clearance(Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes,
                    const std::optional<BandedLift>& lift, Depth depth) {
  Remarks say(plan);
  const RolledPass& last = passes.back();
  // A pitch that nothing lifts has no pose to speak of.
  if (last.helix.pitch().mm() > 0.0 && !last.lift) return;
  const Length arm = last.lift ? last.lift->state.lift : Length();
  plan.pose = posed(setup, last, last.lift ? &*last.lift : nullptr);
  plan.scene = scene_around(plan.job.machine, plan.coil.hand(), Contacts::of(*plan.pose), plan.job.stock.section,
                            {Length::mm(last.rolling.travel_mm), arm});
  const ClearanceScene scene = scene_of(plan, *plan.pose, plan.scene);
  const bool bent_before = passes.size() > 1;

  ClearancePlan clearance;
  clearance.result = certify(scene);
  if (!clearance.result.least_mm) return;  // nothing stands around the part
  clearance.margin = plan.job.clearance_margin;
  clearance.pose_uncertainty_mm =
      uncertainty_mm(plan, setup, last, lift, *plan.pose, *clearance.result.least_mm);
  // The slope may set in anywhere between entry and centre roll.
  clearance.pose_uncertainty_mm += std::abs(std::sin(setup.entry_slope_rad)) * plan.pose->span_in_mm();
  if (bent_before && plan.job.stock_slope != Angle()) clearance.not_checked.push_back("bent stock at its slope (it is taken as level)");
  if (bent_before) {
    add_bent_stock(clearance.result, scene, passes[passes.size() - 2].helix, plan.blank);
    clearance.pose_uncertainty_mm = std::max(clearance.pose_uncertainty_mm, astray_mm);
  }
  const bool enough = depth == Depth::trial && clearance.near();
  if (!enough) check_earlier_passes(plan, setup, passes, clearance);
  if (!enough && last.lift) check_flat_start(plan, setup, static_cast<int>(passes.size()), clearance);
  if (plan.job.machine.room.ceiling)
    clearance.most_turns_under_ceiling =
        most_turns_under(*plan.pose,
                         {scene.tube_radius_mm, scene.front_end_mm, scene.rolled_mm - plan.blank.developed.mm()},
                         plan.job.machine.room.ceiling->mm());

  conclude_clearance(plan, std::move(clearance));
}

void conclude_clearance(Plan& plan, ClearancePlan clearance) {
  Remarks say(plan);
  const auto matters = [](const std::string& what) { return what != lead_arc_raised && what != part_turned && what != "lead arc lying flat"; };
  const bool all_checked = std::none_of(clearance.not_checked.begin(), clearance.not_checked.end(), matters);
  const ClearancePlan::Governing governing = clearance.governing();
  const double least_mm = governing.least_mm();
  const NearestPair& nearest = *governing.result->nearest;
  if (least_mm <= 0.0) clearance.verdict = Verdict::collides;
  else if (!clearance.near() && all_checked) clearance.verdict = Verdict::clears;
  else clearance.verdict = Verdict::too_close_to_say;

  const std::string piece(piece_in_words(nearest.piece));
  const std::string at = ", at a fed length of " + say.length(Length::mm(nearest.fed_length_mm), 0) +
                         (governing.when.empty() ? "" : ", " + std::string(governing.when));
  if (clearance.verdict == Verdict::collides)
    say.fault("clearance", "Collision: the " + piece + " and " + nearest.part + " overlap by " +
                               say.length(Length::mm(-least_mm)) + at + ".");
  else if (clearance.verdict == Verdict::too_close_to_say && all_checked)
    say.caution("clearance", "Too close to say: the " + piece + " passes " + nearest.part + " at " +
                                 say.length(Length::mm(least_mm)) + at + ", known to " +
                                 say.length(Length::mm(governing.uncertainty_mm)) + "; " +
                                 say.length(clearance.margin) + " is asked for.");
  if (nearest.piece == Piece::stock && plan.rolling.passes.size() > 1 && clearance.near() && plan.coil.helix().pitch() > Length())
    say.caution("rolling.passes", "A bent bar that climbs ahead of the rolls hangs down behind them when it goes in again. One pass "
                                  "does away with that; or earlier passes rolled flat, without lift, and lift in the last one only "
                                  "(common practice, no source; not planned here: the last pass then takes all of the twist).");
  plan.clearance = std::move(clearance);
}

}  // namespace coilwright::plan_steps
