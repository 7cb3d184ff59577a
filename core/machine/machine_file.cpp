#include <algorithm>
#include <cmath>
#include <coilwright/machine/check_machine.hpp>
#include <coilwright/machine/machine_file.hpp>
#include <coilwright/machine/solid_file.hpp>
#include <coilwright/machine/value_reader.hpp>
#include <coilwright/quantity/number_text.hpp>

namespace coilwright {
namespace {

// Rolls reach this far beyond the edge of their groove when nothing is said: judgement, in the manner of the
// rims in common use.
constexpr Length usual_rim = Length::mm(15);

const std::vector<std::pair<std::string, FeedSide>> feed_choices{
    {"from the left", FeedSide::from_the_left}, {"from the right", FeedSide::from_the_right}};

struct Reading {
  ValueReader in;
  Machine machine;

  void assume(std::string sentence) { machine.assumptions.push_back(std::move(sentence)); }

  Length needed(const std::string& key, const std::string& what) {
    const auto length = in.length(key, Allowed::positive);
    if (!length && !in.values().has(key))
      in.missing(key,
                 "The machine does not say " + what + ". Add " + key.substr(key.find('.') + 1) + " to [" +
                     key.substr(0, key.find('.')) +
                     "], or start from a complete machine with use = \"example\" and change single values.");
    return length.value_or(Length::mm(1));
  }

  void feed() {
    for (const std::string& side : in.word_list("feed")) {
      const auto found = std::find_if(feed_choices.begin(), feed_choices.end(),
                                      [&](const auto& c) { return c.first == side; });
      if (found == feed_choices.end())
        in.fault("feed",
                 "\"" + side +
                     "\" is not a side to feed from: \"from the left\" or \"from the right\", to someone "
                     "facing the rolls from the centre-roll side.");
      else if (!machine.makes(found->second == FeedSide::from_the_right ? Hand::right_screw
                                                                        : Hand::left_screw))
        machine.feed.push_back(found->second);
    }
    if (in.values().has("feed")) {
      if (machine.feed.empty() && in.word_list("feed").empty())
        in.fault(
            "feed",
            "The machine must be fed from at least one side: \"from the left\", \"from the right\" or both.");
      return;
    }
    machine.feed = {FeedSide::from_the_left, FeedSide::from_the_right};
    assume("The machine does not say from which side it is fed: from either side is assumed.");
  }

  void groove(std::optional<Length> if_unsaid) {
    Rolls& rolls = machine.rolls;
    const GivenValue* given = in.values().find("rolls.groove");
    const auto* text = given ? std::get_if<std::string>(&given->value.value) : nullptr;
    if (text != nullptr && *text == "none") return;
    rolls.groove = in.length("rolls.groove", Allowed::positive);
    if (given != nullptr) return;
    if (if_unsaid) {
      rolls.groove = if_unsaid;
      assume("The rolls' groove is not given: a half-round groove that fits the stock is assumed, " +
             mm_text(*if_unsaid) + " wide.");
    } else {
      assume("The rolls' groove is not given: plain rolls are assumed.");
    }
  }

  void heights() {
    Rolls& rolls = machine.rolls;
    const Length usual = (rolls.groove ? *rolls.groove / 2.0 : rolls.outer_radius / 4.0) + usual_rim;
    bool unsaid = false;
    for (const auto& [key, height] : {std::pair("rolls.outer_height_above", &rolls.outer_height_above),
                                      std::pair("rolls.outer_height_below", &rolls.outer_height_below),
                                      std::pair("rolls.centre_height_above", &rolls.centre_height_above),
                                      std::pair("rolls.centre_height_below", &rolls.centre_height_below)}) {
      unsaid = unsaid || !in.values().has(key);
      *height = in.length(key, Allowed::positive).value_or(usual);
    }
    if (unsaid)
      assume("Where the machine does not say how far a roll reaches above and below pass height, " +
             mm_text(usual) + " is assumed: half the groove and a rim of 15 mm (judgement).");
  }

  void drive() {
    Rolls::Drive& drive = machine.rolls.drive;
    const auto entry = in.number("rolls.drive.entry", Allowed::not_negative);
    const auto centre = in.number("rolls.drive.centre", Allowed::not_negative);
    const auto exit = in.number("rolls.drive.exit", Allowed::not_negative);
    if (!entry && !centre && !exit) {
      assume(
          "The machine does not say which rolls are driven: the two outer rolls in equal shares are "
          "assumed.");
      return;
    }
    drive = {entry.value_or(0.0), centre.value_or(0.0), exit.value_or(0.0)};
  }

  void grip_of_the_rolls() {
    Rolls& rolls = machine.rolls;
    rolls.feed_mm_per_s = in.number("rolls.feed_mm_per_s", Allowed::positive);
    rolls.centre_roll_mm_per_s = in.number("rolls.centre_roll_mm_per_s", Allowed::positive);
    if (const auto friction = in.number("rolls.friction", Allowed::not_negative))
      rolls.friction = *friction;
    else
      assume("Friction between roll and stock " + number_text(rolls.friction, 2) +
             " (from memory): it limits traction and "
             "the torque that holds the stock.");
    rolls.frame_stiffness_kn_per_mm = in.number("rolls.frame_stiffness_kn_per_mm", Allowed::positive);
    const auto up = in.length("rolls.exit_play_up", Allowed::not_negative);
    const auto down = in.length("rolls.exit_play_down", Allowed::not_negative);
    rolls.exit_play_up = up.value_or(rolls.exit_play_up);
    rolls.exit_play_down = down.value_or(rolls.exit_play_down);
    if (!up || !down)
      assume(
          "Vertical play of the tube in the exit groove 0.5 mm (judgement): measure it by pushing the tube "
          "up and "
          "down at the exit roll; it moves the lift more than anything else.");
    rolls.exit_height = in.length("rolls.exit_height", Allowed::any).value_or(Length{});
    const std::vector<std::pair<std::string, StockTurns>> choices{
        {"held", StockTurns::held}, {"by friction", StockTurns::by_friction}, {"free", StockTurns::free}};
    if (const auto turns = in.choice("rolls.stock_turns", choices))
      rolls.stock_turns = *turns;
    else
      assume("The stock is held against turning about its own axis by friction in the rolls only.");
  }

  void rolls(std::optional<Length> groove_if_unsaid) {
    Rolls& rolls = machine.rolls;
    rolls.outer_spacing = needed("rolls.outer_spacing", "how far the outer rolls stand apart, axis to axis");
    rolls.outer_radius = needed("rolls.outer_radius", "the radius of the outer rolls at the groove bottom");
    rolls.spacing_positions = in.lengths("rolls.spacing_positions", Allowed::positive);
    rolls.centre_radius = needed("rolls.centre_radius", "the radius of the centre roll at the groove bottom");
    groove(groove_if_unsaid);
    rolls.outer_flange_radius = in.length("rolls.outer_flange_radius", Allowed::positive);
    rolls.centre_flange_radius = in.length("rolls.centre_flange_radius", Allowed::positive);
    heights();
    drive();
    grip_of_the_rolls();
  }

  void outboard_roll() {
    const std::vector<std::string> ways{"outboard_roll.reach", "outboard_roll.position",
                                        "outboard_roll.past_exit"};
    std::vector<std::string> given;
    for (const std::string& way : ways)
      if (in.values().has(way)) given.push_back(way);
    const auto radius = in.length("outboard_roll.radius", Allowed::positive);
    if (given.empty()) {
      if (in.values().has("outboard_roll.radius"))
        in.missing("outboard_roll.reach",
                   "The outboard roll has a radius but no place: give one of reach, position or past_exit.");
      return;
    }
    for (std::size_t i = 1; i < given.size(); ++i)
      in.fault(given[i], "The place of the outboard roll is given more than once (" + given.front() +
                             " and " + given[i] + "). Keep one of reach, position or past_exit.");
    if (given.front() == ways[0]) {
      if (const auto reach = in.length(ways[0], Allowed::positive))
        machine.outboard_roll = {Reach{*reach}, radius};
    } else if (given.front() == ways[1]) {
      const std::vector<Length> xy = in.lengths(ways[1], Allowed::any);
      if (xy.size() == 2)
        machine.outboard_roll = {Position{xy[0], xy[1]}, radius};
      else
        in.fault(ways[1],
                 "The position is a list of two lengths, x and y in the machine frame, such as [\"900 mm\", "
                 "\"700 mm\"].");
    } else if (const auto azimuth = in.angle(ways[2], Allowed::positive)) {
      machine.outboard_roll = {PastExit{*azimuth}, radius};
    }
  }
};

}  // namespace

const std::vector<KnownKey>& machine_keys() {
  using enum ValueKind;
  static const std::vector<KnownKey> keys{
      {"name", words, "what the machine is called"},
      {"feed", word_list,
       "from which side it can be fed: \"from the left\", \"from the right\", to someone facing the rolls "
       "from the centre-roll side"},
      {"rolls.outer_spacing", length, "the outer rolls, axis to axis"},
      {"rolls.spacing_positions", lengths, "outer spacings at which the machine can be locked"},
      {"rolls.outer_radius", length, "of the outer rolls, at the groove bottom"},
      {"rolls.centre_radius", length, "of the centre roll, at the groove bottom"},
      {"rolls.groove", length, "diameter of the half-round groove, or \"none\" for plain rolls"},
      {"rolls.outer_flange_radius", length, "rim of the outer rolls beyond the groove"},
      {"rolls.centre_flange_radius", length, "rim of the centre roll beyond the groove"},
      {"rolls.outer_height_above", length, "of the outer rolls, from pass height to their top"},
      {"rolls.outer_height_below", length, "of the outer rolls, from pass height to their underside"},
      {"rolls.centre_height_above", length, "of the centre roll, from pass height to its top"},
      {"rolls.centre_height_below", length, "of the centre roll, from pass height to its underside"},
      {"rolls.drive.entry", number, "share of the drive at the entry roll"},
      {"rolls.drive.centre", number, "share of the drive at the centre roll"},
      {"rolls.drive.exit", number, "share of the drive at the exit roll"},
      {"rolls.friction", number, "between roll and stock"},
      {"rolls.feed_mm_per_s", number, "speed at which the rolls feed the stock"},
      {"rolls.centre_roll_mm_per_s", number, "speed at which the centre roll goes in"},
      {"rolls.frame_stiffness_kn_per_mm", number, "centre-roll force that opens the frame by 1 mm"},
      {"rolls.exit_play_up", length, "free play of the tube in the exit groove, upward"},
      {"rolls.exit_play_down", length, "free play of the tube in the exit groove, downward"},
      {"rolls.exit_height", length, "exit groove above the line from entry to centre groove"},
      {"rolls.stock_turns", words,
       "may the stock turn about its own axis: \"held\", \"by friction\", \"free\""},
      {"outboard_roll.reach", length,
       "plan distance from the exit-roll axis to the tube on the outboard roll"},
      {"outboard_roll.position", lengths, "x and y of the tube on the outboard roll, fed toward +x"},
      {"outboard_roll.past_exit", angle, "turn about the coil axis from the exit roll to the outboard roll"},
      {"outboard_roll.radius", length, "of the outboard roll, at its groove bottom"},
      {"limits.centre_roll_force", force, "largest centre-roll force"},
      {"limits.centre_roll_travel", length, "largest centre-roll travel from touch"},
      {"limits.outer_roll_force", force, "largest force on an outer roll"},
      {"limits.roll_lift", length, "largest lift of the outboard roll"},
      {"room.floor", length, "height of the floor from the stock's centreline (negative)"},
      {"room.ceiling", length, "height of the ceiling from the stock's centreline"},
      {"solid", tables, "the tooling envelope"},
  };
  return keys;
}

Result<Machine> read_machine(const KeyedValues& values, std::optional<LengthUnit> bare,
                             std::optional<Length> groove_if_unsaid, const std::string& about_prefix) {
  Findings faults;
  Reading reading{ValueReader(values, bare, faults, about_prefix), {}};
  ValueReader& in = reading.in;
  Machine& machine = reading.machine;
  machine.name = in.words("name").value_or("unnamed machine");
  reading.feed();
  reading.rolls(groove_if_unsaid);
  reading.outboard_roll();
  machine.limits = {in.force("limits.centre_roll_force", Allowed::positive),
                    in.length("limits.centre_roll_travel", Allowed::positive),
                    in.length("limits.roll_lift", Allowed::positive),
                    in.force("limits.outer_roll_force", Allowed::positive)};
  machine.room = {in.length("room.floor", Allowed::any), in.length("room.ceiling", Allowed::any)};
  std::map<std::string, Place> solid_places;
  if (const GivenValue* solids = values.find("solid"))
    machine.solids = read_solids(solids->value, about_prefix, faults, solid_places, machine.assumptions);
  if (!faults.empty()) return refuse(std::move(faults));

  // What only shows when the values are seen together, at the place of the value it is about.
  for (Finding& finding : check_machine(machine)) {
    if (const GivenValue* given = values.find(finding.about)) finding.place = given->value.place;
    if (const auto solid = solid_places.find(finding.about); solid != solid_places.end())
      finding.place = solid->second;
    finding.about = about_prefix + finding.about;
    faults.push_back(std::move(finding));
  }
  if (!faults.empty()) return refuse(std::move(faults));
  return machine;
}

void replace_machine_values(KeyedValues& machine, const KeyedValues& later) {
  KeyedValues merged = later;
  if (const GivenValue* before = machine.find("solid"), *after = later.find("solid"); before && after)
    merged.set({"solid", ValueKind::tables, ""}, "solid", replaced_solids(before->value, after->value));
  machine.replace_by(merged, {{"outboard_roll.reach", "outboard_roll.position", "outboard_roll.past_exit"}});
}

Result<KeyedValues> read_machine_values(const std::string& path) {
  Result<DocumentValue> document = read_document_file(path);
  if (!document) return refuse(document.error());
  Findings faults;
  KeyedValues values = KeyedValues::from_table(*document, machine_keys(), faults);
  if (!faults.empty()) return refuse(std::move(faults));
  return values;
}

Result<Machine> read_machine_file(const std::string& path, std::optional<Length> groove_if_unsaid) {
  const Result<KeyedValues> values = read_machine_values(path);
  if (!values) return refuse(values.error());
  return read_machine(*values, std::nullopt, groove_if_unsaid);
}

}  // namespace coilwright
