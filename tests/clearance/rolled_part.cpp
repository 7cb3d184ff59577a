// Certified clearance of parts that were really rolled: posed by the rolling room from a lift that was solved,
// not made by hand.
#include <catch2/catch.hpp>
#include <coilwright/clearance/clearance.hpp>
#include <coilwright/clearance/certified_minimum.hpp>
#include <coilwright/clearance/self_distance.hpp>
#include <cstdio>

#include "bench.hpp"
#include "brute_force.hpp"
#include "rolling/fixture.hpp"

using namespace coilwright;
using namespace coilwright::bench;

namespace {

constexpr double tolerance = 0.01, tube_radius = 21.2;

PosedPart rolled(double plan_radius_mm, double pitch_mm, double reach_mm) {
  const Machine machine = rolling_fixture::roller(reach_mm);
  const RollingSetup setup = RollingSetup::of(rolling_fixture::handrail_stock(), machine, Angle());
  const Helix helix(Length::mm(plan_radius_mm), Length::mm(pitch_mm), Hand::right_screw);
  const PassesOutcome outcome = roll_in_passes(setup, helix, 1);
  REQUIRE(std::holds_alternative<std::vector<RolledPass>>(outcome));
  const RolledPass& pass = std::get<std::vector<RolledPass>>(outcome).front();
  return place_part(helix, setup.law, setup.rolls, pass.before, pass.rolling,
                    pass.lift ? &pass.lift->model->arc() : nullptr, pass.lift ? &pass.lift->state : nullptr);
}

PosedPart handrail() { return rolled(800.0, 2700.0, 1200.0); }

ClearanceScene scene_of(const PosedPart& part, double turns, std::vector<Obstacle> obstacles) {
  ClearanceScene scene;
  scene.part = &part;
  scene.tube_radius_mm = tube_radius;
  scene.coil_to_mm = turns * 2.0 * std::numbers::pi * part.helix().arc_per_radian_mm();
  scene.rolled_mm = scene.coil_to_mm + 1200.0;
  scene.front_end_mm = scene.flat_front_mm = 250.0;
  scene.stock_mm = 4000.0;
  scene.obstacles = std::move(obstacles);
  return scene;
}

// Plain upright rolls at the three contacts, as thick and as tall as given, and nothing else.
std::vector<Obstacle> three_rolls(const PosedPart& part, double radius_mm, double half_height_mm) {
  std::vector<Obstacle> rolls;
  const auto roll = [&](const char* name, double lag, double side) {
    const CurvePoint c = part.at(Stage::spans, lag);
    const Eigen::Vector3d inward(-c.d1.y(), c.d1.x(), 0.0);
    const Eigen::Vector3d axis = c.p + side * (radius_mm + tube_radius) * inward.normalized();
    const Eigen::Vector3d up(0.0, 0.0, half_height_mm);
    rolls.push_back({name, {Cylinder{axis - up, axis + up, radius_mm}}, lag, 1.0});
  };
  roll("entry roll", -part.span_in_mm(), -1.0);
  roll("centre roll", 0.0, 1.0);
  roll("exit roll", part.span_out_mm(), -1.0);
  return rolls;
}

// Something near a place of the part, so that every stretch of it has something to keep away from.
Obstacle near(Dice& dice, const PosedPart& part, double lag, int kind) {
  const Eigen::Vector3d centre = part.at(lag).p + dice.direction() * dice.between(60.0, 500.0);
  return {"solid", {random_shape(dice, centre, kind)}, std::nullopt, 0.0};
}

}  // namespace

TEST_CASE("every piece of rolled parts agrees with plain halving", "[clearance][oracle]") {
  Dice dice(71);
  const std::vector<PosedPart> parts{handrail(), rolled(500.0, 150.0, 700.0), rolled(900.0, 0.0, 1200.0)};
  for (int i = 0; i < 9 * effort(); ++i) {
    const PosedPart& part = parts[static_cast<std::size_t>(i) % parts.size()];
    const double turns = 1.1, last = turns * 2.0 * std::numbers::pi * part.helix().arc_per_radian_mm();
    const double lags[] = {-1500.0, -100.0, 0.5 * (part.span_out_mm() + part.outboard_lag_mm()), 0.4 * last, last};
    std::vector<Obstacle> obstacles;
    for (int k = 0; k < 5; ++k) obstacles.push_back(near(dice, part, lags[k], i / 3 + k));
    const ClearanceScene scene = scene_of(part, turns, obstacles);
    const ClearanceResult result = certify(scene, tolerance);
    double least = 1e300;
    for (std::size_t k = 0; k < obstacles.size(); ++k) {
      for (const Piece piece : all_pieces) {
        CAPTURE(i, k, piece_text(piece));
        const auto proved = result.obstacles[k].pieces[static_cast<std::size_t>(piece)];
        REQUIRE(proved);
        // The front end sweeps a surface: plain halving is slow there, so it is asked for less.
        const double within = piece == Piece::front_end ? 0.5 : 0.02;
        const Enclosure plain = least_to_bodies(scene, piece, obstacles[k].bodies, within);
        CHECK(*proved <= plain.high + 1e-9);
        // The front end may be certified too long by what its surface is stretched on the arc: 0.15 mm of 250.
        CHECK(*proved >= plain.low - tolerance - (piece == Piece::front_end ? 0.15 : 0.0));
        least = std::min(least, *proved);
      }
    }
    CHECK(*result.least_mm <= least + 1e-9);
    // Overall only, in one search.
    CHECK(*least_distance_mm(scene, tolerance) == Approx(*result.least_mm).margin(tolerance + 1e-9));
  }
}

TEST_CASE("the bounds of rolled parts hold wherever they are sampled", "[clearance][bound]") {
  // Real loaded spans and real sprung arcs: their bounds come from the rolling and the lift, not from the test.
  Dice dice(72);
  double worst_rise = 1e9, worst_reach = 1e9, worst_cover = 1e9, loosest_cover = 0.0;
  for (const PosedPart& part : {handrail(), rolled(500.0, 150.0, 700.0), rolled(900.0, 2400.0, 1500.0)}) {
    const double exit = part.span_out_mm(), out = part.outboard_lag_mm();
    const Stretch stages[] = {{part, Stage::spans, -part.span_in_mm(), exit},
                              {part, Stage::arc, exit, out},
                              {part, Stage::coil, out, out + 8000.0}};
    for (int i = 0; i < 600 * effort(); ++i) {
      const Stretch& stretch = stages[i % 3];
      const double half = 0.5 * (stretch.to_mm() - stretch.from_mm()) * std::pow(10.0, dice.between(-3.0, 0.0));
      const double middle = dice.between(stretch.from_mm() + half, stretch.to_mm() - half);
      const double length = i % 3 > 0 && i % 2 ? dice.between(1.0, 800.0) : 0.0;
      const Eigen::Vector3d g = dice.direction();
      const auto at = [&](double lag) {
        const BoundedPoint p = stretch.at(lag);
        return length > 0.0 ? stretch.ahead(p, length) : p;
      };
      const BoundedPoint m = at(middle);
      const double rise = stretch.least_rise(m, g, half), reach = stretch.reach(m, half);
      for (int k = 0; k <= 40; ++k) {
        const Eigen::Vector3d step = at(middle - half + 2.0 * half * k / 40).c.p - m.c.p;
        worst_rise = std::min(worst_rise, g.dot(step) - rise);
        worst_reach = std::min(worst_reach, reach - step.norm());
      }
    }
    for (const Stretch& stretch : stages) {
      const double covering = stretch.straight_covering(250.0);
      double least = 1e9;
      for (int k = 0; k <= 5000; ++k)
        least = std::min(least, stretch.at(stretch.from_mm() + (stretch.to_mm() - stretch.from_mm()) * k / 5000).c.d1.norm());
      if (stretch.stage() == Stage::spans) continue;  // nothing straight ahead of them
      worst_cover = std::min(worst_cover, covering * least - 250.0);
      loosest_cover = std::max(loosest_cover, covering * least - 250.0);
    }
  }
  CAPTURE(worst_rise, worst_reach, worst_cover, loosest_cover);
  CHECK(worst_rise > -1e-9);
  CHECK(worst_reach > -1e-9);
  CHECK(worst_cover > -1e-9);
  CHECK(loosest_cover < 250.0 * 2e-5);
}

TEST_CASE("a rolled part leaves its own rolls", "[clearance][oracle]") {
  // By design it touches all three. What is not counted reaches past the contact, at most half a turn; what is
  // counted was checked by plain halving from there on, and with low rolls nothing of it comes back.
  const PosedPart part = handrail();
  const ClearanceScene scene = scene_of(part, 1.1, three_rolls(part, 100.0, 25.0));
  const ClearanceResult result = certify(scene, tolerance);
  const double contacts[] = {-part.span_in_mm(), 0.0, part.span_out_mm()};
  for (std::size_t i = 0; i < 3; ++i) {
    CAPTURE(result.obstacles[i].part);
    const auto& excluded = result.obstacles[i].excluded_lag_mm;
    REQUIRE(excluded);
    CHECK(excluded->first < contacts[i]);
    CHECK(excluded->second > contacts[i] + 10.0 * tube_radius);
    CHECK(excluded->second <= contacts[i] + std::numbers::pi * part.helix().arc_per_radian_mm() + 1e-9);
    REQUIRE(result.obstacles[i].least_mm);
    CHECK(*result.obstacles[i].least_mm > 100.0);
    // The coil and its start-up from the end of what is not counted on.
    ClearanceScene counted = scene;
    counted.coil_to_mm = excluded->second;
    const Enclosure plain = least_to_bodies(counted, Piece::lead_arc, scene.obstacles[i].bodies, 0.02);
    const auto least = std::min(result.obstacles[i].pieces[static_cast<std::size_t>(Piece::coil)].value_or(1e9),
                                result.obstacles[i].pieces[static_cast<std::size_t>(Piece::lead_arc)].value_or(1e9));
    CHECK(least <= plain.high + 1e-9);
    CHECK(least >= plain.low - tolerance);
  }
}

TEST_CASE("whoever asks only for what is near gets the same answer", "[clearance][property]") {
  // Contacts are then told apart only as far as the limit: what is nearer must come out as it does without one.
  Dice dice(73);
  int within = 0, beyond = 0;
  for (const PosedPart& part : {handrail(), rolled(500.0, 150.0, 700.0)})
    for (const double half_height : {25.0, 140.0, 400.0})
      for (int i = 0; i < 6; ++i) {
        std::vector<Obstacle> obstacles = three_rolls(part, dice.between(60.0, 140.0), half_height);
        if (i % 2 == 1) obstacles.push_back(near(dice, part, dice.between(0.0, 5000.0), i));
        const ClearanceScene scene = scene_of(part, dice.between(0.4, 1.6), std::move(obstacles));
        const NearestOfAll all = nearest_within(scene, 1e9, tolerance);
        REQUIRE(all.least_mm);
        for (const double limit : {1.0, 25.0, 400.0}) {
          const NearestOfAll some = nearest_within(scene, limit, tolerance);
          CAPTURE(half_height, i, limit, *all.least_mm);
          if (*all.least_mm <= limit) {
            REQUIRE(some.least_mm);
            CHECK(*some.least_mm == Approx(*all.least_mm).margin(2.0 * tolerance));
            ++within;
          } else if (*all.least_mm > limit + 3.0 * tolerance) {
            CHECK_FALSE(some.least_mm);
            ++beyond;
          }
        }
      }
  CHECK(within > 10);
  CHECK(beyond > 10);
}

TEST_CASE("a later turn of a rolled part that strikes a tall roll is found", "[clearance][oracle]") {
  // The pitch is 150 mm: after a turn the tube passes 150 mm above the rolls' contact, give or take its lean. Rolls
  // that reach higher stand in its way, lower ones do not.
  const PosedPart part = rolled(500.0, 150.0, 700.0);
  const double turn = 2.0 * std::numbers::pi * part.helix().arc_per_radian_mm();
  for (const double half_height : {40.0, 400.0}) {
    const ClearanceScene scene = scene_of(part, 1.5, three_rolls(part, 100.0, half_height));
    const ClearanceResult result = certify(scene, tolerance);
    const ObstacleClearance& exit_roll = result.obstacles[2];
    CAPTURE(half_height);
    REQUIRE(exit_roll.excluded_lag_mm);
    REQUIRE(exit_roll.least_mm);
    if (half_height < 100.0) {
      CHECK(*exit_roll.least_mm > 10.0);
    } else {
      CHECK(*exit_roll.least_mm < -1.0);
      REQUIRE(exit_roll.nearest);
      CHECK(exit_roll.nearest->fed_length_mm > 0.8 * turn);
      CHECK(exit_roll.nearest->fed_length_mm < 1.3 * turn);
    }
  }
}

TEST_CASE("a rolled coil to itself and to its stock agrees with plain halving", "[clearance][oracle]") {
  const PosedPart part = rolled(500.0, 150.0, 700.0);
  ClearanceScene scene = scene_of(part, 1.6, {});
  scene.front_end_mm = 0.0;
  const ClearanceResult result = certify(scene, tolerance);
  const double apart = std::numbers::pi / part.helix().curvature().per_mm();
  // To itself: lag v and how much more than `apart` w lies behind it; |X(v) - X(w)| moves with both ends.
  double low = 1e300, high = 1e300;
  const double from = part.span_out_mm(), last = scene.rolled_mm;
  const auto value = [](const Eigen::Vector3d& p) { return p.norm(); };
  // Lags beyond the end are taken at the end: those pairs are farther apart in lag than need be, but real.
  const auto behind = [&](double v, double more) { return std::min(v + apart + more, last); };
  const Surface pairs{[&](double v, double more) -> Eigen::Vector3d { return part.at(behind(v, more)).p - part.at(v).p; },
                      from, last - apart, 0.0, last - apart - from, 2.2, 1.1};
  // |X| steps by less than this where the rigid coil follows the sprung arc, so plain halving may err by it.
  const double step = 0.002;
  const Enclosure self = least_by_halving(pairs, value, 0.5);
  CHECK(*result.self_mm <= self.high - 2.0 * tube_radius + 1e-9);
  CHECK(*result.self_mm >= self.low - 2.0 * tube_radius - tolerance - step);
  CHECK_FALSE(result.self_at_end);
  // To the stock and the spans: lag w of the coil against lag v of them.
  for (const auto& [near_from, near_to, stage] :
       {std::tuple{-part.span_in_mm() - scene.stock_mm, -part.span_in_mm(), Stage::stock},
        {-part.span_in_mm(), part.span_out_mm(), Stage::spans}}) {
    for (const auto& [far_from, far_to, far_stage] :
         {std::tuple{apart, part.outboard_lag_mm(), Stage::arc}, {std::max(apart, part.outboard_lag_mm()), last, Stage::coil}}) {
      if (far_from >= far_to) continue;
      const Surface surface{[&part, s = stage, f = far_stage](double v, double w) -> Eigen::Vector3d {
                              return part.at(f, w).p - part.at(s, v).p;
                            },
                            near_from, near_to, far_from, far_to, 1.1, 1.1};
      const Enclosure one = least_by_halving(surface, value, 0.5);
      low = std::min(low, one.low);
      high = std::min(high, one.high);
    }
  }
  CHECK(*result.stock_mm <= high - 2.0 * tube_radius + 1e-9);
  CHECK(*result.stock_mm >= low - 2.0 * tube_radius - tolerance);
}
