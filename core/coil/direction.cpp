#include <cctype>
#include <coilwright/coil/direction.hpp>
#include <coilwright/quantity/characters.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <initializer_list>
#include <optional>
#include <vector>

namespace coilwright {
namespace {

// Lower case, hyphens and underscores as spaces, single spaces, none at the ends.
std::string plain_words(std::string_view text) {
  std::string words;
  for (const char c : text) {
    const bool gap = c == ' ' || c == '\t' || c == '-' || c == '_';
    if (!gap)
      words += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    else if (!words.empty() && words.back() != ' ')
      words += ' ';
  }
  if (!words.empty() && words.back() == ' ') words.pop_back();
  return words;
}

bool among(std::string_view word, std::initializer_list<std::string_view> known) {
  for (const std::string_view k : known)
    if (word == k) return true;
  return false;
}

std::string choices_text() {
  return "climbs = \"counter-clockwise\" (going up, seen from above: a right-hand screw, you turn left) or "
         "climbs = \"clockwise\" (a left-hand screw, you turn right); hand = \"right-screw\" or "
         "\"left-screw\" says the same.";
}

bool only_a_side(std::string_view words) {
  return among(words, {"right", "left", "right hand", "left hand", "right handed", "left handed", "rh", "lh",
                       "r", "l", "right hand stair", "left hand stair"});
}

std::optional<Hand> screw_of(std::string_view words) {
  if (among(words, {"right screw", "right hand screw", "right handed screw"})) return Hand::right_screw;
  if (among(words, {"left screw", "left hand screw", "left handed screw"})) return Hand::left_screw;
  return std::nullopt;
}

std::optional<Hand> climb_of(std::string_view words) {
  if (among(words, {"counter clockwise", "counterclockwise", "anti clockwise", "anticlockwise", "ccw"}))
    return Hand::right_screw;
  if (among(words, {"clockwise", "cw"})) return Hand::left_screw;
  return std::nullopt;
}

tl::unexpected<Findings> refuse_word(std::string_view text, std::string_view words, std::string about,
                                     const std::vector<std::string>& known) {
  if (const auto screw = screw_of(words))
    return refuse(std::move(about), quoted(text) + " names the hand: write hand = \"" +
                                        std::string(hand_text(*screw)) + "\", or climbs = \"" +
                                        std::string(climbs_text(*screw)) + "\".");
  if (const auto climb = climb_of(words))
    return refuse(std::move(about), quoted(text) + " says how it climbs: write climbs = \"" +
                                        std::string(climbs_text(*climb)) + "\", or hand = \"" +
                                        std::string(hand_text(*climb)) + "\".");
  if (only_a_side(words))
    return refuse(std::move(about), quoted(text) +
                                        " alone can be read both ways: a right-hand stair is clockwise in "
                                        "one country and counter-clockwise in another. Say " +
                                        choices_text());
  std::string sentence = quoted(text) + " is not a direction.";
  const std::string near = nearest_word(words, known);
  if (!near.empty()) sentence += " Was \"" + near + "\" meant?";
  return refuse(std::move(about), sentence + " Say " + choices_text());
}

}  // namespace

std::string_view hand_text(Hand hand) {
  return hand == Hand::right_screw ? "right-screw" : "left-screw";
}

std::string_view climbs_text(Hand hand) {
  return hand == Hand::right_screw ? "counter-clockwise" : "clockwise";
}

std::string turning_sentence(Hand hand) {
  const bool right = hand == Hand::right_screw;
  return std::string(right ? "right" : "left") + "-hand screw; climbs " + std::string(climbs_text(hand)) +
         " seen from above; going up you turn " + (right ? "left" : "right");
}

std::string direction_sentence(Hand hand) {
  return turning_sentence(hand) + "; a rail on the outside of the stair is at your " +
         (hand == Hand::right_screw ? "right" : "left") + " hand";
}

Result<Hand> read_hand(std::string_view text) {
  const std::string words = plain_words(text);
  if (const auto hand = screw_of(words)) return *hand;
  return refuse_word(text, words, "coil.hand", {"right-screw", "left-screw"});
}

Result<Hand> read_climbs(std::string_view text) {
  const std::string words = plain_words(text);
  if (const auto hand = climb_of(words)) return *hand;
  return refuse_word(text, words, "coil.climbs", {"clockwise", "counter-clockwise", "anticlockwise"});
}

}  // namespace coilwright
