#include <coilwright/machine/example_machine.hpp>
#include <coilwright/machine/machine_file.hpp>
#include <coilwright/plan/job_machine.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <filesystem>

namespace coilwright {
namespace {

namespace fs = std::filesystem;

constexpr const char* example_origin = "built-in example";

// Why `use` leads nowhere, and what would.
std::string no_such_machine(const std::string& use, const fs::path& path) {
  std::string text = "There is no built-in machine and no file of this name: \"" + use + "\"";
  if (path.string() != use) text += " (looked for as " + path.string() + ")";
  text += ".";
  if (!nearest_word(use, {std::string(example_machine_name)}).empty())
    return text + " Did you mean \"" + std::string(example_machine_name) + "\"?";
  return text + " The built-in machine is called \"" + std::string(example_machine_name) +
         "\"; a machine file is looked for beside the job.";
}

// The values that `use` names, and what to call them.
std::optional<KeyedValues> used_machine(const KeyedValues& values, const std::string& folder,
                                        std::string& origin, Findings& faults) {
  ValueReader in(values, std::nullopt, faults, "machine.");
  const std::optional<std::string> use = in.words("use");
  if (!use) return std::nullopt;
  if (*use == example_machine_name) {
    origin = example_origin;
    return example_machine_values();
  }
  const bool from_option = values.find("use")->value.place.line == 0;
  const fs::path path = from_option ? fs::path(*use) : fs::path(folder) / *use;
  std::error_code ignored;
  if (!fs::exists(path, ignored)) return in.fault("use", no_such_machine(*use, path)), std::nullopt;
  origin = *use;
  Result<KeyedValues> read = read_machine_values(path.string());
  if (read) return *std::move(read);
  for (Finding& finding : read.error()) {
    if (finding.about == "file") finding.about = "machine.use";
    if (!finding.place) finding.place = values.find("use")->value.place;
    faults.push_back(std::move(finding));
  }
  return std::nullopt;
}

// The job means a machine of its own when it gives any of the measures that no machine is without. Other
// values (friction, play, a groove) are changes to the machine in use.
bool describes_rolls(const KeyedValues& values) {
  return values.has("rolls.outer_spacing") || values.has("rolls.outer_radius") || values.has("rolls.centre_radius");
}

}  // namespace

std::optional<JobMachine> read_job_machine(const KeyedValues& values, std::optional<LengthUnit> bare,
                                           const std::string& folder, std::optional<Length> stock_diameter,
                                           Findings& faults) {
  JobMachine result;
  std::optional<KeyedValues> base;
  if (values.has("use")) {
    base = used_machine(values, folder, result.origin, faults);
    if (!base) return std::nullopt;
  } else if (describes_rolls(values)) {
    base.emplace();
    result.origin = "described in the job";
  } else {
    base = example_machine_values();
    result.origin = example_origin;
    result.assumptions.push_back(
        "No machine is given: the built-in example is used, an invented mid-size machine. Travel, lift "
        "and clearance are those of that machine, not of yours.");
  }
  KeyedValues replacing = values;
  replacing.drop("use");
  replace_machine_values(*base, replacing);
  Result<Machine> machine = read_machine(*base, bare, stock_diameter, "machine.");
  if (!machine) return append(faults, machine.error()), std::nullopt;
  result.machine = *std::move(machine);
  const std::vector<std::string>& own = result.machine.assumptions;
  result.assumptions.insert(result.assumptions.end(), own.begin(), own.end());
  return result;
}

}  // namespace coilwright
