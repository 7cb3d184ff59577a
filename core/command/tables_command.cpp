#include <coilwright/command/answer.hpp>
#include <coilwright/command/tables_command.hpp>
#include <coilwright/machine/example_machine.hpp>
#include <coilwright/machine/machine_file.hpp>
#include <coilwright/report/tables_text.hpp>

namespace coilwright {
namespace {

int show_machine(const std::string& name, const CommandLine& line) {
  if (name == example_machine_name) return tell_answer(std::string(example_machine_text()), line, exit_code::yes);
  const Result<Machine> machine = read_machine_file(name);
  if (!machine) return tell_faults(machine.error(), line.json, line.no_color, input_exit_code(machine.error()));
  return tell_answer("The file " + name + " describes a machine that can be planned for: " + machine->name + ".\n", line,
                     exit_code::yes);
}

}  // namespace

int run_tables(const CommandLine& line) {
  if (const auto machine = line.own.find("--machine"); machine != line.own.end())
    return show_machine(machine->second, line);
  return tell_answer(line.json ? tables_json() : tables_text(), line, exit_code::yes);
}

}  // namespace coilwright
