#include <algorithm>
#include <array>
#include <cmath>
#include <coilwright/clearance/certified_minimum.hpp>
#include <coilwright/clearance/least.hpp>
#include <coilwright/clearance/moving_pieces.hpp>
#include <coilwright/quantity/require.hpp>
#include <limits>
#include <numbers>

namespace coilwright {
namespace {

using Eigen::Vector3d;

// Directions in plan in which the sweep is measured: the polygon around it is at most 0.13 % too wide.
constexpr int sweep_directions = 64;

class Moving {
 public:
  using Stands = MovingObstacle::Stands;
  // What is farther than a limit need not be looked at.
  explicit Moving(const MovingScene& scene, double limit_mm = std::numeric_limits<double>::infinity()) : scene_(scene), limit_(limit_mm) {
    require(!scene.steps.empty() && scene.tube_radius_mm > 0.0 && scene.greatest_curvature_per_mm > 0.0, "a bar moves, and has a thickness");
    for (const MovingObstacle& obstacle : scene.obstacles) {
      std::vector<std::uint32_t> own;
      for (const Shape& shape : obstacle.obstacle.bodies) {
        const auto* mesh = std::get_if<MeshBody>(&shape);
        own.push_back(mesh ? mesh_index(meshes_.size()) : static_cast<std::uint32_t>(bodies_.size()));
        if (mesh) meshes_.emplace_back(*mesh);
        else bodies_.emplace_back(shape);
      }
      if (obstacle.from_lag_mm == 0.0) {
        std::vector<std::uint32_t>& together = obstacle.stands == Stands::still ? still_ : on_the_arm_;
        together.insert(together.end(), own.begin(), own.end());
      }
      of_obstacle_.push_back(std::move(own));
    }
    if (scene.resting != nullptr) add_resting(*scene.resting);
    for (const MovingStep& step : scene.steps)
      for (const MovingPiece& piece : step.pieces) {
        parts_.push_back({FedPart({{piece.shape, Eigen::Isometry3d::Identity(), piece.to}}), &step, &piece});
        largest_ = std::max({largest_, piece.shape.length_mm + piece.from.translation().norm(), piece.shape.length_mm + piece.to.translation().norm()});
      }
  }

  [[nodiscard]] Scenery around() const { return {bodies_, meshes_}; }
  [[nodiscard]] double reach_mm() const { return largest_; }
  // Before this lag the part cannot have come back to itself (self_distance.hpp).
  [[nodiscard]] double returns_from() const { return std::numbers::pi / scene_.greatest_curvature_per_mm; }

  // Courses with the part that each is of.
  struct Courses {
    std::vector<PatchCourse> courses;
    std::vector<std::size_t> parts;
    void clear() {
      courses.clear();
      parts.clear();
    }
  };
  void add(std::size_t obstacle, Piece only, Courses& to) const {
    const MovingObstacle& o = scene_.obstacles[obstacle];
    for (std::size_t i = 0; i < parts_.size(); ++i)
      if (parts_[i].piece->piece == only) add(i, o.stands, o.from_lag_mm, of_obstacle_[obstacle], to);
  }
  void add_all(std::span<const std::uint32_t> still, Courses& to) const {
    for (std::size_t i = 0; i < parts_.size(); ++i) add(i, Stands::still, 0.0, still, to);
  }
  // All obstacles together.
  void add_everything(Courses& to) const {
    add_all(still_, to);
    for (std::size_t i = 0; i < parts_.size() && !on_the_arm_.empty(); ++i) add(i, Stands::on_the_arm, 0.0, on_the_arm_, to);
    for (std::size_t k = 0; k < scene_.obstacles.size(); ++k)
      for (std::size_t i = 0; i < parts_.size() && scene_.obstacles[k].from_lag_mm > 0.0; ++i)
        add(i, scene_.obstacles[k].stands, scene_.obstacles[k].from_lag_mm, of_obstacle_[k], to);
    add_against_stock(to);
  }
  void add_against_stock(Courses& to) const {
    for (std::size_t i = 0; i < parts_.size() && !resting_.empty(); ++i) add(i, Stands::still, returns_from(), resting_, to);
  }

  // Every piece seen from every other of its step that lies far enough behind it: the other one as chords.
  struct Pairs {
    Courses seen;
    std::vector<std::size_t> from;   // by course, the piece that it is seen from
    std::vector<ConvexBody> chords;
    std::vector<std::uint32_t> indices;
  };
  [[nodiscard]] Pairs pairs() const {
    Pairs pairs;
    std::vector<std::array<std::size_t, 3>> met;  // near part, its chords
    const auto far_enough = [&](const Part& near, const Part& far) {
      return far.step == near.step && far.end_lag_mm() - near.piece->lag_mm > returns_from();
    };
    for (std::size_t near = 0; near < parts_.size(); ++near) {
      bool any = false;
      for (std::size_t far = near + 1; far < parts_.size() && parts_[far].step == parts_[near].step; ++far)
        any = any || far_enough(parts_[near], parts_[far]);
      if (!any) continue;
      const ScrewSegment& shape = parts_[near].piece->shape;
      const double turn = shape.curvature_per_mm * shape.length_mm;
      const int chords = 1 + static_cast<int>(turn / turn_of_a_chord);
      const double chord = shape.length_mm / chords;
      const SegmentShape kind = shape;
      const Eigen::Isometry3d end = frame_along(kind, shape.length_mm).inverse();
      const double bulge = shape.curvature_per_mm * chord * chord / 8.0;
      met.push_back({near, pairs.chords.size(), pairs.chords.size() + static_cast<std::size_t>(chords)});
      for (int i = 0; i < chords; ++i)
        pairs.chords.push_back(ConvexBody::capsule((end * frame_along(kind, i * chord)).translation(),
                                                   (end * frame_along(kind, (i + 1) * chord)).translation(), bulge));
    }
    for (std::size_t i = 0; i < pairs.chords.size(); ++i) pairs.indices.push_back(static_cast<std::uint32_t>(i));
    for (const auto& [near, first, last] : met)
      for (std::size_t far = near + 1; far < parts_.size() && parts_[far].step == parts_[near].step; ++far) {
        if (!far_enough(parts_[near], parts_[far])) continue;
        const MovingPiece &a = *parts_[near].piece, &b = *parts_[far].piece;
        const double length = b.shape.length_mm, from_lag = std::max(0.0, a.lag_mm + returns_from() - b.lag_mm);
        const std::span<const std::uint32_t> bodies(pairs.indices.data() + first, last - first);
        for (const FedPatch& patch : parts_[far].part.patches({0, length, length, a.from.inverse() * b.from, a.to.inverse() * b.to}, from_lag)) {
          pairs.seen.courses.push_back({patch, bodies});
          pairs.seen.parts.push_back(far);
          pairs.from.push_back(near);
        }
      }
    return pairs;
  }

  [[nodiscard]] NearestPair nearest(std::string name, Stands stands, const Courses& of, const Meeting& meeting, double rounding_mm) const {
    const Part& part = parts_[of.parts[meeting.course]];
    const double lag = part.end_lag_mm() - meeting.along_mm;
    NearestPair pair;
    pair.part = std::move(name);
    pair.piece = part.piece->piece;
    pair.fed_length_mm = part.step->fed_mm - scene_.front_end_mm;
    pair.along_part_mm = part.step->fed_mm - lag;
    pair.distance_mm = meeting.distance_mm - rounding_mm;
    pair.part_point = meeting.point - rounding_mm * meeting.direction;
    pair.machine_point = meeting.point - meeting.distance_mm * meeting.direction;
    if (stands == Stands::on_the_arm) {
      const Vector3d up(0.0, 0.0, 0.5 * (part.step->arm_from_mm + part.step->arm_to_mm));
      pair.part_point += up;
      pair.machine_point += up;
    }
    return pair;
  }
  // Both points where they are when the step begins.
  [[nodiscard]] NearestPair nearest_of_itself(const Pairs& pairs, Meeting meeting) const {
    const Eigen::Isometry3d& X = parts_[pairs.from[meeting.course]].piece->from;
    meeting.point = X * meeting.point;
    meeting.direction = X.linear() * meeting.direction;
    meeting.distance_mm -= scene_.tube_radius_mm;
    return nearest("itself", Stands::still, pairs.seen, meeting, scene_.tube_radius_mm);
  }

 private:
  static constexpr double turn_of_a_chord = 0.1;  // rad: of a radius of 1000 mm it bulges by 1.3 mm
  struct Part {
    FedPart part;
    const MovingStep* step;
    const MovingPiece* piece;
    [[nodiscard]] double end_lag_mm() const { return piece->lag_mm + piece->shape.length_mm; }
  };

  void add(std::size_t index, Stands stands, double from_lag_mm, std::span<const std::uint32_t> bodies, Courses& to) const {
    const Part& part = parts_[index];
    const MovingPiece& piece = *part.piece;
    const double length = piece.shape.length_mm;
    if (part.end_lag_mm() <= from_lag_mm) return;
    Eigen::Isometry3d from = piece.from, at_last = piece.to;
    if (stands == Stands::on_the_arm) {
      from.translation().z() -= part.step->arm_from_mm;
      at_last.translation().z() -= part.step->arm_to_mm;
    }
    // On a screw by less than half a turn a point gets farther from where it began all the way.
    const double reach = length + (at_last.translation() - from.translation()).norm() + scene_.box().reach_mm() + limit_;
    if (std::none_of(bodies.begin(), bodies.end(), [&](std::uint32_t body) { return within(body, from.translation(), reach); })) return;
    for (const FedPatch& patch : part.part.patches({0, length, length, from, at_last}, std::max(0.0, from_lag_mm - piece.lag_mm))) {
      PatchCourse course{patch, bodies};
      if (scene_.section && scene_.section->has_edges()) {
        const Eigen::Matrix2d& lies = piece.section;
        course.half_edges = scene_.section->half_edges_mm;
        course.middle = {scene_.section->middle_mm.x(), lies.determinant() * scene_.section->middle_mm.y()};
        course.turned_rad = std::atan2(lies(1, 0), lies(0, 0)) + lies.determinant() * scene_.section->turned_rad;
      }
      to.courses.push_back(course);
      to.parts.push_back(index);
    }
  }

  // Whether a body may be so near to a point.
  [[nodiscard]] bool within(std::uint32_t body, const Vector3d& point, double reach_mm) const {
    if (reach_mm == std::numeric_limits<double>::infinity() || names_mesh(body) || body >= bodies_.size()) return true;
    const ConvexBody::Ball& ball = bodies_[body].ball();
    return (point - ball.centre).norm() - ball.radius_mm <= reach_mm && bodies_[body].distance(point).distance_mm <= reach_mm;
  }

  // Stock and spans as bodies as thick as the part; of the bent spans their chords, thicker by what they bulge.
  void add_resting(const PosedPart& part) {
    constexpr int chords = 8;
    const double entry = -part.span_in_mm(), length = part.span_out_mm() - entry, chord = length / chords, radius = scene_.tube_radius_mm;
    const auto add_capsule = [&](const Vector3d& from, const Vector3d& to, double thick) {
      resting_.push_back(static_cast<std::uint32_t>(bodies_.size()));
      bodies_.push_back(ConvexBody::capsule(from, to, thick));
    };
    add_capsule(part.at(Stage::stock, entry - scene_.stock_mm).p, part.at(Stage::stock, entry).p, radius);
    const double bulge = part.spans_second_bound_per_mm() * chord * chord / 8.0;
    for (int i = 0; i < chords; ++i)
      add_capsule(part.at(Stage::spans, entry + i * chord).p, part.at(Stage::spans, entry + (i + 1) * chord).p, radius + bulge);
  }

  const MovingScene& scene_;
  std::vector<ConvexBody> bodies_;
  std::vector<MeshDistance> meshes_;
  std::vector<std::vector<std::uint32_t>> of_obstacle_;
  std::vector<std::uint32_t> still_, on_the_arm_, resting_;  // obstacles that count from the exit contact on; stock and spans
  std::vector<Part> parts_;
  double largest_ = 0.0, limit_;
};

void sweep(const Moving& moving, double rounding_mm, ClearanceResult& result) {
  constexpr double sweep_tolerance_mm = 1.0;  // people keep farther away than that
  CertifiedMinimum search(sweep_tolerance_mm);
  // Far enough out that all of the part lies before it: distances to half-spaces turn the largest into a least.
  const double far = moving.reach_mm();
  const std::vector<std::uint32_t> index{0};
  Moving::Courses all;
  moving.add_all(index, all);
  const auto farthest = [&](const Vector3d& toward) {
    const std::vector<ConvexBody> wall{ConvexBody(HalfSpace{far * toward, -toward})};
    return far - search.find(all.courses, Scenery{wall}).lower_mm;
  };
  double widest = 0.0;
  for (int i = 0; i < sweep_directions; ++i) {
    const double angle = 2.0 * std::numbers::pi * i / sweep_directions;
    widest = std::max(widest, farthest({std::cos(angle), std::sin(angle), 0.0}));
  }
  result.swept_radius_mm = widest / std::cos(std::numbers::pi / sweep_directions) + rounding_mm;
  result.swept_height_mm = farthest(Vector3d::UnitZ()) + rounding_mm;
}

}  // namespace

ClearanceResult certify(const MovingScene& scene, double tolerance_mm) {
  const Moving moving(scene);
  CertifiedMinimum search(tolerance_mm);
  const double rounding = scene.box().rounding_mm;
  ClearanceResult result;
  Least least;
  Moving::Courses courses;
  for (std::size_t i = 0; i < scene.obstacles.size(); ++i) {
    ObstacleClearance clearance;
    clearance.part = scene.obstacles[i].obstacle.name;
    Least of_part;
    for (const Piece piece : {Piece::coil, Piece::lead_arc, Piece::front_end}) {
      courses.clear();
      moving.add(i, piece, courses);
      const LeastDistance found = search.find(courses.courses, moving.around());
      if (!found.meeting) continue;
      clearance.pieces[static_cast<std::size_t>(piece)] = found.lower_mm - rounding;
      of_part.take(found.lower_mm - rounding,
                   moving.nearest(clearance.part, scene.obstacles[i].stands, courses, *found.meeting, rounding));
    }
    if (!of_part.empty()) {
      clearance.least_mm = of_part.lower_mm();
      clearance.nearest = of_part.nearest(tolerance_mm);
      least.take(*clearance.least_mm, *clearance.nearest);
    }
    result.obstacles.push_back(std::move(clearance));
  }
  courses.clear();
  moving.add_against_stock(courses);
  if (const LeastDistance stock = search.find(courses.courses, moving.around()); stock.meeting) {
    result.stock_mm = stock.lower_mm - rounding;
    least.take(*result.stock_mm, moving.nearest("incoming stock", MovingObstacle::Stands::still, courses, *stock.meeting, rounding));
  }
  const Moving::Pairs pairs = moving.pairs();
  if (const LeastDistance self = search.find(pairs.seen.courses, Scenery{pairs.chords}); self.meeting) {
    result.self_mm = self.lower_mm - 2.0 * scene.tube_radius_mm;
    least.take(*result.self_mm, moving.nearest_of_itself(pairs, *self.meeting));
  }
  sweep(moving, rounding, result);
  if (!least.empty()) {
    result.least_mm = least.lower_mm();
    result.nearest = least.nearest(tolerance_mm);
    result.error_bound_mm = std::max(0.0, result.nearest->distance_mm - *result.least_mm);
  }
  result.evaluations = search.evaluations();
  return result;
}

std::optional<double> nearer_than_mm(const MovingScene& scene, double limit_mm, double tolerance_mm) {
  const Moving moving(scene, limit_mm);
  CertifiedMinimum search(tolerance_mm);
  const double rounding = scene.box().rounding_mm;
  Moving::Courses all;
  moving.add_everything(all);
  double lower = limit_mm;
  if (const LeastDistance found = search.find(all.courses, moving.around(), lower + rounding); found.meeting) lower = found.lower_mm - rounding;
  const Moving::Pairs pairs = moving.pairs();
  const double both = 2.0 * scene.tube_radius_mm;
  if (const LeastDistance self = search.find(pairs.seen.courses, Scenery{pairs.chords}, lower + both); self.meeting) lower = self.lower_mm - both;
  return lower < limit_mm ? std::optional(lower) : std::nullopt;
}

}  // namespace coilwright
