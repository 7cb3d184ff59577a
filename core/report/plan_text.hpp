// A plan as text for people: settings first with their datum, then the order of work, then detail.
#pragma once

#include <coilwright/plan/programme.hpp>
#include <string>

namespace coilwright {

struct TextStyle {
  bool color = false;  // ANSI colours, never the only carrier of a meaning
  bool brief = false;  // only the settings, the verdict and the faults
};

// Same plan, same bytes. Lengths as plan.job.show asks.
std::string plan_text(const Plan& plan, const TextStyle& style = {});

// What it comes near to, and what would make it clear, alone.
std::string clearance_text(const Plan& plan, const TextStyle& style = {});

// The roll programme alone, of any plan.
std::string programme_text(const PlannedProgramme& planned, const Plan& plan, const TextStyle& style = {});

// Findings alone, one a line with file:line:column where known: what an input error looks like.
std::string findings_text(const Findings& findings, const TextStyle& style = {});

}  // namespace coilwright
