// Machines as jobs name them, and as `tables` shows them.
#include <catch2/catch.hpp>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "run_program.hpp"

using Json = nlohmann::json;

namespace {

const std::string sample = "plan --json " COILWRIGHT_SAMPLES "/spiral-handrail.toml ";
const std::string job = "[coil]\nradius = \"800 mm\"\npitch = \"2700 mm\"\nturns = 1.1\nhand = \"right-screw\"\n"
                        "[stock]\ntube = \"42.4x2.6 mm\"\nmaterial = \"S235\"\n";

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("the built-in machine can be printed, kept as a file, and plans the same", "[command][property]") {
  const ScratchFolder scratch;
  const Ran printed = run("tables --machine example");
  CHECK(printed.exit_code == 0);
  const std::string file = scratch.file("mine.toml", printed.out);
  const Json by_name = Json::parse(run(sample + "--machine example").out), by_file = Json::parse(run(sample + "--machine '" + file + "'").out);
  for (const char* key : {"rolling", "lift", "pose", "clearance"}) CHECK(by_name.at(key) == by_file.at(key));
}

TEST_CASE("a machine file is summed up with what it leaves open, or refused with its faults", "[command][input]") {
  const Ran complete = run("tables --machine " COILWRIGHT_SAMPLES "/floor-roller.toml");
  CHECK(complete.exit_code == 0);
  CHECK(has(complete.out, "400.0 mm"));
  CHECK_FALSE(has(complete.out, "does not say"));
  const ScratchFolder scratch;
  const std::string bare = scratch.file("bare.toml", "[rolls]\nouter_spacing = \"500 mm\"\nouter_radius = \"100 mm\"\ncentre_radius = \"90 mm\"\n");
  CHECK(has(run("tables --machine '" + bare + "'").out, "does not say"));
  const Json json = Json::parse(run("tables --json --machine '" + bare + "'").out);
  CHECK(json["machine"]["outer_spacing_mm"] == 500.0);
  CHECK(json["machine"]["groove_mm"].is_null());
  CHECK_FALSE(json["machine"]["assumptions"].empty());
  const Ran faulty = run("tables --machine '" + scratch.file("m.toml", "[rolls]\nouter_spacng = \"1 m\"\n") + "'");
  CHECK(faulty.exit_code == 3);
  CHECK(has(faulty.err, "m.toml:2:1"));
  CHECK(run("tables --machine /nowhere/m.toml").exit_code == 5);
}

TEST_CASE("a machine file beside the job: its faults stand at their own place", "[command][input]") {
  const ScratchFolder scratch;
  std::filesystem::create_directory(scratch.path("shop"));
  scratch.file("shop/m.toml", "[rolls]\nouter_spacing = \"500 mm\"\nouter_radius = \"100 mm\"\ncentre_radius = \"100\"\n");
  const std::string path = scratch.file("shop/job.toml", job + "[machine]\nuse = \"m.toml\"\n");
  const Ran ran = run("plan '" + path + "'");
  CHECK(ran.exit_code == 3);
  CHECK(has(ran.err, "m.toml:4:21"));
  // An option repairs it.
  CHECK(run("plan '" + path + "' --rolls-centre-radius '100 mm'").exit_code <= 1);
}

TEST_CASE("a machine that is not there, or only half described", "[command][input]") {
  const Ran mistyped = run(sample + "--machine exmaple");
  CHECK(mistyped.exit_code == 3);
  CHECK(has(mistyped.out, "Did you mean \\\"example\\\"?"));
  CHECK(run(sample + "--machine nowhere.toml").exit_code == 3);
  const Ran half = run(sample + "--rolls-outer-spacing '600 mm'");
  CHECK(half.exit_code == 3);
  CHECK(has(half.out, "machine.rolls.outer_radius"));
  CHECK(has(half.out, "machine.rolls.centre_radius"));
  const Ran whole = run(sample + "--machine example --rolls-outer-spacing '600 mm'");
  CHECK(whole.exit_code <= 1);
}

TEST_CASE("without the viewer: how to get it, code 4", "[command][input]") {
  const ScratchFolder scratch;
  std::filesystem::copy_file(COILWRIGHT_PROGRAM, scratch.path("coilwright"));
  // A copy alone in a folder has nothing beside it.
  for (const char* command : {"view", "picture"}) {
    const Ran ran = run_shell("PATH=/nowhere '" + scratch.path("coilwright") + "' " + command + " job.toml");
    CHECK(ran.exit_code == 4);
    CHECK(ran.out.empty());
    CHECK(has(ran.err, "coilwright-view"));
  }
  const Ran json = run_shell("PATH=/nowhere '" + scratch.path("coilwright") + "' view --json");
  CHECK(json.exit_code == 4);
  CHECK(Json::parse(json.out)["findings"][0]["about"] == "viewer");
}

TEST_CASE("the viewer beside the program, then on PATH, gets every argument; its exit code counts", "[command][property]") {
  const ScratchFolder beside, on_path;
  const auto make_viewer = [](const ScratchFolder& folder, const std::string& says) {
    std::filesystem::permissions(folder.file("coilwright-view", "#!/bin/sh\necho " + says + " \"$@\"\nexit 7\n"),
                                 std::filesystem::perms::owner_all);
  };
  std::filesystem::copy_file(COILWRIGHT_PROGRAM, beside.path("coilwright"));
  make_viewer(on_path, "path");
  const std::string call = "PATH='" + on_path.path("") + "':\"$PATH\" '" + beside.path("coilwright") + "' picture job.toml -o 'a picture.png'";
  const Ran from_path = run_shell(call);
  CHECK(from_path.exit_code == 7);
  CHECK(from_path.out == "path picture job.toml -o a picture.png\n");
  make_viewer(beside, "beside");
  CHECK(run_shell(call).out == "beside picture job.toml -o a picture.png\n");
}
