// The answer to a job: every number anyone downstream shows. Reports and pictures read it; nothing
// recomputes it.
#pragma once

#include <coilwright/clearance/clearance.hpp>
#include <coilwright/clearance/fed_part.hpp>
#include <coilwright/coil/part.hpp>
#include <coilwright/plan/job.hpp>
#include <coilwright/plan/remedies.hpp>
#include <coilwright/rolling/blank.hpp>
#include <coilwright/rolling/capability.hpp>
#include <coilwright/rolling/curvature_reached.hpp>
#include <coilwright/rolling/distortion.hpp>
#include <coilwright/rolling/own_weight.hpp>
#include <coilwright/rolling/pose.hpp>
#include <coilwright/rolling/pull_to_pitch.hpp>
#include <coilwright/rolling/roll_programme.hpp>
#include <coilwright/rolling/rolling_plan.hpp>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace coilwright {

enum class Verdict { clears, too_close_to_say, collides };
std::string_view verdict_text(Verdict verdict);  // "clears" | "too close to say" | "collides"

// When the lead arc is on its way onto the outboard roll.
inline constexpr std::string_view while_raised = "while the lead arc is raised";

// What was checked besides the last pass as it runs: an earlier pass, the start-up.
struct ClearanceMoment {
  std::string when;        // "in pass 1 of 3"
  ClearanceResult result;  // frame F; least_mm and nearest exist
  double uncertainty_mm = 0.0;
};

struct ClearancePlan {
  // Of the last pass and the other moments the one that decides: what overlaps most, else what is nearest when its
  // uncertainty is taken off.
  struct Governing {
    const ClearanceResult* result;
    double uncertainty_mm;
    std::string_view when;  // empty: the last pass
    [[nodiscard]] double least_mm() const { return *result->least_mm; }
    [[nodiscard]] double left_mm() const { return least_mm() - uncertainty_mm; }
  };
  [[nodiscard]] Governing governing() const;
  // Nearer than margin and uncertainty allow, whatever else was not checked.
  [[nodiscard]] bool near() const { return governing().left_mm() <= margin.mm(); }

  Verdict verdict = Verdict::too_close_to_say;
  ClearanceResult result;             // of the last pass, frame F; least_mm and nearest exist
  std::vector<ClearanceMoment> moments;
  // Over all passes and moments. Of the result: what governs, with the least of each obstacle and piece, of the part to
  // itself and to the stock whenever that is, and all that is left out at contacts.
  [[nodiscard]] ClearanceResult over_all() const;
  [[nodiscard]] double swept_radius_mm() const;
  [[nodiscard]] double swept_height_mm() const;
  double pose_uncertainty_mm = 0.0;   // largest loss over the working corners and +-0.5 mm of travel
  Length margin;
  std::vector<std::string> not_checked;
  std::optional<double> most_turns_under_ceiling;
};

// Can this machine roll it, in plan: the lift and the clearance have answers of their own.
struct Capability {
  bool can = false;
  std::string answer;                        // one sentence with the numbers, without the yes or no
  std::vector<SmallestBend> smallest_bends;  // of this stock on this machine, by passes
  std::vector<SpacingEffect> spacings;       // the machine's positions, or multiples of the present spacing
  bool spacings_are_positions = false;
  std::optional<Length> recommended_spacing;
  std::string instead;                       // when it cannot: the nearest that would do, as a sentence
  // What keeps this section on this machine from a smaller bend radius; the largest is the one to suggest.
  struct RadiusReason {
    std::string reason;                 // "the inner face may wrinkle"
    std::string origin;                 // where the rule comes from
    std::optional<Length> bend_radius;  // free, to the neutral axis; none: at every radius
  };
  std::vector<RadiusReason> radius_reasons;
  // None: a reason holds at every radius, or none is known.
  [[nodiscard]] const RadiusReason* suggested() const;
};
// What stops a bend, as words: "the rolls slip".
std::string_view obstruction_text(Obstruction obstruction);

struct RollingResult {
  std::vector<PassPlan> passes;  // empty when there is no physical answer; findings say why
  Length arc_rule_travel;        // travel by three tangent circles: for reference, not a setting
  double strain_percent = 0;     // outer fibre, at the loaded radius of the last pass
  double free_strain_percent = 0;  // at the finished radius
  std::optional<double> ovality_percent, ovality_low_percent, ovality_high_percent;  // of the tube, free bending
  std::optional<Length> wall_outside, wall_inside;       // after bending, hoop free
  std::string why_passes;        // one sentence: why this number of passes
  Capability capability;
  std::optional<Length> wall_outside_least = {}, wall_inside_most = {};  // hoop held: the other end of the band
  // Of a section whose plane of bending is no principal plane: the bow it springs to sideways, on a chord of 1 m.
  std::optional<Length> sideways_bow = {};
  std::optional<CurvatureVariation> permitted_variation = {};  // when the drawing asks for a rule
};

// A part of several segments as it grows: for whoever shows it. Frame F.
struct PartGrowth {
  // What happens in one go (fed_part.hpp), and how the stock lies in the rolls meanwhile.
  struct Step {
    FedStep fed;
    std::shared_ptr<const PosedPart> bent;  // its spans and stock; null: straight along x, at this height
    double straight_y_mm, span_in_mm, span_out_mm;
    double section_turned_rad;  // how the bar lies in the rolls (growing_clearance.hpp)
  };
  FedPart blank;              // from the front end to where the flat back end begins
  std::vector<Piece> pieces;  // what each of its segments is
  std::vector<Step> steps;
  std::vector<Eigen::Matrix2d> section_in_segment;  // how the section lies in each of them (growing_clearance.hpp)
  double front_end_mm = 0.0, stock_mm = 0.0;

  // The step during which a length of the blank is fed; before the first one the first, behind the last the last.
  [[nodiscard]] const Step& step_at(double fed_mm) const;
  // Where the blank at rest stands then.
  [[nodiscard]] Eigen::Isometry3d X_FP(double fed_mm) const;
};

// A part of several segments. The coil of the plan is then its governing segment, the tightest that climbs or else
// the tightest, not longer than one turn; settings, lift and capability are its, the programme has them all.
struct PartPlan {
  Part part;
  std::size_t governing;
  RollSpeeds speeds;
  std::optional<RollProgramme> programme;  // none: a segment cannot be rolled; findings say why
  // Free curvature really left along the last pass, where settings change; empty when they do not.
  std::vector<ReachedCurvature> reached = {};
  std::vector<TaperReached> tapers = {};  // the worst place of each, of what is computed
  std::optional<PartGrowth> growth = {};        // none: not followed through the machine; findings say why
};

// An input as it was understood: echoed so that a misreading is seen.
struct Understood {
  std::string label;   // "plan radius, to the centreline"
  std::string value;   // "800.0 mm (2'-7 1/2\")"
  std::string origin;  // "given", "assumed", "computed from pitch and turns", "EN 10219-2, as tabulated"
};

struct Plan {
  Plan(Job job_, Coil coil_) : job(std::move(job_)), coil(std::move(coil_)) {}

  Job job;
  Coil coil;
  std::optional<PartPlan> part;  // none: the part is the coil
  Blank blank;
  std::optional<bool> longer_than_stock;
  RollingResult rolling;
  std::optional<PullToPitch> pull;    // of a helix: the other way, rolled flat and pulled
  std::optional<LiftPlan> lift;       // of the last pass; none without an outboard roll or a solution
  std::optional<PosedPart> pose;      // last pass, nominal
  std::optional<PosedPart> bent_stock = {};  // of a helix in several passes: what comes in (rolling/incoming.hpp)
  std::optional<Carrying> carrying = {};  // of a part that climbs: its sag counts as uncertainty of its clearance
  std::optional<ClearancePlan> clearance;
  std::optional<Remedies> remedies;  // when margin and uncertainty are not cleared
  std::vector<Understood> understood;
  std::vector<std::string> assumptions;  // whole sentences
  Findings findings;                     // cautions, faults, questions, in order of weight

  // The solids of the machine as they stand in the last pass, frame F (riding parts moved), the rolls
  // with them: what clearance checked and what a picture shows.
  std::vector<Obstacle> scene;

  // Of the whole part.
  [[nodiscard]] Length developed_length() const { return part ? part->part.developed_length() : coil.developed_length(); }
  [[nodiscard]] bool mirrored() const { return coil.hand() == Hand::left_screw; }  // F is M mirrored in x
  // Yes: no fault, and the verdict is "clears".
  [[nodiscard]] bool answer_is_yes() const;
};

// Pure: the same job gives the same plan. Refuses a job that describes no part or no machine; a part that
// cannot be made is a plan with faults.
Result<Plan> make_plan(const Job& job);

// A point or vector of frame F in the machine frame M.
Eigen::Vector3d to_machine_frame(const Eigen::Vector3d& v_F, bool mirrored);

}  // namespace coilwright
