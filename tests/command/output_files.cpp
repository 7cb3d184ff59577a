// Where an answer goes: to a file whole or not at all, to standard output to its end.
#include <catch2/catch.hpp>
#include <filesystem>

#include "run_program.hpp"

namespace fs = std::filesystem;

namespace {

const std::string sample = "plan " COILWRIGHT_SAMPLES "/spiral-handrail.toml ";

std::size_t entries(const std::string& folder) {
  return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder), fs::directory_iterator()));
}

}  // namespace

TEST_CASE("a file that is replaced keeps its rights, and a link stays a link", "[command][property]") {
  const ScratchFolder scratch;
  const std::string target = scratch.file("plan.json", "old"), link = scratch.path("link.json");
  const fs::perms rights = fs::perms::owner_read | fs::perms::owner_write | fs::perms::group_read;
  fs::permissions(target, rights);
  fs::create_symlink(target, link);
  CHECK(run(sample + "--json -o '" + link + "'").exit_code == 0);
  CHECK(fs::is_symlink(link));
  CHECK(contents(target).starts_with("{"));
  CHECK((fs::status(target).permissions() & fs::perms::all) == rights);
  CHECK(entries(scratch.path("")) == 2);
}

TEST_CASE("what cannot be written leaves nothing behind", "[command][input]") {
  const ScratchFolder scratch;
  CHECK(run(sample + "-o '" + scratch.path("") + "'").exit_code == 5);
  CHECK(run(sample + "-o '" + scratch.path("none/plan.txt") + "'").exit_code == 5);
  CHECK(scratch.empty());
  CHECK(run(sample + "-o /dev/full").exit_code == 5);
  CHECK(fs::is_character_file("/dev/full"));
}

TEST_CASE("a job with faults leaves the old file as it was", "[command][input]") {
  const ScratchFolder scratch;
  const std::string target = scratch.file("plan.txt", "old");
  CHECK(run(sample + "--margin wide -o '" + target + "'").exit_code == 3);
  CHECK(contents(target) == "old");
  CHECK(entries(scratch.path("")) == 1);
}

TEST_CASE("a full standard output is code 5, whatever was asked", "[command][input]") {
  for (const std::string& arguments : {sample, std::string("--version"), std::string("tables"), sample + "--json --pitch 3"}) {
    const Ran ran = run(arguments + " > /dev/full");
    CAPTURE(arguments);
    CHECK(ran.exit_code == 5);
  }
}

TEST_CASE("no colours where no terminal reads; quiet is shorter and keeps settings and answer", "[command][property]") {
  const std::string whole = run(sample).out, brief = run(sample + "-q").out;
  CHECK(whole.find('\033') == std::string::npos);
  CHECK(brief.size() < whole.size() / 2);
  CHECK(brief.find("CENTRE ROLL") != std::string::npos);
}
