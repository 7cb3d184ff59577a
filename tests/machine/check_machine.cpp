#include <algorithm>
#include <catch2/catch.hpp>
#include <coilwright/machine/check_machine.hpp>
#include <functional>
#include <string>

using namespace coilwright;

namespace {

std::vector<std::string> abouts(const Machine& machine) {
  std::vector<std::string> names;
  for (const Finding& finding : check_machine(machine)) {
    CHECK(finding.level == Level::fault);
    CHECK_FALSE(finding.text.empty());
    names.push_back(finding.about);
  }
  return names;
}

Machine changed(const std::function<void(Machine&)>& change) {
  Machine machine = example_machine();
  change(machine);
  return machine;
}

Shape box(Eigen::Vector3d min, Eigen::Vector3d max) {
  return Box{std::move(min), std::move(max)};
}

}  // namespace

TEST_CASE("The built-in machine can be used", "[input]") {
  CHECK(check_machine(example_machine()).empty());
}

TEST_CASE("Each impossible measure of a machine is a fault about its key", "[input]") {
  const std::vector<std::pair<std::string, std::function<void(Machine&)>>> cases{
      {"feed", [](Machine& m) { m.feed.clear(); }},
      {"rolls.outer_spacing", [](Machine& m) { m.rolls.outer_spacing = Length::mm(240); }},
      {"rolls.outer_radius", [](Machine& m) { m.rolls.outer_radius = Length::mm(0); }},
      {"rolls.centre_radius", [](Machine& m) { m.rolls.centre_radius = Length::mm(-5); }},
      {"rolls.groove", [](Machine& m) { m.rolls.groove = Length::mm(0); }},
      {"rolls.outer_flange_radius", [](Machine& m) { m.rolls.outer_flange_radius = Length::mm(99); }},
      {"rolls.centre_height_below", [](Machine& m) { m.rolls.centre_height_below = Length::mm(10); }},
      {"rolls.drive", [](Machine& m) { m.rolls.drive.exit = -0.1; }},
      {"rolls.friction", [](Machine& m) { m.rolls.friction = -0.1; }},
      {"rolls.frame_stiffness_kn_per_mm", [](Machine& m) { m.rolls.frame_stiffness_kn_per_mm = 0.0; }},
      {"rolls.exit_play_up", [](Machine& m) { m.rolls.exit_play_up = Length::mm(-0.1); }},
      {"outboard_roll.reach",
       [](Machine& m) {
         m.outboard_roll = {Reach{Length::mm(0)}, std::nullopt};
       }},
      {"outboard_roll.position",
       [](Machine& m) {
         m.outboard_roll = {Position{Length::mm(-900), Length::mm(700)}, std::nullopt};
       }},
      {"outboard_roll.past_exit",
       [](Machine& m) {
         m.outboard_roll = {PastExit{Angle::deg(400)}, std::nullopt};
       }},
      {"outboard_roll.radius", [](Machine& m) { m.outboard_roll->radius = Length::mm(0); }},
      {"limits.centre_roll_force", [](Machine& m) { m.limits.centre_roll_force = Force::newtons(0); }},
      {"limits.roll_lift", [](Machine& m) { m.limits.roll_lift = Length::mm(-1); }},
      {"room.floor", [](Machine& m) { m.room.floor = Length::mm(900); }},
      {"room.ceiling", [](Machine& m) { m.room.ceiling = Length::mm(-3000); }},
      {"solid.frame",
       [](Machine& m) {
         m.solids.push_back({"frame", box({0, 0, 0}, {1, 1, 1}), Rides::frame});
       }},
      {"solid.x",
       [](Machine& m) {
         m.solids.push_back({"x", box({0, 1, 0}, {1, 0, 1}), Rides::frame});
       }},
      {"solid.x",
       [](Machine& m) {
         m.solids.push_back({"x", Cylinder{{1, 2, 3}, {1, 2, 3}, 5}, Rides::frame});
       }},
      {"solid.x",
       [](Machine& m) {
         m.solids.push_back({"x", Cylinder{{1, 2, 3}, {1, 2, 4}, 0}, Rides::frame});
       }},
      {"solid.x",
       [](Machine& m) {
         m.solids.push_back({"x", Frustum{{1, 2, 3}, {1, 2, 4}, 0, 0}, Rides::frame});
       }},
      {"solid.x",
       [](Machine& m) {
         m.solids.push_back({"x", HalfSpace{{1, 2, 3}, {0, 0, 0}}, Rides::frame});
       }},
  };
  for (const auto& [about, change] : cases) {
    INFO(about);
    const auto found = abouts(changed(change));
    CHECK(std::find(found.begin(), found.end(), about) != found.end());
  }
}

TEST_CASE("All that is wrong with a machine is said at once", "[input]") {
  const auto found = abouts(changed([](Machine& m) {
    m.rolls.friction = -1;
    m.rolls.outer_flange_radius = Length::mm(1);
    m.solids.push_back({"x", box({0, 1, 0}, {1, 0, 1}), Rides::frame});
  }));
  CHECK(found.size() == 3);
}

TEST_CASE("A groove fits stock that is as wide, or up to 1 mm narrower", "[practice]") {
  const Section tube = *Section::round_tube(Length::mm(42.4), Length::mm(2.6));
  Rolls rolls = example_machine().rolls;
  const auto with = [&](double groove_mm) {
    rolls.groove = Length::mm(groove_mm);
    return check_fit(rolls, tube);
  };
  CHECK(with(42.4).empty());
  CHECK(with(43.4).empty());
  REQUIRE(with(42.3).size() == 1);
  CHECK(with(42.3).front().level == Level::fault);
  CHECK(with(42.3).front().about == "rolls.groove");
  REQUIRE(with(43.5).size() == 1);
  CHECK(with(43.5).front().level == Level::caution);
  rolls.groove.reset();
  REQUIRE(check_fit(rolls, tube).size() == 1);
  CHECK(check_fit(rolls, tube).front().level == Level::caution);
}
