// The sections of a plan's text, each written to a page; plan_text puts them in order. They say what the
// plan holds and add nothing but the geometry of a gauge and a tape measure.
#pragma once

#include <coilwright/plan/programme.hpp>
#include <coilwright/report/text_page.hpp>

namespace coilwright {

void headline_section(TextPage& page, const Plan& plan);   // the part, the answer, what to buy, the faults
void settings_section(TextPage& page, const Plan& plan);   // both settings with their datum
void blank_section(TextPage& page, const Plan& plan);      // the bar to cut, as a sum that adds up
void safety_section(TextPage& page, const Plan& plan);     // hands, stops, and who stands where
void work_section(TextPage& page, const Plan& plan);       // the order of work
void clearance_section(TextPage& page, const Plan& plan);  // verdict, nearest place, every part
void part_section(TextPage& page, const Plan& plan);       // lengths, the three radii, direction
void rolling_section(TextPage& page, const Plan& plan);    // forces, strain, the arc rule
void capability_section(TextPage& page, const Plan& plan); // what this machine can do with this stock
void lift_section(TextPage& page, const Plan& plan);       // the band of the lift and what stands behind it
void programme_section(TextPage& page, const Plan& plan);  // settings along a part of several segments
void programme_lines(TextPage& page, const PlannedProgramme& planned, const Plan& plan);  // of any plan
void pull_section(TextPage& page, const Plan& plan);       // rolled flat and pulled, where the lift is out of reach
void trust_section(TextPage& page, const Plan& plan);      // how far the numbers can be believed
void inputs_section(TextPage& page, const Plan& plan);     // inputs as understood, assumptions
void findings_section(TextPage& page, const Plan& plan);   // cautions to watch, questions for the customer

}  // namespace coilwright
