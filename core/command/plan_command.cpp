#include <coilwright/command/answer.hpp>
#include <coilwright/command/output.hpp>
#include <coilwright/command/plan_command.hpp>
#include <coilwright/plan/plan.hpp>
#include <coilwright/report/plan_json.hpp>
#include <coilwright/report/plan_text.hpp>

namespace coilwright {

int run_plan(const CommandLine& line) {
  const Result<Job> job = read_job(line.job);
  if (!job) return tell_faults(job.error(), line.json, line.no_color, input_exit_code(job.error()));
  const Result<Plan> plan = make_plan(*job);
  if (!plan) {
    Findings faults = plan.error();
    locate(faults, *job);
    return tell_faults(faults, line.json, line.no_color, exit_code::wrong_value);
  }
  const TextStyle style{.color = !line.no_color && !line.output && shows_colors(Stream::output),
                        .brief = line.quiet};
  return tell_answer(line.json ? plan_json(*plan) : plan_text(*plan, style), line,
                     plan->answer_is_yes() ? exit_code::yes : exit_code::no);
}

}  // namespace coilwright
