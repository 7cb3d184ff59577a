// Jobs and plans that several tests begin with.
#pragma once

#include <catch2/catch.hpp>
#include <coilwright/machine/example_machine.hpp>
#include <coilwright/plan/plan.hpp>
#include <string>
#include <utility>

// Nothing asked for yet: stock on the example machine.
inline coilwright::Job job_on_example_machine(coilwright::Stock stock) {
  return {.coil = {},
          .stock = std::move(stock),
          .blank = {},
          .machine = coilwright::example_machine(),
          .machine_origin = "built-in example",
          .passes = std::nullopt,
          .stock_slope = {},
          .tolerance = {},
          .scales = {},
          .name = "job",
          .places = {},
          .assumptions = {},
          .remarks = {}};
}

inline coilwright::Plan planned(const coilwright::Job& job) {
  const coilwright::Result<coilwright::Plan> plan = coilwright::make_plan(job);
  if (!plan)
    for (const coilwright::Finding& f : plan.error()) UNSCOPED_INFO(f.text);
  REQUIRE(plan.has_value());
  return *plan;
}

// The fault about a key of a job that must have been refused.
inline const coilwright::Finding& fault_about(const coilwright::Result<coilwright::Job>& job, const std::string& about) {
  REQUIRE_FALSE(job.has_value());
  for (const coilwright::Finding& finding : job.error())
    if (finding.about == about) return finding;
  for (const coilwright::Finding& finding : job.error()) UNSCOPED_INFO(finding.about << ": " << finding.text);
  FAIL("no fault about " << about);
  return job.error().front();
}
