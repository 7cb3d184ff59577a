// A plan as JSON, schema 1: numbers in the unit of the key's ending, points in the machine frame M, a
// number that does not exist is null and has a finding. Additive changes only.
#pragma once

#include <coilwright/plan/plan.hpp>
#include <string>

namespace coilwright {

std::string plan_json(const Plan& plan);              // ends with a newline
std::string findings_json(const Findings& findings);  // { "schema": 1, "findings": [ … ] }

}  // namespace coilwright
