// Jobs of all sizes, sensible and not: each ends in a plan or in findings, never in a number that is none.
#include <catch2/catch.hpp>
#include <coilwright/machine/example_machine.hpp>
#include <coilwright/plan/plan.hpp>
#include <coilwright/report/plan_json.hpp>
#include <coilwright/report/plan_text.hpp>
#include <cstdlib>
#include <random>

#include "plan/jobs.hpp"

using namespace coilwright;

namespace {

int effort() {
  const char* value = std::getenv("COILWRIGHT_TEST_EFFORT");
  return value != nullptr && std::atoi(value) > 0 ? std::atoi(value) : 1;
}

}  // namespace

TEST_CASE("random jobs end in a plan or in findings", "[plan][property]") {
  std::mt19937_64 random(20260301);
  const auto between = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(random() >> 11) * 0x1p-53;
  };
  const auto spread = [&](double low, double high) { return low * std::pow(high / low, between(0, 1)); };
  int planned = 0, with_pose = 0;
  for (int i = 0; i < 300 * effort(); ++i) {
    const double D = spread(6, 120);
    const bool solid = i % 5 == 0;
    Job job = job_on_example_machine({solid ? Section::round_bar(Length::mm(D)).value()
                            : Section::round_tube(Length::mm(D), Length::mm(D * between(0.02, 0.3))).value(),
                      known_materials()[static_cast<std::size_t>(random() % known_materials().size())], "", "", {}});
  job.name = "job " + std::to_string(i);
    job.machine.rolls.groove = Length::mm(D * between(1.0, 1.02));
    job.machine.rolls.exit_play_up = Length::mm(between(0, 2));
    job.machine.rolls.friction = between(0.05, 0.4);
    job.machine.rolls.stock_turns = static_cast<StockTurns>(random() % 3);
    if (i % 3 == 0) job.machine.outboard_roll->place = PastExit{Angle::deg(between(5, 200))};
    if (i % 3 == 1) job.machine.outboard_roll->place = Reach{Length::mm(spread(50, 3000))};
    if (i % 11 == 0) job.machine.outboard_roll.reset();
    if (i % 7 == 0) job.passes = 1 + static_cast<int>(random() % 4);
    job.coil.radius = Length::mm(spread(0.6 * D, 4000));
    job.coil.pitch = i % 13 == 0 ? Length() : Length::mm(spread(0.1, 6000));
    job.coil.turns = spread(0.02, 30);
    job.coil.hand = i % 2 == 0 ? Hand::right_screw : Hand::left_screw;
    CAPTURE(i, D, job.coil.radius->mm(), job.coil.pitch->mm(), *job.coil.turns);
    const Result<Plan> plan = make_plan(job);
    if (!plan) {
      CHECK_FALSE(plan.error().empty());
      continue;
    }
    ++planned;
    if (plan->pose) ++with_pose;
    // Printing refuses a number that is not finite; text and JSON hold every number of the plan.
    CHECK_FALSE(plan_text(*plan).empty());
    CHECK_FALSE(plan_json(*plan).empty());
    const bool faultless = std::none_of(plan->findings.begin(), plan->findings.end(),
                                        [](const Finding& f) { return f.level == Level::fault; });
    // Without a fault there is an answer to show.
    if (faultless) CHECK(plan->clearance.has_value());
  }
  // The attack reaches the deep end often enough to mean something.
  CHECK(planned > 100 * effort());
  CHECK(with_pose > 50 * effort());
}
