#include <CLI/CLI.hpp>
#include <algorithm>
#include <coilwright/command/job_options.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/quantity/require.hpp>

namespace coilwright {
namespace {

constexpr const char* version_line = " " COILWRIGHT_VERSION "\n";

Finding wrong_use(std::string about, std::string text) {
  return {Level::fault, std::move(about), std::move(text), std::nullopt};
}

std::string overview(const ProgramForm& program) {
  std::string text = program.purpose + "\n\nUsage: " + program.name + " COMMAND [JOB] [OPTIONS]\n\n";
  for (const CommandForm& command : program.commands)
    text += "  " + command.name + std::string(command.name.size() < 10 ? 10 - command.name.size() : 1, ' ') +
            command.question + "\n";
  return text + "\n" + program.name + " COMMAND --help tells the options of a command.\n";
}

// The name under which help groups the options of a job's table.
std::string group_of(const std::string& key) {
  std::string group = key.substr(0, key.find('.'));
  if (key.starts_with("machine.")) return "Machine";
  group.front() = static_cast<char>(group.front() - 'a' + 'A');
  return group;
}

std::string value_word(ValueKind kind) {
  switch (kind) {
    case ValueKind::length:
    case ValueKind::lengths:
      return "LENGTH";
    case ValueKind::angle:
      return "ANGLE";
    case ValueKind::force:
      return "FORCE";
    case ValueKind::stress:
      return "STRESS";
    case ValueKind::number:
    case ValueKind::numbers:
      return "NUMBER";
    case ValueKind::whole_number:
      return "N";
    default:
      return "TEXT";
  }
}

// One option for each way to give each value of a job, remembered with what it stands for.
class JobOptions {
 public:
  explicit JobOptions(CLI::App& app) {
    for (const KnownKey& known : job_keys()) {
      const std::string flag = flag_of(known.key);
      if (flag.empty()) continue;
      add(app, known, flag, known.key, group_of(known.key));
      // The ways that name the unit work too, without crowding the help.
      for (const std::string& ending : unit_endings(known.kind))
        add(app, known, flag + '-' + ending, known.key + '_' + ending, "");
    }
  }

  void collect(KeyedValues& values, Findings& faults) const {
    for (const Given& given : options_) {
      if (given.option->empty()) continue;
      const Place place{given.flag, 0, 0};
      if (const GivenValue* before = values.find(given.known->key)) {
        faults.push_back(wrong_use(given.flag, before->value.place.file + " and " + given.flag +
                                                   " say the same thing twice. Keep one of them."));
        continue;
      }
      DocumentArray each;
      for (const std::string& text : given.option->results()) each.push_back({text, place, place});
      DocumentValue value = each.size() == 1 ? each.front() : DocumentValue{each, place, place};
      values.set(*given.known, given.key, std::move(value));
    }
  }

 private:
  struct Given {
    const KnownKey* known;
    std::string flag, key;
    CLI::Option* option;
  };

  void add(CLI::App& app, const KnownKey& known, const std::string& flag, const std::string& key,
           const std::string& group) {
    CLI::Option* option = app.add_option(flag, known.help)->group(group);
    option->type_name(value_word(known.kind));
    if (known.key == "machine.outboard_roll.position")
      option->expected(2);
    else if (known.kind == ValueKind::lengths || known.kind == ValueKind::word_list)
      option->expected(1)->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
    else
      option->expected(1);
    options_.push_back({&known, flag, key, option});
  }

  std::vector<Given> options_;
};

CLI::Option* add_switch(CLI::App& app, const std::string& name, const std::string& help) {
  return app.add_flag(name, help);
}

// What does not depend on the job.
struct CommonOptions {
  CLI::Option *job = nullptr, *unit = nullptr, *show = nullptr, *output = nullptr;
  CLI::Option *json = nullptr, *quiet = nullptr, *no_color = nullptr, *version = nullptr;

  CommonOptions(CLI::App& app, const CommandForm& form) {
    if (form.takes_job) {
      job = app.add_option("JOB", "a job file (TOML); options replace what it says");
      unit = app.add_option("--unit", "how to read a length without a unit: mm or in")
                 ->type_name("UNIT")
                 ->group("Reading and showing");
      show = app.add_option("--show", "lengths in mm, in or both")
                 ->type_name("UNIT")
                 ->group("Reading and showing");
    }
    output =
        app.add_option("-o,--output", "write to this file")->type_name("FILE")->group("Reading and showing");
    json = add_switch(app, "--json", "answer, and errors, as JSON")->group("Reading and showing");
    quiet = add_switch(app, "-q,--quiet", "only what must be said")->group("Reading and showing");
    no_color = add_switch(app, "--no-color", "no colours, also on a terminal")->group("Reading and showing");
    version = add_switch(app, "--version", "the version of the program")->group("Reading and showing");
  }
};

std::vector<std::string> option_names(const CLI::App& app) {
  std::vector<std::string> names;
  for (const CLI::Option* option : app.get_options()) {
    for (const std::string& name : option->get_lnames()) names.push_back("--" + name);
  }
  return names;
}

// Arguments that look like options but are none of ours. CLI11 alone would take the value behind a mistyped
// option for the job file and complain about that.
Findings unknown_options(const CLI::App& app) {
  Findings faults;
  const std::vector<std::string> known = option_names(app);
  for (const std::string& argument : app.remaining()) {
    if (!argument.starts_with('-') || argument == "-" || argument == "--") continue;
    const std::string name = argument.substr(0, argument.find('='));
    std::string text = "There is no option " + name + ".";
    if (const std::string nearest = nearest_word(name, known); !nearest.empty())
      text += " Did you mean " + nearest + "?";
    faults.push_back(wrong_use(name, text));
  }
  return faults;
}

std::string text_of(const CLI::Option* option) {
  return option->results().back();
}

void read_common(const CommonOptions& common, CommandLine& line, Findings& faults) {
  line.json = common.json->count() > 0;
  line.quiet = common.quiet->count() > 0;
  line.no_color = common.no_color->count() > 0;
  if (common.output->count() > 0) line.output = text_of(common.output);
  if (common.job == nullptr) return;
  if (common.job->count() > 0) line.job.path = text_of(common.job);
  if (common.unit->count() > 0) {
    const std::string unit = text_of(common.unit);
    if (unit == "mm") line.job.bare = LengthUnit::mm;
    if (unit == "in") line.job.bare = LengthUnit::inch;
    if (!line.job.bare) faults.push_back(wrong_use("--unit", "--unit takes mm or in, not \"" + unit + "\"."));
  }
  if (common.show->count() > 0) {
    const std::string show = text_of(common.show);
    if (show == "mm")
      line.job.show = Show::mm;
    else if (show == "in")
      line.job.show = Show::inch;
    else if (show != "both")
      faults.push_back(wrong_use("--show", "--show takes mm, in or both, not \"" + show + "\"."));
  }
}

// CLI11's complaint as a sentence of ours.
Finding complaint(const CLI::ParseError& error) {
  std::string text = error.what();
  const std::string option = text.substr(0, text.find_first_of(" :"));
  if (dynamic_cast<const CLI::ArgumentMismatch*>(&error) != nullptr)
    return wrong_use(option, option +
                                 " needs one value behind it, and can be given once. A value with a space in "
                                 "it stands in quotation marks.");
  return wrong_use(option, text + ".");
}

}  // namespace

std::variant<CommandLine, Done> parse_command_line(const ProgramForm& program,
                                                   const std::vector<std::string>& arguments) {
  const bool json = std::find(arguments.begin(), arguments.end(), "--json") != arguments.end();
  const auto refuse_use = [&](Findings faults) {
    return Done{exit_code::wrong_use, "", std::move(faults), json};
  };

  std::vector<std::string> names;
  for (const CommandForm& command : program.commands) names.push_back(command.name);
  if (arguments.empty())
    return refuse_use({wrong_use(
        "command", "Say what to do: " + or_list(names) + ". " + program.name + " --help tells more.")});
  const std::string& name = arguments.front();
  if (name == "--help" || name == "-h" || name == "help")
    return Done{exit_code::yes, overview(program), {}, json};
  if (name == "--version") return Done{exit_code::yes, program.name + version_line, {}, json};
  const auto form = std::find_if(program.commands.begin(), program.commands.end(),
                                 [&](const CommandForm& c) { return c.name == name; });
  if (form == program.commands.end()) {
    std::string text = name.starts_with('-') ? "The command comes first: " + or_list(names) + "."
                                             : "There is no command \"" + name + "\".";
    if (const std::string nearest = nearest_word(name, names); !nearest.empty())
      text += " Did you mean " + nearest + "?";
    else if (!name.starts_with('-'))
      text += " There are: " + or_list(names) + ".";
    return refuse_use({wrong_use(name, text)});
  }

  CLI::App app(form->question, program.name + " " + form->name);
  app.allow_extras();
  app.set_help_flag("-h,--help", "this help")->group("Reading and showing");
  const CommonOptions common(app, *form);
  std::map<std::string, CLI::Option*> own;
  for (const OwnOption& option : form->own)
    own[option.name] = option.value.empty()
                           ? add_switch(app, option.name, option.help)
                           : app.add_option(option.name, option.help)->type_name(option.value)->expected(1);
  std::optional<JobOptions> job_options;
  if (form->takes_job) job_options.emplace(app);

  Findings faults;
  try {
    // CLI11 takes a vector from its end.
    app.parse(std::vector<std::string>(arguments.rbegin(), arguments.rend() - 1));
  } catch (const CLI::CallForHelp&) {
    return Done{exit_code::yes, app.help(), {}, json};
  } catch (const CLI::ParseError& error) {
    faults.push_back(complaint(error));
  }
  if (faults.empty() && common.version->count() > 0)
    return Done{exit_code::yes, program.name + version_line, {}, json};
  Findings unknown = unknown_options(app);
  append(unknown, faults);
  if (!unknown.empty()) return refuse_use(std::move(unknown));
  for (const std::string& extra : app.remaining())
    faults.push_back(wrong_use(
        extra, "\"" + extra + "\" is one argument too many" +
                   (form->takes_job ? std::string(": one job file can be given.") : std::string("."))));

  CommandLine line;
  line.command = form->name;
  read_common(common, line, faults);
  if (job_options) job_options->collect(line.job.options, faults);
  for (const auto& [option_name, option] : own)
    if (option->count() > 0) line.own[option_name] = option->get_expected_max() > 0 ? text_of(option) : "";
  if (!faults.empty()) return refuse_use(std::move(faults));
  return line;
}

}  // namespace coilwright
