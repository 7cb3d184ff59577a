// Which designs a machine can make from a stock: a map over the plan diameter and over pitch or turns.
//
// Each cell is one design, judged by the rules of make_plan in their order: can the rolls bend it, can the outboard
// roll lift it, does it clear. The first reason against it is its outcome; nothing behind it is worked out. Least
// distances are those of the nominal pose in every pass, BEFORE the uncertainty of how the part stands (a plan takes that off),
// and without what a plan looks at besides: the lead arc while it lies flat or is raised.
#pragma once

#include <coilwright/plan/job.hpp>
#include <coilwright/rolling/capability.hpp>
#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coilwright {

enum class ChartOutcome {
  clears,            // everything is farther than the margin, before uncertainty
  not_all_checked,   // likewise, but later passes take bent stock in at a slope, which is not checked
  too_close,         // nearer than the margin, not overlapping
  strikes_itself,    // turns, or the coil and its own incoming stock
  over_the_ceiling,
  collides,          // with something else of the machine
  cannot_be_lifted,
  cannot_be_bent,
  bar_too_short,     // the longest bar cannot be gripped over all three rolls
  cannot_be_fed,     // the other hand needs the other feed side
  no_coil            // measures that no coil can have: the inside radius is nothing, or it climbs at 80 degrees
};
inline constexpr std::size_t chart_outcomes = 11;
std::string_view outcome_text(ChartOutcome outcome);  // "clears", "too close"
// What stands in a map of characters: '.', '?', '~', 'o', '^', '#', 'L', 'B', 's', 'F', ' '.
char outcome_mark(ChartOutcome outcome);

enum class LiftObstruction { no_outboard_roll, out_of_reach, off_the_roll, no_equilibrium, beyond_the_limit };
std::string_view lift_obstruction_text(LiftObstruction obstruction);  // "the outboard roll is out of reach"

enum class ChartRows { pitch, turns };

// Evenly spaced values, both ends among them; one value alone stands at `from`.
struct ChartAxis {
  double from, to;  // mm, or turns; from <= to
  int count;        // 1 .. 1000
  [[nodiscard]] double at(int index) const {
    return index + 1 == count && count > 1 ? to : from + (to - from) * index / (count > 1 ? count - 1 : 1);
  }
  // Of the value nearest to `value`; none outside of the range by more than half a step.
  [[nodiscard]] std::optional<int> nearest(double value) const;
};

// How much is worked out of a design that clears: that nothing is nearer than the margin, or how near it comes. Of one that
// collides: the first pass found to, the last one looked at first, or the nearest of all.
enum class ChartDepth { verdict, distance };

struct ChartRequest {
  ChartAxis diameters;  // mm, to what the job measures (centreline, inside or outside)
  ChartRows rows = ChartRows::pitch;
  ChartAxis row_values;  // pitch in mm, or turns; the other one is the job's
  ChartDepth depth = ChartDepth::verdict;
};

struct ChartCell {
  ChartOutcome outcome = ChartOutcome::no_coil;
  std::optional<Obstruction> bend;         // cannot_be_bent
  std::optional<LiftObstruction> lift;     // cannot_be_lifted
  std::optional<double> least_mm;          // before uncertainty; none where it was not searched or nothing is near
  std::optional<std::size_t> nearest;      // in Chart::things, with least_mm
  std::optional<double> travel_mm, roll_lift_mm;  // of the last pass, as far as they were worked out
  int passes = 0;                          // 0: not worked out
  std::size_t evaluations = 0;             // distances of one point to one body
};

struct Chart {
  Job job;
  ChartRequest request;
  Hand hand;
  double own_diameter_mm, own_row;      // the job's own design on the axes
  double other_mm_or_turns;             // what all designs share: turns, or pitch in mm
  ChartCell own;                        // of exactly that design
  std::vector<std::string> things;      // that a part may come near to
  std::vector<ChartCell> cells;         // row after row, rows from the lowest value up
  std::size_t evaluations = 0;          // of all cells, without the job's own design
  Findings findings;                    // that hold for every design
  [[nodiscard]] const ChartCell& at(int column, int row) const {
    return cells[static_cast<std::size_t>(row) * static_cast<std::size_t>(request.diameters.count) +
                 static_cast<std::size_t>(column)];
  }
  // Words for why a cell is what it is: "the rolls slip", "near the frame"; empty when it clears.
  [[nodiscard]] std::string why(const ChartCell& cell) const;
};

// How a chart is run: on so many threads; the answer does not depend on it. `between` is called on the caller's
// thread now and then with the cells done so far; to stop is to have no chart.
enum class ChartGo { on, stop };
struct ChartRun {
  int threads = 1;
  std::function<ChartGo(std::size_t done)> between = {};
};

// The job's own design, to what it measures: the values that charts are laid around.
struct OwnDesign {
  double diameter_mm, pitch_mm, turns;
};
Result<OwnDesign> own_design(const Job& job);

// How many values, about `wanted`, lay an axis on steps of 1, 2, 2.5 or 5 times a power of ten; `wanted` where none fits.
int round_count(double from, double to, int wanted);

// Diameters and pitches (or turns) from a half to one and a half times the job's own, and somewhat beyond.
ChartRequest usual_chart(const OwnDesign& own, ChartRows rows, int columns, int row_count);

// Empty optional: stopped. Refuses a job of several segments, what make_plan refuses, and axes that are no range.
Result<std::optional<Chart>> make_chart(const Job& job, const ChartRequest& request, const ChartRun& run = {});

}  // namespace coilwright
