#include <coilwright/rolling/steady_rolling.hpp>

#include <catch2/catch.hpp>
#include <chrono>
#include <random>

#include "fixture.hpp"

using namespace coilwright;
using namespace coilwright::rolling_fixture;

namespace {

SteadyState rolled(const MomentCurvature& m, const RollGeometry& g, const BendHistory& before, double radius_mm) {
  const RollingOutcome outcome = roll_to_curvature(m, g, before, 1 / radius_mm);
  REQUIRE(std::holds_alternative<SteadyState>(outcome));
  return std::get<SteadyState>(outcome);
}

}  // namespace

TEST_CASE("travel, forces and directions agree with an independent program", "[steady_rolling][oracle]") {
  // Tube 42.4 x 2.6, fy 300, Et 2100, spacing 500, rolls of 100 mm radius, driven outer rolls. Computed
  // beforehand by a separate program in another language; within 0.01 % or half the last printed digit.
  struct Row {
    double R, loaded, arc, arc_loaded, travel, F1, F2, F3, T, th1, th2, th3;
  };
  const Section section = tube(42.4, 2.6);
  const MomentCurvature m = law(section, 300, 2100);
  const RollGeometry g = rolls(500, 100, section);
  for (const Row& row : std::initializer_list<Row>{
           {400, 382.21, 63.871, 66.465, 45.0798, 7588, 14175, 6882, 3418.5, -.20404, -.13320, .43194},
           {600, 563.50, 44.717, 47.272, 30.1976, 6632, 12801, 6278, 2201.2, -.13341, -.09079, .30134},
           {900, 824.11, 31.074, 33.657, 20.5087, 6044, 11853, 5854, 1430.3, -.08985, -.06214, .20961},
           {1500, 1308.20, 19.392, 22.032, 12.9371, 5596, 11080, 5503, 837.7, -.05714, -.03820, .13299},
           {3000, 2339.65, 10.028, 12.732, 7.3916, 5260, 10475, 5222, 407.9, -.03388, -.01934, .07337},
           {10000, 5264.88, 3.088, 5.805, 3.5228, 4945, 9879, 4936, 116.7, -.01791, -.00574, .03009}}) {
    const SteadyState s = rolled(m, g, virgin(m), row.R);
    CAPTURE(row.R);
    CHECK(1 / s.loaded_curvature == Approx(row.loaded).margin(0.00501));
    CHECK(arc_rule_travel_mm(g, row.R) == Approx(row.arc).margin(0.000501));
    CHECK(arc_rule_travel_mm(g, 1 / s.loaded_curvature) == Approx(row.arc_loaded).margin(0.000501));
    CHECK(s.travel_mm == Approx(row.travel).margin(0.0000501));
    CHECK(s.entry_force_n == Approx(row.F1).margin(0.501));
    CHECK(s.centre_force_n == Approx(row.F2).margin(0.501));
    CHECK(s.exit_force_n == Approx(row.F3).margin(0.501));
    CHECK(s.drive_n() == Approx(row.T).margin(0.0501));
    CHECK(s.entry_direction_rad == Approx(row.th1).margin(0.00000501));
    CHECK(s.centre_direction_rad == Approx(row.th2).margin(0.00000501));
    CHECK(s.exit_direction_rad == Approx(row.th3).margin(0.00000501));
  }
}

TEST_CASE("other hardening and other jobs agree with an independent program", "[steady_rolling][oracle]") {
  // Travel in mm, printed to 0.01, for hardening 0 / 1000 / 2100 / 4000 / 8000 MPa.
  const double travel[3][5] = {{18.87, 19.70, 20.51, 21.70, 23.62},
                               {38.46, 41.49, 44.06, 47.29, 51.51},
                               {41.33, 43.10, 44.71, 46.91, 50.10}};
  const double hardening[] = {0, 1000, 2100, 4000, 8000};
  const auto jobs = rolling_jobs();
  for (int j = 0; j < 3; ++j)
    for (int k = 0; k < 5; ++k) {
      CAPTURE(jobs[j].name, hardening[k]);
      const MomentCurvature m = law(jobs[j].section, 300, hardening[k]);
      const RollGeometry g = rolls(jobs[j].spacing_mm, 100, jobs[j].section);
      CHECK(rolled(m, g, virgin(m), jobs[j].radius_mm).travel_mm == Approx(travel[j][k]).margin(0.00501));
    }
}

TEST_CASE("a small load is the elastic beam on three points", "[steady_rolling][oracle]") {
  // Closed form s = F L^3 / 48 EI for point supports; small rolls at a hundredth of first yield. Tolerance: an
  // independent computation found 0.99998.
  const Section section = tube(42.4, 2.6);
  const MomentCurvature m = law(section, 300, 2100);
  const RollGeometry g = rolls(500, 1, section);
  // Stock that has been worked further than this pass goes stays elastic: its yield travel is that of the beam.
  const BendHistory worked{0.0, 0.01 * m.first_yield_curvature()};
  const RollingOutcome outcome = roll_at_travel(m, g, worked, 1e-9);
  REQUIRE(std::holds_alternative<StaysElastic>(outcome));
  const double moment = m.bending_stiffness() * worked.largest_curvature;
  const double beam = (moment / 125.0) * std::pow(500, 3) / (48 * m.bending_stiffness());
  CHECK(std::get<StaysElastic>(outcome).yield_travel_mm / beam == Approx(1.0).margin(1e-4));
}

TEST_CASE("without strength the travel is that of a straight and an arc", "[steady_rolling][oracle]") {
  // As the yield goes to zero the incoming half is straight and the outgoing half a circle: pure geometry.
  // Entry roll and centre roll touch the straight, centre and exit roll the arc, all with tangency.
  const Section section = tube(42.4, 2.6);
  const RollGeometry g = rolls(500, 100, section);
  const double R = 900, a = 250, outer = 100 + 21.2, inner = 100 + 21.2;
  const auto spacing_error = [&](double turn) {
    // Frame of the tangent at the centre contact: axis of the centre roll at (0, inner).
    const Eigen::Vector2d centre(0, inner);
    const Eigen::Vector2d exit((R + outer) * std::sin(turn), R - (R + outer) * std::cos(turn));
    const double side = std::sqrt((exit - centre).squaredNorm() - std::pow(inner + outer, 2));
    const Eigen::Vector2d entry(-side, -outer);
    return (exit - entry).norm() - 2 * a;
  };
  double low = 0.05, high = 0.8;
  for (int i = 0; i < 100; ++i) (spacing_error(0.5 * (low + high)) < 0 ? low : high) = 0.5 * (low + high);
  const double turn = low;
  const Eigen::Vector2d centre(0, inner), exit((R + outer) * std::sin(turn), R - (R + outer) * std::cos(turn));
  const double height = std::sqrt((exit - centre).squaredNorm() - a * a);
  const double geometric = g.touch_height_mm() - height;
  const MomentCurvature weak = law(section, 0.3, 0);
  CHECK(rolled(weak, g, virgin(weak), R).travel_mm == Approx(geometric).margin(0.01));
}

TEST_CASE("passes that carry the state agree with an independent program", "[steady_rolling][oracle]") {
  // Equal steps of free curvature to the final radius, Et 2100; travels printed to 0.01 mm, last force to
  // 0.1 kN.
  struct Ladder {
    int job;
    std::vector<double> travel;
    double last_force_kn;
  };
  const auto jobs = rolling_jobs();
  for (const Ladder& ladder : std::initializer_list<Ladder>{{0, {11.08, 26.22}, 12.1},
                                                            {0, {8.00, 18.42, 28.33}, 12.1},
                                                            {0, {6.48, 14.41, 22.08, 29.41}, 12.2},
                                                            {1, {22.31, 53.70}, 29.1},
                                                            {1, {11.91, 28.69, 44.53, 59.61}, 29.2},
                                                            {2, {23.32, 51.94}, 11.4},
                                                            {2, {16.42, 36.84, 54.94}, 11.4}}) {
    const RollingJob& job = jobs[ladder.job];
    const MomentCurvature m = law(job.section, 300, 2100);
    const RollGeometry g = rolls(job.spacing_mm, 100, job.section);
    BendHistory history = virgin(m);
    SteadyState last{};
    for (std::size_t i = 0; i < ladder.travel.size(); ++i) {
      last = rolled(m, g, history, job.radius_mm * static_cast<double>(ladder.travel.size()) / static_cast<double>(i + 1));
      CAPTURE(job.name, i);
      CHECK(last.travel_mm == Approx(ladder.travel[i]).margin(0.00501));
      history = last.after;
    }
    CHECK(last.centre_force_n == Approx(ladder.last_force_kn * 1000).margin(50.1));
  }
}

TEST_CASE("what a travel makes is what the travel was for", "[steady_rolling][property]") {
  const Section section = tube(42.4, 2.6);
  const MomentCurvature m = law(section, 300, 2100);
  const RollGeometry g = rolls(500, 100, section);
  for (const double R : {300.0, 900.0, 4000.0}) {
    const SteadyState s = rolled(m, g, virgin(m), R);
    const RollingOutcome back = roll_at_travel(m, g, virgin(m), s.travel_mm);
    REQUIRE(std::holds_alternative<SteadyState>(back));
    CHECK(1 / std::get<SteadyState>(back).free_curvature == Approx(R).epsilon(1e-6));
  }
  // Virgin stock at 18, 24, 28, 32 mm: radii from the same independent program, printed to 1 mm.
  const std::pair<double, double> set[] = {{18, 1036}, {24, 762}, {28, 649}, {32, 565}};
  for (const auto& [travel, R] : set) {
    const RollingOutcome made = roll_at_travel(m, g, virgin(m), travel);
    REQUIRE(std::holds_alternative<SteadyState>(made));
    CHECK(1 / std::get<SteadyState>(made).free_curvature == Approx(R).margin(0.501));
  }
}

TEST_CASE("pre-bent stock is not touched, then springs back, then yields", "[steady_rolling][property]") {
  const Section section = tube(42.4, 2.6);
  const MomentCurvature m = law(section, 300, 2100);
  const RollGeometry g = rolls(500, 100, section);
  const BendHistory bent = rolled(m, g, virgin(m), 1637).after;
  const RollingOutcome far = roll_at_travel(m, g, bent, 15);
  REQUIRE(std::holds_alternative<DoesNotTouch>(far));
  CHECK(std::get<DoesNotTouch>(far).touch_travel_mm == Approx(arc_rule_travel_mm(g, 1637)).epsilon(1e-12));
  CHECK(std::holds_alternative<StaysElastic>(roll_at_travel(m, g, bent, 18)));
  CHECK(std::holds_alternative<SteadyState>(roll_at_travel(m, g, bent, 24)));
}

TEST_CASE("a radius under the centre roll wraps it", "[steady_rolling][property]") {
  const Section section = tube(42.4, 2.6);
  const MomentCurvature m = law(section, 300, 2100);
  const RollingOutcome outcome = roll_to_curvature(m, rolls(300, 100, section), virgin(m), 1 / 110.0);
  REQUIRE(std::holds_alternative<WrapsTheRoll>(outcome));
  CHECK(std::get<WrapsTheRoll>(outcome).least_radius_mm == Approx(121.2));
}

TEST_CASE("the roll forces balance, and the span table meets the contacts", "[steady_rolling][property]") {
  for (const RollingJob& job : rolling_jobs()) {
    const MomentCurvature m = law(job.section, 300, 2100);
    RollGeometry g = rolls(job.spacing_mm, 100, job.section);
    g.entry_share = 0.2, g.centre_share = 0.5, g.exit_share = 0.3;
    const SteadyState s = rolled(m, g, virgin(m), job.radius_mm);
    const auto on = [](double force, double drive, double direction, double sign) {
      return Eigen::Vector2d(drive * std::cos(direction) - sign * force * std::sin(direction),
                             drive * std::sin(direction) + sign * force * std::cos(direction));
    };
    const Eigen::Vector2d sum = on(s.entry_force_n, s.entry_drive_n, s.entry_direction_rad, 1) +
                                on(s.centre_force_n, s.centre_drive_n, s.centre_direction_rad, -1) +
                                on(s.exit_force_n, s.exit_drive_n, s.exit_direction_rad, 1);
    CHECK(sum.norm() < 1e-6 * s.centre_force_n);

    const auto stations = span_stations(m, g, virgin(m), s);
    CHECK((stations.front().p - s.entry_point).norm() < 1e-9);
    CHECK((stations.back().p - s.exit_point).norm() < 1e-6);
    for (std::size_t i = 0; i + 1 < stations.size(); ++i) CHECK(stations[i].lag_mm < stations[i + 1].lag_mm);
    // A chord points along the mean of the directions at its ends, but for the change of curvature in it.
    for (std::size_t i = 0; i + 1 < stations.size(); ++i) {
      const auto &p = stations[i], &q = stations[i + 1];
      const Eigen::Vector2d chord = q.p - p.p;
      const double off = std::atan2(chord.y(), chord.x()) - 0.5 * (p.direction_rad + q.direction_rad);
      const double change = std::abs(q.curvature_per_mm - p.curvature_per_mm);
      CHECK(std::abs(off) <= 0.25 * (q.lag_mm - p.lag_mm) * change + 1e-7);  // 1e-7: the quadrature of the table
    }
  }
}

TEST_CASE("ten thousand random jobs are solved, and travel rises with curvature", "[steady_rolling][property]") {
  std::mt19937 random(20240501);
  const auto uniform = [&](double low, double high) { return std::uniform_real_distribution<double>(low, high)(random); };
  constexpr int jobs = 10000;
  int solved = 0;
  double law_points = 0;
  for (int i = 0; i < jobs; ++i) {
    const double D = uniform(15, 114);
    const Section section = i % 4 == 3 ? bar(D) : tube(D, D * uniform(0.03, 0.15));
    const double hardening[] = {0, 1000, 3000};
    const MomentCurvature m = law(section, uniform(150, 700), hardening[i % 3]);
    const double roll = D * uniform(1.2, 3);
    const RollGeometry g = rolls(2 * D * uniform(2.2, 8), roll, section);
    const double R = std::max(D * uniform(6, 60), 1.6 * (roll + 0.5 * D));
    const RollingOutcome tight = roll_to_curvature(m, g, virgin(m), 1 / R);
    const RollingOutcome wide = roll_to_curvature(m, g, virgin(m), 1 / (1.1 * R));
    const auto *a = std::get_if<SteadyState>(&tight), *b = std::get_if<SteadyState>(&wide);
    if (a == nullptr || b == nullptr) {
      UNSCOPED_INFO("job " << i << ": D " << D << ", " << section.text() << ", a " << g.half_spacing_mm << ", roll " << roll
                           << ", R " << R);
      continue;
    }
    ++solved;
    law_points += a->law_points;
    if (R < g.half_spacing_mm) continue;  // past a half circle between the outer rolls travel means little
    if (!(a->travel_mm > b->travel_mm)) CHECK(a->travel_mm > b->travel_mm);
    if (i % 4 != 3 && !(a->travel_mm < arc_rule_travel_mm(g, 1 / a->loaded_curvature)))
      CHECK(a->travel_mm < arc_rule_travel_mm(g, 1 / a->loaded_curvature));  // less than the loaded arc asks
  }
  // Every one: the moment range is known before the geometry, so there is nothing to diverge.
  CHECK(solved == jobs);
  // What a solve costs: the law is evaluated once per point of one table of some four panels of 20 points.
  CHECK(law_points / jobs < 120);
}

TEST_CASE("time of ten thousand solves", "[.][benchmark]") {
  const Section section = tube(42.4, 2.6);
  const auto begin = std::chrono::steady_clock::now();
  double sum = 0;
  for (int i = 0; i < 10000; ++i) {
    const MomentCurvature m = law(section, 200 + 0.01 * i, 2100);
    sum += std::get<SteadyState>(roll_to_curvature(m, rolls(500, 100, section), virgin(m), 1 / 900.0)).travel_mm;
  }
  const std::chrono::duration<double, std::micro> each = (std::chrono::steady_clock::now() - begin) / 10000;
  WARN("a solve takes " << each.count() << " microseconds; mean travel " << sum / 10000);
}
