// What else comes near than the last pass as it runs.
#include <algorithm>
#include <coilwright/clearance/bent_stock.hpp>
#include <coilwright/plan/plan_steps.hpp>
#include <coilwright/plan/scene.hpp>

namespace coilwright {

ClearancePlan::Governing ClearancePlan::governing() const {
  Governing worst{&result, pose_uncertainty_mm, {}};
  const auto before = [](const Governing& a, const Governing& b) {
    constexpr double proved_to_mm = 0.01;  // nearer by less is no difference
    if (a.least_mm() <= 0.0 || b.least_mm() <= 0.0) return a.least_mm() < b.least_mm() - proved_to_mm;
    return a.left_mm() < b.left_mm() - proved_to_mm;
  };
  for (const ClearanceMoment& moment : moments) {
    const Governing other{&moment.result, moment.uncertainty_mm, moment.when};
    if (before(other, worst)) worst = other;
  }
  return worst;
}

ClearanceResult ClearancePlan::over_all() const {
  ClearanceResult all = result;
  const auto lower = [](std::optional<double>& to, const std::optional<double>& by) {
    if (!by || (to && *to <= *by)) return false;
    to = by;
    return true;
  };
  for (const ClearanceMoment& moment : moments) {
    const ClearanceResult& other = moment.result;
    for (const ObstacleClearance& o : other.obstacles) {
      const auto known = std::find_if(all.obstacles.begin(), all.obstacles.end(), [&](const ObstacleClearance& a) { return a.part == o.part; });
      if (known == all.obstacles.end()) {
        all.obstacles.push_back(o);
        continue;
      }
      if (lower(known->least_mm, o.least_mm)) known->nearest = o.nearest;
      for (std::size_t i = 0; i < o.pieces.size(); ++i) lower(known->pieces[i], o.pieces[i]);
      auto& left_out = known->excluded_lag_mm;
      if (o.excluded_lag_mm)
        left_out = left_out ? std::pair(std::min(left_out->first, o.excluded_lag_mm->first), std::max(left_out->second, o.excluded_lag_mm->second))
                            : *o.excluded_lag_mm;
    }
    if (lower(all.self_mm, other.self_mm)) all.self_at_end = other.self_at_end;
    lower(all.stock_mm, other.stock_mm);
  }
  const Governing worst = governing();
  all.least_mm = worst.result->least_mm;
  all.nearest = worst.result->nearest;
  all.error_bound_mm = worst.result->error_bound_mm;
  all.swept_radius_mm = swept_radius_mm();
  all.swept_height_mm = swept_height_mm();
  return all;
}

double ClearancePlan::swept_radius_mm() const {
  double most = result.swept_radius_mm;
  for (const ClearanceMoment& moment : moments) most = std::max(most, moment.result.swept_radius_mm);
  return most;
}

double ClearancePlan::swept_height_mm() const {
  double most = result.swept_height_mm;
  for (const ClearanceMoment& moment : moments) most = std::max(most, moment.result.swept_height_mm);
  return most;
}

namespace plan_steps {
namespace {

// The same things as an obstacle of stock that comes in bent, told against the feed: contacts change sides, and the
// outboard roll is not on its way.
std::vector<Obstacle> told_against_the_feed(std::vector<Obstacle> obstacles) {
  for (Obstacle& o : obstacles) {
    if (!o.contact_lag_mm) continue;
    o.contact_lag_mm = o.name == "outboard roll" ? std::nullopt : std::optional(-*o.contact_lag_mm);
  }
  return obstacles;
}

// A meeting of the bent stock, told as of the bar: it lies there from the start, its flat back end when all that is
// bent has gone by. The scene against the feed has no flat front, so that its places along the part are minus what they
// lie beyond the lag.
void tell_of_the_bar(NearestPair& pair, const ClearanceScene& against, double flat_front_mm) {
  const double lag = pair.fed_length_mm, beyond = -pair.along_part_mm;
  pair.fed_length_mm = pair.piece == Piece::front_end ? against.rolled_mm - lag : 0.0;
  if (pair.piece != Piece::spans) pair.piece = Piece::stock;
  if (pair.part == "incoming stock") pair.part = "itself";  // what lies at the rolls, seen from behind them
  pair.along_part_mm = flat_front_mm + pair.fed_length_mm + lag + beyond;
}

void add_obstacles(ClearanceResult& result, const ClearanceResult& of_stock, const ClearanceScene& against, double flat_front_mm) {
  for (std::size_t i = 0; i < result.obstacles.size(); ++i) {
    ObstacleClearance& to = result.obstacles[i];
    const ObstacleClearance& from = of_stock.obstacles[i];
    auto& stock = to.pieces[static_cast<std::size_t>(Piece::stock)];
    for (const Piece piece : {Piece::coil, Piece::front_end})
      if (const auto& least = from.pieces[static_cast<std::size_t>(piece)]) stock = std::min(stock.value_or(*least), *least);
    if (from.excluded_lag_mm) {
      const double first = -from.excluded_lag_mm->second, last = -from.excluded_lag_mm->first;
      to.excluded_lag_mm = to.excluded_lag_mm ? std::pair(std::min(first, to.excluded_lag_mm->first), std::max(last, to.excluded_lag_mm->second))
                                              : std::pair(first, last);
    }
    if (!from.least_mm || (to.least_mm && *to.least_mm <= *from.least_mm)) continue;
    to.least_mm = from.least_mm;
    to.nearest = from.nearest;
    tell_of_the_bar(*to.nearest, against, flat_front_mm);
  }
}

NearestPair pair_of(const BentStockMeeting& meeting, const ClearanceScene& scene, double distance_mm) {
  const Eigen::Vector3d toward_part = (meeting.out_point - meeting.in_point).normalized();
  NearestPair pair;
  pair.part = "incoming stock";
  pair.piece = meeting.out_ahead_mm > 0.0 ? Piece::front_end : meeting.out_lag_mm > scene.coil_to_mm ? Piece::lead_arc : Piece::coil;
  pair.fed_length_mm = meeting.fed_mm;
  pair.along_part_mm = scene.flat_front_mm + meeting.fed_mm - meeting.out_lag_mm - meeting.out_ahead_mm;
  pair.distance_mm = distance_mm;
  pair.part_point = meeting.out_point - scene.tube_radius_mm * toward_part;
  pair.machine_point = meeting.in_point + scene.tube_radius_mm * toward_part;
  return pair;
}

}  // namespace

ClearanceScene against_the_feed(const ClearanceScene& scene, const PosedPart& bent_stock, const Blank& blank) {
  ClearanceScene against = scene;
  against.part = &bent_stock;
  against.coil_to_mm = against.rolled_mm;
  against.front_end_mm = blank.flat_back.mm();
  against.stock_mm = against.flat_front_mm = 0.0;
  against.obstacles = told_against_the_feed(scene.obstacles);
  return against;
}

void add_bent_stock(ClearanceResult& result, const ClearanceScene& scene, const PosedPart& bent_stock, const Blank& blank) {
  constexpr double tolerance_mm = 0.01;
  const ClearanceScene against = against_the_feed(scene, bent_stock, blank);
  const ClearanceResult of_stock = certify(against, tolerance_mm);
  add_obstacles(result, of_stock, against, scene.flat_front_mm);
  const BentStockDistance across = distance_to_bent_stock(
      {scene.part, &bent_stock, scene.rolled_mm, scene.front_end_mm, against.front_end_mm}, tolerance_mm);
  const double across_mm = across.lower_mm - 2.0 * scene.tube_radius_mm;
  result.evaluations += of_stock.evaluations + across.evaluations;
  result.swept_radius_mm = std::max(result.swept_radius_mm, of_stock.swept_radius_mm);
  result.swept_height_mm = std::max(result.swept_height_mm, of_stock.swept_height_mm);
  // Turn to turn, behind the rolls as ahead of them.
  if (of_stock.self_mm && (!result.self_mm || *of_stock.self_mm < *result.self_mm)) {
    result.self_mm = of_stock.self_mm;
    result.self_at_end = of_stock.self_at_end;
  }
  if (across.meeting) result.stock_mm = std::min(across_mm, result.stock_mm.value_or(across_mm));
  if (of_stock.least_mm && (!result.least_mm || *of_stock.least_mm < *result.least_mm)) {
    result.least_mm = of_stock.least_mm;
    result.nearest = of_stock.nearest;
    tell_of_the_bar(*result.nearest, against, scene.flat_front_mm);
    result.error_bound_mm = of_stock.error_bound_mm;
  }
  if (across.meeting && (!result.least_mm || across_mm < *result.least_mm)) {
    result.least_mm = across_mm;
    result.nearest = pair_of(*across.meeting, scene, across_mm);
    result.error_bound_mm = across.error_mm;
  }
}

void check_earlier_passes(Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes,
                          ClearancePlan& clearance) {
  const std::size_t count = passes.size();
  for (std::size_t i = 0; i + 1 < count; ++i) {
    const RolledPass& pass = passes[i];
    const std::string when = "pass " + std::to_string(i + 1) + " of " + std::to_string(count);
    if (pass.helix.pitch().mm() > 0.0 && !pass.lift) {
      clearance.not_checked.push_back(when);
      continue;
    }
    RunningPass run = run_pass(plan, setup, passes, i, pass.lift ? std::optional(band_lift(setup, pass)) : std::nullopt);
    if (run.carrying && run.carrying->at_least_every &&
        (!plan.carrying || !plan.carrying->at_least_every || *run.carrying->at_least_every < *plan.carrying->at_least_every))
      plan.carrying = run.carrying;
    if (run.result.least_mm) clearance.moments.push_back({"in " + when, std::move(run.result), run.uncertainty_mm});
  }
}

}  // namespace plan_steps
}  // namespace coilwright
