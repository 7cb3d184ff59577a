#include <algorithm>
#include <coilwright/report/plan_sections.hpp>

namespace coilwright {

void inputs_section(TextPage& page, const Plan& plan) {
  if (!plan.understood.empty()) {
    page.heading("What was understood");
    for (const Understood& input : plan.understood)
      page.row(input.label, input.origin.empty() ? input.value : input.value + "  [" + input.origin + "]");
  }
  page.heading("Assumptions");
  if (plan.assumptions.empty()) page.line("None.");
  for (const std::string& assumption : plan.assumptions) page.item("-", assumption);
}

void findings_section(TextPage& page, const Plan& plan) {
  const auto has = [&](Level level) {
    return std::any_of(plan.findings.begin(), plan.findings.end(), [&](const Finding& f) { return f.level == level; });
  };
  if (has(Level::caution)) {
    page.heading("What to watch");
    for (const Finding& finding : plan.findings)
      if (finding.level == Level::caution) page.item("-", finding.about + ": " + finding.text, Tone::warning);
  }
  if (has(Level::question)) {
    page.heading("Questions for the customer");
    page.line("Before we cut material, please confirm:");
    for (const Finding& finding : plan.findings)
      if (finding.level == Level::question) page.item("-", finding.text);
  }
}

}  // namespace coilwright
