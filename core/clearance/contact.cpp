#include <algorithm>
#include <cmath>
#include <coilwright/clearance/box_search.hpp>
#include <coilwright/clearance/certified_minimum.hpp>
#include <coilwright/clearance/contact.hpp>
#include <coilwright/quantity/require.hpp>
#include <limits>
#include <vector>

namespace coilwright {
namespace {

constexpr double unlimited = std::numeric_limits<double>::infinity();

// One walk away from the contact.
struct Walk {
  const ContactSpec& spec;
  double direction;  // +1 toward the coil, -1 toward the stock
  double at;         // walked up to here
  double limit;      // and at most to here
  double enough_mm;  // whatever is farther need not be told apart
  double farthest = 0.0, farthest_at = 0.0;  // M and where it was met
  double front_end_to = unlimited;           // the front end is proved up to here
  bool ended = false;
  std::size_t evaluations = 0;

  // Distances over a piece of lag, from the surface of the tube.
  struct Piece {
    double middle, lower, lower_front_end;
  };
  Piece look(const Stretch& stretch, double middle, double half) {
    if (spec.section.has_edges()) return look_from_section(stretch, middle, half);
    const BoundedPoint start = stretch.at(middle);
    const bool with_front_end = front_end_counts(stretch);
    const BoundedPoint end = with_front_end ? stretch.ahead(start, spec.front_end_mm) : start;
    Piece piece{unlimited, unlimited, unlimited};
    for (const ConvexBody& body : spec.bodies) {
      const SurfaceDistance found = body.distance(start.c.p);
      const double rounding = rounding_bound_mm(std::max(stretch.extent_mm() + spec.front_end_mm, body.extent_mm()));
      const double d = found.distance_mm - spec.tube_radius_mm - rounding;
      piece.middle = std::min(piece.middle, d);
      piece.lower = std::min(piece.lower, d + stretch.least_rise(start, found.direction, half));
      if (with_front_end)
        piece.lower_front_end =
            std::min(piece.lower_front_end, d + spec.front_end_mm * found.direction.dot(start.c.d1) +
                                                stretch.least_rise(end, found.direction, half));
    }
    evaluations += spec.bodies.size();
    return piece;
  }
  Piece look_from_section(const Stretch& stretch, double middle, double half) {
    const bool with_front_end = front_end_counts(stretch);
    std::array<BoundedPoint, 4> corner, tip;
    const std::array<Eigen::Vector2d, 4> offsets = spec.section.corners();
    for (std::size_t i = 0; i < 4; ++i) {
      corner[i] = stretch.at(middle, {offsets[i], 0.0});
      if (with_front_end) tip[i] = stretch.at(middle, {offsets[i], spec.front_end_mm});
    }
    SearchBox box;
    box.centre = 0.25 * (corner[0].c.p + corner[1].c.p + corner[2].c.p + corner[3].c.p);
    box.axes[0] = 0.5 * (corner[2].c.p - corner[0].c.p);
    box.axes[1] = 0.5 * (corner[1].c.p - corner[0].c.p);
    const auto least_of = [&](const std::array<BoundedPoint, 4>& points, const Eigen::Vector3d& g, double level) {
      double least = unlimited;
      for (const BoundedPoint& point : points)
        least = std::min(least, level + g.dot(point.c.p) + stretch.least_rise(point, g, half));
      return least;
    };
    Piece piece{unlimited, unlimited, unlimited};
    for (const ConvexBody& body : spec.bodies) {
      const auto look_at = [&](const Eigen::Vector3d& x) {
        ++evaluations;
        return body.distance(box.at(x));
      };
      const auto bound = [&](const Eigen::Vector3d& g, double at_centre) {
        return least_of(corner, g, at_centre - g.dot(box.centre));
      };
      BoxSearch search(box, Depth::signed_distance, look_at, bound, 0.25 * spec.tolerance_mm, [](double) { return false; });
      search.run(Eigen::Vector3d::Zero());
      const double off = spec.section.rounding_mm +
                         rounding_bound_mm(std::max(stretch.extent_mm() + spec.front_end_mm + spec.section.reach_mm(), body.extent_mm()));
      piece.middle = std::min(piece.middle, search.least() - off);
      piece.lower = std::min(piece.lower, search.most() - off);
      if (with_front_end)
        piece.lower_front_end = std::min(piece.lower_front_end, least_of(tip, search.direction(), search.level()) - off);
    }
    return piece;
  }
  [[nodiscard]] bool front_end_counts(const Stretch& stretch) const {
    return direction > 0.0 && spec.front_end_mm > 0.0 && front_end_to == unlimited &&
           (stretch.stage() == Stage::arc || stretch.stage() == Stage::coil);
  }
  // The distance that must not be passed on the way back.
  [[nodiscard]] double least_allowed() const {
    const double play = spec.play_mm + spec.tolerance_mm;
    return farthest > spec.play_mm ? farthest - play : -play;
  }

  void along(const Stretch& stretch) {
    const double end = direction > 0.0 ? std::min(stretch.to_mm(), limit) : std::max(stretch.from_mm(), limit);
    double half = spec.tube_radius_mm;
    // By the Lipschitz bound alone a piece this short shows the rule broken, to the tolerance.
    const double shortest = 0.25 * spec.tolerance_mm;
    while (!ended && (end - at) * direction > 0.0) {
      half = std::min(half, 0.5 * (end - at) * direction);
      const Piece piece = look(stretch, at + direction * half, half);
      const bool holds = piece.lower >= least_allowed();
      const bool front_end_holds = !front_end_counts(stretch) || piece.lower_front_end >= least_allowed();
      if (!(holds && front_end_holds) && half > shortest) {
        half *= 0.5;
        continue;
      }
      if (!front_end_holds) front_end_to = at;
      if (!holds) {
        ended = true;
        return;
      }
      if (piece.middle > farthest) {
        farthest = piece.middle;
        farthest_at = at + direction * half;
      }
      at = 2.0 * half >= (end - at) * direction ? end : at + 2.0 * direction * half;
      if (farthest > enough_mm + spec.play_mm + spec.tolerance_mm) {
        ended = true;
        return;
      }
      half = std::min(2.0 * half, std::max(spec.tube_radius_mm, 0.125 * piece.middle));
    }
  }
};

}  // namespace

NotCounted not_counted_at_contact(const ContactSpec& spec) {
  require(!spec.part.empty() && !spec.bodies.empty(), "a contact needs a part and a roll");
  const double first = spec.part.front().from_mm(), last = spec.part.back().to_mm();
  const double contact = spec.contact_lag_mm;
  if (contact < first || contact > last) return {contact, contact, contact, contact, 0};
  const double held = 2.0 * spec.tube_radius_mm;

  Walk ahead{spec, 1.0, std::min(contact + held, last), std::min(contact + spec.half_turn_mm, last), spec.enough_mm};
  for (const Stretch& stretch : spec.part)
    if (stretch.to_mm() > ahead.at && !ahead.ended) ahead.along(stretch);
  // The front end on its way on to the roll is not counted as far back as the whole rule says.
  const bool front_end_behind = spec.front_end_mm > 0.0 && std::any_of(spec.part.begin(), spec.part.end(), [&](const Stretch& s) {
    return s.from_mm() < contact && (s.stage() == Stage::arc || s.stage() == Stage::coil);
  });
  Walk back{spec, -1.0, std::max(contact - held, first), first, front_end_behind ? unlimited : spec.enough_mm};
  for (auto stretch = spec.part.rbegin(); stretch != spec.part.rend(); ++stretch)
    if (stretch->from_mm() < back.at && !back.ended) back.along(*stretch);

  const auto end_of = [&](const Walk& walk) {
    return walk.ended && walk.farthest > spec.play_mm ? walk.farthest_at : walk.at;
  };
  NotCounted result{end_of(back), end_of(ahead), 0.0, 0.0, ahead.evaluations + back.evaluations};
  result.front_end_from_mm = result.from_mm;
  result.front_end_to_mm = std::min(result.to_mm, ahead.front_end_to);
  return result;
}

}  // namespace coilwright
