#include <coilwright/command/answer.hpp>
#include <coilwright/command/tables_command.hpp>
#include <coilwright/machine/example_machine.hpp>
#include <coilwright/machine/machine_file.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/report/tables_text.hpp>
#include <nlohmann/json.hpp>

namespace coilwright {
namespace {

std::string sides_text(const Machine& machine) {
  std::string sides;
  for (const FeedSide side : machine.feed)
    sides += (sides.empty() ? "" : " or ") + std::string(feed_side_text(side));
  return sides;
}

// The machine in a few lines, with what its file leaves open.
std::string summary(const Machine& machine, const std::string& origin) {
  constexpr std::size_t label_width = 18;
  const Rolls& rolls = machine.rolls;
  std::string text = machine.name + " (" + origin + ")\n\n";
  const auto add = [&](std::string label, const std::string& value) {
    label.resize(label_width, ' ');
    text += "  " + label + value + "\n";
  };
  add("fed", sides_text(machine));
  for (const Hand hand : {Hand::right_screw, Hand::left_screw})
    add(std::string(hand_text(hand)), machine.makes(hand) ? "yes" : "no");
  add("outer spacing", mm_text(rolls.outer_spacing));
  add("outer rolls", "radius " + mm_text(rolls.outer_radius) + " at the groove bottom");
  add("centre roll", "radius " + mm_text(rolls.centre_radius) + " at the groove bottom");
  add("groove", rolls.groove ? mm_text(*rolls.groove) : "none given");
  add("outboard roll", machine.outboard_roll ? "yes" : "none: no pitch can be rolled in");
  add("solids", std::to_string(machine.solids.size()));
  if (!machine.assumptions.empty()) text += "\nWhat the file does not say:\n";
  for (const std::string& assumption : machine.assumptions) text += "  - " + assumption + "\n";
  return text;
}

std::string summary_json(const Machine& machine, const std::string& origin) {
  using Json = nlohmann::ordered_json;
  Json feed = Json::array(), solids = Json::array();
  for (const FeedSide side : machine.feed) feed.push_back(feed_side_text(side));
  for (const Solid& solid : machine.solids) solids.push_back(solid.name);
  const Rolls& rolls = machine.rolls;
  const Json document{{"schema", 1},
                      {"machine",
                       {{"use", origin},
                        {"name", machine.name},
                        {"feed", feed},
                        {"outer_spacing_mm", rolls.outer_spacing.mm()},
                        {"outer_radius_mm", rolls.outer_radius.mm()},
                        {"centre_radius_mm", rolls.centre_radius.mm()},
                        {"groove_mm", rolls.groove ? Json(rolls.groove->mm()) : Json(nullptr)},
                        {"outboard_roll", machine.outboard_roll.has_value()},
                        {"solids", solids},
                        {"assumptions", machine.assumptions}}}};
  return document.dump(2) + "\n";
}

// The built-in machine as a file to start from, another one summed up.
int show_machine(const std::string& which, const CommandLine& line) {
  const bool built_in = which == example_machine_name;
  if (built_in && !line.json) return tell_answer(std::string(example_machine_text()), line, exit_code::yes);
  const Result<Machine> machine = built_in ? Result<Machine>(example_machine()) : read_machine_file(which);
  if (machine)
    return tell_answer(line.json ? summary_json(*machine, which) : summary(*machine, which), line, exit_code::yes);
  Findings faults = machine.error();
  for (Finding& fault : faults)
    if (fault.about == "file")
      fault.text += " The built-in machine is called \"" + std::string(example_machine_name) + "\".";
  return tell_faults(faults, line.json, line.no_color, input_exit_code(faults));
}

}  // namespace

int run_tables(const CommandLine& line) {
  if (const auto machine = line.own.find("--machine"); machine != line.own.end())
    return show_machine(machine->second, line);
  return tell_answer(line.json ? tables_json() : tables_text(), line, exit_code::yes);
}

}  // namespace coilwright
