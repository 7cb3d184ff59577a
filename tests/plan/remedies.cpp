#include <catch2/catch.hpp>
#include <coilwright/plan/remedies.hpp>

#include "jobs.hpp"

using namespace coilwright;

namespace {

Job coil(double radius, double pitch, double turns) {
  Stock stock{Section::round_tube(Length::mm(42.4), Length::mm(2.6)).value(), find_material("S235").value(), "", "", {}};
  Job job = job_on_example_machine(std::move(stock));
  job.coil.radius = Length::mm(radius);
  job.coil.pitch = Length::mm(pitch);
  job.coil.turns = turns;
  job.coil.hand = Hand::right_screw;
  return job;
}

const Remedy* remedy(const Remedies& remedies, const std::string& begins) {
  for (const Remedy& one : remedies.would_clear)
    if (one.change.starts_with(begins)) return &one;
  return nullptr;
}

// What stands behind a word of a sentence: "a pitch of 184 mm" after "a pitch of ".
double number_after(const std::string& text, const std::string& word) {
  const std::size_t at = text.find(word);
  REQUIRE(at != std::string::npos);
  return std::stod(text.substr(at + word.size()));
}

bool clears(const Job& job) {
  const Plan plan = planned(job);
  REQUIRE(plan.clearance);
  return !plan.clearance->near();
}

}  // namespace

TEST_CASE("changes that would make a coil clear do, and a little less does not", "[remedies][property]") {
  Job job = coil(800, 70, 2.4);
  job.show = Show::mm;
  const Plan plan = planned(job);
  REQUIRE(plan.clearance);
  REQUIRE(plan.clearance->near());
  REQUIRE(plan.remedies);
  for (const Remedy& one : plan.remedies->would_clear)
    CHECK(one.least_mm - one.uncertainty_mm > plan.clearance->margin.mm());

  const Remedy* pitch = remedy(*plan.remedies, "a pitch of ");
  REQUIRE(pitch);
  const double enough = number_after(pitch->change, "a pitch of ");
  CHECK(clears(coil(800, enough, 2.4)));
  CHECK_FALSE(clears(coil(800, enough - 2.5, 2.4)));

  if (const Remedy* pieces = remedy(*plan.remedies, "pieces of at most ")) {
    const double turns = number_after(pieces->change, "pieces of at most ");
    CHECK(clears(coil(800, 70, turns)));
    CHECK_FALSE(clears(coil(800, 70, turns + 0.03)));
  }
}

TEST_CASE("the least distance moves as the sensitivity says", "[remedies][oracle]") {
  const Plan plan = planned(coil(800, 70, 2.4));
  REQUIRE(plan.remedies);
  REQUIRE(plan.remedies->sensitivity);
  REQUIRE(plan.remedies->sensitivity->of_pitch);
  // The flat top of a roll lies under the turn: lowered by a millimetre it is a millimetre farther away.
  CHECK(plan.remedies->sensitivity->of_lowering == Approx(1.0).margin(1e-6));
  constexpr double step = 0.5;
  const Plan more = planned(coil(800, 70 + step, 2.4));
  CHECK(*more.clearance->result.least_mm - *plan.clearance->result.least_mm ==
        Approx(step * *plan.remedies->sensitivity->of_pitch).margin(0.05));
}

TEST_CASE("a coil that clears needs no change; a solid in the way is told which way to go", "[remedies][property]") {
  const Job fine = coil(800, 2700, 1.1);
  const Plan plan = planned(fine);
  REQUIRE(plan.clearance);
  REQUIRE_FALSE(plan.clearance->near());
  CHECK_FALSE(plan.remedies);
  // A post under the far side of the coil, 5 mm into its way.
  Job job = fine;
  job.show = Show::mm;
  const PosedPart& pose = *plan.pose;
  const Eigen::Vector3d under = pose.at(pose.outboard_lag_mm() + 600.0).p;
  const double top = under.z() - 21.2 + 5.0;
  job.machine.solids.push_back({"post", Box{{under.x() - 30, under.y() - 30, top - 300}, {under.x() + 30, under.y() + 30, top}}, Rides::frame});
  const Plan struck = planned(job);
  REQUIRE(struck.remedies);
  const Remedy* lower = remedy(*struck.remedies, "lower \"post\" by ");
  REQUIRE(lower);
  const double by = number_after(lower->change, "by ");
  Job lowered = job;
  lowered.machine.solids.back().shape = moved(job.machine.solids.back().shape, Eigen::Vector3d(0, 0, -by));
  CHECK(clears(lowered));
  lowered.machine.solids.back().shape = moved(job.machine.solids.back().shape, Eigen::Vector3d(0, 0, -(by - 2.5)));
  CHECK_FALSE(clears(lowered));
}
