// The command line of both programs: a command, a job file, an option for every value of a job, and what to
// do with the answer. The only place that knows CLI11.
#pragma once

#include <coilwright/machine/keyed_values.hpp>
#include <coilwright/plan/job_file.hpp>
#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace coilwright {

// Exit codes of both programs.
namespace exit_code {
inline constexpr int yes = 0;          // done, and the answer is yes
inline constexpr int no = 1;           // done, and the answer is no or too close to say
inline constexpr int wrong_use = 2;    // unknown or missing option, bad combination
inline constexpr int wrong_value = 3;  // a value or a file
inline constexpr int not_here = 4;     // no display, no viewer
inline constexpr int cannot_read_or_write = 5;
inline constexpr int internal_error = 70;
}  // namespace exit_code

// An option that only one command has.
struct OwnOption {
  std::string name;   // "--size"
  std::string value;  // what stands behind it in the help, "WxH"; empty for a plain switch
  std::string help;
};

struct CommandForm {
  std::string name;       // "plan"
  std::string question;   // what it answers, one line
  bool takes_job = true;  // a job file and the options of a job
  std::vector<OwnOption> own;
};

struct ProgramForm {
  std::string name;     // "coilwright"
  std::string purpose;  // one line
  std::vector<CommandForm> commands;
};

// A command line that was understood.
struct CommandLine {
  std::string command;
  JobRequest job;
  bool json = false, quiet = false, no_color = false;
  std::optional<std::string> output;
  std::map<std::string, std::string> own;  // by option name; a switch holds ""
};

// Nothing more to do: help or the version was asked for, or the use was wrong.
struct Done {
  int exit_code = exit_code::yes;
  std::string text;   // for standard output
  Findings faults;    // of wrong use
  bool json = false;  // faults are wanted as JSON
};

// `arguments` without the program's own name; the first one is the command. A mistyped command or option
// gets the nearest known one; everything wrong is told at once.
std::variant<CommandLine, Done> parse_command_line(const ProgramForm& program,
                                                   const std::vector<std::string>& arguments);

}  // namespace coilwright
