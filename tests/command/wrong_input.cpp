#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "run_program.hpp"

using Json = nlohmann::json;

namespace {

// A rail with one option replaced or added.
std::string rail(const std::string& more) {
  return "plan --pitch '2700 mm' --turns 1.1 --climbs counter-clockwise --tube '42.4x2.6 mm' --material S235 " + more;
}

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

const std::string job = R"([coil]
radius = "800 mm"
pitch = "2700 mm"
turns = 1.1
climbs = "counter-clockwise"
[stock]
tube = "42.4x2.6 mm"
material = "S235"
)";

std::string replaced(const std::string& from, const std::string& to) {
  std::string text = job;
  return text.replace(text.find(from), from.size(), to);
}

}  // namespace

TEST_CASE("wrong use of the command ends with 2 and names the nearest", "[command][input]") {
  const Ran option = run("plan --radios '800 mm'");
  CHECK(option.exit_code == 2);
  CHECK(has(option.err, "--radios"));
  CHECK(has(option.err, "--radius"));
  const Ran command = run("plam");
  CHECK(command.exit_code == 2);
  CHECK(has(command.err, "plan"));
  CHECK(run("").exit_code == 2);
  // A mistyped option before the job file is what is complained about, not the file.
  const Ran before = run("plan --jsn " COILWRIGHT_SAMPLES "/spiral-handrail.toml");
  CHECK(before.exit_code == 2);
  CHECK(has(before.err, "--jsn"));
}

TEST_CASE("a value that cannot be read ends with 3, naming option, value and rule", "[command][input]") {
  for (const auto& [option, value] : {std::pair{"--radius", "600,5 mm"}, {"--radius", "nan"}, {"--radius", "inf mm"},
                                      {"--radius", "1e999 mm"}, {"--radius", "1/0 in"}, {"--radius", "2' 13\\\""},
                                      {"--radius", "800"}, {"--radius", "-800 mm"}, {"--radius", ""}}) {
    const Ran ran = run(rail(std::string(option) + " \"" + value + "\""));
    CAPTURE(option, value, ran.err);
    CHECK(ran.exit_code == 3);
    CHECK(has(ran.err, option));
    CHECK(ran.out.empty());
  }
}

TEST_CASE("a pitch given as an angle is answered", "[command][input]") {
  const Ran ran = run("plan --radius '800 mm' --pitch '30 deg' --turns 1 --hand right-screw --tube '42.4x2.6 mm' --material S235");
  CHECK(ran.exit_code == 3);
  CHECK(has(ran.err, "slope"));
}

TEST_CASE("a bare right or left is refused with the choices", "[command][input]") {
  const Ran ran = run("plan --radius '800 mm' --pitch '2700 mm' --turns 1 --hand right --tube '42.4x2.6 mm' --material S235");
  CHECK(ran.exit_code == 3);
  CHECK(has(ran.err, "right-screw"));
  CHECK(has(ran.err, "left-screw"));
  CHECK(has(ran.err, "clockwise"));
}

TEST_CASE("an unknown size or material names the nearest", "[command][input]") {
  const Ran size = run("plan --radius '800 mm' --pitch '2700 mm' --turns 1 --hand right-screw --tube 'NPS 1-1/4 Sch 41' --material S235");
  CHECK(size.exit_code == 3);
  CHECK(has(size.err, "40"));
  const Ran material = run("plan --radius '800 mm' --pitch '2700 mm' --turns 1 --hand right-screw --tube '42.4x2.6 mm' --material S234");
  CHECK(material.exit_code == 3);
  CHECK(has(material.err, "S235"));
  const Ran wall = run("plan --radius '800 mm' --pitch '2700 mm' --turns 1 --hand right-screw --tube '42.4x22 mm' --material S235");
  CHECK(wall.exit_code == 3);
  CHECK(has(wall.err, "wall"));
}

TEST_CASE("too few measures ask the customer", "[command][input]") {
  const Ran ran = run("plan --radius '800 mm' --hand right-screw --tube '42.4x2.6 mm' --material S235");
  CHECK(ran.exit_code == 3);
  CHECK(has(ran.err, "pitch"));
  CHECK(has(ran.err, "?"));
}

TEST_CASE("problems of a file are told all at once, with file, line and column", "[command][input]") {
  const ScratchFolder scratch;
  const std::string path = scratch.file("bad.toml", "[coil]\nradios = \"800 mm\"\npitch = \"27,5 mm\"\nturns = 1.1\nhand = \"right\"\n"
                                                    "[stock]\ntube = \"42.4x2.6 mm\"\nmaterial = \"S235\"\n");
  const Ran ran = run("plan '" + path + "'");
  CHECK(ran.exit_code == 3);
  CAPTURE(ran.err);
  CHECK(has(ran.err, "bad.toml:2:1"));
  CHECK(has(ran.err, "radius"));
  CHECK(has(ran.err, "bad.toml:3:"));
  CHECK(has(ran.err, "bad.toml:5:"));
}

TEST_CASE("a broken file is told where it breaks", "[command][input]") {
  const ScratchFolder scratch;
  const Ran broken = run("plan '" + scratch.file("broken.toml", "[coil\nradius = 3\n") + "'");
  CHECK(broken.exit_code == 3);
  CHECK(has(broken.err, "broken.toml:1:"));
  const Ran twice = run("plan '" + scratch.file("twice.toml", job + "[coil]\n") + "'");
  CHECK(twice.exit_code == 3);
  CHECK(has(twice.err, "twice.toml:9:"));
  const Ran segments = run("plan '" + scratch.file("segments.toml", "[[segment]]\nkind = \"arc\"\n") + "'");
  CHECK(segments.exit_code == 3);
}

TEST_CASE("what cannot be read or written ends with 5, and leaves nothing half-written", "[command][input]") {
  CHECK(run("plan no-such-job.toml").exit_code == 5);
  const ScratchFolder scratch;
  const std::string path = scratch.file("job.toml", job);
  CHECK(run("plan '" + path + "' -o '" + scratch.path("no/such/folder/plan.txt") + "'").exit_code == 5);
  CHECK(run("plan '" + path + "' -o /dev/full").exit_code == 5);
  const Ran wrong = run("plan '" + scratch.file("bad.toml", replaced("800 mm", "8OO mm")) + "' -o '" + scratch.path("plan.txt") + "'");
  CHECK(wrong.exit_code == 3);
  CHECK_FALSE(std::filesystem::exists(scratch.path("plan.txt")));
}

TEST_CASE("errors come as JSON when JSON is asked for", "[command][input]") {
  const ScratchFolder scratch;
  const Ran ran = run("plan --json '" + scratch.file("bad.toml", replaced("2700 mm", "27,5 mm")) + "'");
  CHECK(ran.exit_code == 3);
  const Json said = Json::parse(ran.out);
  CHECK(said["schema"] == 1);
  const Json& finding = said["findings"][0];
  CHECK(finding["level"] == "fault");
  CHECK(finding["about"] == "coil.pitch");
  CHECK(finding["line"] == 3);
  CHECK(finding["column"].get<int>() > 1);
  CHECK(has(finding["file"].get<std::string>(), "bad.toml"));
}

TEST_CASE("a machine that makes the other hand says so: a no, not an error", "[command][property]") {
  const ScratchFolder scratch;
  const std::string machine = contents(COILWRIGHT_SAMPLES "/floor-roller.toml");
  const std::string feed = "feed = [\"from the right\", \"from the left\"]";
  std::string one_sided = machine;
  REQUIRE(one_sided.find(feed) != std::string::npos);
  one_sided.replace(one_sided.find(feed), feed.size(), "feed = [\"from the right\"]");
  const std::string path = scratch.file("one-sided.toml", one_sided);
  const Ran ran = run("plan --radius '600 mm' --pitch '300 mm' --turns 2 --climbs clockwise --tube '33.7x2.5 mm' --material S235 --machine '" + path + "'");
  CHECK(ran.exit_code == 1);
  CHECK(has(ran.out, "from the left"));
}

TEST_CASE("every job that fails says why, whatever bytes it is", "[command][input]") {
  const ScratchFolder scratch;
  for (const std::string& bytes : {std::string("\xff\xfe\x00", 3), std::string(300000, 'a'), std::string("a\n\x01"), std::string()}) {
    const Ran ran = run("plan '" + scratch.file("odd.toml", bytes) + "'");
    CHECK(ran.exit_code == 3);
    CHECK_FALSE(ran.err.empty());
  }
}
