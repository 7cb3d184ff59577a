#include <algorithm>
#include <catch2/catch.hpp>
#include <coilwright/plan/job_file.hpp>
#include <coilwright/plan/job_keys.hpp>
#include <set>

using namespace coilwright;

namespace {

DocumentValue option_value(std::string text) { return {std::move(text), {"--option", 0, 0}, {"--option", 0, 0}}; }

std::set<std::string> abouts(const Findings& findings) {
  std::set<std::string> names;
  for (const Finding& finding : findings) names.insert(finding.about);
  return names;
}

}  // namespace

TEST_CASE("every value of a job has an option of its own", "[job][property]") {
  std::set<std::string> flags;
  for (const KnownKey& known : job_keys()) {
    CAPTURE(known.key);
    if (known.kind == ValueKind::tables) {
      CHECK(flag_of(known.key).empty());
      continue;
    }
    const std::string flag = flag_of(known.key);
    CHECK(flag.starts_with("--"));
    CHECK(flag.find('_') == std::string::npos);
    CHECK(flag.find('.') == std::string::npos);
    CHECK(flags.insert(flag).second);
    CHECK_FALSE(known.help.empty());
  }
  CHECK(flag_of("coil.radius") == "--radius");
  CHECK(flag_of("stock.stock_length") == "--stock-length");
  CHECK(flag_of("blank.grip_front") == "--grip-front");
  CHECK(flag_of("machine.use") == "--machine");
  CHECK(flag_of("machine.name") == "--machine-name");
  CHECK(flag_of("machine.rolls.outer_spacing") == "--rolls-outer-spacing");
  CHECK(flag_of("machine.rolls.drive.entry") == "--rolls-drive-entry");
  CHECK(flag_of("machine.outboard_roll.reach") == "--outboard-roll-reach");
  CHECK(flag_of("rolling.stock_slope") == "--stock-slope");
  CHECK(flag_of("clearance.margin") == "--margin");
  CHECK(flag_of("tolerance.radius") == "--tolerance-radius");
  CHECK(flag_of("settings.touch_reading") == "--touch-reading");
  CHECK(flag_of("coil.colour").empty());
}

// A key of the table that nothing reads would be accepted and ignored: the worst that can happen to a value.
TEST_CASE("every key of a job is read: a value that cannot be understood is a fault about it", "[job][property]") {
  for (const KnownKey& known : job_keys()) {
    // A name can be any words.
    if (known.key == "machine.name" || known.kind == ValueKind::tables) continue;
    CAPTURE(known.key);
    JobRequest request;
    request.options.set(known, known.key, option_value("?!"));
    if (known.key.starts_with("machine.") && known.key != "machine.use")
      request.options.set({"machine.use", ValueKind::words, ""}, "machine.use", option_value("example"));
    const Result<Job> job = read_job(request);
    REQUIRE_FALSE(job.has_value());
    CHECK(abouts(job.error()).count(known.key) == 1);
  }
}

TEST_CASE("tables that only a file holds are refused or read", "[job][property]") {
  for (const char* key : {"segment", "stock.outline"}) {
    CAPTURE(key);
    JobRequest request;
    request.options.set({key, ValueKind::tables, ""}, key, {DocumentArray{}, {"job.toml", 1, 1}, {"job.toml", 1, 1}});
    const Result<Job> job = read_job(request);
    REQUIRE_FALSE(job.has_value());
    const auto found = std::find_if(job.error().begin(), job.error().end(), [&](const Finding& f) { return f.about == key; });
    REQUIRE(found != job.error().end());
    CHECK(found->text.find(std::string(key) == "stock.outline" ? "list of points" : "Segments are a list") != std::string::npos);
  }
}
