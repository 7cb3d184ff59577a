#include <algorithm>
#include <cmath>
#include <coilwright/plan/plan.hpp>
#include <coilwright/plan/plan_steps.hpp>
#include <coilwright/plan/remedies.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/rolling/sprung_turn.hpp>
#include <functional>
#include <numbers>

namespace coilwright {
namespace {

// How far a search goes, and how finely (judgement: what a shop would still call the same job).
constexpr double most_slope_deg = 2.0, slope_fine_deg = 0.25;  // of the incoming stock (judgement)
constexpr double most_pitch_times = 3.0, pitch_step_times = 1.15, pitch_fine_mm = 1.0;
constexpr double turns_fine = 0.01, least_turns = 0.1;
constexpr double least_piece_turns = 0.25;  // shorter pieces are no answer
constexpr double most_move_mm = 600.0, move_fine_mm = 1.0;

struct Outcome {
  double least_mm, uncertainty_mm;
  bool clears;
};

class Search {
 public:
  explicit Search(const Plan& plan)
      : plan_(plan), governing_(plan.clearance->governing()), all_(plan.clearance->over_all()), say_(plan.job.show) {}

  Remedies run() {
    const bool helix = !plan_.part;
    measure();
    if (helix) more_pitch();
    if (helix) fewer_turns();
    move_solids();
    lower_rims();
    outboard_elsewhere();
    other_spacing();
    if (helix) stock_at_slope();
    if (helix) other_feed();
    if (helix) spring_over();
    if (helix) flat_and_pulled();
    return std::move(found_);
  }

 private:
  [[nodiscard]] std::string length(double mm, int decimals = 1) const { return length_text(Length::mm(mm), say_, decimals); }

  // The job planned as far as its clearance.
  [[nodiscard]] std::optional<Outcome> outcome(const Job& job) const {
    const Result<Plan> made = plan_steps::plan_stand(job);
    if (!made || !made->clearance) return std::nullopt;
    const bool faults = std::any_of(made->findings.begin(), made->findings.end(), [](const Finding& f) {
      return f.level == Level::fault && f.about != "clearance";
    });
    if (faults) return std::nullopt;
    const ClearancePlan& c = *made->clearance;
    const ClearancePlan::Governing governing = c.governing();
    return Outcome{governing.least_mm(), governing.uncertainty_mm, !c.near()};
  }
  [[nodiscard]] Job with_coil(Length radius, Length pitch, double turns) const {
    Job job = plan_.job;
    job.stair.reset();
    job.coil = {};
    job.coil.radius = radius;
    job.coil.pitch = pitch;
    job.coil.turns = turns;
    job.coil.hand = plan_.coil.hand();
    return job;
  }
  void clears(std::string change, std::string cost, const Outcome& outcome) {
    found_.would_clear.push_back({std::move(change), std::move(cost), outcome.least_mm, outcome.uncertainty_mm});
  }
  void does_not(std::string sentence) { found_.would_not.push_back(std::move(sentence)); }

  // The least amount up to `most` for which the job clears, to `fine`; looks at growing amounts first.
  struct Amount {
    double value;
    Outcome outcome;
  };
  [[nodiscard]] std::optional<Amount> least_amount(const std::function<Job(double)>& job_with, double first, double times,
                                                   double most, double fine) const {
    double fails = 0.0;
    for (double amount = first; amount <= most * (1.0 + 1e-9); amount *= times) {
      std::optional<Outcome> here = outcome(job_with(amount));
      if (!here || !here->clears) {
        fails = amount;
        continue;
      }
      Amount found{amount, *here};
      while (found.value - fails > fine) {
        const double middle = 0.5 * (found.value + fails);
        const std::optional<Outcome> between = outcome(job_with(middle));
        if (between && between->clears) found = {middle, *between};
        else fails = middle;
      }
      // Rounded up to what can be set, and tried as such.
      const double set = std::ceil(found.value / fine) * fine;
      if (const auto rounded = outcome(job_with(set)); rounded && rounded->clears) return Amount{set, *rounded};
      return found;
    }
    return std::nullopt;
  }

  void measure() {
    if (!governing_.result->nearest) return;
    const NearestPair& near = *governing_.result->nearest;
    const Eigen::Vector3d gap = near.part_point - near.machine_point;
    if (gap.norm() < 1e-6) return;
    ClearanceSensitivity sensitivity;
    // Both points lie inside the other body where they overlap: then the way out is the other way.
    sensitivity.of_lowering = gap.z() / gap.norm() * (near.distance_mm < 0.0 ? -1.0 : 1.0);
    const Helix& helix = plan_.coil.helix();
    if (!plan_.part && helix.pitch().mm() > 1.0) {
      constexpr double step_mm = 1.0;
      const auto at = [&](double by) {
        return outcome(with_coil(helix.plan_radius(), helix.pitch() + Length::mm(by), plan_.coil.turns()));
      };
      const auto more = at(step_mm), less = at(-step_mm);
      if (more && less) {
        sensitivity.of_pitch = (more->least_mm - less->least_mm) / (2.0 * step_mm);
        if (plan_.lift) sensitivity.of_lift = *sensitivity.of_pitch * plan_.lift->pitch_per_lift;
      }
    }
    found_.sensitivity = sensitivity;
  }

  void more_pitch() {
    const Helix& helix = plan_.coil.helix();
    const double pitch = helix.pitch().mm();
    if (pitch == 0.0) return;
    const auto job_with = [&](double more) {
      return with_coil(helix.plan_radius(), Length::mm(pitch + more), plan_.coil.turns());
    };
    const auto found =
        least_amount(job_with, (pitch_step_times - 1.0) * pitch, 1.5, (most_pitch_times - 1.0) * pitch, pitch_fine_mm);
    if (!found) {
      does_not("No larger pitch up to " + length(most_pitch_times * pitch, 0) + " clears at this plan radius.");
      return;
    }
    const double rise = found->value * plan_.coil.turns();
    clears("a pitch of " + length(pitch + found->value, 0) + " instead of " + length(pitch, 0),
           "another part: " + length(rise, 0) + " more rise over all", found->outcome);
  }

  void fewer_turns() {
    const Helix& helix = plan_.coil.helix();
    const double turns = plan_.coil.turns();
    const auto with = [&](double t) { return outcome(with_coil(helix.plan_radius(), helix.pitch(), t)); };
    auto low = with(least_turns);
    if (turns <= least_turns || !low || !low->clears) {
      does_not("Pieces with fewer turns do not clear either: what strikes is there from the start.");
      return;
    }
    double clear = least_turns, fails = turns;
    Outcome outcome = *low;
    // More of the same part never comes less near.
    while (fails - clear > turns_fine) {
      const double middle = 0.5 * (clear + fails);
      const auto here = with(middle);
      if (here && here->clears) clear = middle, outcome = *here;
      else fails = middle;
    }
    clear = std::floor(clear / turns_fine) * turns_fine;
    const int pieces = static_cast<int>(std::ceil(turns / clear - 1e-9));
    if (clear < least_piece_turns) {
      does_not("Only pieces of at most " + number_text(clear, 2) + " turns clear: " + std::to_string(pieces) + " for this part.");
      return;
    }
    clears("pieces of at most " + number_text(clear, 2) + " turns, " + std::to_string(pieces) + " for this part",
           std::to_string(pieces - 1) + (pieces == 2 ? " splice" : " splices") + "; every piece pays its own start-up and flat ends",
           outcome);
  }

  [[nodiscard]] bool too_near(const std::optional<double>& least_mm) const {
    return least_mm && *least_mm - governing_.uncertainty_mm <= plan_.clearance->margin.mm();
  }

  struct Move {
    std::size_t solid;
    Eigen::Vector3d way_M;
    std::string words;
  };
  static Move down(std::size_t solid, const std::string& name) { return {solid, -Eigen::Vector3d::UnitZ(), "lower \"" + name + "\""}; }
  // Away from the part along the axis of M that does most.
  [[nodiscard]] Move away(std::size_t solid, const NearestPair& near) const {
    Eigen::Vector3d from_part = near.machine_point - near.part_point;
    if (near.distance_mm < 0.0) from_part = -from_part;  // both points lie inside the other body
    from_part = to_machine_frame(from_part, plan_.mirrored());
    Eigen::Index axis = 0;
    from_part.cwiseAbs().maxCoeff(&axis);
    const bool backward = from_part[axis] < 0.0;
    if (axis == 2 && backward) return down(solid, near.part);
    Eigen::Vector3d way = Eigen::Vector3d::Zero();
    way[axis] = backward ? -1.0 : 1.0;
    const std::string where = axis == 2 ? "up" : std::string("toward ") + (backward ? "-" : "+") + (axis == 0 ? "x" : "y");
    return {solid, way, "move \"" + near.part + "\" " + where};
  }

  // Solids that are too near, all by the same amount: each its own way, and all down.
  void move_solids() {
    std::vector<Move> own_way, all_down;
    std::string fixed;  // too near, and no solid
    const auto stays = [&](const std::string& name) { fixed += (fixed.empty() ? "" : ", ") + name; };
    if (too_near(all_.self_mm)) stays("the part itself");
    if (too_near(all_.stock_mm)) stays("the incoming stock");
    const std::vector<Solid>& solids = plan_.job.machine.solids;
    for (const ObstacleClearance& one : all_.obstacles) {
      if (!too_near(one.least_mm) || !one.nearest) continue;
      const auto solid = std::find_if(solids.begin(), solids.end(), [&](const Solid& s) { return s.name == one.part; });
      if (solid == solids.end()) {
        stays(one.part);
        continue;
      }
      const auto index = static_cast<std::size_t>(solid - solids.begin());
      own_way.push_back(away(index, *one.nearest));
      all_down.push_back(down(index, one.part));
    }
    if (own_way.empty()) return;
    try_moves(own_way, fixed);
    const bool same = std::all_of(own_way.begin(), own_way.end(), [](const Move& m) { return m.way_M.z() < 0.0; });
    if (!same && fixed.empty()) try_moves(all_down, fixed);
  }

  void try_moves(const std::vector<Move>& moves, const std::string& fixed) {
    std::string words;
    for (const Move& move : moves) words += (words.empty() ? "" : ", ") + move.words;
    if (!fixed.empty()) {
      does_not("To " + words + " is not enough: what also is too near stays where it is (" + fixed + ").");
      return;
    }
    const auto job_with = [&](double by) {
      Job job = plan_.job;
      for (const Move& move : moves)
        job.machine.solids[move.solid].shape = moved(job.machine.solids[move.solid].shape, by * move.way_M);
      return job;
    };
    const auto found = least_amount(job_with, 5.0, 1.7, most_move_mm, move_fine_mm);
    if (found) clears(words + " by " + length(found->value, 0), "the machine only; the part stays as it is", found->outcome);
    else does_not("To " + words + " is not enough, by up to " + length(most_move_mm, 0) + ".");
  }

  // Rims and caps of rolls that are too near, as heights over the pass line.
  void lower_rims() {
    bool centre = false, outer = false;
    for (const ObstacleClearance& one : all_.obstacles) {
      if (!too_near(one.least_mm)) continue;
      centre = centre || one.part == "centre roll";
      outer = outer || one.part == "entry roll" || one.part == "exit roll";
    }
    if (!centre && !outer) return;
    const Rolls& rolls = plan_.job.machine.rolls;
    const double seat = 0.5 * plan_.job.stock.section.outside_diameter().mm();
    const double most = std::max(centre ? rolls.centre_height_above.mm() - seat : 0.0, outer ? rolls.outer_height_above.mm() - seat : 0.0);
    const auto job_with = [&](double by) {
      Job job = plan_.job;
      const auto cut = [&](Length& height) { height = Length::mm(std::max(std::min(seat, height.mm()), height.mm() - by)); };
      if (centre) cut(job.machine.rolls.centre_height_above);
      if (outer) cut(job.machine.rolls.outer_height_above);
      return job;
    };
    const std::string words = std::string("rolls lower over the pass line, ") + (centre && outer ? "all three" : centre ? "the centre one" : "the outer ones");
    const auto found = most > 1.0 ? least_amount(job_with, std::min(2.0, most), 1.5, most, 0.5) : std::nullopt;
    if (found) clears(words + ", by " + length(found->value), "other rolls", found->outcome);
    else does_not("Lower rolls do not make it clear: they must hold the stock up to half its height.");
  }

  // A few places or spacings; of those that clear the one nearest to the present.
  void one_of(const std::vector<double>& values, double now, const std::function<Job(double)>& job_with, const std::string& words,
              const std::string& cost, const std::string& none) {
    std::optional<Amount> best;
    for (const double value : values) {
      if (std::abs(value - now) < 0.5) continue;
      const auto here = outcome(job_with(value));
      if (here && here->clears && (!best || std::abs(value - now) < std::abs(best->value - now))) best = Amount{value, *here};
    }
    if (best) clears(words + length(best->value, 0) + " instead of " + length(now, 0), cost, best->outcome);
    else does_not(none);
  }

  void outboard_elsewhere() {
    if (!plan_.job.machine.outboard_roll) return;
    const auto* reach = std::get_if<Reach>(&plan_.job.machine.outboard_roll->place);
    if (reach == nullptr || (!plan_.part && plan_.coil.helix().pitch().mm() == 0.0)) return;
    const double now = reach->plan_distance.mm();
    one_of({0.6 * now, 0.75 * now, 0.9 * now, 1.1 * now, 1.25 * now, 1.5 * now}, now,
           [&](double value) {
             Job job = plan_.job;
             job.machine.outboard_roll->place = Reach{Length::mm(value)};
             return job;
           },
           "the outboard roll at a reach of ", "another lift, lead arc and control of pitch: plan it anew",
           "No reach of the outboard roll from " + length(0.6 * now, 0) + " to " + length(1.5 * now, 0) + " clears.");
  }

  void other_spacing() {
    const Rolls& rolls = plan_.job.machine.rolls;
    const double now = rolls.outer_spacing.mm();
    std::vector<double> values;
    for (const Length position : rolls.spacing_positions) values.push_back(position.mm());
    if (values.empty()) values = {0.8 * now, 0.9 * now, 1.1 * now, 1.25 * now};
    one_of(values, now,
           [&](double value) {
             Job job = plan_.job;
             job.machine.rolls.outer_spacing = Length::mm(value);
             return job;
           },
           "an outer-roll spacing of ", "other travel, force and flat ends; solids taken to stay where they are",
           "No other roll spacing clears.");
  }

  // The stock let in at a slope, whichever way takes less.
  void stock_at_slope() {
    if (!plan_.lift || plan_.rolling.passes.size() > 1) return;
    std::optional<Amount> best;
    for (const double way : {1.0, -1.0}) {
      const auto job_with = [&](double by) {
        Job job = plan_.job;
        job.stock_slope = Angle::deg(job.stock_slope.deg() + way * by);
        return job;
      };
      const auto found = least_amount(job_with, slope_fine_deg, 2.0, most_slope_deg, slope_fine_deg);
      if (found && (!best || found->value < std::abs(best->value))) best = Amount{way * found->value, found->outcome};
    }
    if (best)
      clears("the stock let in at a slope of " + number_text(plan_.job.stock_slope.deg() + best->value, 2) + " deg (upward along the feed: more than 0)",
             "another lift; supports behind the rolls at that slope, and rims that let the stock in so", best->outcome);
    else does_not("No slope of the stock up to " + number_text(most_slope_deg, 0) + " deg either way clears.");
  }

  void other_feed() {
    if (plan_.coil.helix().pitch().mm() > 0.0) {
      does_not("Fed from the other side it would come out with the other hand: another part.");
      return;
    }
    Job job = plan_.job;
    job.coil.hand = plan_.coil.hand() == Hand::right_screw ? Hand::left_screw : Hand::right_screw;
    const auto here = outcome(job);
    if (here && here->clears && plan_.job.machine.makes(*job.coil.hand))
      clears("feed it from the other side", "nothing: a flat part has no hand", *here);
    else does_not("Fed from the other side it does not clear either.");
  }

  // What is nearest under a turn: the turn lifted over it.
  void spring_over() {
    const NearestPair& near = *governing_.result->nearest;
    if (!plan_.job.stock.section.round() || near.piece != Piece::coil || near.part_point.z() <= near.machine_point.z()) return;
    const Helix& helix = plan_.coil.helix();
    const double lag = plan_.blank.flat_front.mm() + near.fed_length_mm - near.along_part_mm;
    if (lag <= 0.0) return;
    const double needed = plan_.clearance->margin.mm() + governing_.uncertainty_mm - near.distance_mm;
    const SprungTurn most = sprung_turn(plan_.job.stock, helix.bend_radius(), Angle::rad(lag / helix.arc_per_radian_mm()));
    if (most.rise.mm() < needed) {
      does_not("Sprung by hand the turn rises by at most " + length(most.rise.mm()) + " there within half of its yield; " +
               length(needed) + " are needed.");
      return;
    }
    const double force = most.force.newtons() * needed / most.rise.mm();
    clears("the turn sprung over \"" + near.part + "\" by hand: " + length(needed) + " up, with about " + number_text(force, 0) + " N",
           "a second person, and a stop each time; it would bear " + length(most.rise.mm()) + " within half of its yield, its own weight not counted",
           {near.distance_mm + needed, governing_.uncertainty_mm, true});
  }

  void flat_and_pulled() {
    const Helix& helix = plan_.coil.helix();
    if (helix.pitch().mm() == 0.0) return;
    const Length radius = helix.flat_then_pull_radius();
    const double turns = plan_.coil.developed_length().mm() / (2.0 * std::numbers::pi * radius.mm());
    const auto whole = outcome(with_coil(radius, Length(), turns));
    if (whole && whole->clears) {
      clears("rolled flat to a plan radius of " + length(radius.mm()) + " and pulled to pitch", "pulling it afterwards: common practice, no source", *whole);
      return;
    }
    double clear = 0.0, fails = std::min(turns, 1.0);
    std::optional<Outcome> outcome_of_clear;
    while (fails - clear > 0.02) {
      const double middle = 0.5 * (clear + fails);
      const auto here = outcome(with_coil(radius, Length(), middle));
      if (here && here->clears) clear = middle, outcome_of_clear = here;
      else fails = middle;
    }
    if (!outcome_of_clear) {
      does_not("Rolled flat, to be pulled to pitch, it does not clear either.");
      return;
    }
    const int pieces = static_cast<int>(std::ceil(turns / clear));
    if (clear < least_piece_turns) {
      does_not("Rolled flat, to be pulled to pitch, only pieces of at most " + number_text(clear, 2) + " turns clear.");
      return;
    }
    clears("rolled flat to a plan radius of " + length(radius.mm()) + " in " + std::to_string(pieces) + " pieces of at most " +
               number_text(clear, 2) + " turns, and pulled to pitch",
           "splices and pulling: common practice, no source", *outcome_of_clear);
  }

  const Plan& plan_;
  ClearancePlan::Governing governing_;
  ClearanceResult all_;  // over all moments
  Show say_;
  Remedies found_;
};

}  // namespace

Remedies find_remedies(const Plan& plan) {
  if (!plan.clearance) return {};
  return Search(plan).run();
}

}  // namespace coilwright
