// The curvature that the stock really takes along a change of settings.
//
// While settings change, what lies between centre roll and exit contact was bent before, by other settings, and what
// passes the centre roll is bent to whatever makes both spans fit the three rolls. Marched in steps of fed length, in
// slopes so small that the moment falls evenly from the centre roll to both contacts, a half spacing a away:
//     travel = 1/2 int (a - |x|) k dx over both spans,
// the incoming span on the loading curve, with k_p the curvature and M the moment under the centre roll
//     1/2 int (a - |x|) k dx = a^2 / 4 (k_p - 1 / M^2 int_0^k_p M(k)^2 dk),
// the outgoing one k = free curvature left before + M (1 - x / a) / EI. What is left free where it passes is k_p - M / EI.
// Travels of the full model (steady_rolling.hpp) are scaled so that both agree in every steady state; between two of
// them the scale goes evenly. Not in it: stock that yielded in the incoming span under a travel that then got less.
#pragma once

#include <coilwright/rolling/moment_curvature.hpp>
#include <coilwright/rolling/roll_programme.hpp>
#include <span>
#include <vector>

namespace coilwright {

struct ReachedCurvature {
  double fed_mm;     // along the part
  double curvature;  // free, 1/mm
};

// Along one pass of a programme on straight stock, in steps of at most `step_mm`. What is ahead of the part has been
// rolled at the first setting. Half spacing and step > 0, steps in order.
std::vector<ReachedCurvature> curvature_reached(const MomentCurvature& law, double half_spacing_mm,
                                                std::span<const ProgrammeStep> pass, double step_mm);

// Where between two segments the curvature reached is neither the one's nor the other's, by more than a hundredth of the
// tighter: sets `reached_from_mm` and `reached_to_mm` of a transition of this part.
void mark_reached(Transition& transition, const Centreline& part, std::span<const ReachedCurvature> reached);

}  // namespace coilwright
