#include <algorithm>
#include <cmath>
#include <coilwright/plan/plan_steps.hpp>
#include <coilwright/plan/scene.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/rolling/incoming.hpp>

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

// A pass and what it takes to stand it in a scene.
class PassInScene {
 public:
  PassInScene(const Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes, std::size_t index)
      : plan_(plan), setup_(setup), pass_(passes[index]), comes_bent_(index > 0) {}

  [[nodiscard]] PosedPart posed(const LiftSolution* lift) const {
    return place_part(pass_.helix, setup_.law, setup_.rolls, pass_.before, pass_.rolling,
                      lift != nullptr ? &lift->model->arc() : nullptr, lift != nullptr ? &lift->state : nullptr,
                      setup_.entry_slope_rad);
  }
  // What carries it beyond the outboard roll; without a climb it lies on its support.
  [[nodiscard]] std::optional<Carrying> carrying(const PosedPart& part) const {
    if (own_lift() == nullptr) return std::nullopt;
    const double beyond = plan_.blank.rolled().mm() - part.outboard_lag_mm();
    if (!(beyond > 0.0)) return std::nullopt;
    return carry_coil(plan_.job.stock, pass_.helix.bend_radius(), Length::mm(beyond), plan_.blank.flat_front, sag_allowed);
  }
  [[nodiscard]] const LiftSolution* own_lift() const { return pass_.lift ? &*pass_.lift : nullptr; }
  [[nodiscard]] std::vector<Obstacle> around(const PosedPart& part, const LiftSolution* lift, double slide_mm = 0.0) const {
    return scene_around(plan_.job.machine, plan_.coil.hand(), Contacts::of(part), plan_.job.stock.section,
                        {Length::mm(pass_.rolling.travel_mm + slide_mm), lift != nullptr ? lift->state.lift : Length()});
  }
  [[nodiscard]] ClearanceScene scene(const PosedPart& part, std::vector<Obstacle> obstacles) const {
    ClearanceScene scene = clearance_scene(part, plan_.blank, plan_.job.stock.section, std::move(obstacles));
    if (comes_bent_) scene.stock_mm = 0.0;
    return scene;
  }

  // How much closer the part may stand than the nominal pose says: radius and pitch are those asked for
  // (they get gauged), unknown is how the part stands. Each corner of the working band with the lift that
  // gives this pitch there, and the way the part leaves the rolls.
  // What hangs below the pose, carried as `carrying` says, stands somewhere between it and its sag.
  [[nodiscard]] double uncertainty_mm(const std::optional<BandedLift>& lift, const std::optional<Carrying>& carrying,
                                      const PosedPart& nominal, double nominal_least) const {
    double least = nominal_least;
    const auto lose = [&](const ClearanceScene& other) { least = std::min(least, least_distance_mm(other).value_or(least)); };
    if (lift)
      for (const std::optional<LiftSolution>& corner : lift->corners) {
        if (!corner) continue;
        const PosedPart part = posed(&*corner);
        lose(scene(part, around(part, &*corner)));
      }
    for (const double slide : {-travel_uncertainty_mm, travel_uncertainty_mm})
      for (const double part_y : {-travel_uncertainty_mm, travel_uncertainty_mm}) {
        const PosedPart part = nominal.shifted({0.0, part_y, 0.0});
        // The rolls move with the part's own contact; only what rides on the slide stands elsewhere.
        std::vector<Obstacle> obstacles = around(nominal, own_lift(), slide);
        std::erase_if(obstacles, [](const Obstacle& o) { return o.contact_lag_mm.has_value(); });
        lose(scene(part, std::move(obstacles)));
      }
    if (carrying) {
      std::vector<Obstacle> obstacles = around(nominal, own_lift());
      // It does not hang through the roll that it leaves.
      std::erase_if(obstacles, [](const Obstacle& o) { return o.name == "outboard roll"; });
      const PosedPart part = nominal.sunk(carrying->then.sag.mm());
      lose(scene(part, std::move(obstacles)));
    }
    return nominal_least - least;
  }

 private:
  const Plan& plan_;
  const RollingSetup& setup_;
  const RolledPass& pass_;
  bool comes_bent_;
};

}  // namespace

RunningPass run_pass(const Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes, std::size_t index,
                     const std::optional<BandedLift>& lift) {
  const PassInScene pass(plan, setup, passes, index);
  PosedPart part = pass.posed(pass.own_lift());
  std::vector<Obstacle> obstacles = pass.around(part, pass.own_lift());
  RunningPass run{std::move(part), std::move(obstacles), std::nullopt, {}, 0.0, std::nullopt};
  run.carrying = pass.carrying(run.part);
  if (index > 0) run.bent_stock = incoming_bent(run.part, passes[index - 1].helix);
  const ClearanceScene scene = pass.scene(run.part, run.obstacles);
  run.result = certify(scene);
  if (!run.result.least_mm) return run;
  // The slope may set in anywhere between entry and centre roll.
  run.uncertainty_mm = pass.uncertainty_mm(lift, run.carrying, run.part, *run.result.least_mm) +
                       std::abs(std::sin(setup.entry_slope_rad)) * run.part.span_in_mm();
  if (run.bent_stock) {
    add_bent_stock(run.result, scene, *run.bent_stock, plan.blank);
    // Whatever it comes near to, bent stock moves with the part, and the slide by itself.
    run.uncertainty_mm = std::max(run.uncertainty_mm, 2.0 * travel_uncertainty_mm);
  }
  return run;
}

void say_stock_comes_in_bent(Remarks& say) {
  say.caution("rolling.passes", "From the second pass on the bent stock is taken to come in level and upright, as it was bent: "
                                "hands and props behind the rolls decide how it really hangs. Watch it.");
}

void plan_clearance(Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes,
                    const std::optional<BandedLift>& lift, Depth depth) {
  Remarks say(plan);
  const RolledPass& last = passes.back();
  // A pitch that nothing lifts has no pose to speak of.
  if (last.helix.pitch().mm() > 0.0 && !last.lift) return;
  RunningPass run = run_pass(plan, setup, passes, passes.size() - 1, lift);
  plan.pose = std::move(run.part);
  plan.scene = std::move(run.obstacles);
  plan.bent_stock = std::move(run.bent_stock);
  plan.carrying = run.carrying;
  if (!run.result.least_mm) return;  // nothing stands around the part

  ClearancePlan clearance;
  clearance.result = std::move(run.result);
  clearance.margin = plan.job.clearance_margin;
  clearance.pose_uncertainty_mm = run.uncertainty_mm;
  if (passes.size() > 1) {
    if (plan.job.stock_slope != Angle()) clearance.not_checked.push_back("bent stock at its slope (it is taken as level)");
    say_stock_comes_in_bent(say);
  }
  const bool enough = depth == Depth::trial && clearance.near();
  if (!enough) check_earlier_passes(plan, setup, passes, clearance);
  if (!enough && last.lift) check_flat_start(plan, setup, static_cast<int>(passes.size()), clearance);
  if (plan.job.machine.room.ceiling) {
    const ClearanceScene scene = clearance_scene(*plan.pose, plan.blank, plan.job.stock.section, {});
    clearance.most_turns_under_ceiling =
        most_turns_under(*plan.pose,
                         {scene.tube_radius_mm, scene.front_end_mm, scene.rolled_mm - plan.blank.developed.mm(), scene.section},
                         plan.job.machine.room.ceiling->mm());
  }
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
