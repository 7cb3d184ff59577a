// What a program says at its end, and with which exit code.
#pragma once

#include <coilwright/command/job_options.hpp>
#include <coilwright/report/plan_text.hpp>
#include <string>

namespace coilwright {

// Findings that stop the program: as text on standard error, or as JSON on standard output.
int tell_faults(const Findings& findings, bool json, bool no_color, int exit_code);

// What a command line that needs no command asked for.
int tell(const Done& done);

// An answer, to standard output or to the file that was asked for. Returns `exit_code`, or that of writing.
int tell_answer(const std::string& text, const CommandLine& line, int exit_code);

// How an answer is written: in colour only to a terminal that shows it.
TextStyle text_style(const CommandLine& line);

// 5 if something could not be read, otherwise 3.
int input_exit_code(const Findings& findings);

}  // namespace coilwright
