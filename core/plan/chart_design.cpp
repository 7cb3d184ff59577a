#include <algorithm>
#include <cmath>
#include <coilwright/clearance/bent_stock.hpp>
#include <coilwright/plan/chart_design.hpp>
#include <coilwright/plan/plan_steps.hpp>
#include <coilwright/plan/scene.hpp>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/incoming.hpp>
#include <limits>
#include <numbers>
#include <utility>

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

// The least and the greatest curvature of the designs of a chart: R / (R^2 + c^2).
std::pair<double, double> curvatures(const Job& job, const OwnDesign& own, const ChartRequest& request) {
  const StockFaces faces = faces_of(job.stock.section);
  const double to_centreline = job.coil.measured_to == MeasuredTo::inside    ? faces.inner.mm()
                               : job.coil.measured_to == MeasuredTo::outside ? -faces.outer.mm()
                                                                             : 0.0;
  const bool by_pitch = request.rows == ChartRows::pitch;
  const auto climb = [](double pitch_mm) { return pitch_mm / (2.0 * std::numbers::pi); };
  const double c_least = climb(by_pitch ? request.row_values.from : own.pitch_mm);
  const double c_most = climb(by_pitch ? request.row_values.to : own.pitch_mm);
  const double R_least = std::max(0.5 * request.diameters.from + to_centreline, 1.0);
  const double R_most = std::max(0.5 * request.diameters.to + to_centreline, R_least);
  const auto curvature = [](double R, double c) { return R / (R * R + c * c); };
  return {std::min(curvature(R_least, c_most), curvature(R_most, c_most)), curvature(std::clamp(c_least, R_least, R_most), c_least)};
}

}  // namespace

ChartDesigns::ChartDesigns(const Job& job, Hand hand, const OwnDesign& own, const ChartRequest& request)
    : job_(job),
      hand_(hand),
      depth_(request.depth),
      setup_(RollingSetup::of(job.stock, job.machine, job.stock_slope)),
      limits_(MachineLimits::of(job.machine)),
      faces_(faces_of(job.stock.section)),
      standing_(standing_around(job.machine, hand)),
      things_{"entry roll", "centre roll", "exit roll", "outboard roll"} {
  // Beyond the curvature of the centre roll nothing is bent; searches look a little farther.
  const double greatest = 1.0 / (setup_.rolls.centre_radius_mm + setup_.rolls.inner_face_mm);
  setup_.law = setup_.law.tabulated(4.0 * greatest);
  const auto [least, most] = curvatures(job, own, request);
  constexpr int worth_a_table = 1000;  // designs: it takes some two hundred of them to make
  if (request.diameters.count * request.row_values.count >= worth_a_table && least < std::min(most, greatest))
    rolled_flat_ = std::make_unique<RolledFlatTable>(setup_.law, setup_.rolls, held_curvature(setup_.law, least),
                                                     held_curvature(setup_.law, std::min(most, greatest)));
  for (const Solid& solid : job.machine.solids) things_.push_back(solid.name);
  for (const char* name : {"floor", "ceiling", incoming_stock, itself}) things_.emplace_back(name);
}

FlatPasses ChartDesigns::rolled_flat(double held_curvature, int passes) const {
  return rolled_flat_ ? rolled_flat_->at(held_curvature, passes) : roll_flat(setup_.law, setup_.rolls, held_curvature, passes);
}

PosedPart ChartDesigns::place(const std::vector<RolledPass>& passes, std::size_t index) const {
  const RolledPass& pass = passes[index];
  const RaisedArc* arc = pass.lift ? &pass.lift->model->arc() : nullptr;
  const LiftState* lift = pass.lift ? &pass.lift->state : nullptr;
  if (rolled_flat_)
    // The first passes of several are those of fewer to the curvature reached.
    if (auto spans = rolled_flat_->spans_at(pass.rolling.free_curvature, static_cast<int>(index) + 1))
      return place_part(pass.helix, std::move(*spans), pass.rolling, arc, lift, setup_.entry_slope_rad);
  return place_part(pass.helix, setup_.law, setup_.rolls, pass.before, pass.rolling, arc, lift, setup_.entry_slope_rad);
}

std::vector<RolledPass> ChartDesigns::roll(const Helix& helix, ChartCell& cell) const {
  const double held = held_curvature(setup_.law, helix.curvature().per_mm());
  PassChoice choice;
  if (job_.passes) {
    cell.passes = *job_.passes;
    choice.flat = rolled_flat(held, cell.passes);
  } else {
    choice = choose_passes([&](int passes) { return rolled_flat(held, passes); }, setup_.rolls, limits_);
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
  const Section& section = job_.stock.section;
  const Blank blank = blank_of(job_.blank, setup_, passes, coil.developed_length());
  const std::vector<Length>& bars = job_.stock.stock_lengths;
  if (!bars.empty() && too_short_to_grip(blank, *std::max_element(bars.begin(), bars.end()))) {
    cell.outcome = ChartOutcome::bar_too_short;
    return;
  }
  double within_mm = depth_ == ChartDepth::verdict ? job_.clearance_margin.mm() : std::numeric_limits<double>::infinity();
  const auto take = [&](double least_mm, const std::string& thing) {
    const auto place = std::find(things_.begin(), things_.end(), thing);
    require(place != things_.end(), "everything around a part has its place in the list");
    cell.nearest = static_cast<std::size_t>(place - things_.begin());
    cell.least_mm = within_mm = least_mm;
  };
  // A verdict needs no second collision.
  const auto decided = [&] { return depth_ == ChartDepth::verdict && cell.least_mm && *cell.least_mm <= 0.0; };
  // The last pass first: it is the tightest.
  for (std::size_t index = passes.size(); index-- > 0 && !decided();) {
    const RolledPass& pass = passes[index];
    const PosedPart part = place(passes, index);
    const Length arm = pass.lift ? pass.lift->state.lift : Length();
    ClearanceScene scene = clearance_scene(
        part, blank, section,
        set_around(job_.machine, hand_, Contacts::of(part), section, {Length::mm(pass.rolling.travel_mm), arm}));
    scene.standing = &standing_;
    if (index > 0) scene.stock_mm = 0.0;
    const auto look = [&](const ClearanceScene& at, const char* stock) {
      const NearestOfAll nearest = nearest_within(at, within_mm);
      cell.evaluations += nearest.evaluations;
      using Thing = NearestOfAll::Thing;
      if (nearest.least_mm)
        take(*nearest.least_mm, nearest.thing == Thing::obstacle ? at.obstacle(nearest.obstacle).name
                                : nearest.thing == Thing::stock  ? stock
                                                                 : itself);
    };
    look(scene, incoming_stock);
    if (index == 0 || decided()) continue;
    const PosedPart bent = incoming_bent(part, passes[index - 1].helix);
    const ClearanceScene against = against_the_feed(scene, bent, blank);
    look(against, itself);
    if (decided()) continue;
    constexpr double tolerance_mm = 0.01;
    const BentStockDistance across =
        distance_to_bent_stock({&part, &bent, scene.rolled_mm, scene.front_end_mm, against.front_end_mm}, tolerance_mm);
    cell.evaluations += across.evaluations;
    const double across_mm = across.lower_mm - 2.0 * scene.tube_radius_mm;
    if (across.meeting && across_mm < within_mm) take(across_mm, incoming_stock);
  }
  const std::string* name = cell.nearest ? &things_[*cell.nearest] : nullptr;
  // How bent stock lies at a slope nobody knows.
  const bool all_checked = passes.size() == 1 || job_.stock_slope == Angle();
  if (!cell.least_mm || *cell.least_mm > job_.clearance_margin.mm())
    cell.outcome = all_checked ? ChartOutcome::clears : ChartOutcome::not_all_checked;
  else if (*cell.least_mm > 0.0) cell.outcome = ChartOutcome::too_close;
  else if (*name == incoming_stock || *name == itself) cell.outcome = ChartOutcome::strikes_itself;
  else if (*name == "ceiling") cell.outcome = ChartOutcome::over_the_ceiling;
  else cell.outcome = ChartOutcome::collides;
}

}  // namespace coilwright::plan_steps
