// The curvature that the stock really takes along a change of settings.
//
// While settings change, what lies between centre roll and exit contact was bent before, by other settings, and what
// passes the centre roll is bent to whatever makes both spans fit the three rolls. Marched in steps of fed length, in
// slopes so small that the moment falls evenly from M at the centre roll to nothing at both contacts, a half spacing a
// away:
//     travel = 1/2 int (a - |x|) (free + m / EI) dx over both spans,  m = M (1 - |x| / a),
// with M the one unknown. Every place of the stock keeps the free curvature it has, and yields further, in either span,
// where m is more than it has carried: free = max(free before, k(m) - m / EI), k(m) the curvature of first loading. So a
// later pass finds what the earlier ones left, with their own changes.
// Travels of the full model (steady_rolling.hpp) are scaled so that both agree in every steady state; between two of
// them the scale goes evenly. Checked against nothing but itself in other steps and against the steady states: a change
// of radius wants a trial piece.
#pragma once

#include <coilwright/rolling/moment_curvature.hpp>
#include <coilwright/rolling/roll_programme.hpp>
#include <span>
#include <variant>
#include <vector>

namespace coilwright {

struct ReachedCurvature {
  double fed_mm;     // along the part
  double curvature;  // free, 1/mm; of an angle while the rolls still hold it sideways (held_curvature)
};

// The stock would have to lie closer round the centre roll than its face.
struct FoldsRound {
  std::size_t pass;  // from 0
  double fed_mm, travel_mm;
};
using ReachedOutcome = std::variant<std::vector<ReachedCurvature>, FoldsRound>;

// Along the last of the passes of a programme, in steps of at most `step_mm` (> 0) from the part's front end on. Ahead
// of the part lies stock that was rolled at the first setting, behind it stock that is rolled at the last one. Where
// the stock does not reach the centre roll nothing yields.
ReachedOutcome curvature_reached(const MomentCurvature& law, const RollGeometry& rolls,
                                 std::span<const std::vector<ProgrammeStep>> passes, double step_mm);

// Where around the joint of two segments the curvature reached is off by more than a hundredth of what it should be; of
// a straight, of the other segment's. Sets `reached_from_mm`, `reached_to_mm` and `tightest` of a transition of this part,
// and widens from_mm to to_mm by what is off.
void mark_reached(Transition& transition, const MomentCurvature& law, const Centreline& part,
                  std::span<const ReachedCurvature> reached);

// How far a taper comes out from what it should be, at worst, where no change is near.
struct TaperReached {
  std::size_t segment;
  double fed_mm;  // along the part
  double off;     // curvature reached less the one wanted, as a share of the latter
};
std::vector<TaperReached> worst_along_tapers(const MomentCurvature& law, const Centreline& part,
                                             std::span<const Transition> transitions, std::span<const ReachedCurvature> reached);

}  // namespace coilwright
