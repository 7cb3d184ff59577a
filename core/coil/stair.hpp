// The rail of a spiral or helical stair, from what is known of the stair.
//
// The rail runs beside the line over the nosings: one riser up for every tread angle round the axis, from
// floor to floor: total rise = riser count x riser height, sweep = riser count x tread angle. (From the first
// nosing to the landing's there is one riser and one tread less; a sweep given that way is recognised and
// said.)
#pragma once

#include <coilwright/coil/coil.hpp>
#include <coilwright/coil/segment.hpp>
#include <optional>
#include <string>
#include <vector>

namespace coilwright {

enum class ExtensionRun { level, at_the_slope };

struct StairExtension {
  std::optional<Length> length;  // along the rail; none: one tread, its going measured level
  ExtensionRun run = ExtensionRun::level;
};

// "300 mm level", "300 mm at the slope", "one tread at the slope". `about` names the value in the finding.
Result<StairExtension> read_extension(std::string_view text, std::string_view about);

// What is known of a stair. Leave out what is not.
struct StairSpec {
  std::optional<int> riser_count;
  std::optional<Length> riser_height, total_rise;
  std::optional<Angle> tread_angle;  // in plan, from nosing to nosing
  std::optional<Angle> sweep;        // in plan, of all treads
  std::optional<Hand> hand;

  // The rail's plan radius, from one of: plan_radius, to measured_to; newel_radius or well_radius with offset
  // (from that face outward to the rail's centreline) or with clear_width (from that face to the rail's
  // inside).
  std::optional<Length> plan_radius, newel_radius, well_radius, offset, clear_width;
  MeasuredTo measured_to = MeasuredTo::centreline;

  std::optional<Length> walk_line;    // radius at which the going is measured
  std::optional<Length> going;        // along the walk line's arc, of one tread
  std::optional<Length> rail_height;  // of the top of the rail over the nosings
  std::optional<StairExtension> top_extension, bottom_extension;
  Length easing_radius = Length::mm(300);  // common practice, no source
};

struct RailPoint {
  int nosing;            // from 1; the last is the landing's
  Angle azimuth;         // from the start of the rail
  Length nosing_height;  // over the lower floor
  Length rail_height;    // top of the rail over the lower floor
};

class Stair {
 public:
  // Sufficient: total rise and sweep, each also by riser count and riser height or tread angle (or going at
  // the walk line), and one way to the plan radius. What is given beyond that must agree (0.05 mm, 0.005
  // degrees, or 1e-6; a riser height with a total rise and no count: 0.5 mm a riser). Faults about
  // "stair.KEY". Too few measures come with a Level::question for each; riser and radius without degrees per
  // tread with the three usual tread angles 22.5, 27 and 30 degrees side by side.
  static Result<Stair> from(const StairSpec& spec, const StockFaces& faces);

  [[nodiscard]] const Coil& rail() const { return rail_; }
  [[nodiscard]] Length total_rise() const { return rail_.rise(); }
  [[nodiscard]] Angle sweep() const { return rail_.sweep(); }
  // None if neither a count, a riser nor a tread was given.
  [[nodiscard]] const std::optional<int>& riser_count() const { return riser_count_; }
  [[nodiscard]] std::optional<Length> riser_height() const;
  [[nodiscard]] std::optional<Angle> tread_angle() const;
  [[nodiscard]] Length rise_per_quarter_turn() const { return rail_.rise_per_quarter_turn(); }
  // At every nosing; empty without a rail height or a riser count.
  [[nodiscard]] std::vector<RailPoint> rail_line() const;

  // In feed order from the bottom up: bottom extension, helix, top extension. A level extension is joined by
  // an easing, an arc bent up or down by the slope, because segments join without a kink.
  [[nodiscard]] std::vector<SegmentSpec> segments() const;
  // Kinks where level ends meet the slope, what was assumed and how the inputs were taken: whole sentences.
  [[nodiscard]] const std::vector<std::string>& notes() const { return notes_; }
  // Level::caution against published limits, naming section and edition. They never certify.
  [[nodiscard]] Findings cautions() const;

 private:
  friend class StairMaker;
  Stair(StairSpec spec, Coil rail) : spec_(std::move(spec)), rail_(std::move(rail)) {}
  [[nodiscard]] Length extension_length(const StairExtension& extension) const;
  [[nodiscard]] std::optional<Length> going_at_walk_line() const;
  StairSpec spec_;
  Coil rail_;
  std::optional<int> riser_count_;
  std::vector<std::string> notes_;
};

}  // namespace coilwright
