#include <coilwright/command/answer.hpp>
#include <coilwright/command/programme_command.hpp>
#include <coilwright/plan/programme.hpp>
#include <coilwright/report/programme_csv.hpp>
#include <coilwright/report/plan_text.hpp>
#include <coilwright/report/programme_drawing.hpp>

namespace coilwright {

int run_programme(const CommandLine& line) {
  if (line.json)
    return tell_faults({{Level::fault, "--json", "The programme as JSON is in \"coilwright plan --json\", under part.programme.", std::nullopt}},
                       true, line.no_color, exit_code::wrong_use);
  const Result<Job> job = read_job(line.job);
  if (!job) return tell_faults(job.error(), line.json, line.no_color, input_exit_code(job.error()));
  const auto refused = [&](Findings faults, int code) {
    locate(faults, *job);
    return tell_faults(faults, line.json, line.no_color, code);
  };
  const Result<Plan> plan = make_plan(*job);
  if (!plan) return refused(plan.error(), exit_code::wrong_value);
  const Result<PlannedProgramme> planned = programme_of(*plan);
  if (!planned) return refused(planned.error(), exit_code::no);
  const std::optional<DrawingFormat> format = line.output ? drawing_format(*line.output) : std::nullopt;
  const int code = plan->answer_is_yes() ? exit_code::yes : exit_code::no;
  if (format) return tell_answer(programme_drawing(*planned, job->name == "job" ? "Part" : job->name, *format, job->show), line, code);
  if (line.output && line.output->ends_with(".csv")) return tell_answer(programme_csv(*planned, *job), line, code);
  return tell_answer(programme_text(*planned, *plan, text_style(line)), line, code);
}

}  // namespace coilwright
