#include <algorithm>
#include <cmath>
#include <coilwright/clearance/growing_clearance.hpp>
#include <coilwright/clearance/layout.hpp>
#include <coilwright/clearance/least.hpp>
#include <coilwright/quantity/require.hpp>
#include <limits>
#include <numbers>

namespace coilwright {
namespace {

using Eigen::Vector3d;

constexpr double unlimited = std::numeric_limits<double>::infinity();
// Directions in plan in which the sweep is measured: the polygon around it is at most 0.13 % too wide.
constexpr int sweep_directions = 64;
constexpr int chords_of_spans = 8;

bool same_mesh(const Shape& a, const Shape& b) {
  const auto *x = std::get_if<MeshBody>(&a), *y = std::get_if<MeshBody>(&b);
  return x != nullptr && y != nullptr && x->mesh == y->mesh && x->by == y->by && x->side == y->side;
}

// A scene worked out: every body once, and what is searched.
class Growth {
 public:
  explicit Growth(const GrowingScene& scene) : scene_(scene) {
    require(scene.blank != nullptr && !scene.steps.empty() && scene.pieces.size() == scene.blank->segments().size(),
            "a growing part needs a blank and steps");
    require(scene.tube_radius_mm > 0.0 && scene.greatest_curvature_per_mm > 0.0 && scene.stock_mm >= 0.0,
            "a growing part has a thickness and a bend");
    require(!scene.section || scene.section_in_segment.size() == scene.pieces.size(), "every segment knows how the section lies in it");
    for (const GrowingStep& step : scene.steps) {
      require(step.obstacles.size() == scene.steps.front().obstacles.size(), "the same obstacles stand around every step");
      add_bodies(step);
      add_stock(step);
    }
  }

  [[nodiscard]] Scenery around() const { return {bodies_, meshes_}; }
  [[nodiscard]] const GrowingScene& scene() const { return scene_; }

  // The formed part against one obstacle, one piece of it or all.
  [[nodiscard]] std::vector<PatchCourse> formed_against(std::size_t obstacle, std::optional<Piece> piece) const {
    std::vector<PatchCourse> courses;
    for (std::size_t k = 0; k < scene_.steps.size(); ++k) {
      const GrowingStep& step = scene_.steps[k];
      const auto& contact = step.obstacles[obstacle].contact_lag_mm;
      const double lag = contact ? std::max(step.span_out_mm, *contact + scene_.leaving_mm()) : step.span_out_mm;
      add(step, lag, of_obstacles_[k][obstacle], piece, courses);
    }
    return courses;
  }
  // Where the part, having left a roll by its own thickness, must not lie deeper in it than the play. The outboard
  // roll is left out: the part is guided on to it.
  [[nodiscard]] std::vector<PatchCourse> leaving(std::size_t obstacle) const {
    std::vector<PatchCourse> courses;
    for (std::size_t k = 0; k < scene_.steps.size(); ++k) {
      const GrowingStep& step = scene_.steps[k];
      const auto& contact = step.obstacles[obstacle].contact_lag_mm;
      if (!contact || *contact > step.span_out_mm || step.settings == GrowingStep::Settings::changing) continue;
      const double lag = std::max(step.span_out_mm, *contact + 2.0 * scene_.tube_radius_mm);
      add(step, lag, of_obstacles_[k][obstacle], std::nullopt, courses);
    }
    return courses;
  }
  [[nodiscard]] std::vector<PatchCourse> against_stock() const {
    std::vector<PatchCourse> courses;
    for (std::size_t k = 0; k < scene_.steps.size(); ++k)
      add(scene_.steps[k], std::max(scene_.steps[k].span_out_mm, returns_from()), of_stock_[k], std::nullopt, courses);
    return courses;
  }
  // Every part of it seen from every other: the bend point runs along the part, and what has passed it stands around.
  [[nodiscard]] std::vector<PatchCourse> against_itself(std::span<const std::uint32_t> point) const {
    std::vector<FedSegment> at_rest = scene_.blank->segments();
    for (FedSegment& segment : at_rest) segment.X_FB = Eigen::Isometry3d::Identity();
    const FedPart part(std::move(at_rest));
    std::vector<PatchCourse> courses;
    for (const FedPatch& patch : part.patches(0.0, part.length_mm(), returns_from()))
      if (scene_.looked_at(patch.part_segment())) courses.push_back({patch, point});
    return courses;
  }
  [[nodiscard]] std::vector<PatchCourse> everything_against(std::span<const std::uint32_t> bodies) const {
    std::vector<PatchCourse> courses;
    for (const GrowingStep& step : scene_.steps) add(step, step.span_out_mm, bodies, std::nullopt, courses);
    return courses;
  }
  // Before this lag the part cannot have come back to itself (self_distance.hpp).
  [[nodiscard]] double returns_from() const { return std::numbers::pi / scene_.greatest_curvature_per_mm; }

  [[nodiscard]] NearestPair nearest(std::string name, std::span<const PatchCourse> courses, const Meeting& meeting,
                                    double radius_mm) const {
    NearestPair pair;
    pair.part = std::move(name);
    pair.piece = scene_.pieces[courses[meeting.course].patch.part_segment()];
    pair.fed_length_mm = meeting.fed_mm - scene_.front_end_mm;
    pair.along_part_mm = meeting.along_mm;
    pair.distance_mm = meeting.distance_mm - radius_mm;
    pair.part_point = meeting.point - radius_mm * meeting.direction;
    pair.machine_point = meeting.point - meeting.distance_mm * meeting.direction;
    return pair;
  }
  // Of the part seen from the bend point: both points at the moment at which the nearer end is in the bend.
  [[nodiscard]] NearestPair nearest_of_itself(std::span<const PatchCourse> courses, Meeting meeting) const {
    const Eigen::Isometry3d X = pose_at(meeting.fed_mm);
    meeting.point = X * meeting.point;
    meeting.direction = X.linear() * meeting.direction;
    meeting.distance_mm -= scene_.tube_radius_mm;
    return nearest("itself", courses, meeting, scene_.tube_radius_mm);
  }

 private:
  [[nodiscard]] Eigen::Isometry3d pose_at(double fed_mm) const {
    for (const GrowingStep& step : scene_.steps) {
      const FedStep& fed = step.fed;
      if (fed.fed_from_mm < fed.fed_to_mm && fed_mm <= fed.fed_to_mm)
        return fed.X_FB((fed_mm - fed.fed_from_mm) / (fed.fed_to_mm - fed.fed_from_mm));
    }
    return scene_.steps.back().fed.X_FB_to;
  }

  void add(const GrowingStep& step, double lag_from, std::span<const std::uint32_t> bodies, std::optional<Piece> piece,
           std::vector<PatchCourse>& to) const {
    for (const FedPatch& patch : scene_.blank->patches(step.fed, lag_from))
      if (scene_.looked_at(patch.part_segment()) && (!piece || scene_.pieces[patch.part_segment()] == *piece))
        to.push_back(course_of(patch, bodies));
  }
  [[nodiscard]] PatchCourse course_of(const FedPatch& patch, std::span<const std::uint32_t> bodies) const {
    PatchCourse course{patch, bodies};
    if (!scene_.section || !scene_.section->has_edges()) return course;
    const Eigen::Matrix2d& lies = scene_.section_in_segment[patch.part_segment()];
    course.half_edges = scene_.section->half_edges_mm;
    course.middle = {scene_.section->middle_mm.x(), lies.determinant() * scene_.section->middle_mm.y()};
    course.turned_rad = std::atan2(lies(1, 0), lies(0, 0)) + lies.determinant() * scene_.section->turned_rad;
    return course;
  }

  void add_bodies(const GrowingStep& step) {
    std::vector<std::vector<std::uint32_t>> of_step;
    for (std::size_t i = 0; i < step.obstacles.size(); ++i) {
      std::vector<std::uint32_t> own;
      for (std::size_t b = 0; b < step.obstacles[i].bodies.size(); ++b) {
        const Shape& shape = step.obstacles[i].bodies[b];
        const auto* mesh = std::get_if<MeshBody>(&shape);
        if (mesh == nullptr) {
          own.push_back(static_cast<std::uint32_t>(bodies_.size()));
          bodies_.emplace_back(shape);
        } else if (const GrowingStep& first = scene_.steps.front(); &first != &step && same_mesh(first.obstacles[i].bodies[b], shape)) {
          own.push_back(of_obstacles_.front()[i][b]);
        } else {
          own.push_back(mesh_index(meshes_.size()));
          meshes_.emplace_back(*mesh);
        }
      }
      of_step.push_back(std::move(own));
    }
    of_obstacles_.push_back(std::move(of_step));
  }

  // Stock and spans as bodies as thick as the part; of the bent spans their chords, thicker by what they bulge.
  void add_stock(const GrowingStep& step) {
    const double radius = scene_.tube_radius_mm;
    std::vector<std::uint32_t> own;
    const auto add = [&](const Vector3d& from, const Vector3d& to, double thick) {
      own.push_back(static_cast<std::uint32_t>(bodies_.size()));
      bodies_.push_back(ConvexBody::capsule(from, to, thick));
    };
    if (step.bent) {
      const PosedPart& part = *step.bent;
      const double entry = -part.span_in_mm(), length = part.span_out_mm() - entry, chord = length / chords_of_spans;
      add(part.at(Stage::stock, entry - scene_.stock_mm).p, part.at(Stage::stock, entry).p, radius);
      const double bulge = part.spans_second_bound_per_mm() * chord * chord / 8.0;
      for (int i = 0; i < chords_of_spans; ++i)
        add(part.at(Stage::spans, entry + i * chord).p, part.at(Stage::spans, entry + (i + 1) * chord).p, radius + bulge);
    } else {
      add({-step.span_in_mm - scene_.stock_mm, step.straight_y_mm, 0.0}, {step.span_out_mm, step.straight_y_mm, 0.0}, radius);
    }
    of_stock_.push_back(std::move(own));
  }

  const GrowingScene& scene_;
  std::vector<ConvexBody> bodies_;
  std::vector<MeshDistance> meshes_;
  std::vector<std::vector<std::vector<std::uint32_t>>> of_obstacles_;  // by step and obstacle
  std::vector<std::vector<std::uint32_t>> of_stock_;                   // by step
};

// Stock and loaded spans against what stands around, at every setting.
class Resting {
 public:
  Resting(const GrowingScene& scene, double tolerance_mm) : scene_(scene), tolerance_(tolerance_mm) {}

  void against(std::size_t obstacle, CertifiedMinimum& search, ObstacleClearance& clearance, Least& least) const {
    if (scene_.only_first) return;
    for (const GrowingStep& step : scene_.steps) {
      if (step.settings == GrowingStep::Settings::changing) continue;  // between two settings that count anyway
      if (step.bent) bent(step, obstacle, search, clearance, least);
      else straight(step, obstacle, search, clearance, least);
    }
  }

 private:
  [[nodiscard]] SectionBox section_at(const GrowingStep& step) const {
    SectionBox section = scene_.box();
    section.turned_rad += step.section_turned_rad;
    return section;
  }

  static void take(ObstacleClearance& clearance, Piece piece, double lower) {
    auto& known = clearance.pieces[static_cast<std::size_t>(piece)];
    known = std::min(known.value_or(lower), lower);
  }

  void bent(const GrowingStep& step, std::size_t obstacle, CertifiedMinimum& search, ObstacleClearance& clearance,
            Least& least) const {
    ClearanceScene rest;
    rest.part = step.bent.get();
    rest.tube_radius_mm = scene_.tube_radius_mm;
    rest.section = section_at(step);
    rest.coil_to_mm = rest.rolled_mm = step.span_out_mm;
    rest.stock_mm = scene_.stock_mm;
    rest.flat_front_mm = scene_.front_end_mm;
    rest.obstacles = {step.obstacles[obstacle]};
    const Layout layout(rest, tolerance_);
    if (const auto& skip = layout.not_counted(0)) {
      auto& excluded = clearance.excluded_lag_mm;
      const double from = skip->from_mm;
      excluded = {excluded ? std::min(excluded->first, from) : from, excluded ? excluded->second : skip->to_mm};
    }
    for (const Piece piece : {Piece::stock, Piece::spans}) {
      const LeastDistance found = search.find(layout.against(0, piece).courses, layout.around());
      if (!found.meeting) continue;
      take(clearance, piece, found.lower_mm - rest.section->rounding_mm);
      least.take(found.lower_mm - rest.section->rounding_mm, layout.nearest(clearance.part, piece, *found.meeting));
    }
  }

  // Straight through the rolls, which it touches by design.
  void straight(const GrowingStep& step, std::size_t obstacle, CertifiedMinimum& search, ObstacleClearance& clearance,
                Least& least) const {
    if (step.obstacles[obstacle].contact_lag_mm) return;
    const double length = step.span_in_mm + step.span_out_mm + scene_.stock_mm;
    Eigen::Isometry3d X = Eigen::Isometry3d::Identity();
    X.translation() = Vector3d(step.span_out_mm, step.straight_y_mm, 0.0);
    const FedPart line({{ScrewSegment{0.0, 0.0, length}, Eigen::Isometry3d::Identity(), X}});
    std::vector<ConvexBody> bodies;
    std::vector<MeshDistance> meshes;
    std::vector<std::uint32_t> own;
    for (const Shape& shape : step.obstacles[obstacle].bodies) {
      const auto* mesh = std::get_if<MeshBody>(&shape);
      own.push_back(mesh ? mesh_index(meshes.size()) : static_cast<std::uint32_t>(bodies.size()));
      if (mesh) meshes.emplace_back(*mesh);
      else bodies.emplace_back(shape);
    }
    // Fed all at once it lies from the bend point backwards along -x.
    std::vector<PatchCourse> courses;
    const SectionBox section = section_at(step);
    for (const FedPatch& patch : line.patches({0, length, length, X, X}, 0.0))
      courses.push_back({patch, own, section.half_edges_mm, section.middle_mm, section.turned_rad});
    const LeastDistance found = search.find(courses, Scenery{bodies, meshes});
    if (!found.meeting) return;
    const double lower = found.lower_mm - section.rounding_mm;
    take(clearance, Piece::stock, lower);
    NearestPair pair;
    pair.part = clearance.part;
    pair.piece = Piece::stock;
    pair.along_part_mm = scene_.front_end_mm + found.meeting->lag_mm - step.span_out_mm;
    pair.distance_mm = found.meeting->distance_mm - section.rounding_mm;
    pair.part_point = found.meeting->point - section.rounding_mm * found.meeting->direction;
    pair.machine_point = found.meeting->point - found.meeting->distance_mm * found.meeting->direction;
    least.take(lower, pair);
  }

  const GrowingScene& scene_;
  double tolerance_;
};

// The point at the bend, for the part seen from itself.
const std::vector<ConvexBody>& bend_point() {
  static const std::vector<ConvexBody> point{ConvexBody::capsule(Vector3d::Zero(), Vector3d::Zero(), 0.0)};
  return point;
}

void sweep(const Growth& growth, ClearanceResult& result) {
  constexpr double sweep_tolerance_mm = 1.0;  // people keep farther away than that
  CertifiedMinimum search(sweep_tolerance_mm);
  const GrowingScene& scene = growth.scene();
  // Far enough out that all of the part lies before it: distances to half-spaces turn the largest into a least.
  double far = scene.blank->length_mm();
  for (const GrowingStep& step : scene.steps)
    far = std::max(far, scene.blank->length_mm() + step.fed.X_FB_from.translation().norm() + step.fed.X_FB_to.translation().norm());
  const auto farthest = [&](const Vector3d& toward) {
    const std::vector<ConvexBody> wall{ConvexBody(HalfSpace{far * toward, -toward})};
    const std::vector<std::uint32_t> index{0};
    return far - search.find(growth.everything_against(index), Scenery{wall}).lower_mm;
  };
  double widest = 0.0;
  for (int i = 0; i < sweep_directions; ++i) {
    const double angle = 2.0 * std::numbers::pi * i / sweep_directions;
    widest = std::max(widest, farthest({std::cos(angle), std::sin(angle), 0.0}));
  }
  result.swept_radius_mm = widest / std::cos(std::numbers::pi / sweep_directions) + scene.box().rounding_mm;
  result.swept_height_mm = farthest(Vector3d::UnitZ()) + scene.box().rounding_mm;
}

}  // namespace

double GrowingScene::leaving_mm() const { return 0.5 * std::numbers::pi / greatest_curvature_per_mm; }

ClearanceResult certify(const GrowingScene& scene, double tolerance_mm) {
  const Growth growth(scene);
  const Resting resting(scene, tolerance_mm);
  CertifiedMinimum search(tolerance_mm);
  const double radius = scene.tube_radius_mm, rounding = scene.box().rounding_mm;
  ClearanceResult result;
  Least least;
  for (std::size_t i = 0; i < scene.steps.front().obstacles.size(); ++i) {
    const Obstacle& obstacle = scene.steps.front().obstacles[i];
    ObstacleClearance clearance;
    clearance.part = obstacle.name;
    Least of_part;
    resting.against(i, search, clearance, of_part);
    if (obstacle.contact_lag_mm) {
      double from = *obstacle.contact_lag_mm, to = from;
      for (const GrowingStep& step : scene.steps) {
        from = std::min(from, *step.obstacles[i].contact_lag_mm);
        to = std::max(to, std::max(step.span_out_mm, *step.obstacles[i].contact_lag_mm + scene.leaving_mm()));
      }
      clearance.excluded_lag_mm = {clearance.excluded_lag_mm ? std::min(from, clearance.excluded_lag_mm->first) : from, to};
    }
    const auto take = [&](const std::vector<PatchCourse>& courses, double cutoff) {
      const LeastDistance found = search.find(courses, growth.around(), cutoff);
      if (!found.meeting) return;
      auto& of_piece = clearance.pieces[static_cast<std::size_t>(scene.pieces[courses[found.meeting->course].patch.part_segment()])];
      of_piece = std::min(of_piece.value_or(unlimited), found.lower_mm - rounding);
      of_part.take(found.lower_mm - rounding, growth.nearest(clearance.part, courses, *found.meeting, rounding));
    };
    for (const Piece piece : {Piece::coil, Piece::lead_arc, Piece::front_end}) take(growth.formed_against(i, piece), unlimited);
    if (obstacle.contact_lag_mm) take(growth.leaving(i), rounding - obstacle.play_mm);
    if (!of_part.empty()) {
      clearance.least_mm = of_part.lower_mm();
      clearance.nearest = of_part.nearest(tolerance_mm);
      least.take(*clearance.least_mm, *clearance.nearest);
    }
    result.obstacles.push_back(std::move(clearance));
  }
  const std::vector<PatchCourse> of_stock = growth.against_stock();
  if (const LeastDistance stock = search.find(of_stock, growth.around()); stock.meeting) {
    result.stock_mm = stock.lower_mm - rounding;
    least.take(*result.stock_mm, growth.nearest("incoming stock", of_stock, *stock.meeting, rounding));
  }
  const std::vector<std::uint32_t> point{0};
  const std::vector<PatchCourse> of_itself = growth.against_itself(point);
  if (const LeastDistance self = search.find(of_itself, Scenery{bend_point(), {}, Scenery::Inside::none}); self.meeting) {
    result.self_mm = self.lower_mm - 2.0 * radius;
    least.take(*result.self_mm, growth.nearest_of_itself(of_itself, *self.meeting));
  }
  sweep(growth, result);
  if (!least.empty()) {
    result.least_mm = least.lower_mm();
    result.nearest = least.nearest(tolerance_mm);
    result.error_bound_mm = std::max(0.0, result.nearest->distance_mm - *result.least_mm);
  }
  result.evaluations = search.evaluations();
  return result;
}

std::optional<double> least_distance_mm(const GrowingScene& scene, double tolerance_mm) {
  const Growth growth(scene);
  const Resting resting(scene, tolerance_mm);
  CertifiedMinimum search(tolerance_mm);
  const double radius = scene.tube_radius_mm, rounding = scene.box().rounding_mm;
  double lower = unlimited;
  std::vector<PatchCourse> courses = growth.against_stock();
  for (std::size_t i = 0; i < scene.steps.front().obstacles.size(); ++i) {
    ObstacleClearance clearance;
    Least of_part;
    resting.against(i, search, clearance, of_part);
    lower = std::min(lower, of_part.lower_mm());
    const std::vector<PatchCourse> formed = growth.formed_against(i, std::nullopt);
    courses.insert(courses.end(), formed.begin(), formed.end());
    const Obstacle& contact = scene.steps.front().obstacles[i];
    if (!contact.contact_lag_mm) continue;
    const LeastDistance deep = search.find(growth.leaving(i), growth.around(), rounding - contact.play_mm);
    if (deep.meeting) lower = std::min(lower, deep.lower_mm - rounding);
  }
  // One search over everything, so that whatever is near sets aside what is far.
  const LeastDistance found = search.find(courses, growth.around(), lower + rounding);
  lower = std::min(lower, found.lower_mm - rounding);
  const std::vector<std::uint32_t> point{0};
  const LeastDistance self = search.find(growth.against_itself(point), Scenery{bend_point(), {}, Scenery::Inside::none}, lower + 2.0 * radius);
  lower = std::min(lower, self.lower_mm - 2.0 * radius);
  if (lower == unlimited) return std::nullopt;
  return lower;
}

}  // namespace coilwright
