// The lead arc while it is raised onto the outboard roll, and what it comes near to.
#include <algorithm>
#include <cmath>
#include <coilwright/clearance/moving_pieces.hpp>
#include <coilwright/plan/plan_steps.hpp>
#include <coilwright/plan/scene.hpp>
#include <coilwright/rolling/held_part.hpp>
#include <coilwright/rolling/raised_lead_arc.hpp>
#include <numbers>

namespace coilwright::plan_steps {
namespace {

using Way = RaisedLeadArc::Way;
using State = RaisedLeadArc::State;

// Of the lead arc, and of what is fed between two poses: so that between them the bar goes its way to about a millimetre
// (what is left is told). The number within these for which what is formed reaches the exit contact, where the way has a
// kink, nearest to a pose.
constexpr int fewest_pieces = 28, most_pieces = 36;
int pieces_of_lead_arc(double lead_arc_mm, double span_out_mm) {
  const auto astray = [&](int pieces) {
    const double at = span_out_mm / lead_arc_mm * pieces;
    return std::abs(at - std::round(at));
  };
  int best = fewest_pieces;
  for (int pieces = fewest_pieces; pieces <= most_pieces; ++pieces)
    if (astray(pieces) < astray(best)) best = pieces;
  return best;
}

// Raised with nothing fed: so many poses.
constexpr int poses_at_a_standstill = 16;

// How the lead arc lies at first, and how the part is held once it has been raised.
struct Held {
  HeldPlace lying, lifted;
};

// Like the lead arc with this torsion; null where the machine cannot hold that.
std::optional<HeldPlace> hold(const RollingSetup& setup, const RaisedStart& start, double torsion, PassOf which,
                              const std::optional<LiftAssumption>& assumption = std::nullopt) {
  Centreline line;
  line.append(SegmentCurve::screw({start.lead_arc_mm, start.curvature, torsion}));
  const auto held = hold_part(setup, line, which, assumption);
  if (std::holds_alternative<NotHeld>(held)) return std::nullopt;
  HeldPlace place = std::get<std::vector<HeldSegment>>(held).front().front();
  if (!place.bent || (torsion != 0.0 && !(place.lift_mm > 0.0))) return std::nullopt;
  return place;
}

std::optional<RaisedLeadArc> arc_of(const RollingSetup& setup, const RaisedStart& start, const Held& held, double straight_mm) {
  return RaisedLeadArc::of({*held.lying.bent, *held.lifted.bent, held.lifted.lift_mm, setup.law.bending_stiffness(),
                            setup.torsion_stiffness, start.lead_arc_mm, straight_mm,
                            pieces_of_lead_arc(start.lead_arc_mm, held.lifted.span_out_mm)});
}

// States one after the other, while the roll is raised with nothing fed and while it is fed.
struct Path {
  std::vector<State> standing, feeding;
};

// As the order of work has it: raised in step with feeding, what is formed having just the twist that brings it to the roll.
std::optional<Path> in_step(const RaisedLeadArc& arc) {
  Path path;
  for (int k = 0; k <= arc.pieces(); ++k) {
    auto state = arc.at(Way::twists, k, arc.lift_mm() * k / arc.pieces());
    if (!state) return std::nullopt;
    path.feeding.push_back(*std::move(state));
  }
  return path;
}

// Raised until the roll carries what it carries in the end, then in step with what that gives: full twist from the start.
std::optional<Path> with_full_twist(const RaisedLeadArc& arc) {
  Path path;
  for (int j = 0; j <= poses_at_a_standstill; ++j) {
    auto state = arc.twisted(0, static_cast<double>(j) / poses_at_a_standstill);
    if (!state) return std::nullopt;
    path.standing.push_back(*std::move(state));
  }
  for (int k = 0; k <= arc.pieces(); ++k) {
    auto state = arc.twisted(k, 1.0);
    if (!state) return std::nullopt;
    path.feeding.push_back(*std::move(state));
  }
  return path;
}

// Raised all the way before anything is fed.
std::optional<Path> at_once(const RaisedLeadArc& arc, Way way) {
  Path path;
  for (int j = 0; j <= poses_at_a_standstill; ++j) {
    auto state = arc.at(way, 0, arc.lift_mm() * j / poses_at_a_standstill);
    if (!state) return std::nullopt;
    path.standing.push_back(*std::move(state));
  }
  for (int k = 0; k <= arc.pieces(); ++k) {
    auto state = arc.at(way, k, arc.lift_mm());
    if (!state) return std::nullopt;
    path.feeding.push_back(*std::move(state));
  }
  return path;
}

// What stands elsewhere than planned.
struct Astray {
  double slide_mm = 0.0, part_y_mm = 0.0, sag_mm = 0.0;
};

class SceneWriter {
 public:
  SceneWriter(const Plan& plan, const RaisedStart& start, PassOf which, const RaisedLeadArc& arc, const Held& held, Astray astray)
      : plan_(plan), start_(start), which_(which), arc_(arc), held_(held), astray_(astray), straight_mm_(plan.blank.flat_front.mm()) {}

  MovingScene write(const Path& path) const {
    MovingScene scene;
    scene.tube_radius_mm = 0.5 * plan_.job.stock.section.outside_diameter().mm();
    scene.section = SectionBox::of(plan_.job.stock.section);
    scene.front_end_mm = straight_mm_;
    scene.greatest_curvature_per_mm = arc_.curvature_per_mm();
    scene.resting = held_.lifted.bent.get();
    // Stock that comes in bent is checked with the pass as it runs.
    if (which_.pass == 1)
      scene.stock_mm = std::max(0.0, (plan_.blank.cut_length() - plan_.blank.flat_front).mm() - held_.lifted.span_in_mm);
    scene.obstacles = obstacles();
    for (const std::vector<State>* states : {&path.standing, &path.feeding})
      for (std::size_t k = 0; k + 1 < states->size(); ++k) scene.steps.push_back(step((*states)[k], (*states)[k + 1]));
    return scene;
  }

 private:
  [[nodiscard]] Eigen::Isometry3d astray(Eigen::Isometry3d X) const {
    X.translation().y() += astray_.part_y_mm;
    X.translation().z() -= astray_.sag_mm;
    return X;
  }

  // Pieces keep their place behind the bend point; what is ahead of them all goes on with the bar.
  [[nodiscard]] MovingStep step(const State& a, const State& b) const {
    MovingStep step{{}, straight_mm_ + start_.lead_arc_mm + a.formed * arc_.piece_mm(), a.height_mm, b.height_mm};
    const std::size_t end = a.nodes.size() - 1;
    // Beyond the outboard roll the lead arc is rigid.
    std::size_t rigid = 0;
    while (rigid < end && (a.nodes[rigid].lag_mm < std::max(a.contact_lag_mm, b.contact_lag_mm) ||
                           a.nodes[rigid].lag_mm < (b.formed - 0.5) * arc_.piece_mm()))
      ++rigid;
    const auto add = [&](std::size_t node, std::size_t to_node, double length, double torsion) {
      if (!(length > 0.0)) return;
      const double lag = a.nodes[node].lag_mm;
      step.pieces.push_back({{arc_.curvature_per_mm(), torsion, length}, astray(a.nodes[node].X), astray(b.nodes[to_node].X), lag,
                             piece_at(step.fed_mm - lag - 0.5 * length), section(torsion != 0.0)});
    };
    for (std::size_t i = 0; i < rigid; ++i)
      add(i, i, a.nodes[i + 1].lag_mm - a.nodes[i].lag_mm, 0.5 * (arc_.torsion_after(a, i) + arc_.torsion_after(b, i)));
    if (rigid < end) add(rigid, rigid, a.nodes[end].lag_mm - a.nodes[rigid].lag_mm, 0.0);
    if (b.formed > a.formed && end > 0) add(end - 1, end, arc_.piece_mm(), 0.0);
    step.pieces.push_back({{0.0, 0.0, straight_mm_}, astray(a.nodes.back().X), astray(b.nodes.back().X), a.nodes.back().lag_mm,
                           Piece::front_end, section(false)});
    return step;
  }

  [[nodiscard]] Piece piece_at(double along_mm) const {
    return along_mm < straight_mm_ + start_.ahead_mm ? Piece::lead_arc : Piece::coil;
  }

  // The binormal, told from the leading end, points down.
  [[nodiscard]] Eigen::Matrix2d section(bool twisted) const {
    Eigen::Matrix2d lies = (twisted ? held_.lifted : held_.lying).bent->section_in_helix();
    lies.row(1) *= -1.0;
    return lies;
  }

  [[nodiscard]] std::vector<MovingObstacle> obstacles() const {
    const Machine& machine = plan_.job.machine;
    const Contacts contacts = Contacts::of(*held_.lifted.bent);
    const Setting low{Length::mm(held_.lifted.travel_mm + astray_.slide_mm), Length()};
    std::vector<Obstacle> around = scene_around(machine, plan_.coil.hand(), contacts, plan_.job.stock.section, low);
    const double quarter_turn = 0.5 * std::numbers::pi / arc_.curvature_per_mm();
    // Rolls, then solids in their order, then the room.
    const auto first_solid = static_cast<std::size_t>(
        std::find_if(around.begin(), around.end(), [](const Obstacle& o) { return !o.contact_lag_mm; }) - around.begin());
    std::vector<MovingObstacle> made;
    for (std::size_t i = 0; i < around.size(); ++i) {
      const bool solid = i >= first_solid && i - first_solid < machine.solids.size();
      MovingObstacle obstacle{std::move(around[i]), MovingObstacle::Stands::still, 0.0};
      if (solid && machine.solids[i - first_solid].rides == Rides::outboard_arm) obstacle.stands = MovingObstacle::Stands::on_the_arm;
      if (const auto& contact = obstacle.obstacle.contact_lag_mm) {
        // The rolls move with the part's own contact.
        if (astray_.slide_mm != 0.0 || astray_.part_y_mm != 0.0 || astray_.sag_mm != 0.0) continue;
        obstacle.from_lag_mm = std::max(*contact, held_.lifted.span_out_mm) + quarter_turn;
        if (obstacle.obstacle.name == "outboard roll") {
          obstacle.stands = MovingObstacle::Stands::on_the_arm;
          for (Shape& body : obstacle.obstacle.bodies) body = moved(body, {0.0, 0.0, -held_.lifted.lift_mm});
        }
      }
      made.push_back(std::move(obstacle));
    }
    return made;
  }

  const Plan& plan_;
  const RaisedStart& start_;
  PassOf which_;
  const RaisedLeadArc& arc_;
  const Held& held_;
  Astray astray_;
  double straight_mm_;
};

// By how much places change their way from pose to pose: the second difference of all places by their lag, and of the tip of
// the front end first, for every pose but the ends.
std::vector<std::vector<double>> changes_of_way_mm(const std::vector<State>& states, double straight_mm) {
  const auto tip = [&](const std::vector<RaisedLeadArc::Node>& nodes) {
    return Eigen::Vector3d(nodes.back().X * Eigen::Vector3d(-straight_mm, 0.0, 0.0));
  };
  std::vector<std::vector<double>> changes;
  for (std::size_t k = 1; k + 1 < states.size(); ++k) {
    const auto &a = states[k - 1].nodes, &b = states[k].nodes, &c = states[k + 1].nodes;
    std::vector<double> here{(tip(a) - 2.0 * tip(b) + tip(c)).norm()};
    for (std::size_t i = 0; i < a.size(); ++i)
      here.push_back((a[i].X.translation() - 2.0 * b[i].X.translation() + c[i].X.translation()).norm());
    changes.push_back(std::move(here));
  }
  return changes;
}

// How far the bar may be off between two poses: an eighth of the change of way. In the step in which what is formed reaches the
// exit contact the way has a kink: off by a b / (a + b) of the changes a and b at its two ends.
struct Off {
  double usual_mm = 0.0, at_kink_mm = 0.0;
  std::optional<std::size_t> kink;  // which step of the path
};

Off between_poses(const Path& path, double piece_mm, double straight_mm) {
  Off off;
  const auto most = [](const std::vector<double>& values) { return *std::max_element(values.begin(), values.end()); };
  for (const auto& change : changes_of_way_mm(path.standing, straight_mm)) off.usual_mm = std::max(off.usual_mm, most(change) / 8.0);
  const auto changes = changes_of_way_mm(path.feeding, straight_mm);
  // Of pose k + 1 of those fed.
  const double reaches = path.feeding.front().nodes.front().lag_mm / piece_mm;
  const auto before = static_cast<std::size_t>(std::ceil(reaches)) - 1;  // the pose before it does
  for (std::size_t k = 0; k < changes.size(); ++k)
    if (k + 1 != before && k != before) off.usual_mm = std::max(off.usual_mm, most(changes[k]) / 8.0);
  if (before < 1 || before >= changes.size()) return off;
  off.kink = (path.standing.empty() ? 0 : path.standing.size() - 1) + before;
  const auto &a = changes[before - 1], &b = changes[before];
  for (std::size_t i = 0; i < a.size(); ++i)
    if (a[i] + b[i] > 0.0) off.at_kink_mm = std::max(off.at_kink_mm, a[i] * b[i] / (a[i] + b[i]));
  return off;
}

}  // namespace

bool check_raised(const Plan& plan, const RollingSetup& setup, const RaisedStart& start, PassOf which, ClearancePlan& clearance) {
  if (start.alike_mm < 2.0 * start.lead_arc_mm) return false;
  const auto lying = hold(setup, start, 0.0, which), lifted = hold(setup, start, start.torsion, which);
  if (!lying || !lifted) return false;
  const Held held{*lying, *lifted};
  const double straight = plan.blank.flat_front.mm();
  const auto arc = arc_of(setup, start, held, straight);
  if (!arc) return false;
  const auto path = in_step(*arc);
  if (!path) return false;
  const auto scene_of = [&](const RaisedLeadArc& other, const Held& other_held, const Path& other_path, Astray astray) {
    return SceneWriter(plan, start, which, other, other_held, astray).write(other_path);
  };
  ClearanceMoment moment{std::string(while_raised), certify(scene_of(*arc, held, *path, {})), 0.0};
  if (!moment.result.least_mm) return true;  // nothing stands around
  double least = *moment.result.least_mm;
  // Every step with what it may be off.
  const auto lose_steps = [&](const MovingScene& scene, double off_mm) {
    if (const auto nearer = nearer_than_mm(scene, least + off_mm)) least = *nearer - off_mm;
  };
  const auto lose = [&](MovingScene scene, const Path& of) {
    const Off off = between_poses(of, start.lead_arc_mm / static_cast<double>(of.feeding.size() - 1), straight);
    if (off.kink) {
      MovingScene kink = scene;
      kink.steps = {scene.steps[*off.kink]};
      scene.steps.erase(scene.steps.begin() + static_cast<std::ptrdiff_t>(*off.kink));
      lose_steps(kink, off.at_kink_mm);
    }
    lose_steps(scene, off.usual_mm);
  };
  lose(scene_of(*arc, held, *path, {}), *path);
  // The other ways that it may go.
  const auto lose_path = [&](const std::optional<Path>& other) {
    if (other) lose(scene_of(*arc, held, *other, {}), *other);
  };
  lose_path(with_full_twist(*arc));
  for (const Way way : {Way::springs, Way::turns, Way::tilts, Way::turns_and_tilts}) lose_path(at_once(*arc, way));
  // As for every other moment: the working corners of the lift, half a millimetre of travel, and what it hangs down.
  for (const LiftAssumption& corner : working_corners(setup)) {
    const auto other_lifted = hold(setup, start, start.torsion, which, corner);
    if (!other_lifted) continue;
    const Held other{*lying, *other_lifted};
    const auto other_arc = arc_of(setup, start, other, straight);
    if (!other_arc) continue;
    if (const auto other_path = in_step(*other_arc)) lose(scene_of(*other_arc, other, *other_path, {}), *other_path);
  }
  for (const double slide : {-travel_uncertainty_mm, travel_uncertainty_mm})
    for (const double part_y : {-travel_uncertainty_mm, travel_uncertainty_mm}) lose(scene_of(*arc, held, *path, {slide, part_y}), *path);
  if (plan.carrying) lose(scene_of(*arc, held, *path, {0.0, 0.0, plan.carrying->then.sag.mm()}), *path);
  moment.uncertainty_mm = *moment.result.least_mm - least;
  clearance.moments.push_back(std::move(moment));
  return true;
}

}  // namespace coilwright::plan_steps
