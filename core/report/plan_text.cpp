#include <coilwright/quantity/require.hpp>
#include <coilwright/report/plan_sections.hpp>
#include <coilwright/report/plan_text.hpp>
#include <coilwright/report/safe_text.hpp>
#include <coilwright/report/text_page.hpp>

namespace coilwright {
namespace {

TextPage page_for(const TextStyle& style) {
  return TextPage(style.color ? TextPage::Ink::coloured : TextPage::Ink::plain);
}

// "job.toml:3:9: " or "--radius, column 4: "; whatever of it is known.
std::string place_text(const Place& place) {
  std::string out = safe_text(place.file);
  if (place.line > 0) out += ":" + std::to_string(place.line);
  if (place.column > 0) out += (place.line > 0 ? ":" : ", column ") + std::to_string(place.column);
  return out + ": ";
}

std::string level_word(Level level, const TextStyle& style) {
  switch (level) {
    case Level::fault:
      return style.color ? "\x1b[1;31mfault\x1b[0m" : "fault";
    case Level::caution:
      return style.color ? "\x1b[1;33mcaution\x1b[0m" : "caution";
    case Level::question:
      return "question";
  }
  throw InternalError("unknown level of a finding");
}

}  // namespace

std::string plan_text(const Plan& plan, const TextStyle& style) {
  TextPage page = page_for(style);
  headline_section(page, plan);
  settings_section(page, plan);
  if (style.brief) return page.text();
  blank_section(page, plan);
  safety_section(page, plan);
  work_section(page, plan);
  findings_section(page, plan);
  clearance_section(page, plan);
  part_section(page, plan);
  rolling_section(page, plan);
  capability_section(page, plan);
  lift_section(page, plan);
  programme_section(page, plan);
  pull_section(page, plan);
  trust_section(page, plan);
  inputs_section(page, plan);
  return page.text();
}

std::string clearance_text(const Plan& plan, const TextStyle& style) {
  TextPage page = page_for(style);
  headline_section(page, plan);
  if (!style.brief) clearance_section(page, plan);
  return page.text();
}

std::string programme_text(const PlannedProgramme& planned, const Plan& plan, const TextStyle& style) {
  TextPage page = page_for(style);
  programme_lines(page, planned, plan);
  return page.text();
}

std::string findings_text(const Findings& findings, const TextStyle& style) {
  std::string out;
  for (const Level level : {Level::fault, Level::caution, Level::question})
    for (const Finding& finding : findings) {
      if (finding.level != level || (style.brief && level != Level::fault)) continue;
      if (finding.place) out += place_text(*finding.place);
      out += level_word(level, style) + ": " + safe_text(finding.about) + ": " + safe_text(finding.text) + "\n";
    }
  return out;
}

}  // namespace coilwright
