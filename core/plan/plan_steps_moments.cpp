// What else comes near than the last pass as it runs.
#include <algorithm>
#include <coilwright/clearance/bent_stock.hpp>
#include <coilwright/plan/plan_steps.hpp>
#include <coilwright/plan/scene.hpp>
#include <coilwright/rolling/incoming.hpp>

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
std::vector<Obstacle> against_the_feed(std::vector<Obstacle> obstacles) {
  for (Obstacle& o : obstacles) {
    if (!o.contact_lag_mm) continue;
    o.contact_lag_mm = o.name == "outboard roll" ? std::nullopt : std::optional(-*o.contact_lag_mm);
  }
  return obstacles;
}

// A meeting of the bent stock, told as of the bar: it lies there from the start, its flat back end when all that is
// bent has gone by.
void tell_of_the_bar(NearestPair& pair, const ClearanceScene& against, double flat_front_mm) {
  const double lag = pair.fed_length_mm, ahead = std::max(0.0, -pair.along_part_mm);
  pair.fed_length_mm = pair.piece == Piece::front_end ? against.rolled_mm - lag : 0.0;
  if (pair.piece != Piece::spans) pair.piece = Piece::stock;
  pair.along_part_mm = flat_front_mm + pair.fed_length_mm + lag + ahead;
}

}  // namespace

void add_bent_stock(ClearanceResult& result, const ClearanceScene& scene, const Helix& before, const Blank& blank) {
  const PosedPart in = incoming_bent(*scene.part, before);
  ClearanceScene against = scene;
  against.part = &in;
  against.coil_to_mm = against.rolled_mm;
  against.front_end_mm = blank.flat_back.mm();
  against.stock_mm = against.flat_front_mm = 0.0;
  against.obstacles = against_the_feed(scene.obstacles);
  ClearanceResult of_stock = certify(against);
  for (std::size_t i = 0; i < result.obstacles.size(); ++i) {
    ObstacleClearance &to = result.obstacles[i], &from = of_stock.obstacles[i];
    auto& stock = to.pieces[static_cast<std::size_t>(Piece::stock)];
    for (const Piece piece : {Piece::coil, Piece::front_end})
      if (const auto& least = from.pieces[static_cast<std::size_t>(piece)]) stock = std::min(stock.value_or(*least), *least);
    if (!from.least_mm || (to.least_mm && *to.least_mm <= *from.least_mm)) continue;
    tell_of_the_bar(*from.nearest, against, scene.flat_front_mm);
    to.least_mm = from.least_mm;
    to.nearest = from.nearest;
  }
  // Turn to turn, behind the rolls as ahead of them.
  if (of_stock.self_mm && (!result.self_mm || *of_stock.self_mm < *result.self_mm)) {
    result.self_mm = of_stock.self_mm;
    result.self_at_end = of_stock.self_at_end;
  }
  const LeastPair pair = distance_to_bent_stock(
      {scene.part, &in, scene.rolled_mm, scene.front_end_mm, against.front_end_mm}, 0.01);
  NearestPair across;
  if (pair.meeting) {
    result.stock_mm = pair.lower_mm - 2.0 * scene.tube_radius_mm;
    const Eigen::Vector3d toward = (pair.meeting->far_point - pair.meeting->near_point).normalized();
    across.part = "incoming stock";
    across.piece = Piece::coil;
    across.fed_length_mm = std::min(pair.meeting->far_lag_mm, pair.meeting->near_lag_mm);
    across.along_part_mm = scene.flat_front_mm;
    across.distance_mm = *result.stock_mm;
    across.part_point = pair.meeting->far_point - scene.tube_radius_mm * toward;
    across.machine_point = pair.meeting->near_point + scene.tube_radius_mm * toward;
  }
  result.evaluations += of_stock.evaluations + pair.evaluations;
  result.swept_radius_mm = std::max(result.swept_radius_mm, of_stock.swept_radius_mm);
  if (of_stock.least_mm && (!result.least_mm || *of_stock.least_mm < *result.least_mm)) {
    tell_of_the_bar(*of_stock.nearest, against, scene.flat_front_mm);
    result.least_mm = of_stock.least_mm;
    result.nearest = of_stock.nearest;
    result.error_bound_mm = of_stock.error_bound_mm;
  }
  if (pair.meeting && (!result.least_mm || *result.stock_mm < *result.least_mm)) {
    result.least_mm = result.stock_mm;
    result.nearest = across;
    result.error_bound_mm = 0.01;
  }
}

void check_earlier_passes(const Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes,
                          ClearancePlan& clearance) {
  const Section& section = plan.job.stock.section;
  const std::size_t count = passes.size();
  for (std::size_t i = 0; i + 1 < count; ++i) {
    const RolledPass& pass = passes[i];
    if (pass.helix.pitch().mm() > 0.0 && !pass.lift) continue;
    const auto scene_with = [&](const PosedPart& part, const LiftSolution* lift) {
      ClearanceScene scene = clearance_scene(
          part, plan.blank, section,
          scene_around(plan.job.machine, plan.coil.hand(), Contacts::of(part), section,
                       {Length::mm(pass.rolling.travel_mm), lift != nullptr ? lift->state.lift : Length()}));
      if (i > 0) scene.stock_mm = 0.0;  // it is bent
      return scene;
    };
    const LiftSolution* lift = pass.lift ? &*pass.lift : nullptr;
    const PosedPart part = posed(setup, pass, lift);
    const ClearanceScene scene = scene_with(part, lift);
    ClearanceMoment moment{"in pass " + std::to_string(i + 1) + " of " + std::to_string(count), certify(scene), astray_mm};
    if (!moment.result.least_mm) continue;
    const double nominal = *moment.result.least_mm;
    double least = nominal;
    if (pass.lift)
      for (const std::optional<LiftSolution>& corner : band_lift(setup, pass).corners) {
        if (!corner) continue;
        const PosedPart at_corner = posed(setup, pass, &*corner);
        least = std::min(least, least_distance_mm(scene_with(at_corner, &*corner), 0.1).value_or(least));
      }
    moment.uncertainty_mm += nominal - least;
    if (i > 0) add_bent_stock(moment.result, scene, passes[i - 1].helix, plan.blank);
    clearance.moments.push_back(std::move(moment));
  }
}

}  // namespace plan_steps
}  // namespace coilwright
