#include <coilwright/command/answer.hpp>
#include <coilwright/command/chart_command.hpp>
#include <coilwright/command/plan_command.hpp>
#include <coilwright/command/programme_command.hpp>
#include <coilwright/command/tables_command.hpp>
#include <coilwright/command/view_command.hpp>
#include <coilwright/quantity/require.hpp>
#include <cstdio>
#include <exception>

namespace {

using namespace coilwright;

ProgramForm program_form() {
  return {
      "coilwright",
      "Plans coils, rails and rings rolled cold on a three-roll bending machine.",
      {{"plan",
        "everything about one job: lengths, travel and lift per pass, clearance, what to watch",
        true,
        {}},
       {"clearance",
        "does it clear, how close, where, at which fed length; what would make it clear",
        true,
        {}},
       {"programme",
        "travel, lift and feed by fed length; with -o F.csv for a spreadsheet, with F.svg, F.png, F.pdf a drawing",
        true,
        {}},
       chart_form(),
       {"tables",
        "the materials, sizes and machines it knows",
        false,
        {{"--machine", "NAME or FILE", "one machine; a built-in one is printed as a file to start from"}}},
       {"view", "see it in a window", true, {}},
       {"picture", "see it: a picture without a display", true, {}}}};
}

int run(const std::vector<std::string>& arguments) {
  // The viewer reads its own command line.
  if (!arguments.empty() && (arguments.front() == "view" || arguments.front() == "picture"))
    return run_viewer(arguments);
  const auto parsed = parse_command_line(program_form(), arguments);
  if (const auto* done = std::get_if<Done>(&parsed)) return tell(*done);
  const CommandLine& line = std::get<CommandLine>(parsed);
  if (line.command == "chart") return run_chart(line);
  if (line.command == "programme") return run_programme(line);
  return line.command == "tables" ? run_tables(line) : run_plan(line);
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return run({argv + 1, argv + argc});
  } catch (const std::exception& error) {
    std::fprintf(stderr,
                 "coilwright: internal error: %s. This is a fault of the program, not of the job; please "
                 "report it with the job.\n",
                 error.what());
    return exit_code::internal_error;
  }
}
