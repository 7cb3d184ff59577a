// Subjects to look at: parts posed by hand in invented machines, for tests of the viewer alone.
#pragma once

#include <viewer/scene/subject.hpp>

namespace coilwright::view::samples {

struct Shape3 {
  double plan_radius_mm, pitch_mm, turns, tube_mm, start_up_mm, front_mm;
};

// A helix that leaves three rolls level, leaning forward by its own slope, without elastic motion: the
// spans are arcs of its plan radius. Words filled in.
Subject subject_of(const Shape3& shape, Hand hand);

Subject handrail(Hand hand = Hand::right_screw);  // R 800, pitch 2700, 1.1 turns: clears
Subject colliding_handrail();                     // the same, through a column
Subject tight_coil();                             // 10 turns close together
Subject front_end_only();                         // only the swinging front end touches a column
Subject ring();                                   // pitch 0

}  // namespace coilwright::view::samples
