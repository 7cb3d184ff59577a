#include <unistd.h>

#include <algorithm>
#include <charconv>
#include <chrono>
#include <coilwright/command/answer.hpp>
#include <coilwright/command/chart_command.hpp>
#include <coilwright/command/output.hpp>
#include <coilwright/plan/chart.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/chart_drawing.hpp>
#include <coilwright/report/chart_text.hpp>
#include <csignal>
#include <cstdio>
#include <thread>

namespace coilwright {
namespace {

constexpr int usual_columns = 60, usual_rows = 24, most_across = 1000, most_threads = 64;

Finding fault(const std::string& option, std::string text, int column = 0) {
  return {Level::fault, option, std::move(text), Place{option, 0, column}};
}

std::optional<int> whole_number(std::string_view text) {
  int value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return value;
}

// What the chart's own options say; everything wrong with them at once.
class Reader {
 public:
  Reader(const CommandLine& line, std::optional<LengthUnit> bare) : line_(line), bare_(bare) {}

  [[nodiscard]] const std::string* given(const std::string& option) const {
    const auto found = line_.own.find(option);
    return found == line_.own.end() ? nullptr : &found->second;
  }
  void lengths(const std::string& option, ChartAxis& axis) {
    range(option, axis, "'400 mm..2400 mm'", [&](const std::string& text) -> Result<double> {
      const Result<Length> length = read_length(text, option, bare_);
      if (!length) return refuse(length.error());
      return length->mm();
    });
  }
  void numbers(const std::string& option, ChartAxis& axis) {
    range(option, axis, "'0.5..4'", [&](const std::string& text) { return read_number(text, option); });
  }
  void grid(ChartRequest& request) {
    const std::string* text = given("--grid");
    if (text == nullptr) return;
    const std::size_t cross = text->find('x');
    const auto columns = whole_number(std::string_view(*text).substr(0, cross));
    const auto rows = cross == std::string::npos ? std::nullopt : whole_number(std::string_view(*text).substr(cross + 1));
    if (!columns || !rows || *columns < 1 || *rows < 1 || *columns > most_across || *rows > most_across) {
      faults_.push_back(fault("--grid", "\"" + *text + "\" is no grid: it takes columns x rows, 1 to " +
                                            std::to_string(most_across) + " each. 40x30 would do."));
      return;
    }
    request.diameters.count = *columns;
    request.row_values.count = *rows;
  }
  int threads() {
    const std::string* text = given("--threads");
    if (text == nullptr) return std::clamp(static_cast<int>(std::thread::hardware_concurrency()), 1, 8);
    const auto count = whole_number(*text);
    if (count && *count >= 1 && *count <= most_threads) return *count;
    faults_.push_back(fault("--threads", "\"" + *text + "\" is no number of threads: 1 to " + std::to_string(most_threads) + ". 2 would do."));
    return 1;
  }
  [[nodiscard]] const Findings& faults() const { return faults_; }

 private:
  template <class Read>
  void range(const std::string& option, ChartAxis& axis, const std::string& example, Read read) {
    const std::string* text = given(option);
    if (text == nullptr) return;
    const std::size_t dots = text->find("..");
    if (dots == std::string::npos) {
      faults_.push_back(fault(option, "\"" + *text + "\" is no range: two values with two dots between them. " + example + " would do."));
      return;
    }
    const Result<double> from = read(text->substr(0, dots)), to = read(text->substr(dots + 2));
    const int behind = static_cast<int>(dots) + 2;
    take(option, from, 0);
    take(option, to, behind);
    if (!from || !to) return;
    if (*from < 0.0 || *from >= *to) {
      faults_.push_back(fault(option, "\"" + *text + "\" runs from " + (*from < 0.0 ? "less than nothing" : "a value to one that is not larger") +
                                          ": a range goes from the smaller to the larger value. " + example + " would do."));
      return;
    }
    axis.from = *from;
    axis.to = *to;
  }
  void take(const std::string& option, const Result<double>& value, int behind) {
    if (value) return;
    for (Finding one : value.error()) {
      const int column = one.place && one.place->column > 0 ? one.place->column + behind : 0;
      one.place = Place{option, 0, column};
      faults_.push_back(std::move(one));
    }
  }

  const CommandLine& line_;
  std::optional<LengthUnit> bare_;
  Findings faults_;
};

enum class Kind { text, csv, drawing };

Kind kind_of(const CommandLine& line) {
  if (!line.output) return Kind::text;
  if (drawing_format(*line.output)) return Kind::drawing;
  return line.output->ends_with(".csv") ? Kind::csv : Kind::text;
}

Findings wrong_combinations(const CommandLine& line) {
  Findings faults;
  if (line.own.contains("--pitches") && line.own.contains("--turn-range"))
    faults.push_back(fault("--turn-range", "--pitches and --turn-range both say what goes up the chart. Keep one of them."));
  if (line.json && kind_of(line) != Kind::text)
    faults.push_back(fault("--json", "--json and a file that ends in .csv, .svg, .png or .pdf are two answers. Keep one of them, or "
                                     "give the file another ending."));
  return faults;
}

volatile std::sig_atomic_t interrupted = 0;
extern "C" void note_interrupt(int) { interrupted = 1; }

// While it lives, the first Ctrl-C is noted and the second one ends the program.
class Interruptible {
 public:
  Interruptible() {
    interrupted = 0;
    struct sigaction action {};
    action.sa_handler = note_interrupt;
    action.sa_flags = static_cast<int>(SA_RESETHAND);
    ::sigaction(SIGINT, &action, &before_);
  }
  ~Interruptible() { ::sigaction(SIGINT, &before_, nullptr); }
  Interruptible(const Interruptible&) = delete;
  Interruptible& operator=(const Interruptible&) = delete;

 private:
  struct sigaction before_ {};
};

// One line on a terminal, once it has taken a second.
class Progress {
 public:
  Progress(std::size_t all, bool quiet) : all_(all), shown_here_(!quiet && ::isatty(STDERR_FILENO) == 1) {}
  void tell(std::size_t done) {
    if (!shown_here_ || std::chrono::steady_clock::now() - start_ < std::chrono::seconds(1)) return;
    const std::size_t percent = done * 100 / all_;
    if (percent == percent_) return;
    percent_ = percent;
    std::fprintf(stderr, "\r  chart: %zu %% of %zu designs ", percent, all_);
    std::fflush(stderr);
  }
  void clear() {
    if (percent_) std::fputs("\r                                              \r", stderr);
  }

 private:
  std::size_t all_;
  bool shown_here_;
  std::optional<std::size_t> percent_;
  std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
};

}  // namespace

CommandForm chart_form() {
  return {"chart",
          "which diameters and pitches this machine can make from this stock",
          true,
          {{"--diameters", "'FROM..TO'", "the diameters charted, to what the job measures; around the job's own if not given"},
           {"--pitches", "'FROM..TO'", "the pitches charted, all with the job's turns; around the job's own if not given"},
           {"--turn-range", "'FROM..TO'", "turns instead of pitches, all with the job's pitch"},
           {"--grid", "COLUMNSxROWS", "how many of each; about 60x24 on round values if not given"},
           {"--distances", "", "the least distance also of designs that clear, not only that they do"},
           {"--threads", "N", "as many at a time; the answer is the same"}}};
}

int run_chart(const CommandLine& line) {
  if (const Findings faults = wrong_combinations(line); !faults.empty())
    return tell_faults(faults, line.json, line.no_color, exit_code::wrong_use);
  Result<Job> job = read_job(line.job);
  Findings faults;
  if (!job) faults = job.error();
  Result<OwnDesign> own = job ? own_design(*job) : Result<OwnDesign>(OwnDesign{1000.0, 1000.0, 1.0});
  if (!own) append(faults, own.error());
  Reader reader(line, line.job.bare);
  const bool by_turns = reader.given("--turn-range") != nullptr;
  ChartRequest request = usual_chart(own.value_or(OwnDesign{1000.0, 1000.0, 1.0}), by_turns ? ChartRows::turns : ChartRows::pitch,
                                     usual_columns, usual_rows);
  if (reader.given("--distances") != nullptr) request.depth = ChartDepth::distance;
  reader.lengths("--diameters", request.diameters);
  if (by_turns) reader.numbers("--turn-range", request.row_values);
  else reader.lengths("--pitches", request.row_values);
  request.diameters.count = round_count(request.diameters.from, request.diameters.to, usual_columns);
  request.row_values.count = round_count(request.row_values.from, request.row_values.to, usual_rows);
  reader.grid(request);
  const int threads = reader.threads();
  append(faults, reader.faults());
  if (!faults.empty()) return tell_faults(faults, line.json, line.no_color, input_exit_code(faults));

  Progress progress(static_cast<std::size_t>(request.diameters.count) * static_cast<std::size_t>(request.row_values.count), line.quiet);
  Result<std::optional<Chart>> made = [&] {
    const Interruptible guard;
    return make_chart(*job, request, {threads, [&](std::size_t done) {
                                        progress.tell(done);
                                        return interrupted != 0 ? ChartGo::stop : ChartGo::on;
                                      }});
  }();
  progress.clear();
  if (!made) return tell_faults(made.error(), line.json, line.no_color, exit_code::wrong_value);
  if (!*made) {
    const Finding stopped{Level::fault, "chart", "Stopped before the end; no chart was made and nothing was written.", std::nullopt};
    return tell_faults({stopped}, line.json, line.no_color, exit_code::not_here);
  }
  const Chart& chart = **made;
  const bool any = std::any_of(chart.cells.begin(), chart.cells.end(),
                               [](const ChartCell& cell) { return cell.outcome == ChartOutcome::clears; });
  const bool faultless = std::none_of(chart.findings.begin(), chart.findings.end(),
                                      [](const Finding& f) { return f.level == Level::fault; });
  const TextStyle style = text_style(line);
  const std::string answer = kind_of(line) == Kind::drawing ? chart_drawing(chart, *drawing_format(*line.output))
                             : kind_of(line) == Kind::csv   ? chart_csv(chart)
                             : line.json                    ? chart_json(chart)
                                                            : chart_text(chart, style);
  return tell_answer(answer, line, any && faultless ? exit_code::yes : exit_code::no);
}

}  // namespace coilwright
