// The machine around the part, in the feed frame F: every solid where it stands during the last pass.
#pragma once

#include <coilwright/machine/machine.hpp>
#include <coilwright/plan/plan.hpp>
#include <optional>
#include <vector>

namespace coilwright::plan_steps {

// What the riding parts have moved by.
struct Setting {
  Length travel;  // of the centre slide and roll, with frame give left out: it is measured at the roll
  Length lift;    // of the outboard arm
};

// Where the part touches the rolls, as lag behind the centre roll.
struct Contacts {
  struct Outboard {
    double lag_mm;
    CurvePoint at;  // of the centreline there
    PosedPart::SectionAxes axes;
  };
  double span_in_mm, span_out_mm;
  std::optional<Outboard> outboard;  // none: nothing carries the part there
  // At the exit roll: toward it, by the axes of the section as it has turned with the coil by there. Inward is (1, 0).
  Eigen::Vector2d toward_exit_roll{-1.0, 0.0};

  static Contacts of(const PosedPart& part);
};

// Rolls (with the lag at which the part touches each), the outboard roll under the part, solids, floor and
// ceiling. The outboard roll stands there only when its radius is known and it carries the part.
std::vector<Obstacle> scene_around(const Machine& machine, Hand hand, const Contacts& contacts, const Section& section,
                                   const Setting& setting);
// The same in two: what the setting and the part decide, and what stands in any case.
std::vector<Obstacle> set_around(const Machine& machine, Hand hand, const Contacts& contacts, const Section& section,
                                 const Setting& setting);
std::vector<Obstacle> standing_around(const Machine& machine, Hand hand);

// All that is checked of a part that is one helix: the usable coil, what is formed ahead of it, the straight front end,
// and the stock behind. `part` must outlive it.
ClearanceScene clearance_scene(const PosedPart& part, const Blank& blank, const Section& section,
                               std::vector<Obstacle> obstacles);

}  // namespace coilwright::plan_steps
