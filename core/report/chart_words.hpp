// What every report of a chart says in the same words: heads, ticks, counts of reasons, plain sentences.
#pragma once

#include <coilwright/plan/chart.hpp>
#include <string>
#include <vector>

namespace coilwright {

// "Which designs this machine can make from this stock", and what all of them share.
std::string chart_title(const Chart& chart);
std::vector<std::string> chart_terms(const Chart& chart);
// What "clears" does not say yet.
std::string chart_caveat();

// "diameter to the centreline"; "pitch" or "turns".
std::string column_name(const Chart& chart);
std::string row_name(const Chart& chart);
// A value of an axis with its unit, for a sentence.
std::string column_text(const Chart& chart, double diameter_mm);
std::string row_text(const Chart& chart, double value);

// Values on which to mark an axis: round in the unit shown, at most `most` of them. `unit`: mm per unit shown.
struct Ticks {
  std::vector<double> values;  // in the axis' own unit
  std::vector<std::string> labels;
};
Ticks round_ticks(const ChartAxis& axis, double unit, int most);
// Of lengths, as the job shows them: 25.4 where it shows inches only.
double shown_unit_mm(const Chart& chart);
std::string shown_unit_name(const Chart& chart);

// Outcomes that occur, in the order of ChartOutcome, each with its reasons by falling count.
struct OutcomeCount {
  ChartOutcome outcome;
  std::size_t count = 0;
  struct Reason {
    std::string words;
    std::size_t count;
  };
  std::vector<Reason> reasons;
};
std::vector<OutcomeCount> count_outcomes(const Chart& chart);

// "At a pitch of 600 mm the smallest diameter that clears is 1300 mm.", of some rows, with the job's own design first.
std::vector<std::string> chart_sentences(const Chart& chart);

}  // namespace coilwright
