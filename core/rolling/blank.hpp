// The bar to cut: every length of it once.
//
// Blank coordinate b: along the centreline from the front end, 0 ... cut_length. Fed length w counts from
// the moment the centre roll has its travel; the material under the centre roll is at b = flat_front + w.
#pragma once

#include <algorithm>
#include <coilwright/quantity/quantity.hpp>
#include <optional>

namespace coilwright {

struct BlankSpec {
  Length grip_front, grip_back;  // beyond the exit contact at the start, the entry contact at the end
  Length trim_front, trim_back;  // to be cut off the finished part
  std::optional<Length> run_in;    // until the radius settles; default the outer spacing (judgement)
  std::optional<Length> settling;  // until the pitch settles; default the lead arc (judgement)
};

struct Blank {
  Length flat_front;  // never passes under the centre roll at full travel
  Length run_in;      // until the radius settles: the same material as lead arc + settling
  Length lead_arc;    // formed before the outboard roll holds the part
  Length settling;    // from there until the pitch settles
  Length trim_front, developed, trim_back;
  Length flat_back;   // bending ends when the tail leaves the entry contact
  bool run_in_assumed = false, settling_assumed = false;

  // max(run_in, lead_arc + settling): the two are the same material, never summed.
  [[nodiscard]] Length start_up() const { return std::max(run_in, lead_arc + settling); }
  [[nodiscard]] Length usable_from() const { return flat_front + start_up() + trim_front; }
  [[nodiscard]] Length usable_to() const { return usable_from() + developed; }
  [[nodiscard]] Length cut_length() const { return usable_to() + trim_back + flat_back; }
  // What the rolls bend, leading end to tail: the largest lag the part reaches.
  [[nodiscard]] Length rolled() const { return cut_length() - flat_front - flat_back; }
};

}  // namespace coilwright
