#include <algorithm>
#include <array>
#include <coilwright/plan/direction_words.hpp>
#include <string_view>

namespace coilwright {
namespace {

// Word by word: a trailer is no rail.
bool speaks_of_rail(const std::string& name) {
  constexpr std::array<std::string_view, 11> words = {"rail",   "rails",     "railing",  "handrail",  "handrails",  "stair",
                                                      "stairs", "staircase", "stairway", "banister",  "balustrade"};
  std::string word;
  for (const char c : name + " ") {
    const char lower = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    if (lower >= 'a' && lower <= 'z') {
      word += lower;
      continue;
    }
    if (std::find(words.begin(), words.end(), word) != words.end()) return true;
    word.clear();
  }
  return false;
}

}  // namespace

bool rail_of_stair(const Plan& plan) {
  if (plan.job.stair || speaks_of_rail(plan.job.name)) return true;
  const double slope_deg = plan.coil.helix().slope().deg();
  return !plan.part && slope_deg >= 20.0 && slope_deg <= 50.0;
}

std::string direction_words(const Plan& plan) {
  const Hand hand = plan.coil.hand();
  return rail_of_stair(plan) ? direction_sentence(hand) : turning_sentence(hand);
}

}  // namespace coilwright
