#include <algorithm>
#include <coilwright/plan/chart_design.hpp>
#include <coilwright/plan/plan_steps.hpp>
#include <coilwright/plan/scene.hpp>
#include <coilwright/quantity/require.hpp>
#include <limits>

namespace coilwright::plan_steps {
namespace {

constexpr const char* incoming_stock = "incoming stock";
constexpr const char* itself = "itself";

LiftObstruction why_no_lift(const NoPass& none) {
  if (std::holds_alternative<OutOfReach>(none.why)) return LiftObstruction::out_of_reach;
  if (std::holds_alternative<OffTheRoll>(none.why)) return LiftObstruction::off_the_roll;
  require(std::holds_alternative<NoEquilibrium>(none.why), "what the rolls cannot bend was found before");
  return LiftObstruction::no_equilibrium;
}

}  // namespace

ChartDesigns::ChartDesigns(const Job& job, Hand hand, ChartDepth depth)
    : job_(job),
      hand_(hand),
      depth_(depth),
      setup_(RollingSetup::of(job.stock, job.machine, job.stock_slope)),
      limits_(MachineLimits::of(job.machine)),
      faces_(faces_of(job.stock.section)),
      things_{"entry roll", "centre roll", "exit roll", "outboard roll"} {
  // Beyond the curvature of the centre roll nothing is bent; searches look a little farther.
  setup_.law = setup_.law.tabulated(4.0 / (setup_.rolls.centre_radius_mm + setup_.rolls.inner_face_mm));
  for (const Solid& solid : job.machine.solids) things_.push_back(solid.name);
  for (const char* name : {"floor", "ceiling", incoming_stock, itself}) things_.emplace_back(name);
}

std::vector<RolledPass> ChartDesigns::roll(const Helix& helix, ChartCell& cell) const {
  const double held = held_curvature(setup_.law, helix.curvature().per_mm());
  PassChoice choice;
  if (job_.passes) {
    cell.passes = *job_.passes;
    choice.flat = roll_flat(setup_.law, setup_.rolls, held, cell.passes);
  } else {
    choice = choose_passes(setup_.law, setup_.rolls, limits_, held);
    cell.passes = choice.passes.value_or(1);
  }
  const FlatPasses& flat = choice.flat;
  cell.bend = flat.stopped ? flat.stopped : exceeded(demand_of(flat.passes, setup_.rolls, limits_), limits_);
  if (!flat.stopped) cell.travel_mm = flat.passes.back().travel_mm;
  if (cell.bend) {
    cell.outcome = ChartOutcome::cannot_be_bent;
    return {};
  }
  PassesOutcome outcome = roll_in_passes(setup_, helix, cell.passes, flat.passes);
  if (const auto* none = std::get_if<NoPass>(&outcome)) {
    cell.outcome = ChartOutcome::cannot_be_lifted;
    cell.lift = why_no_lift(*none);
    return {};
  }
  return std::get<std::vector<RolledPass>>(std::move(outcome));
}

ChartCell ChartDesigns::judge(Length diameter, Length pitch, double turns) const {
  ChartCell cell;
  CoilSpec measures;
  measures.diameter = diameter;
  measures.measured_to = job_.coil.measured_to;
  measures.pitch = pitch;
  measures.turns = turns;
  measures.hand = hand_;
  const Result<Coil> coil = Coil::from(measures, faces_);
  if (!coil) return cell;
  const bool climbs = pitch > Length();
  if (climbs && !job_.machine.makes(hand_)) {
    cell.outcome = ChartOutcome::cannot_be_fed;
    return cell;
  }
  const std::vector<RolledPass> passes = roll(feed_frame_helix(*coil), cell);
  if (passes.empty()) return cell;
  const auto cannot_be_lifted = [&](LiftObstruction why) {
    cell.outcome = ChartOutcome::cannot_be_lifted;
    cell.lift = why;
    return cell;
  };
  if (climbs && !setup_.outboard_roll) return cannot_be_lifted(LiftObstruction::no_outboard_roll);
  Length most;
  for (const RolledPass& pass : passes)
    if (pass.lift) most = std::max(most, pass.lift->state.lift);
  if (passes.back().lift) cell.roll_lift_mm = passes.back().lift->state.lift.mm();
  if (job_.machine.limits.roll_lift && most > *job_.machine.limits.roll_lift)
    return cannot_be_lifted(LiftObstruction::beyond_the_limit);
  if (!climbs && turns > 1.0) {  // it meets its own stock
    cell.outcome = ChartOutcome::strikes_itself;
    return cell;
  }
  clear(*coil, passes, cell);
  return cell;
}

void ChartDesigns::clear(const Coil& coil, const std::vector<RolledPass>& passes, ChartCell& cell) const {
  const RolledPass& last = passes.back();
  const Section& section = job_.stock.section;
  const Blank blank = blank_of(job_.blank, setup_, passes, coil.developed_length());
  const std::vector<Length>& bars = job_.stock.stock_lengths;
  if (!bars.empty() && too_short_to_grip(blank, *std::max_element(bars.begin(), bars.end()))) {
    cell.outcome = ChartOutcome::bar_too_short;
    return;
  }
  const LiftSolution* lift = last.lift ? &*last.lift : nullptr;
  const PosedPart part = place_part(last.helix, setup_.law, setup_.rolls, last.before, last.rolling,
                                    lift != nullptr ? &lift->model->arc() : nullptr, lift != nullptr ? &lift->state : nullptr);
  const Length arm = lift != nullptr ? lift->state.lift : Length();
  const ClearanceScene scene = clearance_scene(
      part, blank, section,
      scene_around(job_.machine, hand_, Contacts::of(part), section, {Length::mm(last.rolling.travel_mm), arm}));
  const NearestOfAll nearest = nearest_within(
      scene, depth_ == ChartDepth::verdict ? job_.clearance_margin.mm() : std::numeric_limits<double>::infinity());
  cell.evaluations = nearest.evaluations;
  cell.least_mm = nearest.least_mm;
  const std::string* name = nullptr;
  if (nearest.least_mm) {
    using Thing = NearestOfAll::Thing;
    const std::string thing = nearest.thing == Thing::obstacle ? scene.obstacles[nearest.obstacle].name
                              : nearest.thing == Thing::stock  ? incoming_stock
                                                               : itself;
    const auto place = std::find(things_.begin(), things_.end(), thing);
    require(place != things_.end(), "everything around a part has its place in the list");
    cell.nearest = static_cast<std::size_t>(place - things_.begin());
    name = &*place;
  }
  const bool all_checked = passes.size() == 1 && job_.stock_slope == Angle();
  if (!nearest.least_mm || *nearest.least_mm > job_.clearance_margin.mm())
    cell.outcome = all_checked ? ChartOutcome::clears : ChartOutcome::not_all_checked;
  else if (*nearest.least_mm > 0.0) cell.outcome = ChartOutcome::too_close;
  else if (*name == incoming_stock || *name == itself) cell.outcome = ChartOutcome::strikes_itself;
  else if (*name == "ceiling") cell.outcome = ChartOutcome::over_the_ceiling;
  else cell.outcome = ChartOutcome::collides;
}

}  // namespace coilwright::plan_steps
