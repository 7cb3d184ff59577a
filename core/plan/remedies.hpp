// What would make a part clear: changes tried one by one, each planned anew and with its own clearance.
#pragma once

#include <coilwright/quantity/quantity.hpp>
#include <optional>
#include <string>
#include <vector>

namespace coilwright {

struct Plan;

struct Remedy {
  std::string change;       // "lower \"centre cap\" by 14 mm"
  std::string cost;         // what it does to the part, the machine or the work
  double least_mm;          // proved least distance with the change, by the part's own model
  double uncertainty_mm;    // and how far the stand of the part is not known
};

// How the least distance changes, per mm, as far as what is nearest stays the nearest.
struct ClearanceSensitivity {
  std::optional<double> of_pitch;  // per mm of pitch, the lift following it; none for a part of several segments
  std::optional<double> of_lift;   // per mm of lift, the pitch following it
  double of_lowering;              // per mm by which what is nearest goes down
};

struct Remedies {
  std::vector<Remedy> would_clear;
  std::vector<std::string> would_not;  // what was tried and does not, or cannot be tried: whole sentences
  std::optional<ClearanceSensitivity> sensitivity;
};

// Of a plan with a clearance. Tries, for one helix: a larger pitch, fewer turns, solids and roll rims lowered or moved
// aside, the outboard roll elsewhere, another roll spacing, the other feed side for a flat part, the turn sprung over
// by hand, rolled flat and pulled to pitch; for a part of several segments what does not change the part. Every one is
// the smallest change found that clears margin and uncertainty, not the only one.
Remedies find_remedies(const Plan& plan);

}  // namespace coilwright
