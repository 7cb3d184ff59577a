#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/programme_csv.hpp>
#include <coilwright/report/scale_reading.hpp>
#include <optional>

namespace coilwright {
namespace {

constexpr double mm_per_inch = 25.4;

std::string_view kind_name(ProgrammeStep::Kind kind) {
  switch (kind) {
    case ProgrammeStep::Kind::hold: return "hold";
    case ProgrammeStep::Kind::follow: return "follow";
    case ProgrammeStep::Kind::change: return "change";
  }
  return "";
}

class Row {
 public:
  explicit Row(Show show) : show_(show) {}
  void cell(std::string_view text) { text_ += (text_.empty() ? "" : ",") + std::string(text); }
  // A length, in every unit that is shown.
  void length(std::optional<double> mm, int decimals) {
    if (show_ != Show::inch) cell(mm ? number_text(*mm, decimals) : "");
    if (show_ != Show::mm) cell(mm ? number_text(*mm / mm_per_inch, decimals + 2) : "");
  }
  void heading(const std::string& name, const std::string& after = "") {
    if (show_ != Show::inch) cell(name + "_mm" + after);
    if (show_ != Show::mm) cell(name + "_in" + after);
  }
  [[nodiscard]] std::string line() const { return text_ + "\n"; }

 private:
  Show show_;
  std::string text_;
};

std::optional<double> radius(double curvature) {
  return curvature > 0.0 ? std::optional(1.0 / curvature) : std::nullopt;
}

std::optional<double> mm(const std::optional<Length>& length) {
  return length ? std::optional(length->mm()) : std::nullopt;
}

void step_cells(Row& row, const ProgrammeStep& step, const Job& job) {
  const auto ends = {&step.from, &step.to};
  row.length(step.fed_from_mm, 1);
  row.length(step.fed_to_mm, 1);
  for (const ProgrammeSetting* at : ends) row.length(at->travel_mm, 2);
  for (const ProgrammeSetting* at : ends) row.length(at->lift_mm, 1);
  for (const ProgrammeSetting* at : ends) row.length(radius(at->curvature), 1);
  for (const ProgrammeSetting* at : ends) row.length(mm(travel_reading(job.scales, job.machine.rolls, *at)), 2);
  for (const ProgrammeSetting* at : ends) row.length(mm(lift_reading(job.scales, *at)), 1);
  row.length(step.feed_mm_per_s, 2);
  row.cell(number_text(step.seconds, 1));
}

void reached_cells(Row& row, const ReachedCurvature& from, const ReachedCurvature& to) {
  const auto no_lengths = [&row](int count) {
    for (int i = 0; i < count; ++i) row.length(std::nullopt, 1);
  };
  row.length(from.fed_mm, 1);
  row.length(to.fed_mm, 1);
  no_lengths(4);  // travel and lift
  row.length(radius(from.curvature), 1);
  row.length(radius(to.curvature), 1);
  no_lengths(5);  // readings and feed
  row.cell("");
}

}  // namespace

std::string programme_csv(const PlannedProgramme& planned, const Job& job) {
  const RollProgramme& programme = planned.programme;
  Row names(job.show);
  for (const char* name : {"pass", "step", "kind", "segment"}) names.cell(name);
  for (const char* name : {"fed_from", "fed_to", "travel_from", "travel_to", "lift_from", "lift_to", "bend_radius_from",
                           "bend_radius_to", "travel_reading_from", "travel_reading_to", "lift_reading_from", "lift_reading_to"})
    names.heading(name);
  names.heading("feed", "_per_s");
  names.cell("seconds");
  std::string text = names.line();
  const auto begun = [&](std::size_t pass, const std::string& step, std::string_view kind, std::size_t segment) {
    Row row(job.show);
    row.cell(std::to_string(pass + 1));
    row.cell(step);
    row.cell(kind);
    row.cell(std::to_string(segment + 1));
    return row;
  };
  for (std::size_t pass = 0; pass < programme.passes.size(); ++pass)
    for (std::size_t i = 0; i < programme.passes[pass].size(); ++i) {
      const ProgrammeStep& step = programme.passes[pass][i];
      Row row = begun(pass, std::to_string(i + 1), kind_name(step.kind), step.segment);
      step_cells(row, step, job);
      text += row.line();
    }
  const auto& segments = planned.part.centreline().segments();
  for (const Transition& t : programme.transitions)
    for (std::size_t i = 1; i < planned.reached.size(); ++i) {
      const ReachedCurvature &from = planned.reached[i - 1], &to = planned.reached[i];
      if (to.fed_mm <= t.from_mm || from.fed_mm >= t.to_mm) continue;
      const bool behind = 0.5 * (from.fed_mm + to.fed_mm) >= segments[t.before + 1].from_mm;
      Row row = begun(programme.passes.size() - 1, "", "reached", behind ? t.before + 1 : t.before);
      reached_cells(row, from, to);
      text += row.line();
    }
  return text;
}

}  // namespace coilwright
