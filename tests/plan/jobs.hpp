// Jobs and plans that several tests begin with.
#pragma once

#include <catch2/catch.hpp>
#include <coilwright/machine/example_machine.hpp>
#include <coilwright/plan/plan.hpp>
#include <cstdint>
#include <random>
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

// The rail of a spiral stair on the example machine.
inline coilwright::Job rail_on_example_machine() {
  using namespace coilwright;
  Job job = job_on_example_machine({Section::round_tube(Length::mm(42.4), Length::mm(2.6)).value(), find_material("S235").value(), "", "", {}});
  job.machine.rolls.groove = Length::mm(42.4);
  job.coil.radius = Length::mm(800.0);
  job.coil.pitch = Length::mm(2700.0);
  job.coil.turns = 1.1;
  job.coil.hand = Hand::right_screw;
  return job;
}

// A handrail on the example machine among so many boxes, cylinders and frusta, scattered where the coil, and much of what
// is charted around it, does not go: below it, and outside the coil and its swinging end.
inline coilwright::Job rail_among_solids(std::size_t count, std::uint64_t seed) {
  using namespace coilwright;
  Job job = rail_on_example_machine();
  job.machine.solids.clear();
  std::mt19937_64 random(seed);
  const auto between = [&](double low, double high) { return low + (high - low) * static_cast<double>(random() >> 11) * 0x1p-53; };
  while (job.machine.solids.size() < count) {
    const Eigen::Vector3d at(between(-3000, 3000), between(-3000, 3000), between(-1500, 3500));
    const double size = between(20, 200), out = std::hypot(at.x(), at.y() - 800.0);
    if (out - size < (at.z() + size > -80.0 ? 1800.0 : 0.0)) continue;
    const Eigen::Vector3d half = size * Eigen::Vector3d(between(0.1, 0.6), between(0.1, 0.6), between(0.1, 0.6));
    const std::size_t i = job.machine.solids.size();
    const Shape shape = i % 3 == 0   ? Shape(Box{at - half, at + half, between(-3, 3)})
                        : i % 3 == 1 ? Shape(Cylinder{at - half, at + half, 0.4 * size})
                                     : Shape(Frustum{at - half, at + half, 0.5 * size, 0.2 * size});
    job.machine.solids.push_back({"solid " + std::to_string(i + 1), shape, Rides::frame});
  }
  return job;
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
