#include <catch2/catch.hpp>
#include <clocale>
#include <coilwright/report/plan_text.hpp>
#include <coilwright/report/safe_text.hpp>
#include <coilwright/report/text_page.hpp>
#include <cstdlib>
#include <fstream>
#include <locale>
#include <sstream>
#include <string>

#include "report/plan_fixture.hpp"

using namespace coilwright;

namespace {

bool contains(const std::string& text, std::string_view what) { return text.find(what) != std::string::npos; }

// Line ends and the frame's sides taken as spaces, runs of spaces as one: what a reader reads.
std::string reading(const std::string& text) {
  std::string out;
  for (const char c : text) {
    const char plain = c == '\n' || c == '|' ? ' ' : c;
    if (plain != ' ' || (!out.empty() && out.back() != ' ')) out += plain;
  }
  return out;
}

std::string approved(const std::string& name) {
  const std::string samples = COILWRIGHT_SAMPLES;  // SOURCE/samples
  std::ifstream file(samples.substr(0, samples.rfind('/')) + "/tests/report/approved/" + name);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

// On a difference the new text is left beside the program; approving it is copying it, by hand, after
// reading it.
void compare(const std::string& name, const std::string& text) {
  const std::string before = approved(name);
  if (before != text) std::ofstream("received_" + name) << text;
  CHECK(before == text);
}

Plan shown(Plan plan, Show show) {
  plan.job.show = show;
  if (!plan.rolling.passes.empty()) plan.rolling.capability = plan_fixture::capability(show);
  return plan;
}

Plan three_passes() {
  Plan plan = plan_fixture::rail();
  PassPlan pass = plan.rolling.passes.front();
  plan.rolling.passes.clear();
  for (const double travel : {20.5, 26.25, 28.0}) {
    pass.travel = Length::mm(travel);
    plan.rolling.passes.push_back(pass);
  }
  return plan;
}

}  // namespace

TEST_CASE("a whole plan reads as approved", "[plan_text][regression]") {
  compare("rail.txt", plan_text(plan_fixture::rail()));
  compare("rail_left_hand_mm.txt", plan_text(shown(plan_fixture::rail(Hand::left_screw), Show::mm)));
  compare("without_answer.txt", plan_text(plan_fixture::without_answer()));
}

TEST_CASE("no line is longer than the page", "[plan_text][property]") {
  Plan odd = three_passes();
  odd.job.name = std::string(300, 'x');
  odd.job.machine.name = "a machine with a very long name " + std::string(120, 'y');
  odd.clearance->result.obstacles[0].part = "a solid whose name tells the whole story of the frame it is welded to";
  odd.clearance->result.obstacles[1].part = std::string(80, 'z');
  odd.blank.flat_front = Length::mm(123456.7);
  odd.blank.trim_front = odd.blank.trim_back = Length::mm(98765.4);
  odd.rolling.passes[1].centre_roll_force = Force::kilonewtons(123456);
  odd.findings.push_back({Level::fault, "machine", std::string(500, 'w'), std::nullopt});
  for (const Plan& plan : {plan_fixture::rail(), three_passes(), plan_fixture::without_answer(), odd})
    for (const Show show : {Show::mm, Show::inch, Show::both}) {
      std::istringstream lines(plan_text(shown(plan, show)));
      for (std::string line; std::getline(lines, line);) {
        INFO(line);
        CHECK(columns(line) <= TextPage::width);
        CHECK(line == std::string(line, 0, line.find_last_not_of(' ') + 1));
      }
    }
}

TEST_CASE("the settings say their datum and where to start", "[plan_text][property]") {
  const std::string text = reading(plan_text(shown(plan_fixture::rail(), Show::mm)));
  CHECK(contains(text, "Travel is measured from touch: the real stock rests on both outer rolls and just touches the "
                       "centre roll."));
  CHECK(contains(text, "start at 212.4 mm (low end of the working band); expect 212.4 to 250.8 mm"));
  CHECK(contains(text, "raise toward the pitch: a lift that is too great leaves twist that lowering does not remove"));
  // 112.4 at touch + 20.5 travel + 0.3 that the frame gives.
  CHECK(contains(text, "133.20 mm"));
  // The roll itself: 212.4 - (231.7 - 225.6).
  CHECK(contains(text, "206.3 mm"));
  CHECK(contains(text, "run the centre roll in to 20.50 mm from touch, scale 133.20 mm, while feeding slowly"));
  CHECK(contains(text, "to a lift of 212.4 mm, scale 206.3 mm, the start, while the next 1455.3 mm go through"));
  CHECK(contains(text, "Nobody stands inside the radius that the part sweeps: 2815 mm"));
}

TEST_CASE("a scale that reads the other way", "[plan_text][property]") {
  Plan plan = shown(plan_fixture::rail(), Show::mm);
  plan.job.scales.travel_reads_up = false;
  plan.job.scales.lift_reads_up = false;
  const std::string text = plan_text(plan);
  CHECK(contains(text, "91.60 mm"));
  CHECK(contains(text, "-206.3 mm"));
}

TEST_CASE("several passes: absolute from touch, the step in brackets", "[plan_text][property]") {
  const std::string text = reading(plan_text(shown(three_passes(), Show::mm)));
  CHECK(contains(text, "pass 1 of 3: 20.50 mm from touch [+20.50 mm]"));
  CHECK(contains(text, "pass 2 of 3: 26.25 mm from touch [+5.75 mm]"));
  CHECK(contains(text, "pass 3 of 3: 28.00 mm from touch [+1.75 mm]"));
  CHECK(contains(text, "withdraw the centre roll to touch, back the part out, and feed it again"));
}

TEST_CASE("the answer says yes or no and why", "[plan_text][property]") {
  Plan plan = shown(plan_fixture::rail(), Show::mm);
  CHECK(contains(plan_text(plan), "YES: everything that was checked clears"));
  plan.clearance->verdict = Verdict::too_close_to_say;
  plan.clearance->result.least_mm = 27.0;
  CHECK(contains(plan_text(plan), "NO, too close to say"));
  CHECK(contains(reading(plan_text(plan)), "too close to say: 27.00 mm less 6.25 mm leaves 20.75 mm, margin asked 25.0 mm"));
  plan.clearance->verdict = Verdict::collides;
  plan.clearance->result.least_mm = -3.5;
  CHECK(contains(plan_text(plan), "NO, the part collides"));
  CHECK(contains(reading(plan_text(plan)), "overlaps by 3.5 mm"));
  plan = shown(plan_fixture::rail(), Show::mm);
  plan.findings.push_back({Level::fault, "machine.feed", "This machine makes no left hand.", std::nullopt});
  CHECK(contains(plan_text(plan), "NO: it clears the machine, but there is one fault, below."));
}

TEST_CASE("nothing to check is said, not shown as a gap of zero", "[plan_text][property]") {
  Plan plan = shown(plan_fixture::rail(), Show::mm);
  plan.clearance->result.least_mm.reset();
  plan.clearance->result.nearest.reset();
  plan.clearance->result.obstacles[1].least_mm.reset();
  const std::string text = reading(plan_text(plan));
  CHECK(contains(text, "there was nothing to check it against"));
  CHECK(contains(text, "clears: there was nothing to check the part against"));
  CHECK(text.find("exit roll 77.5") < text.find("centre roll cap - "));
}

TEST_CASE("faults stand near the top, also in the brief text; colour adds nothing", "[plan_text][property]") {
  const Plan plan = plan_fixture::without_answer();
  for (const bool brief : {false, true}) {
    const std::string text = plan_text(plan, {.color = false, .brief = brief});
    const auto at = text.find("FAULT rolling: The loaded radius is smaller");
    REQUIRE(at != std::string::npos);
    CHECK(at < text.find("Settings"));
    CHECK(contains(text, "There are no settings"));
    CHECK(contains(text, "To buy                      not known"));
  }
  CHECK_FALSE(contains(plan_text(plan_fixture::rail(), {.color = false, .brief = true}), "Order of work"));
  std::string coloured = plan_text(plan_fixture::rail(), {.color = true, .brief = false});
  CHECK(contains(coloured, "\x1b["));
  for (std::size_t from; (from = coloured.find('\x1b')) != std::string::npos;)
    coloured.erase(from, coloured.find('m', from) + 1 - from);
  CHECK(coloured == plan_text(plan_fixture::rail()));
}

TEST_CASE("one system or both, as asked", "[plan_text][property]") {
  const std::string mm = plan_text(shown(plan_fixture::rail(), Show::mm));
  CHECK_FALSE(contains(mm, " in)"));
  CHECK_FALSE(contains(mm, "lbf"));
  const std::string inch = plan_text(shown(plan_fixture::rail(), Show::inch));
  CHECK_FALSE(contains(inch, "kN"));
  CHECK_FALSE(contains(inch, " kg"));
  const std::string both = plan_text(plan_fixture::rail());
  CHECK(contains(both, "20.50 mm (0.8071 in)"));
  CHECK(contains(reading(both), "least gap, mm all all, in coil"));
  CHECK(contains(reading(both), "centre roll cap 38.3 1.507 38.3"));
  CHECK(contains(both, "2680"));
}

TEST_CASE("a ring is not told to be lifted", "[plan_text][property]") {
  Plan plan = plan_fixture::rail();
  CoilSpec ring;
  ring.radius = Length::mm(800);
  ring.pitch = Length();
  ring.turns = 0.9;
  plan.coil = *Coil::from(ring, Length::mm(42.4));
  plan.blank.lead_arc = plan.blank.settling = Length();
  const std::string text = plan_text(plan);
  CHECK(contains(text, "the part has no pitch"));
  CHECK_FALSE(contains(text, "Lead arc flat"));
  CHECK_FALSE(contains(text, "Correct the pitch"));
  CHECK(contains(text, "Gauge:"));
}

TEST_CASE("the left hand stands on the other side", "[plan_text][property]") {
  const std::string left = plan_text(shown(plan_fixture::rail(Hand::left_screw), Show::mm));
  CHECK(contains(left, "x -1010.2 mm, y 926.7 mm"));
  CHECK(contains(left, "from the left, for someone facing the rolls"));
  CHECK(contains(reading(left), "left-hand screw; climbs clockwise seen from above; going up you turn right; a rail on the "
                                "outside of the stair is at your left hand"));
}

TEST_CASE("no escape sequence of a file name reaches the terminal", "[plan_text][input]") {
  Plan plan = plan_fixture::rail();
  plan.job.machine.name = "evil \x1b[2J\x07 \xff name\nsecond line";
  plan.findings.push_back({Level::fault, "x", "text \x1b]0;title\x07", Place{"\x1b[1mjob.toml", 1, 2}});
  const std::string text = plan_text(plan) + findings_text(plan.findings);
  for (const char c : text) CHECK((c == '\n' || static_cast<unsigned char>(c) >= 0x20));
  CHECK(safe_text(text.substr(0, text.find('\n'))) == text.substr(0, text.find('\n')));
}

TEST_CASE("findings alone, a line each, with their place", "[plan_text][input]") {
  const Findings findings{{Level::question, "coil", "Which pitch?", std::nullopt},
                          {Level::fault, "coil.radius", "\"600,5\" is no length.", Place{"job.toml", 2, 10}},
                          {Level::fault, "radius", "\"6 q\" has no unit.", Place{"--radius", 0, 3}}};
  CHECK(findings_text(findings) ==
        "job.toml:2:10: fault: coil.radius: \"600,5\" is no length.\n"
        "--radius, column 3: fault: radius: \"6 q\" has no unit.\n"
        "question: coil: Which pitch?\n");
}

TEST_CASE("no locale changes a byte", "[plan_text][property]") {
  struct Commas : std::numpunct<char> {
    char do_decimal_point() const override { return ','; }
    char do_thousands_sep() const override { return '.'; }
    std::string do_grouping() const override { return "\3"; }
  };
  const std::string before = plan_text(plan_fixture::rail());
  const std::locale old = std::locale::global(std::locale(std::locale::classic(), new Commas));
  std::setlocale(LC_ALL, "de_DE.UTF-8");  // where it is installed; the line above bites everywhere
  CHECK(plan_text(plan_fixture::rail()) == before);
  std::locale::global(old);
  std::setlocale(LC_ALL, "C");
  CHECK(plan_text(plan_fixture::rail()) == before);
}

TEST_CASE("the page says what the machine can do, why a spacing cannot, and how tight is wise", "[plan_text][property]") {
  Plan plan = shown(plan_fixture::rail(), Show::mm);
  const std::string page = reading(plan_text(plan, {}));
  CHECK(contains(page, "What the machine can do"));
  CHECK(contains(page, "This bend YES"));
  CHECK(contains(page, "Suggested smallest a bend radius of"));
  CHECK(contains(page, "At 260.0 mm: NO, the cylinder is too weak."));
  CHECK(contains(page, "takes 13.58 kN, 14 % more than rolling (computed), and leaves a kink of radius 361 mm"));
  CHECK(contains(page, "2.53 to 2.55 mm on the outside of the bend, 2.65 to 2.67 mm on the inside"));
  CHECK_FALSE(contains(page, "Instead"));
  CHECK_FALSE(contains(page, "Sideways"));
  plan.rolling.capability.can = false;
  plan.rolling.capability.instead = "2 passes would do it";
  plan.rolling.capability.radius_reasons.push_back({"the inner wall may buckle", "a rule", std::nullopt});
  plan.rolling.sideways_bow = Length::mm(4.1);
  plan.rolling.permitted_variation = CurvatureVariation{Length::mm(6.5), Length::mm(1029), Length::mm(1032)};
  plan.rolling.passes.front().press_in_force.reset();
  plan.job.tolerance.distortion_percent = 5;
  const std::string other = reading(plan_text(plan, {}));
  CHECK(contains(other, "Instead 2 passes would do it"));
  CHECK(contains(other, "Suggested smallest none"));
  CHECK(contains(other, "every radius: the inner wall may buckle (a rule)"));
  CHECK(contains(other, "a bow of about 4.1 mm on a chord of 1000 mm"));
  CHECK(contains(other, "6.5 mm of chord rise either way over the developed length, unrolled; bend radius 1029 to 1032 mm"));
  CHECK(contains(other, "the stock would fold round the centre roll"));
  CHECK(contains(other, "distortion of the section up to 5 %"));
}
