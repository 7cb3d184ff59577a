#include <algorithm>
#include <catch2/catch.hpp>
#include <coilwright/plan/plan.hpp>
#include <string>

#include "jobs.hpp"

using namespace coilwright;

namespace {

constexpr std::string_view raised = while_raised;
constexpr const char* unknown = "lead arc while it is raised onto the outboard roll";

const ClearanceMoment& moment(const Plan& plan) {
  REQUIRE(plan.clearance);
  const auto& moments = plan.clearance->moments;
  const auto found = std::find_if(moments.begin(), moments.end(), [](const ClearanceMoment& m) { return m.when == raised; });
  REQUIRE(found != moments.end());
  return *found;
}

bool left_unchecked(const Plan& plan) {
  return std::count(plan.clearance->not_checked.begin(), plan.clearance->not_checked.end(), unknown) > 0;
}

const ObstacleClearance& against(const ClearanceMoment& of, const std::string& name) {
  const auto& all = of.result.obstacles;
  const auto found = std::find_if(all.begin(), all.end(), [&](const ObstacleClearance& o) { return o.part == name; });
  REQUIRE(found != all.end());
  return *found;
}

}  // namespace

TEST_CASE("a post that stands only in the way of the lead arc being raised is struck then", "[plan][property]") {
  const Job clear = rail_on_example_machine();
  const Plan without = planned(clear);
  CHECK(without.clearance->verdict == Verdict::clears);
  CHECK_FALSE(left_unchecked(without));
  const double free_mm = *moment(without).result.least_mm;
  CHECK(free_mm > 25.0);
  // Where the end of the lead arc is when half of it has been fed since, a little higher than it is then. Flat it does not
  // come so far; the coil passes overhead.
  Job blocked = clear;
  blocked.machine.solids.push_back({"post", Cylinder{{946.0, 1605.0, -900.0}, {946.0, 1605.0, 270.0}, 20.0}, Rides::frame});
  const Plan plan = planned(blocked);
  CHECK(plan.clearance->verdict == Verdict::collides);
  const auto governing = plan.clearance->governing();
  CHECK(governing.when == raised);
  CHECK(governing.result->nearest->part == "post");
  CHECK(*plan.clearance->result.least_mm > 25.0);
  for (const ClearanceMoment& other : plan.clearance->moments)
    if (other.when != raised) CHECK(*other.result.least_mm > 25.0);
  // It is told where it happens: at the post, after the roll has taken hold.
  const NearestPair& pair = *governing.result->nearest;
  CHECK(std::hypot(pair.machine_point.x() - 946.0, pair.machine_point.y() - 1605.0) < 25.0);
  CHECK(pair.fed_length_mm > plan.blank.lead_arc.mm());
  CHECK(pair.fed_length_mm < 2.0 * plan.blank.lead_arc.mm());
}

TEST_CASE("the fork that lifts the lead arc is not struck by it, and keeps its distance when the arm is low", "[plan][oracle]") {
  const Plan plan = planned(rail_on_example_machine());
  const double fork = *against(moment(plan), "outboard fork").least_mm;
  // Flat, the bar lies on the roll at pass height with the top of the fork at -135: the height less half the tube. On its
  // way it rises with the arm; what comes of slope and side is part of it.
  CHECK(fork < 135.0 - 21.2 + 1e-6);
  CHECK(fork > 60.0);
  // A fork of the same size that does not rise with the arm is left behind; one that is raised into the bar is struck.
  Job job = rail_on_example_machine();
  for (Solid& solid : job.machine.solids)
    if (solid.name == "outboard fork") solid.shape = moved(solid.shape, {0.0, 0.0, 120.0});
  const Plan high = planned(job);
  CHECK(*against(moment(high), "outboard fork").least_mm < 0.0);
}

TEST_CASE("the lead arc of a part of several segments is raised as that of the helix it begins with", "[plan][oracle]") {
  Job job = rail_on_example_machine();
  const Plan whole = planned(job);
  job.coil = {};
  for (const double turns : {0.6, 0.5}) {
    SegmentSpec spec;
    spec.kind = SegmentKind::helix;
    spec.hand = Hand::right_screw;
    spec.with(SegmentMeasure::radius, Length::mm(800.0)).with(SegmentMeasure::pitch, Length::mm(2700.0)).with_turns(turns);
    job.segments.push_back(spec);
  }
  const Plan cut = planned(job);
  CHECK_FALSE(left_unchecked(cut));
  REQUIRE(moment(cut).result.obstacles.size() == moment(whole).result.obstacles.size());
  for (const ObstacleClearance& o : moment(whole).result.obstacles) {
    if (!o.least_mm) continue;
    CAPTURE(o.part);
    CHECK(*against(moment(cut), o.part).least_mm == Approx(*o.least_mm).margin(0.02));
  }
}

TEST_CASE("too little behind the lead arc to lift it: that stays unchecked", "[plan][input]") {
  Job job = rail_on_example_machine();
  job.coil.turns = 0.2;
  job.blank.settling = Length::mm(0.0);
  const Plan plan = planned(job);
  REQUIRE(plan.clearance);
  CHECK(left_unchecked(plan));
  for (const ClearanceMoment& m : plan.clearance->moments) CHECK(m.when != raised);
}

TEST_CASE("what is told over all moments is the least of each thing", "[plan][property]") {
  const Plan plan = planned(rail_among_solids(12, 3));
  REQUIRE(plan.clearance);
  const ClearancePlan& clearance = *plan.clearance;
  REQUIRE(clearance.moments.size() >= 2);
  const ClearanceResult all = clearance.over_all();
  std::vector<const ClearanceResult*> each{&clearance.result};
  for (const ClearanceMoment& moment : clearance.moments) each.push_back(&moment.result);
  std::size_t pieces = 0;
  for (const ObstacleClearance& o : all.obstacles) {
    std::optional<double> least;
    std::array<std::optional<double>, 5> of_pieces;
    const auto lower = [](std::optional<double>& to, const std::optional<double>& by) {
      if (by) to = std::min(to.value_or(*by), *by);
    };
    for (const ClearanceResult* result : each)
      for (const ObstacleClearance& own : result->obstacles) {
        if (own.part != o.part) continue;
        lower(least, own.least_mm);
        for (std::size_t i = 0; i < of_pieces.size(); ++i) lower(of_pieces[i], own.pieces[i]);
      }
    CHECK(o.least_mm == least);
    CHECK(o.pieces == of_pieces);
    pieces += static_cast<std::size_t>(std::count_if(of_pieces.begin(), of_pieces.end(), [](const auto& p) { return p.has_value(); }));
  }
  CHECK(pieces > 3 * all.obstacles.size());  // the coil is told, though the lead arc may govern
  CHECK(all.least_mm == clearance.governing().least_mm());
}
