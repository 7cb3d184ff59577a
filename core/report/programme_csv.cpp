#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/programme_csv.hpp>
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

}  // namespace

std::string programme_csv(const RollProgramme& programme, Show show) {
  Row names(show);
  for (const char* name : {"pass", "step", "kind", "segment"}) names.cell(name);
  for (const char* name : {"fed_from", "fed_to", "travel_from", "travel_to", "lift_from", "lift_to", "bend_radius_from",
                           "bend_radius_to"})
    names.heading(name);
  names.heading("feed", "_per_s");
  names.cell("seconds");
  std::string text = names.line();
  for (std::size_t pass = 0; pass < programme.passes.size(); ++pass)
    for (std::size_t i = 0; i < programme.passes[pass].size(); ++i) {
      const ProgrammeStep& step = programme.passes[pass][i];
      Row row(show);
      row.cell(std::to_string(pass + 1));
      row.cell(std::to_string(i + 1));
      row.cell(kind_name(step.kind));
      row.cell(std::to_string(step.segment + 1));
      row.length(step.fed_from_mm, 1);
      row.length(step.fed_to_mm, 1);
      row.length(step.travel_from_mm, 2);
      row.length(step.travel_to_mm, 2);
      row.length(step.lift_from_mm, 1);
      row.length(step.lift_to_mm, 1);
      row.length(radius(step.curvature_from), 1);
      row.length(radius(step.curvature_to), 1);
      row.length(step.feed_mm_per_s, 2);
      row.cell(number_text(step.seconds, 1));
      text += row.line();
    }
  return text;
}

}  // namespace coilwright
