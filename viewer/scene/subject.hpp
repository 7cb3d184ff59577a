// What a picture shows, taken from a plan: the part as it stands in the machine, the solids around it, the
// numbers to write beside them and the words of the title. Plain values; computes no physics.
//
// All geometry is in the feed frame F of the plan; the scene mirrors it to the machine frame while meshing.
#pragma once

#include <coilwright/coil/centreline.hpp>
#include <coilwright/machine/shape.hpp>
#include <coilwright/plan/plan.hpp>
#include <coilwright/rolling/pose.hpp>
#include <optional>
#include <string>
#include <utility>
#include <vector>
#include <coilwright/clearance/section_box.hpp>
#include <viewer/scene/sweep.hpp>

namespace coilwright::view {

enum class Role { roll, frame, slide, arm, floor, ceiling };

struct MachinePart {
  std::string name;
  Role role = Role::frame;
  std::vector<Shape> bodies;                           // in F
  std::optional<std::pair<double, double>> touches_lag_mm;  // where the part touches it by design
  std::optional<Eigen::Vector3d> hit_at;               // where the plan found a collision with it, F
};

// The two closest points and what is said beside them.
struct Nearest {
  Eigen::Vector3d on_part, on_other;  // in F
  double distance_mm = 0.0;
  Piece piece = Piece::coil;
  double fed_length_mm = 0.0;  // at which this place is first reached
  std::string label;           // "least 63.2 mm to centre roll cap"
  std::string measure;         // "63.2 mm"; empty where they overlap
  bool other_elsewhere = false;  // the other one is drawn where it stands at the end, not where it stood then

  // What swings ahead or waits behind is elsewhere by the time the part is through.
  [[nodiscard]] bool gone_later() const { return piece == Piece::front_end || piece == Piece::stock; }
  // Where to point: between the two, or, deep inside one another, at the part.
  [[nodiscard]] Eigen::Vector3d place() const {
    return distance_mm > 0.0 ? Eigen::Vector3d(0.5 * (on_part + on_other)) : on_part;
  }
};

// Where the part is shown: as it grows in its machine, or, when the machine cannot roll it so, as it would be
// when finished, upright and by itself.
enum class Standing { in_machine, alone };

enum class Answer { clears, too_close_to_say, collides, not_checked };

struct Subject {
  bool mirrored = false;  // F is the machine frame mirrored in x
  std::optional<PosedPart> part;
  Standing standing = Standing::in_machine;
  // A part of several segments, finished and by itself: its centreline and where that stands. Lag is then the
  // length from its front end.
  std::optional<Centreline> several;
  Eigen::Isometry3d X_several = Eigen::Isometry3d::Identity();
  std::vector<Eigen::Matrix2d> section_in_several;  // how the section lies in each of its segments (growing_clearance.hpp)
  std::optional<PartGrowth> growth;  // of a part of several segments, as it grows in the machine
  [[nodiscard]] bool one_helix() const { return !several && !growth; }
  double tube_radius_mm = 0.0;  // half the outside diameter of round stock, or of the circle around the section
  SectionLoops section;         // of stock that is not round
  SectionBox box;               // as clearance takes the section

  // Lengths of the blank (rolling/blank.hpp): what is where at a given fed length.
  double front_mm = 0.0;     // straight front end
  double start_up_mm = 0.0;  // behind it, to be cut off: run-in or lead arc and settling, and the front trim
  double developed_mm = 0.0; // behind that, the usable part
  double rolled_mm = 0.0;    // largest fed length
  double cut_mm = 0.0;       // the whole blank
  double back_mm = 0.0;      // straight back end
  std::optional<PosedPart> bent_stock = {};  // what comes in, where an earlier pass has bent it; else straight stock

  std::vector<MachinePart> machine;  // as it stands at the end of the last pass
  // Whether slide, arm and rolls stood elsewhere at a fed length: while another segment was rolled.
  [[nodiscard]] bool machine_elsewhere(double fed_mm) const {
    return growth && growth->step_at(growth->front_end_mm + fed_mm).bent != growth->steps.back().bent;
  }
  double margin_mm = 25.0;
  std::optional<Nearest> nearest;
  std::optional<double> swept_radius_mm;

  // Words. Lengths come with both units where the job asks for that.
  std::string title, stock, measures, direction;
  std::string radius_label, pitch_label, height_label, swept_label, start_up_label, front_label;
  Answer answer = Answer::not_checked;
  std::string keep_out;  // "Nobody within 2752.9 mm … of the middle of the rolls while it turns."
  std::string verdict, verdict_detail;  // "CLEARS", "least 63.2 mm to …; margin 25 mm"
};

Subject subject_of(const Plan& plan);

// The centreline of the subject's part in F.
CurvePoint curve_at(const Subject& subject, double lag_mm);

// A point or vector of F in the machine frame.
inline Eigen::Vector3d placed(const Subject& subject, const Eigen::Vector3d& v_F) {
  return subject.mirrored ? Eigen::Vector3d(-v_F.x(), v_F.y(), v_F.z()) : v_F;
}

}  // namespace coilwright::view
