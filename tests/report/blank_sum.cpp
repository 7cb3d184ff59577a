#include <catch2/catch.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/blank_sum.hpp>
#include <cstdint>
#include <random>
#include <string>
#include <string_view>
#include <vector>

using namespace coilwright;

namespace {

// All numbers of a line as whole numbers of last digits.
std::vector<std::int64_t> printed_units(std::string_view line) {
  std::vector<std::int64_t> out;
  bool inside = false;
  for (const char c : line) {
    if (c >= '0' && c <= '9') {
      if (!inside) out.push_back(0);
      out.back() = out.back() * 10 + (c - '0');
      inside = true;
    } else if (c != '.') {
      inside = false;
    }
  }
  return out;
}

void check_adds_up(const std::string& line) {
  INFO(line);
  const std::vector<std::int64_t> units = printed_units(line);
  REQUIRE(units.size() >= 2);
  std::int64_t sum = 0;
  for (std::size_t i = 0; i + 1 < units.size(); ++i) sum += units[i];
  CHECK(sum == units.back());
}

}  // namespace

TEST_CASE("the printed blank adds up, digit for digit", "[blank_sum][property]") {
  std::mt19937_64 random(20240611);
  std::uniform_real_distribution<double> length(0.0, 5000.0);
  std::bernoulli_distribution absent(0.3);
  const auto some = [&] { return absent(random) ? Length() : Length::mm(length(random)); };
  for (int i = 0; i < 1000; ++i) {
    Blank blank;
    blank.flat_front = some();
    blank.run_in = some();
    blank.lead_arc = some();
    blank.settling = some();
    blank.trim_front = some();
    blank.developed = Length::mm(1.0 + length(random));
    blank.trim_back = some();
    blank.flat_back = some();
    const std::string metric = blank_sum_text(blank, System::metric), inch = blank_sum_text(blank, System::inch);
    check_adds_up(metric);
    check_adds_up(inch);
    CHECK(metric.ends_with("= " + mm_text(blank.cut_length(), 1)));
    CHECK(inch.ends_with("= " + number_text(blank.cut_length().inches(), 2) + " in"));
  }
}

TEST_CASE("the blank of the handrail reads as a shop would say it", "[blank_sum][input]") {
  Blank blank;
  blank.flat_front = Length::mm(235.34);
  blank.run_in = Length::mm(500);
  blank.lead_arc = Length::mm(1455.3);
  blank.settling = Length::mm(1455.3);
  blank.developed = Length::mm(6276.38);
  blank.flat_back = Length::mm(234.71);
  CHECK(blank_sum_text(blank, System::metric) ==
        "235.3 flat front + 1455.3 lead arc + 1455.3 settling + 6276.4 part + 234.7 flat back = 9657.0 mm");
  CHECK(start_up_sentence(blank, Show::mm).find("lead arc and settling govern, 2910.6 mm") != std::string::npos);
}

TEST_CASE("of run-in and lead arc with settling only the longer counts", "[blank_sum][property]") {
  Blank blank;
  blank.run_in = Length::mm(500);
  blank.lead_arc = Length::mm(150);
  blank.settling = Length::mm(150);
  blank.developed = Length::mm(1000);
  CHECK(blank_sum_text(blank, System::metric) == "500.0 run-in + 1000.0 part = 1500.0 mm");
  CHECK(start_up_sentence(blank, Show::mm).find("run-in of the radius governs, 500.0 mm") != std::string::npos);
  blank.run_in = Length::mm(300);  // as long as the two together: either way the same blank
  CHECK(blank_sum_text(blank, System::metric) == "150.0 lead arc + 150.0 settling + 1000.0 part = 1300.0 mm");
  blank.run_in = blank.lead_arc = blank.settling = Length();
  CHECK(blank_sum_text(blank, System::metric) == "1000.0 part = 1000.0 mm");
  CHECK(start_up_sentence(blank, Show::mm).empty());
}
