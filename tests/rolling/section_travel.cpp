// Travel of round and square stock under all hardening laws, against a separate program.
#include <catch2/catch.hpp>
#include <random>

#include "fixture.hpp"
#include "numbers.hpp"

using namespace coilwright;
using namespace coilwright::rolling_fixture;

TEST_CASE("travel agrees with an independent program for every section and law", "[steady_rolling][oracle]") {
  // Computed beforehand by a separate program: single pass, straight stock, rolls 200 mm in diameter, E 210000, fy 300,
  // outer rolls driven. Travel in mm, centre-roll force in kN; asked for within 0.1 %.
  std::vector<RollingJob> jobs = rolling_jobs();
  jobs.push_back({"square tube 50 x 3", Section::from(RectangularTube{Length::mm(50), Length::mm(50), Length::mm(3)}).value(), 600, 1500});
  struct Row {
    std::variant<double, PowerLaw> hardening;
    std::array<const char*, 4> travel, force;
  };
  const Row rows[] = {
      {0.0, {"18.87", "38.46", "41.33", "16.89"}, {"10.53", "22.77", "9.32", "19.54"}},
      {1000.0, {"19.70", "41.49", "43.10", "17.53"}, {}},
      {2100.0, {"20.51", "44.06", "44.71", "18.17"}, {"11.85", "28.77", "11.19", "21.47"}},
      {4000.0, {"21.70", "47.29", "46.91", "19.15"}, {}},
      {8000.0, {"23.62", "51.51", "50.10", "20.81"}, {}},
      {PowerLaw{Stress::mpa(600), 0.15}, {"20.68", "42.89", "44.27", "18.45"}, {}},
  };
  for (const Row& row : rows)
    for (std::size_t i = 0; i < jobs.size(); ++i) {
      INFO(jobs[i].name);
      const auto* line = std::get_if<double>(&row.hardening);
      const MomentCurvature m = line != nullptr ? law(jobs[i].section, 300, *line)
                                                : MomentCurvature(jobs[i].section, Stress::mpa(210000), Stress::mpa(300),
                                                                  std::get<PowerLaw>(row.hardening));
      const RollingOutcome outcome =
          roll_to_curvature(m, rolls(jobs[i].spacing_mm, 100, jobs[i].section), virgin(m), 1 / jobs[i].radius_mm);
      const auto* state = std::get_if<SteadyState>(&outcome);
      REQUIRE(state != nullptr);
      CHECK(halves_off(state->travel_mm, row.travel[i]) <= half_a_digit);
      if (row.force[i] != nullptr) CHECK(halves_off(state->centre_force_n / 1000, row.force[i]) <= half_a_digit);
    }
}

TEST_CASE("every kind of section rolls, at random", "[steady_rolling][property]") {
  std::mt19937_64 random(77);
  int solved = 0;
  for (int i = 0; i < 120; ++i) {
    const auto mm = [](double v) { return Length::mm(v); };
    const double a = uniform(random, 30, 80), t = uniform(random, 0.06, 0.12) * a, r = uniform(random, 0.5, 1.2) * t;
    const auto way = i % 2 == 0 ? Points::to_the_centre : Points::to_the_outside;
    const Section::Kind kinds[] = {
        RectangularTube{mm(a), mm(a * uniform(random, 0.6, 1.5)), mm(t)},
        FlatBar{mm(a), mm(t), i % 2 == 0 ? Way::easy : Way::hard},
        AngleBar{mm(a), mm(a * uniform(random, 0.6, 1.5)), mm(t), way, mm(r), mm(r / 2)},
        ChannelBar{mm(a), mm(a * 0.6), mm(t), mm(t * 1.3), i % 2 == 0 ? ChannelWay::flanges_in : ChannelWay::flanges_out, mm(r)},
        TeeBar{mm(a), mm(a), mm(t), mm(t), way, mm(r)},
        IBeam{mm(a), mm(a * 0.6), mm(t), mm(t * 1.2), i % 2 == 0 ? Way::hard : Way::easy, mm(r)}};
    const Section section = Section::from(kinds[i % 6]).value();
    INFO(section.text());
    const MomentCurvature m = law(section, uniform(random, 200, 450), uniform(random, 0, 3000));
    const double depth = section.depth().mm(), spacing = std::max(300.0, uniform(random, 6, 12) * depth);
    const double radius = uniform(random, 12, 50) * std::max(depth, spacing / 12);
    const RollingOutcome outcome = roll_to_curvature(m, rolls(spacing, 80, section), virgin(m), 1 / radius);
    const auto* state = std::get_if<SteadyState>(&outcome);
    REQUIRE(state != nullptr);
    CHECK(state->travel_mm > 0);
    CHECK(state->centre_force_n > 0);
    // Balance of the drive: what goes in is the plastic work per length.
    CHECK(state->loaded_curvature > 1 / radius);
    ++solved;
  }
  CHECK(solved == 120);
}

TEST_CASE("ten thousand random jobs of tube and square tube are solved", "[steady_rolling][property]") {
  std::mt19937_64 random(20);
  int solved = 0;
  for (int i = 0; i < 10000; ++i) {
    const double D = uniform(random, 15, 114), t = D * uniform(random, 0.03, 0.15);
    const Section section = i % 2 == 0 ? tube(D, t)
                                       : Section::from(RectangularTube{Length::mm(D), Length::mm(D), Length::mm(t), Corners::given,
                                                                       Length::mm(2 * t)}).value();
    const MomentCurvature m = law(section, uniform(random, 150, 700), i % 3 == 0 ? 0.0 : i % 3 == 1 ? 1000.0 : 3000.0);
    const double half_spacing = D * uniform(random, 2.2, 8), radius = std::max(12 * D, 2 * half_spacing) * uniform(random, 1, 5);
    const RollingOutcome outcome =
        roll_to_curvature(m, rolls(2 * half_spacing, D * uniform(random, 1, 2), section), virgin(m), 1 / radius);
    const auto* state = std::get_if<SteadyState>(&outcome);
    if (state == nullptr) continue;
    ++solved;
    if (!(state->travel_mm > 0 && state->entry_force_n > 0 && state->exit_force_n > 0)) FAIL("a state without travel or force");
  }
  CHECK(solved == 10000);
}
