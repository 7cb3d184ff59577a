#include <algorithm>
#include <catch2/catch.hpp>
#include <coilwright/machine/check_machine.hpp>
#include <coilwright/machine/example_machine.hpp>
#include <coilwright/machine/machine_file.hpp>
#include <set>
#include <string>

using namespace coilwright;

namespace {

constexpr std::string_view good = R"(name = "bench roller"
feed = "from the right"
[rolls]
outer_spacing = "300 mm"
outer_radius_mm = 60
centre_radius = "2-3/8 in"
groove = "30 mm"
outer_flange_radius = "74 mm"
outer_height_above = "25 mm"
outer_height_below = "26 mm"
centre_height_above = "27 mm"
centre_height_below = "28 mm"
drive = { entry = 1.0, centre = 0.5, exit = 0.0 }
friction = 0.2
frame_stiffness_kn_per_mm = 12.5
exit_play_up = "0.4 mm"
exit_play_down_mm = 0.6
exit_height = "-0.2 mm"
stock_turns = "held"
[outboard_roll]
position = ["700 mm", "500 mm"]
radius = "35 mm"
[limits]
centre_roll_force_kn = 20
centre_roll_travel = "120 mm"
roll_lift = "250 mm"
[room]
floor = "-800 mm"
ceiling = "2.6 m"
[[solid]]
name = "post"
shape = "cylinder"
from_mm = [0, 0, -10]
to_mm = [0, 0, 10]
radius_mm = 5
rides = "centre slide"
[[solid]]
name = "cone"
shape = "frustum"
from_mm = [1, 2, 3]
to_mm = [4, 5, 6]
from_radius_mm = 0
to_radius_mm = 9
rides = "outboard arm"
[[solid]]
name = "body"
shape = "box"
min_mm = [-1, -2, -3]
max_mm = [1, 2, 3]
turned = "90 deg"
[[solid]]
name = "wall"
shape = "half-space"
point_mm = [0, 3000, 0]
normal = [0, -2, 0]
)";

Result<Machine> read_text(std::string_view text, std::optional<Length> groove = std::nullopt) {
  const auto document = read_document(text, "m.toml");
  if (!document) return refuse(document.error());
  Findings faults;
  const KeyedValues values = KeyedValues::from_table(*document, machine_keys(), faults);
  auto machine = read_machine(values, std::nullopt, groove);
  if (faults.empty()) return machine;
  if (!machine) append(faults, machine.error());
  return refuse(std::move(faults));
}

std::string replaced(std::string_view from, std::string_view to) {
  std::string text(good);
  const auto at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

struct Expected {
  std::string about;
  int line, column;
};

void check_fault(const std::string& text, const Expected& expected, const std::string& said = "") {
  const auto machine = read_text(text);
  REQUIRE_FALSE(machine.has_value());
  const Finding& fault = machine.error().front();
  INFO(fault.text);
  CHECK(fault.about == expected.about);
  REQUIRE(fault.place.has_value());
  CHECK(fault.place->file == "m.toml");
  CHECK(fault.place->line == expected.line);
  CHECK(fault.place->column == expected.column);
  CHECK(fault.text.find(said) != std::string::npos);
}

}  // namespace

TEST_CASE("Every value of a machine file arrives where it belongs", "[input]") {
  const auto read = read_text(good);
  REQUIRE(read.has_value());
  const Machine& m = *read;
  CHECK(m.name == "bench roller");
  CHECK(m.feed == std::vector{FeedSide::from_the_right});
  CHECK(m.rolls.outer_spacing.mm() == 300.0);
  CHECK(m.rolls.outer_radius.mm() == 60.0);
  CHECK(m.rolls.centre_radius.mm() == Approx(60.325).epsilon(1e-14));  // 2.375 in
  CHECK(m.rolls.groove->mm() == 30.0);
  CHECK(m.rolls.outer_flange_radius->mm() == 74.0);
  CHECK_FALSE(m.rolls.centre_flange_radius.has_value());
  CHECK(m.rolls.outer_height_above.mm() == 25.0);
  CHECK(m.rolls.outer_height_below.mm() == 26.0);
  CHECK(m.rolls.centre_height_above.mm() == 27.0);
  CHECK(m.rolls.centre_height_below.mm() == 28.0);
  CHECK(m.rolls.drive.entry == 1.0);
  CHECK(m.rolls.drive.centre == 0.5);
  CHECK(m.rolls.drive.exit == 0.0);
  CHECK(m.rolls.friction == 0.2);
  CHECK(m.rolls.frame_stiffness_kn_per_mm == 12.5);
  CHECK(m.rolls.exit_play_up.mm() == 0.4);
  CHECK(m.rolls.exit_play_down.mm() == 0.6);
  CHECK(m.rolls.exit_height.mm() == -0.2);
  CHECK(m.rolls.stock_turns == StockTurns::held);
  REQUIRE(m.outboard_roll.has_value());
  CHECK(std::get<Position>(m.outboard_roll->place).x.mm() == 700.0);
  CHECK(std::get<Position>(m.outboard_roll->place).y.mm() == 500.0);
  CHECK(m.outboard_roll->radius->mm() == 35.0);
  CHECK(m.limits.centre_roll_force->newtons() == 20000.0);
  CHECK(m.limits.centre_roll_travel->mm() == 120.0);
  CHECK(m.limits.roll_lift->mm() == 250.0);
  CHECK_FALSE(m.limits.outer_roll_force.has_value());
  CHECK(m.room.floor->mm() == -800.0);
  CHECK(m.room.ceiling->mm() == 2600.0);
  REQUIRE(m.solids.size() == 4);
  CHECK(m.solids[0].rides == Rides::centre_slide);
  CHECK(std::get<Cylinder>(m.solids[0].shape).radius_mm == 5.0);
  CHECK(m.solids[1].rides == Rides::outboard_arm);
  CHECK(std::get<Frustum>(m.solids[1].shape).to == Eigen::Vector3d(4, 5, 6));
  CHECK(std::get<Frustum>(m.solids[1].shape).to_radius_mm == 9.0);
  CHECK(m.solids[2].rides == Rides::frame);
  CHECK(std::get<Box>(m.solids[2].shape).turned_rad == Angle::deg(90).rad());
  CHECK(std::get<HalfSpace>(m.solids[3].shape).normal == Eigen::Vector3d(0, -1, 0));
  CHECK(m.assumptions.empty());
}

TEST_CASE("A fault in a machine file is told with line and column", "[input]") {
  SECTION("an unknown key, with the nearest known one") {
    check_fault(replaced("friction = 0.2", "frition = 0.2"), {"rolls.frition", 14, 1},
                "Did you mean \"friction\"?");
  }
  SECTION("a known key with a mistyped unit") {
    check_fault(replaced("outer_radius_mm = 60", "outer_radius_mn = 60"), {"rolls.outer_radius_mn", 5, 1},
                "\"outer_radius_mm\"");
  }
  SECTION("a key of another table") {
    check_fault(replaced("friction = 0.2", "floor = \"-1 m\""), {"rolls.floor", 14, 1}, "belongs in [room]");
  }
  SECTION("a length that cannot be read, at the character") {
    check_fault(replaced("\"300 mm\"", "\"300,5 mm\""), {"rolls.outer_spacing", 4, 21});
  }
  SECTION("a bare number") {
    check_fault(replaced("\"300 mm\"", "300"), {"rolls.outer_spacing", 4, 17}, "outer_spacing_mm = 300");
  }
  SECTION("a negative radius") {
    check_fault(replaced("outer_radius_mm = 60", "outer_radius_mm = -60"), {"rolls.outer_radius", 5, 19});
  }
  SECTION("a side that is none") {
    check_fault(replaced("\"from the right\"", "\"right\""), {"feed", 2, 8}, "from the left");
  }
  SECTION("a word that is not a choice") {
    check_fault(replaced("\"held\"", "\"by fiction\""), {"rolls.stock_turns", 19, 15},
                "Did you mean \"by friction\"?");
  }
  SECTION("two places for the outboard roll") {
    check_fault(replaced("radius = \"35 mm\"", "reach = \"600 mm\""), {"outboard_roll.position", 21, 12},
                "more than once");
  }
  SECTION("half a position") {
    check_fault(replaced("[\"700 mm\", \"500 mm\"]", "\"700 mm\""), {"outboard_roll.position", 21, 12});
  }
  SECTION("a mesh") {
    check_fault(replaced("shape = \"box\"\nmin_mm = [-1, -2, -3]\nmax_mm = [1, 2, 3]\nturned = \"90 deg\"",
                         "shape = \"mesh\"\nfile = \"no-such-mesh.stl\"\nunit = \"mm\""),
                {"solid.body.file", 48, 8}, "cannot be read");
  }
  SECTION("a flat hull") {
    check_fault(replaced("shape = \"box\"\nmin_mm = [-1, -2, -3]\nmax_mm = [1, 2, 3]\nturned = \"90 deg\"",
                         "shape = \"hull\"\npoints_mm = [0,0,0, 9,0,0, 0,9,0, 9,9,0]"),
                {"solid.body.points", 48, 13}, "plane");
  }
  SECTION("a box in metres under millimetres") {
    check_fault(replaced("min_mm = [-1, -2, -3]\nmax_mm = [1, 2, 3]", "min_mm = [-1, -1, -1]\nmax_mm = [1, 1, 1]"),
                {"solid.body", 45, 1}, "look like metres");
  }
  SECTION("a point with two numbers") {
    check_fault(replaced("to_mm = [0, 0, 10]", "to_mm = [0, 10]"), {"solid.post.to", 34, 9});
  }
  SECTION("a measure of another shape") {
    check_fault(replaced("turned = \"90 deg\"", "radius_mm = 4"), {"radius_mm", 50, 1}, "min");
  }
  SECTION("a solid without its measure") {
    check_fault(replaced("radius_mm = 5\n", ""), {"solid.post.radius_mm", 30, 1});
  }
  SECTION("a box inside out, at the solid") {
    check_fault(replaced("max_mm = [1, 2, 3]", "max_mm = [1, -2, 3]"), {"solid.body", 45, 1}, "inside out");
  }
  SECTION("rolls that overlap, at the spacing") {
    check_fault(replaced("\"300 mm\"", "\"140 mm\""), {"rolls.outer_spacing", 4, 17}, "overlap");
  }
  SECTION("a normal without direction") {
    check_fault(replaced("normal = [0, -2, 0]", "normal = [0, 0, 0]"), {"solid.wall.normal", 55, 10});
  }
  SECTION("a key given twice in two units") {
    check_fault(replaced("outer_radius_mm = 60", "outer_radius_mm = 60\nouter_radius = \"60 mm\""),
                {"rolls.outer_radius", 6, 1}, "twice");
  }
}

TEST_CASE("All problems of a machine file are told at once", "[input]") {
  const auto machine = read_text(
      "frition = 1\n[rolls]\nouter_spacing = \"1e999 mm\"\nfriction = \"much\"\n[[solid]]\nshape = "
      "\"boxx\"\n");
  REQUIRE_FALSE(machine.has_value());
  std::set<std::string> about;
  for (const Finding& finding : machine.error()) about.insert(finding.about);
  for (const char* key :
       {"frition", "rolls.outer_spacing", "rolls.friction", "rolls.outer_radius", "rolls.centre_radius"}) {
    INFO(key);
    CHECK(about.count(key) == 1);
  }
}

TEST_CASE("What a machine file leaves out is assumed and said", "[input]") {
  constexpr std::string_view bare =
      "[rolls]\nouter_spacing = \"300 mm\"\nouter_radius = \"60 mm\"\ncentre_radius = \"60 mm\"\n";
  const auto said = [](const Machine& m, std::string_view words) {
    return std::any_of(m.assumptions.begin(), m.assumptions.end(),
                       [&](const std::string& s) { return s.find(words) != std::string::npos; });
  };
  const auto plain = read_text(bare);
  REQUIRE(plain.has_value());
  CHECK_FALSE(plain->rolls.groove.has_value());
  CHECK_FALSE(plain->outboard_roll.has_value());
  CHECK(plain->feed.size() == 2);
  for (const char* words : {"from either side", "plain rolls", "pass height", "driven", "from memory",
                            "exit groove", "turning"}) {
    INFO(words);
    CHECK(said(*plain, words));
  }
  const auto fitting = read_text(bare, Length::mm(26.9));
  REQUIRE(fitting.has_value());
  CHECK(fitting->rolls.groove->mm() == 26.9);
  CHECK(said(*fitting, "26.9 mm"));
  CHECK(check_machine(*fitting).empty());
  const auto told = read_text(std::string(bare) + "groove = \"none\"\n", Length::mm(26.9));
  REQUIRE(told.has_value());
  CHECK_FALSE(told->rolls.groove.has_value());
}

TEST_CASE("Later values replace single values of a machine, and solids by their name", "[property]") {
  KeyedValues values = example_machine_values();
  const auto later_document = read_document(
      "[outboard_roll]\npast_exit = \"100 deg\"\n[rolls]\nouter_spacing = \"600 mm\"\n"
      "[[solid]]\nname = \"frame\"\nshape = "
      "\"cylinder\"\nfrom_mm=[0,-300,-800]\nto_mm=[0,-300,-200]\nradius_mm=90\n"
      "[[solid]]\nname = \"bench\"\nshape = \"box\"\nmin_mm=[0,-2000,-900]\nmax_mm=[400,-1500,0]\n",
      "later");
  REQUIRE(later_document.has_value());
  Findings faults;
  replace_machine_values(values, KeyedValues::from_table(*later_document, machine_keys(), faults));
  REQUIRE(faults.empty());
  const auto machine = read_machine(values, std::nullopt, Length::mm(42.4));
  REQUIRE(machine.has_value());
  CHECK(machine->rolls.outer_spacing.mm() == 600.0);
  CHECK(machine->rolls.outer_radius.mm() == 100.0);
  CHECK(std::holds_alternative<PastExit>(machine->outboard_roll->place));
  CHECK(machine->solids.size() == example_machine().solids.size() + 1);
  const auto frame = std::find_if(machine->solids.begin(), machine->solids.end(),
                                  [](const Solid& s) { return s.name == "frame"; });
  REQUIRE(frame != machine->solids.end());
  CHECK(std::holds_alternative<Cylinder>(frame->shape));
}

TEST_CASE("The force an outer roll may carry is read, and must be one", "[input]") {
  const auto machine = read_text(replaced("roll_lift = \"250 mm\"", "roll_lift = \"250 mm\"\nouter_roll_force = \"15 kN\""));
  REQUIRE(machine.has_value());
  CHECK(machine->limits.outer_roll_force->newtons() == 15000.0);
  CHECK_FALSE(read_text(replaced("roll_lift = \"250 mm\"", "outer_roll_force = \"0 kN\"")).has_value());
}

TEST_CASE("The built-in machine is complete", "[property]") {
  const Machine& m = example_machine();
  CHECK(m.outboard_roll.has_value());
  CHECK(m.rolls.groove.has_value());
  CHECK(m.limits.centre_roll_force.has_value());
  CHECK(m.room.floor.has_value());
  CHECK(m.room.ceiling.has_value());
  std::set<Rides> rides;
  for (const Solid& solid : m.solids) rides.insert(solid.rides);
  CHECK(rides.size() == 3);
}

TEST_CASE("A machine file that is not there is a fault about the file", "[input]") {
  const auto machine = read_machine_file("/nowhere/at-all.toml");
  REQUIRE_FALSE(machine.has_value());
  CHECK(machine.error().front().about == "file");
}

TEST_CASE("The sample machine file is complete: nothing is assumed", "[input]") {
  const auto machine = read_machine_file(COILWRIGHT_SAMPLES "/floor-roller.toml");
  if (!machine)
    for (const Finding& finding : machine.error()) WARN(finding.text);
  REQUIRE(machine.has_value());
  CHECK(machine->assumptions.empty());
  CHECK(machine->solids.size() > 8);
}
