// The steps of make_plan, each filling its part of the plan and adding what it has to say.
#pragma once

#include <coilwright/clearance/growing_clearance.hpp>
#include <coilwright/plan/plan.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/rolling/held_part.hpp>
#include <coilwright/rolling/lift_plan.hpp>
#include <coilwright/rolling/passes.hpp>
#include <optional>
#include <vector>

namespace coilwright::plan_steps {

// Collects findings in the order of weight in which a plan shows them.
class Remarks {
 public:
  explicit Remarks(Plan& plan) : plan_(plan) {}
  void fault(std::string about, std::string text) { add(Level::fault, std::move(about), std::move(text)); }
  void caution(std::string about, std::string text) { add(Level::caution, std::move(about), std::move(text)); }
  void question(std::string about, std::string text) { add(Level::question, std::move(about), std::move(text)); }
  // A length for a sentence, in the units the job asks for.
  [[nodiscard]] std::string length(Length value, int decimals = 1) const {
    return length_text(value, plan_.job.show, decimals);
  }
  // Likewise: "9.3 kN (2099 lbf)". 1 lbf = 4.4482216152605 N exactly.
  [[nodiscard]] std::string force(Force value) const {
    const std::string metric = number_text(value.kilonewtons(), 1) + " kN";
    const std::string pounds = number_text(value.newtons() / 4.4482216152605, 0) + " lbf";
    return plan_.job.show == Show::mm ? metric : plan_.job.show == Show::inch ? pounds : metric + " (" + pounds + ")";
  }

 private:
  void add(Level level, std::string about, std::string text) {
    plan_.findings.push_back({level, std::move(about), std::move(text), std::nullopt});
  }
  Plan& plan_;
};

// A trial stops where the part stands, and looks no further once the last pass comes too near; a whole plan says
// everything.
enum class Depth { trial, whole };

// The helix as the machine sees it: right-hand, in the feed frame.
Helix feed_frame_helix(const Coil& coil);

// The coil that governs a part of several segments; the questions and faults of a part that bends nowhere.
struct Governing {
  std::size_t segment;
  Coil coil;
};
Result<Governing> governing_segment(const Part& part, const StockFaces& faces);

// What a part of several segments needs beyond its governing one: turning over, the lead arc between segments,
// the roll programme.
void plan_part(Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes, Depth depth);

// What findings say of the coil is said of the segment that stands for it: a part of several has no such keys.
void speak_of_segments(Plan& plan);

// Passes, travel, forces, limits. Empty when there is no physical answer; the findings say why.
std::vector<RolledPass> plan_rolling(Plan& plan, const RollingSetup& setup);

// What the machine can do with this stock, and what pressing in at a standstill would take.
void plan_capability(Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes);

// What rolling does to the section, sideways springback, the tolerances of the drawing that rolling in plan decides,
// and the smallest radius to suggest. After plan_capability.
void plan_distortion(Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes);

// The lift of the last pass with its band and warnings.
std::optional<BandedLift> plan_lift(Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes);

// Every length of the bar that `developed` of usable part needs; run-in and settling as asked for or assumed.
Blank blank_of(const BlankSpec& spec, const RollingSetup& setup, const std::vector<RolledPass>& passes, Length developed);
// A bar this long must span all three rolls while it is bent: it cannot when the two flat ends take all of it.
bool too_short_to_grip(const Blank& blank, Length bar);
// The blank of the plan with what there is to say about it.
void plan_blank(Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes);

// How far slide and part may each stand elsewhere across the line of the outer rolls: half a millimetre of travel (judgement).
inline constexpr double travel_uncertainty_mm = 0.5;

// One pass of a helix as it runs, with the stock that comes in: straight in the first, bent by the pass before later.
struct RunningPass {
  PosedPart part;
  std::vector<Obstacle> obstacles;      // frame F, at the settings of this pass
  std::optional<PosedPart> bent_stock;  // rolling/incoming.hpp
  ClearanceResult result;               // least_mm none: nothing stands around
  double uncertainty_mm = 0.0;
  std::optional<Carrying> carrying;     // of a coil that climbs, beyond the outboard roll
};

// How low the free end of what is carried may hang (judgement: a fifth of the usual margin).
inline constexpr Length sag_allowed = Length::mm(5.0);
RunningPass run_pass(const Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes, std::size_t index,
                     const std::optional<BandedLift>& lift);

// Pose, scene, least distances, uncertainty, verdict.
void plan_clearance(Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes,
                    const std::optional<BandedLift>& lift, Depth depth);

// Solids that stand where a roll turns, by the scene of the last pass.
void check_solids(Plan& plan);

// What is not checked, and changes no verdict: nobody knows how the part stands while it happens, which is short, slow
// and by hand.
inline constexpr const char* lead_arc_raised = "lead arc while it is raised onto the outboard roll";
inline constexpr const char* part_turned = "part while it is taken out and turned between segments";
// The scene of such a pass seen by that stock, which runs against the feed (rolling/incoming.hpp).
ClearanceScene against_the_feed(const ClearanceScene& scene, const PosedPart& bent_stock, const Blank& blank);
// Adds to what was found of a pass after the first what the stock comes near to that comes in bent by the pass before.
// The scene is without straight stock.
void add_bent_stock(ClearanceResult& result, const ClearanceScene& scene, const PosedPart& bent_stock, const Blank& blank);
// The same of a part of several segments, followed all the way; between the stock and what is formed, while it is known
// how that stands (scenes of growing_clearance.hpp). `before`: the blank as the pass before left it.
void add_bent_blank(ClearanceResult& result, const GrowingScene& all, const GrowingScene& known, const Centreline& before,
                    double flat_back_mm);
void say_stock_comes_in_bent(Remarks& say);
// The passes before the last, of a helix. Puts what it found into `clearance`, and into the plan how it must be carried
// where that is more often than known so far.
void check_earlier_passes(Plan& plan, const RollingSetup& setup, const std::vector<RolledPass>& passes,
                          ClearancePlan& clearance);
// A helix while its lead arc still lies flat ahead of it. Likewise.
void check_flat_start(const Plan& plan, const RollingSetup& setup, int passes, ClearancePlan& clearance);
// The lead arc on its way from flat to the lift. Likewise; false where it is not checked: too little is formed alike, or
// it does not come to the outboard roll.
struct RaisedStart {
  double lead_arc_mm;         // that comes out flat
  double curvature, torsion;  // of it, and of what is formed behind it
  double ahead_mm;            // of all that is formed ahead of the usable part, with the lead arc
  double alike_mm;            // of all that is formed alike from the start on, with the lead arc
};
bool check_raised(const Plan& plan, const RollingSetup& setup, const RaisedStart& start, PassOf which, ClearancePlan& clearance);

// The same for a part of several segments, followed through the machine as it grows.
void plan_growing(Plan& plan, const RollingSetup& setup, int passes, Depth depth);
// The part as the machine sees it: right-hand, in the feed frame.
Centreline in_feed_frame(const Part& part);
// What all clearances have in common: what is not checked for any part, the verdict, and what it says.
void conclude_clearance(Plan& plan, ClearancePlan clearance);

// A plan as far as where the part stands and what it comes near to: for changes that are only tried.
Result<Plan> plan_stand(const Job& job);

// The inputs as understood.
void echo_inputs(Plan& plan);

}  // namespace coilwright::plan_steps
