#include <algorithm>
#include <coilwright/command/answer.hpp>
#include <coilwright/command/output.hpp>
#include <coilwright/report/plan_json.hpp>
#include <coilwright/report/plan_text.hpp>
#include <cstdio>

namespace coilwright {

int tell_faults(const Findings& findings, bool json, bool no_color, int exit_code) {
  if (json)
    return write_standard_output(findings_json(findings)) ? exit_code : exit_code::cannot_read_or_write;
  const TextStyle style{.color = !no_color && shows_colors(Stream::error)};
  std::fputs(findings_text(findings, style).c_str(), stderr);
  return exit_code;
}

int tell(const Done& done) {
  if (!done.faults.empty()) return tell_faults(done.faults, done.json, false, done.exit_code);
  return write_standard_output(done.text) ? done.exit_code : exit_code::cannot_read_or_write;
}

int tell_answer(const std::string& text, const CommandLine& line, int exit_code) {
  if (line.output) {
    if (const auto fault = write_file(*line.output, text))
      return tell_faults({*fault}, line.json, line.no_color, exit_code::cannot_read_or_write);
    return exit_code;
  }
  if (write_standard_output(text)) return exit_code;
  std::fputs("coilwright: standard output could not be written to its end.\n", stderr);
  return exit_code::cannot_read_or_write;
}

TextStyle text_style(const CommandLine& line) {
  return {.color = !line.no_color && !line.output && shows_colors(Stream::output), .brief = line.quiet};
}

int input_exit_code(const Findings& findings) {
  const bool unreadable =
      std::any_of(findings.begin(), findings.end(), [](const Finding& f) { return f.about == "file"; });
  return unreadable ? exit_code::cannot_read_or_write : exit_code::wrong_value;
}

}  // namespace coilwright
