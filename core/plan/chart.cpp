#include <algorithm>
#include <atomic>
#include <cmath>
#include <coilwright/machine/check_machine.hpp>
#include <coilwright/plan/chart.hpp>
#include <coilwright/plan/chart_design.hpp>
#include <coilwright/plan/plan.hpp>
#include <coilwright/quantity/require.hpp>
#include <exception>
#include <system_error>
#include <thread>

namespace coilwright {

std::string_view outcome_text(ChartOutcome outcome) {
  switch (outcome) {
    case ChartOutcome::clears: return "clears";
    case ChartOutcome::not_all_checked: return "clears as far as checked";
    case ChartOutcome::too_close: return "too close";
    case ChartOutcome::strikes_itself: return "strikes itself";
    case ChartOutcome::over_the_ceiling: return "over the ceiling";
    case ChartOutcome::collides: return "collides";
    case ChartOutcome::cannot_be_lifted: return "cannot be lifted";
    case ChartOutcome::cannot_be_bent: return "cannot be bent";
    case ChartOutcome::bar_too_short: return "bar too short";
    case ChartOutcome::cannot_be_fed: return "cannot be fed";
    case ChartOutcome::no_coil: return "no such coil";
  }
  throw InternalError("unknown outcome");
}

char outcome_mark(ChartOutcome outcome) { return ".?~o^#LBsF "[static_cast<std::size_t>(outcome)]; }

std::string_view lift_obstruction_text(LiftObstruction obstruction) {
  switch (obstruction) {
    case LiftObstruction::no_outboard_roll: return "no outboard roll to lift it";
    case LiftObstruction::out_of_reach: return "it does not reach the outboard roll";
    case LiftObstruction::off_the_roll: return "it passes beside the outboard roll";
    case LiftObstruction::no_equilibrium: return "no equilibrium of the lifted part";
    case LiftObstruction::beyond_the_limit: return "more lift than the machine has";
  }
  throw InternalError("unknown obstruction");
}

std::optional<int> ChartAxis::nearest(double value) const {
  const double step = count > 1 ? (to - from) / (count - 1) : 0.0;
  const double place = step > 0.0 ? (value - from) / step : 0.0;
  if (step == 0.0 ? value != from : place < -0.5 || place > count - 0.5) return std::nullopt;
  return std::clamp(static_cast<int>(std::lround(place)), 0, count - 1);
}

std::string Chart::why(const ChartCell& cell) const {
  if (cell.bend) return std::string(obstruction_text(*cell.bend));
  if (cell.lift) return std::string(lift_obstruction_text(*cell.lift));
  switch (cell.outcome) {
    case ChartOutcome::bar_too_short: return "the longest bar cannot be gripped over all three rolls";
    case ChartOutcome::cannot_be_fed: return "this hand is fed from the side that the machine does not have";
    case ChartOutcome::no_coil: return "no coil has these measures";
    case ChartOutcome::not_all_checked: return "bent stock comes in at a slope, which is not checked";
    case ChartOutcome::strikes_itself:
      if (!cell.nearest) return "more than one turn without pitch";
      break;
    default: break;
  }
  return cell.nearest ? things[*cell.nearest] : "";
}

Result<OwnDesign> own_design(const Job& job) {
  if (!job.segments.empty())
    return refuse("segments", "A chart varies one coil; this job describes a part of several segments. Give the measures of "
                              "one coil instead.");
  const StockFaces faces = faces_of(job.stock.section);
  const Result<Coil> coil = Coil::from(job.coil, faces);
  if (!coil) return refuse(coil.error());
  const Length R = coil->helix().plan_radius();
  const Length face = job.coil.measured_to == MeasuredTo::inside    ? -faces.inner
                      : job.coil.measured_to == MeasuredTo::outside ? faces.outer
                                                                    : Length();
  return OwnDesign{2.0 * (R + face).mm(), coil->helix().pitch().mm(), coil->turns()};
}

namespace {

// The largest of 1, 2, 2.5, 5 times a power of ten that is not more than a twentieth of the value: round
// enough to read, fine enough to lose little.
double round_step(double value) {
  const double most = value / 20.0, power = std::pow(10.0, std::floor(std::log10(most)));
  for (const double step : {5.0, 2.5, 2.0})
    if (step * power <= most) return step * power;
  return power;
}

ChartAxis around(double value, double low, double high, int count) {
  const double step = round_step(value);
  return {std::max(step, std::floor(low * value / step) * step), std::ceil(high * value / step) * step, count};
}

Findings wrong_axis(const ChartAxis& axis, const std::string& name, double least) {
  Findings faults;
  const auto refuse_axis = [&](std::string text) { faults.push_back({Level::fault, name, std::move(text), std::nullopt}); };
  if (!std::isfinite(axis.from) || !std::isfinite(axis.to) || axis.from < least || axis.to > 1e6)
    refuse_axis("The " + name + " of a chart must be finite, not negative and at most a million.");
  else if (axis.from > axis.to) refuse_axis("The " + name + " of a chart run from the smaller value to the larger one.");
  else if (axis.count < 1 || axis.count > 1000) refuse_axis("A chart has 1 to 1000 " + name + ".");
  return faults;
}

// Runs `row` for every row on the threads asked for; false: stopped.
template <class Row>
bool run_rows(int rows, std::size_t columns, const ChartRun& run, Row row) {
  std::atomic<int> next{0};
  std::atomic<std::size_t> done{0};
  std::atomic<bool> stopped{false};
  std::exception_ptr failed;
  std::atomic<bool> has_failed{false};
  const auto work = [&](bool speaks) {
    try {
      for (int i = next++; i < rows && !stopped; i = next++) {
        row(i);
        done += columns;
        if (speaks && run.between && run.between(done) == ChartGo::stop) stopped = true;
      }
    } catch (...) {
      if (!has_failed.exchange(true)) failed = std::current_exception();
      stopped = true;
    }
  };
  std::vector<std::thread> others;
  try {
    for (int i = 1; i < run.threads; ++i) others.emplace_back(work, false);
  } catch (const std::system_error&) {
    // The system gives no more threads: those that there are do all rows.
  }
  work(true);
  for (std::thread& other : others) other.join();
  if (failed) std::rethrow_exception(failed);
  return !stopped;
}

}  // namespace

int round_count(double from, double to, int wanted) {
  int best = wanted;
  double least_miss = 0.4;  // of the count asked for, either way (judgement)
  if (!(to > from) || wanted < 2) return wanted;
  const double power = std::pow(10.0, std::floor(std::log10((to - from) / wanted)));
  for (const double nice : {1.0, 2.0, 2.5, 5.0, 10.0, 20.0}) {
    const double step = nice * power, first = from / step, steps = (to - from) / step;
    constexpr double slack = 1e-9;  // of a step: the ends were written in decimals
    if (std::abs(first - std::round(first)) > slack * std::max(1.0, first) || std::abs(steps - std::round(steps)) > slack * steps)
      continue;
    const double miss = std::abs(steps + 1.0 - wanted) / wanted;
    if (miss >= least_miss) continue;
    least_miss = miss;
    best = static_cast<int>(std::lround(steps)) + 1;
  }
  return best;
}

ChartRequest usual_chart(const OwnDesign& own, ChartRows rows, int columns, int row_count) {
  ChartRequest request{around(own.diameter_mm, 0.5, 1.5, columns), rows, {}, ChartDepth::verdict};
  // A ring has no pitch to lay rows around: up to its radius then.
  const double pitch = own.pitch_mm > 0.0 ? own.pitch_mm : own.diameter_mm / 3.0;
  request.row_values =
      rows == ChartRows::pitch ? around(pitch, 0.25, 1.75, row_count) : around(own.turns, 0.25, 2.0, row_count);
  return request;
}

Result<std::optional<Chart>> make_chart(const Job& job, const ChartRequest& request, const ChartRun& run) {
  require(run.threads >= 1, "a chart runs on one thread at least");
  Findings faults = check_machine(job.machine);
  const Result<OwnDesign> own = own_design(job);
  if (!own) append(faults, own.error());
  append(faults, wrong_axis(request.diameters, "diameters", 0.0));
  append(faults, wrong_axis(request.row_values, request.rows == ChartRows::pitch ? "pitches" : "turns", 0.0));
  if (!faults.empty()) {
    locate(faults, job);
    return refuse(std::move(faults));
  }
  const bool by_pitch = request.rows == ChartRows::pitch;
  Chart chart{job,
              request,
              Coil::from(job.coil, faces_of(job.stock.section))->hand(),
              own->diameter_mm,
              by_pitch ? own->pitch_mm : own->turns,
              by_pitch ? own->turns : own->pitch_mm,
              {},
              {},
              std::vector<ChartCell>(static_cast<std::size_t>(request.diameters.count) *
                                     static_cast<std::size_t>(request.row_values.count)),
              0,
              job.remarks};
  append(chart.findings, check_fit(job.machine.rolls, job.stock.section));
  locate(chart.findings, job);
  const plan_steps::ChartDesigns designs(job, chart.hand, *own, request);
  chart.things = designs.things();
  chart.own = designs.judge(Length::mm(own->diameter_mm), Length::mm(own->pitch_mm), own->turns);
  const auto columns = static_cast<std::size_t>(request.diameters.count);
  const bool finished = run_rows(request.row_values.count, columns, run, [&](int row) {
    const double value = request.row_values.at(row);
    for (int column = 0; column < request.diameters.count; ++column)
      chart.cells[static_cast<std::size_t>(row) * columns + static_cast<std::size_t>(column)] =
          designs.judge(Length::mm(request.diameters.at(column)), by_pitch ? Length::mm(value) : Length::mm(own->pitch_mm),
                        by_pitch ? own->turns : value);
  });
  if (!finished) return std::optional<Chart>();
  for (const ChartCell& cell : chart.cells) chart.evaluations += cell.evaluations;
  return std::optional<Chart>(std::move(chart));
}

}  // namespace coilwright
