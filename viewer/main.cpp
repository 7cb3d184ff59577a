#include <coilwright/command/answer.hpp>
#include <coilwright/plan/plan.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/require.hpp>
#include <coilwright/report/plan_json.hpp>
#include <cstdio>
#include <exception>
#include <viewer/window/picture.hpp>
#include <viewer/window/window.hpp>

namespace {

using namespace coilwright;

ProgramForm program_form() {
  const OwnOption view{"--view", "iso|top|front|side", "where it is seen from; iso if not given"};
  const OwnOption fed{"--fed", "LENGTH", "how much has passed the centre roll; all of it if not given"};
  return {"coilwright-view",
          "Shows coils, rails and rings in the machine that rolls them.",
          {{"view", "see it in a window", true, {view, fed}},
           {"picture",
            "a picture as PNG, without a display",
            true,
            {view, fed, {"--size", "WIDTHxHEIGHT", "in pixels; 1600x1000 if not given"}}}}};
}

struct Wanted {
  view::View view = view::View::iso;
  std::optional<Length> fed;
  view::PictureSize size;
};

// Everything wrong with the options of the viewer itself, at once.
Result<Wanted> read_wanted(const CommandLine& line) {
  Wanted wanted;
  Findings faults;
  if (const auto it = line.own.find("--view"); it != line.own.end()) {
    if (const auto named = view::view_named(it->second)) wanted.view = *named;
    else
      faults.push_back({Level::fault, "--view", "There is no view '" + it->second + "'; there are iso, top, front and side.", std::nullopt});
  }
  if (const auto it = line.own.find("--fed"); it != line.own.end()) {
    const Result<Length> fed = read_length(it->second, "--fed", line.job.bare);
    if (!fed)
      for (Finding fault : fed.error()) {
        if (fault.place) fault.place->file = "--fed";
        faults.push_back(fault);
      }
    else if (*fed < Length())
      faults.push_back({Level::fault, "--fed", "A fed length of " + it->second + " is less than nothing; it starts at 0.", std::nullopt});
    else wanted.fed = *fed;
  }
  if (const auto it = line.own.find("--size"); it != line.own.end()) {
    const auto size = view::read_picture_size(it->second);
    if (size) wanted.size = *size;
    else append(faults, size.error());
  }
  if (!faults.empty()) return refuse(faults);
  return wanted;
}

int fail(const CommandLine& line, const std::string& about, const std::string& text, int code) {
  return tell_faults({{Level::fault, about, text, std::nullopt}}, line.json, line.no_color, code);
}

int run(const std::vector<std::string>& arguments) {
  const auto parsed = parse_command_line(program_form(), arguments);
  if (const auto* done = std::get_if<Done>(&parsed)) return tell(*done);
  const CommandLine& line = std::get<CommandLine>(parsed);
  const bool picture = line.command == "picture";
  if (picture && !line.output)
    return fail(line, "--output", "A picture needs a file: -o FILE.png.", exit_code::wrong_use);

  Result<Wanted> wanted = read_wanted(line);
  const Result<Job> job = read_job(line.job);
  if (!wanted || !job) {
    Findings faults;
    if (!wanted) append(faults, wanted.error());
    if (!job) append(faults, job.error());
    return tell_faults(faults, line.json, line.no_color, job ? exit_code::wrong_value : input_exit_code(job.error()));
  }
  if (!picture)
    if (const auto reason = view::no_display()) return fail(line, "display", *reason, exit_code::not_here);
  const Result<Plan> plan = make_plan(*job);
  if (!plan) {
    Findings faults = plan.error();
    locate(faults, *job);
    return tell_faults(faults, line.json, line.no_color, exit_code::wrong_value);
  }

  view::Scene scene(view::subject_of(*plan));
  scene.set_view(wanted->view);
  if (wanted->fed) {
    const Length most = Length::mm(scene.subject().rolled_mm);
    if (*wanted->fed > most)
      return fail(line, "--fed",
                  "A fed length of " + length_text(*wanted->fed, job->show) + " is more than this part has: all of it is through at " +
                      length_text(most, job->show) + ".",
                  exit_code::wrong_value);
    scene.set_fed_length(wanted->fed->mm());
  }
  const int answer = plan->answer_is_yes() ? exit_code::yes : exit_code::no;
  if (!picture) {
    if (const auto reason = view::show_window(scene, scene.subject().title, job->name))
      return fail(line, "display", *reason, exit_code::not_here);
    return answer;
  }
  if (const auto refused = view::write_picture(scene, wanted->size, *line.output))
    return fail(line, "picture", refused->why,
                refused->kind == view::NoPicture::Kind::cannot_write ? exit_code::cannot_read_or_write : exit_code::not_here);
  CommandLine to_terminal = line;
  to_terminal.output.reset();
  if (line.json) return tell_answer(plan_json(*plan), to_terminal, answer);
  if (line.quiet) return answer;
  const view::Subject& subject = scene.subject();
  return tell_answer(*line.output + ": " + subject.verdict + ". " + subject.verdict_detail + "\n", to_terminal, answer);
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return run({argv + 1, argv + argc});
  } catch (const std::exception& error) {
    std::fprintf(stderr,
                 "coilwright-view: internal error: %s. This is a fault of the program, not of the job; please "
                 "report it with the job.\n",
                 error.what());
    return exit_code::internal_error;
  }
}
