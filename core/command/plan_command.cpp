#include <coilwright/command/answer.hpp>
#include <coilwright/command/plan_command.hpp>
#include <coilwright/plan/plan.hpp>
#include <coilwright/report/plan_json.hpp>

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
  const auto as_text = line.command == "clearance" ? clearance_text : plan_text;
  return tell_answer(line.json ? plan_json(*plan) : as_text(*plan, text_style(line)), line,
                     plan->answer_is_yes() ? exit_code::yes : exit_code::no);
}

}  // namespace coilwright
