#include <coilwright/command/answer.hpp>
#include <coilwright/command/tables_command.hpp>
#include <coilwright/machine/example_machine.hpp>
#include <coilwright/machine/machine_file.hpp>

namespace coilwright {

int run_tables(const CommandLine& line) {
  return tell_answer(std::string(example_machine_text()), line, exit_code::yes);
}

}  // namespace coilwright
