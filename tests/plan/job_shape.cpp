#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/plan/job_file.hpp>
#include <coilwright/plan/job_part.hpp>
#include <coilwright/plan/job_segments.hpp>
#include <coilwright/plan/job_stair.hpp>
#include <numbers>

#include "scratch_folder.hpp"
#include "plan/jobs.hpp"

using namespace coilwright;

namespace {

const std::string stock = "[stock]\ntube = \"42.4x2.6 mm\"\nmaterial = \"S235\"\n";

Result<Job> read_text(const std::string& text) {
  const ScratchFolder folder;
  return read_job({.path = folder.file("part.toml", text), .options = {}});
}

// The segments of a text, read alone.
JobSegments segments_of(const std::string& text, Findings& faults, std::map<std::string, Place>& places) {
  const auto document = read_document(text, "part.toml");
  REQUIRE(document.has_value());
  return read_job_segments(*document->find("segment"), std::nullopt, faults, places);
}

}  // namespace

TEST_CASE("segments are read in their order, with conditions", "[job][input]") {
  Findings faults;
  std::map<std::string, Place> places;
  const JobSegments read = segments_of(
      "[[segment]]\nkind = \"straight\"\nlength = \"300 mm\"\n"
      "[[segment]]\nkind = \"arc\"\nradius_mm = 300\nangle = \"to slope\"\nbends = \"up\"\n"
      "[[segment]]\nkind = \"helix\"\nradius = \"800 mm\"\nmeasured_to = \"centreline\"\npitch = \"2700 "
      "mm\"\nturns = 0.75\nclimbs = \"clockwise\"\n"
      "[[segment]]\nkind = \"scroll\"\nstart_radius = \"400 mm\"\nend_radius = \"80 mm\"\nturns = 3\nbends = "
      "\"out\"\n",
      faults, places);
  CHECK(faults.empty());
  CHECK(read.understood);
  REQUIRE(read.specs.size() == 4);
  CHECK(read.specs[0].given.at(SegmentMeasure::length) == 300.0);
  CHECK(read.specs[1].bends == Bends::up);
  REQUIRE(read.specs[1].closing.has_value());
  CHECK(read.specs[1].closing->word == ClosingWord::slope);
  CHECK(read.specs[1].given.at(SegmentMeasure::radius) == 300.0);
  CHECK(read.specs[2].hand == Hand::left_screw);
  CHECK(read.specs[3].kind == SegmentKind::scroll);
  CHECK(places.at("segment.2.angle").line == 7);
  CHECK(read.assumptions.size() == 2);
}

TEST_CASE("all faults of segments come at once with their places", "[job][input]") {
  const Result<Job> job =
      read_text(stock +
                "[[segment]]\nkind = \"arch\"\n"
                "[[segment]]\nradius = \"800 mm\"\n"
                "[[segment]]\nkind = \"arc\"\nangle = \"to levle\"\nradius = \"8\"\nradios = 3\n"
                "[[segment]]\nkind = \"helix\"\npitch = \"30 deg\"\nclimbs = \"right\"\n");
  CHECK(fault_about(job, "segment.1.kind").place->line == 5);
  CHECK(fault_about(job, "segment.2.kind").place->line == 6);
  CHECK(fault_about(job, "segment.3.angle").text.find("to level") != std::string::npos);
  CHECK(fault_about(job, "segment.3.radius").place->line == 11);
  CHECK(fault_about(job, "segment.4.pitch").text.find("slope") != std::string::npos);
  CHECK(fault_about(job, "segment.4.climbs").text.find("counter-clockwise") != std::string::npos);
  CHECK(std::any_of(job.error().begin(), job.error().end(),
                    [](const Finding& f) { return f.text.find("radios") != std::string::npos; }));
}

TEST_CASE("a segment that cannot be is refused where it stands", "[job][input]") {
  const Result<Job> job = read_text(stock +
                                    "[[segment]]\nkind = \"arc\"\nradius = \"800 mm\"\nchord = \"1700 "
                                    "mm\"\n[[segment]]\nkind = \"straight\"\n");
  CHECK(fault_about(job, "segment.1.chord").place->line == 7);
  CHECK(fault_about(job, "segment.2.length").place->line == 8);
}

TEST_CASE("one helix given as a segment is the coil", "[job][property]") {
  const Result<Job> job = read_text(stock +
                                    "[[segment]]\nkind = \"helix\"\nradius = \"800 mm\"\npitch = \"2700 "
                                    "mm\"\nturns = 1.1\nclimbs = \"counter-clockwise\"\n");
  REQUIRE(job.has_value());
  CHECK(job->coil.radius->mm() == Approx(800));
  CHECK(job->coil.turns.value() == Approx(1.1));
  const auto part = part_of(*job);
  REQUIRE(part.has_value());
  CHECK(part->developed_length().mm() ==
        Approx(1.1 * std::hypot(2 * std::numbers::pi * 800, 2700)).epsilon(1e-12));
}

TEST_CASE("a stair is read and gives its rail", "[job][input]") {
  const Result<Job> job = read_text(stock +
                                    "[stair]\nriser_count = 16\ntotal_rise = \"3000 mm\"\ntread_angle = \"27 "
                                    "deg\"\nnewel_radius = \"100 mm\"\n"
                                    "clear_width = \"660 mm\"\nclimbs = \"clockwise\"\nrail_height = \"900 "
                                    "mm\"\ntop_extension = \"305 mm level\"\n"
                                    "bottom_extension = \"one tread at the slope\"\n");
  if (!job)
    for (const Finding& f : job.error()) UNSCOPED_INFO(f.about << ": " << f.text);
  REQUIRE(job.has_value());
  REQUIRE(job->stair.has_value());
  CHECK(job->coil.radius->mm() == Approx(781.2));
  CHECK(job->coil.pitch->mm() == Approx(2500));
  CHECK(job->coil.hand == Hand::left_screw);
  const auto part = part_of(*job);
  REQUIRE(part.has_value());
  CHECK(part->segments().size() == 4);
}

TEST_CASE("faults of a stair come at once with their places", "[job][input]") {
  const Result<Job> job = read_text(
      stock +
      "[stair]\nriser_count = 16.5\ntotal_rise = \"3000\"\nclimbs = \"left\"\ntop_extension = \"300 mm\"\n");
  CHECK(fault_about(job, "stair.riser_count").place->line == 5);
  CHECK(fault_about(job, "stair.total_rise").place->line == 6);
  CHECK(fault_about(job, "stair.climbs").place->line == 7);
  CHECK(fault_about(job, "stair.top_extension").place->line == 8);
}

TEST_CASE("a part is described once", "[job][input]") {
  const Result<Job> job = read_text(stock +
                                    "[coil]\nradius = \"800 mm\"\npitch = \"2700 mm\"\nturns = 1\nclimbs = "
                                    "\"clockwise\"\n[stair]\nriser_count = 12\n");
  const Finding& twice = fault_about(job, "stair");
  CHECK(twice.text.find("[coil] and [stair]") != std::string::npos);
  CHECK(twice.place->line == 10);
}
