// Everything that is asked for: one job, read from a file, from options, or both.
#pragma once

#include <coilwright/coil/coil.hpp>
#include <coilwright/coil/segment.hpp>
#include <coilwright/coil/stair.hpp>
#include <coilwright/machine/machine.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/rolling/blank.hpp>
#include <coilwright/stock/stock.hpp>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace coilwright {

// The machine's own scales: how travel from touch and lift above pass height read there.
struct Scales {
  std::optional<Length> touch_reading;
  bool travel_reads_up = true;  // the reading grows as the centre roll goes in
  std::optional<Length> lift_reading_at_pass_height;
  bool lift_reads_up = true;
};

// What the drawing asks to be held: repeated, and compared with the band.
struct Tolerances {
  std::optional<Length> radius, rise;
  // The shop's own figure for the section, as a share of the diameter; no AISC tolerance on it exists (Modern Steel
  // Construction, April 2019, p. 42).
  std::optional<double> distortion_percent = {};
  enum class CurvatureRule { aisc_303 };  // ANSI/AISC 303, section 6.4.2
  std::optional<CurvatureRule> curvature = {};
};

struct Job {
  CoilSpec coil;                           // of a part that is one helix; also of a stair's rail
  std::vector<SegmentSpec> segments = {};  // of a part of several segments, in the order of feeding; then there is no coil
  Stock stock;
  BlankSpec blank;
  Machine machine;
  std::string machine_origin;          // "built-in example", a file name, "described in the job"
  std::optional<int> passes;           // none: the program chooses
  Angle stock_slope;                   // entry tilt
  Length clearance_margin = Length::mm(25);
  bool clearance_margin_given = false;
  Tolerances tolerance;
  Scales scales;
  Show show = Show::both;
  std::optional<StairSpec> stair = {};  // as given; part_of (job_part.hpp) makes the rail with its extensions

  std::string name;                    // of the job file without folder and ending; "job" when all is options
  bool measured_to_given = false;      // otherwise the centreline is an assumption, and asked
  std::map<std::string, Place> places; // where each key was given ("coil.radius"), for findings
  std::vector<std::string> assumptions;  // what reading had to assume, as sentences; the machine's among them
  Findings remarks;                      // cautions and questions to which reading the job gave rise
};

// Its faces as a coil knows them.
StockFaces faces_of(const Section& section);

// Fills in the place of every finding whose `about` is a key that the job gave.
void locate(Findings& findings, const Job& job);

}  // namespace coilwright
