#include <algorithm>
#include <catch2/catch.hpp>
#include <coilwright/machine/example_machine.hpp>
#include <coilwright/plan/job_file.hpp>

#include "scratch_folder.hpp"
#include "plan/jobs.hpp"

using namespace coilwright;

namespace {

const std::string rail =
    "[coil]\nradius = \"800 mm\"\npitch = \"2700 mm\"\nturns = 1.1\nclimbs = \"counter-clockwise\"\n"
    "[stock]\ntube = \"42.4x2.6 mm\"\nmaterial = \"S235\"\n";

Result<Job> read_text(const std::string& text) {
  const ScratchFolder folder;
  return read_job({.path = folder.file("rail.toml", text), .options = {}});
}

Job good(const std::string& text) {
  const Result<Job> job = read_text(text);
  if (!job)
    for (const Finding& finding : job.error()) UNSCOPED_INFO(finding.about << ": " << finding.text);
  REQUIRE(job.has_value());
  return *job;
}

bool says(const std::vector<std::string>& sentences, const std::string& words) {
  return std::any_of(sentences.begin(), sentences.end(), [&](const std::string& s) { return s.find(words) != std::string::npos; });
}

}  // namespace

TEST_CASE("every value of a job file arrives where it belongs", "[job][input]") {
  const Job job = good(
      "[coil]\ndiameter = \"1642.4 mm\"\nmeasured_to = \"outside\"\nrise = \"2970 mm\"\nsweep = \"396 deg\"\nhand = \"left-screw\"\n"
      "[stock]\nbar = \"1 in\"\nmaterial = \"S355\"\nyield_mpa = 400\nhardening = \"2500 MPa\"\nmodulus_ksi = 30000\npoisson = 0.29\n"
      "stock_length = [\"6 m\", \"20 ft\"]\n"
      "[blank]\ngrip_front = \"10 mm\"\ngrip_back_mm = 20\ntrim_front = \"30 mm\"\ntrim_back = \"40 mm\"\nrun_in = \"500 mm\"\nsettling = \"800 mm\"\n"
      "[machine]\nuse = \"example\"\nname = \"changed\"\nfeed = \"from the left\"\n[machine.rolls]\ngroove = \"26 mm\"\nexit_play_up = \"0.2 mm\"\n"
      "[machine.outboard_roll]\npast_exit = \"95 deg\"\n[machine.room]\nceiling = \"3 m\"\n"
      "[rolling]\npasses = 3\nstock_slope = \"-1 deg\"\n[clearance]\nmargin = \"1 in\"\n[tolerance]\nradius = \"5 mm\"\nrise = \"10 mm\"\n"
      "distortion = 5\ncurvature = \"AISC 303\"\n"
      "[settings]\ntouch_reading = \"112.4 mm\"\ntravel_reads = \"down\"\nlift_reading_at_pass_height = \"3 mm\"\nlift_reads = \"down\"\n");
  CHECK_FALSE(job.coil.radius.has_value());
  CHECK(job.coil.diameter->mm() == 1642.4);
  CHECK(job.coil.measured_to == MeasuredTo::outside);
  CHECK(job.measured_to_given);
  CHECK(job.coil.rise->mm() == 2970.0);
  CHECK(job.coil.sweep->deg() == Approx(396.0));
  CHECK(job.coil.hand == Hand::left_screw);
  CHECK(job.stock.section.outside_diameter().mm() == Approx(25.4));
  CHECK(job.stock.material.name == "S355");
  CHECK(job.stock.material.yield.mpa() == 400.0);
  CHECK(job.stock.material.source.yield == "given");
  CHECK(job.stock.material.hardening.mpa() == 2500.0);
  CHECK(job.stock.material.modulus.ksi() == Approx(30000.0));
  CHECK(job.stock.material.poisson == 0.29);
  REQUIRE(job.stock.stock_lengths.size() == 2);
  CHECK(job.stock.stock_lengths[0].mm() == 6000.0);
  CHECK(job.stock.stock_lengths[1].mm() == Approx(6096.0));
  CHECK(job.blank.grip_front.mm() == 10.0);
  CHECK(job.blank.grip_back.mm() == 20.0);
  CHECK(job.blank.trim_front.mm() == 30.0);
  CHECK(job.blank.trim_back.mm() == 40.0);
  CHECK(job.blank.run_in->mm() == 500.0);
  CHECK(job.blank.settling->mm() == 800.0);
  CHECK(job.machine.name == "changed");
  CHECK(job.machine_origin == "built-in example");
  CHECK(job.machine.feed == std::vector{FeedSide::from_the_left});
  CHECK(job.machine.rolls.groove->mm() == 26.0);
  CHECK(job.machine.rolls.exit_play_up.mm() == 0.2);
  CHECK(job.machine.rolls.outer_spacing == example_machine().rolls.outer_spacing);
  CHECK(std::get<PastExit>(job.machine.outboard_roll->place).azimuth.deg() == Approx(95.0));
  CHECK(job.machine.outboard_roll->radius == example_machine().outboard_roll->radius);
  CHECK(job.machine.room.ceiling->mm() == 3000.0);
  CHECK(job.passes == 3);
  CHECK(job.stock_slope.deg() == Approx(-1.0));
  CHECK(job.clearance_margin.mm() == Approx(25.4));
  CHECK(job.clearance_margin_given);
  CHECK(job.tolerance.radius->mm() == 5.0);
  CHECK(job.tolerance.rise->mm() == 10.0);
  CHECK(job.tolerance.distortion_percent == 5.0);
  CHECK(job.tolerance.curvature == Tolerances::CurvatureRule::aisc_303);
  CHECK(job.scales.touch_reading->mm() == 112.4);
  CHECK_FALSE(job.scales.travel_reads_up);
  CHECK(job.scales.lift_reading_at_pass_height->mm() == 3.0);
  CHECK_FALSE(job.scales.lift_reads_up);
  CHECK(job.name == "rail");
}

TEST_CASE("what stands in for an unknown is an assumption; the datum of a radius is asked too", "[job][property]") {
  const Job job = good(rail);
  CHECK(says(job.assumptions, "built-in example"));
  CHECK(says(job.assumptions, "measured to the centreline"));
  CHECK(says(job.assumptions, "minimum of the standard"));
  CHECK(says(job.assumptions, "25.0 mm"));
  REQUIRE(job.remarks.size() == 1);
  CHECK(job.remarks[0].level == Level::question);
  CHECK(job.remarks[0].about == "coil.measured_to");
  // The example's roll set is the one that fits.
  CHECK(job.machine.rolls.groove == job.stock.section.outside_diameter());

  const Job told = good(rail + "yield_mpa = 300\n[clearance]\nmargin = \"25 mm\"\n[machine]\nuse = \"example\"\n");
  CHECK_FALSE(says(told.assumptions, "minimum of the standard"));
  CHECK_FALSE(says(told.assumptions, "counts as clear"));
  CHECK_FALSE(says(told.assumptions, "No machine is given"));
}

TEST_CASE("a machine beside the job, in the job, or the built-in one with changes", "[job][property]") {
  const ScratchFolder folder;
  folder.file("m.toml", "name = \"mine\"\n[rolls]\nouter_spacing = \"620 mm\"\nouter_radius = \"110 mm\"\ncentre_radius = \"120 mm\"\n");
  const Result<Job> beside = read_job({.path = folder.file("a.toml", rail + "[machine]\nuse = \"m.toml\"\n[machine.rolls]\nouter_radius = \"111 mm\"\n"), .options = {}});
  REQUIRE(beside.has_value());
  CHECK(beside->machine_origin == "m.toml");
  CHECK(beside->machine.name == "mine");
  CHECK(beside->machine.rolls.outer_spacing.mm() == 620.0);
  CHECK(beside->machine.rolls.outer_radius.mm() == 111.0);

  const Job alone = good(rail + "[machine.rolls]\nouter_spacing = \"620 mm\"\nouter_radius = \"110 mm\"\ncentre_radius = \"120 mm\"\n");
  CHECK(alone.machine_origin == "described in the job");
  CHECK(alone.machine.solids.empty());
  CHECK_FALSE(alone.machine.outboard_roll.has_value());

  const Job changed = good(rail + "[machine.rolls]\nfriction = 0.2\n[[machine.solid]]\nname = \"crate\"\nshape = \"box\"\nmin_mm = [1, 1, 1]\nmax_mm = [20, 20, 20]\n");
  CHECK(changed.machine_origin == "built-in example");
  CHECK(changed.machine.rolls.friction == 0.2);
  CHECK(changed.machine.solids.size() == example_machine().solids.size() + 1);
}

TEST_CASE("a pitch given as an angle is answered with the pitch it makes", "[job][input]") {
  const Finding fault = fault_about(read_text("[coil]\nradius = \"800 mm\"\npitch = \"30 deg\"\nturns = 1\n" + rail.substr(rail.find("[stock]"))), "coil.pitch");
  // 2 pi 800 tan 30 degrees = 2902.08.
  CHECK(fault.text.find("2902.1 mm") != std::string::npos);
  CHECK(fault.text.find("slope") != std::string::npos);
  REQUIRE(fault.place);
  CHECK(fault.place->line == 3);
}

TEST_CASE("contradictions in a job are told", "[job][input]") {
  const std::string stock = rail.substr(rail.find("[stock]")), coil = rail.substr(0, rail.find("[stock]"));
  CHECK(fault_about(read_text(coil + "hand = \"left-screw\"\n" + stock), "coil.climbs").text.find("contradict") != std::string::npos);
  CHECK(fault_about(read_text(coil + stock + "bar = \"25 mm\"\n"), "stock.bar").place->line == 9);
  CHECK(fault_about(read_text(coil + "[stock]\nmaterial = \"S235\"\n"), "stock.tube").text.find("what is bent") != std::string::npos);
  CHECK(fault_about(read_text(coil + "[stock]\ntube = \"42.4x2.6 mm\"\n"), "stock.material").text.find("S235") != std::string::npos);
  CHECK(fault_about(read_text(coil + stock + "poisson = 0.5\n"), "stock.poisson").place->line == 9);
  CHECK(fault_about(read_text(coil + stock + "hardening_mpa = 300000\n"), "stock.hardening").place->line == 9);
  // Measures that disagree are found while reading, with everything else.
  const Result<Job> both = read_text(coil + "rise = \"1 m\"\n" + stock + "poisson = 2\n[rolling]\npasses = 1.5\n");
  CHECK(fault_about(both, "rolling.passes").text.find("whole number") != std::string::npos);
  CHECK(both.error().size() >= 3 - 1);
}

TEST_CASE("options stand above the file, key by key", "[job][property]") {
  const ScratchFolder folder;
  const std::string path = folder.file("a.toml", rail);
  JobRequest request{.path = path, .options = {}};
  const auto set = [&](const std::string& key, const std::string& text) {
    const auto known = std::find_if(job_keys().begin(), job_keys().end(), [&](const KnownKey& k) { return k.key == key; });
    REQUIRE(known != job_keys().end());
    const Place place{flag_of(key), 0, 0};
    request.options.set(*known, key, {text, place, place});
  };
  set("coil.diameter", "1800 mm");
  set("coil.hand", "left-screw");
  set("coil.sweep", "180 deg");
  const Result<Job> job = read_job(request);
  REQUIRE(job.has_value());
  CHECK_FALSE(job->coil.radius.has_value());  // displaced by the diameter
  CHECK(job->coil.diameter->mm() == 1800.0);
  CHECK_FALSE(job->coil.turns.has_value());
  CHECK(job->coil.hand == Hand::left_screw);
  CHECK(job->coil.pitch->mm() == 2700.0);
  CHECK(job->places.at("coil.diameter").file == "--diameter");
  CHECK(job->places.at("coil.pitch").line == 3);
}

TEST_CASE("findings get the place of the key they speak of", "[job][property]") {
  const Job job = good(rail);
  Findings findings{{Level::fault, "coil.pitch", "x", std::nullopt},
                    {Level::fault, "nothing.such", "x", std::nullopt},
                    {Level::fault, "coil.pitch", "x", Place{"kept", 1, 1}}};
  locate(findings, job);
  REQUIRE(findings[0].place);
  CHECK(findings[0].place->line == 3);
  CHECK_FALSE(findings[1].place);
  CHECK(findings[2].place->file == "kept");
}
