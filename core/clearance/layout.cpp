#include <algorithm>
#include <array>
#include <cmath>
#include <coilwright/clearance/layout.hpp>
#include <coilwright/quantity/require.hpp>
#include <limits>
#include <numbers>

namespace coilwright {
namespace {

constexpr double unlimited = std::numeric_limits<double>::infinity();

}  // namespace

std::vector<Stretch> stretches(const PosedPart& part, double from_mm, double to_mm) {
  const double exit = part.span_out_mm();
  const std::array<double, 5> bounds{-unlimited, -part.span_in_mm(), exit, std::max(exit, part.outboard_lag_mm()),
                                     unlimited};
  constexpr std::array stages{Stage::stock, Stage::spans, Stage::arc, Stage::coil};
  std::vector<Stretch> result;
  for (std::size_t i = 0; i < stages.size(); ++i) {
    const double from = std::max(from_mm, bounds[i]), to = std::min(to_mm, bounds[i + 1]);
    if (from < to) result.emplace_back(part, stages[i], from, to);
  }
  return result;
}

Layout::Layout(const ClearanceScene& scene, double tolerance_mm, double enough_mm)
    : spec_(scene), section_(scene.box()), tolerance_(tolerance_mm), enough_(enough_mm) {
  require(scene.part != nullptr, "a clearance needs a part");
  require(std::isfinite(scene.tube_radius_mm) && scene.tube_radius_mm > 0.0 && std::isfinite(scene.coil_to_mm) &&
              std::isfinite(scene.rolled_mm) && scene.rolled_mm >= scene.coil_to_mm &&
              std::isfinite(scene.front_end_mm) && scene.front_end_mm >= 0.0 && std::isfinite(scene.stock_mm) &&
              scene.stock_mm >= 0.0 && std::isfinite(scene.flat_front_mm),
          "a clearance scene must have finite lengths in order");
  const PosedPart& part = *scene.part;
  const double entry = -part.span_in_mm(), exit = part.span_out_mm();
  add_piece(Piece::stock, entry - scene.stock_mm, entry);
  add_piece(Piece::spans, entry, exit);
  add_piece(Piece::coil, exit, scene.coil_to_mm);
  add_piece(Piece::lead_arc, std::max(exit, scene.coil_to_mm), scene.rolled_mm);
  if (scene.front_end_mm > 0.0)
    for (const Stretch& stretch : stretches(part, exit, scene.rolled_mm)) {
      if (stretch.stage() == Stage::arc) arc_front_end_mm_ = stretch.straight_covering(scene.front_end_mm);
      pieces_.push_back({Piece::front_end, stretch, front_end_on(stretch)});
    }
  whole_ = stretches(part, entry - scene.stock_mm, std::max(exit, scene.rolled_mm));
  const auto* ready = scene.standing != nullptr ? scene.standing->convex().data() : nullptr;
  for (std::size_t i = 0; i < scene.obstacle_count(); ++i) {
    const Obstacle& obstacle = scene.obstacle(i);
    require(!obstacle.bodies.empty(), "an obstacle needs a body");
    first_body_.push_back(static_cast<std::uint32_t>(indices_.size()));
    for (const Shape& shape : obstacle.bodies) {
      if (const auto* mesh = std::get_if<MeshBody>(&shape)) {
        require(!obstacle.contact_lag_mm, "a roll with a contact is made of convex bodies");
        indices_.push_back(mesh_index(meshes_.size()));
        meshes_.emplace_back(*mesh);
      } else {
        indices_.push_back(static_cast<std::uint32_t>(bodies_.size()));
        if (i < scene.obstacles.size()) bodies_.emplace_back(shape);
        else bodies_.push_back(*ready++);
      }
    }
  }
  first_body_.push_back(static_cast<std::uint32_t>(indices_.size()));
  indices_.push_back(static_cast<std::uint32_t>(bodies_.size()));
  // The incoming stock is one more body; as thick as it is, so that all distances mean the same.
  bodies_.push_back(stock_body());
  for (std::size_t i = 0; i < scene.obstacle_count(); ++i) {
    not_counted_.push_back(find_not_counted(i));
    const auto own = bodies_of(i);
    if (!not_counted_[i]) without_contact_.insert(without_contact_.end(), own.begin(), own.end());
  }
}

ConvexBody Layout::stock_body() {
  const PosedPart& part = *spec_.part;
  const double to = -part.span_in_mm(), from = to - spec_.stock_mm;
  // Shorter than it is thick it has no sides to speak of.
  if (!section_.has_edges() || spec_.stock_mm < spec_.tube_radius_mm)
    return ConvexBody::capsule(part.at(Stage::stock, from).p, part.at(Stage::stock, to).p, spec_.tube_radius_mm);
  SectionBox sharp = section_;
  sharp.half_edges_mm.array() += section_.rounding_mm;
  stock_excess_ = (std::numbers::sqrt2 - 1.0) * section_.rounding_mm;
  std::vector<Eigen::Vector3d> corners;
  for (const double lag : {from, to}) {
    const PosedPart::SectionAxes axes = part.section_axes(Stage::stock, lag);
    for (const Eigen::Vector2d& corner : sharp.corners())
      corners.push_back(part.at(Stage::stock, lag).p + corner.x() * axes.inward + corner.y() * axes.shafts);
  }
  return ConvexBody(Shape(hull_of(corners).value()));
}

void Layout::add_piece(Piece piece, double from_mm, double to_mm) {
  for (const Stretch& stretch : stretches(*spec_.part, from_mm, to_mm)) pieces_.push_back({piece, stretch, 0.0});
}

std::span<const std::uint32_t> Layout::bodies_of(std::size_t obstacle) const {
  return std::span(indices_).subspan(first_body_[obstacle], first_body_[obstacle + 1] - first_body_[obstacle]);
}

std::optional<std::size_t> Layout::obstacle_of(std::uint32_t body) const {
  for (std::size_t i = 0; i < spec_.obstacle_count(); ++i) {
    const auto own = bodies_of(i);
    if (std::find(own.begin(), own.end(), body) != own.end()) return i;
  }
  return std::nullopt;
}

std::optional<NotCounted> Layout::find_not_counted(std::size_t obstacle) {
  const Obstacle& o = spec_.obstacle(obstacle);
  if (!o.contact_lag_mm) return std::nullopt;
  double front_end = 0.0;
  for (const PieceStretch& p : pieces_) front_end = std::max(front_end, p.straight_mm);
  const NotCounted found = not_counted_at_contact(
      {std::span(bodies_).subspan(indices_[first_body_[obstacle]], o.bodies.size()), whole_, *o.contact_lag_mm, o.play_mm,
       spec_.tube_radius_mm, front_end,
       std::numbers::pi * spec_.part->helix().arc_per_radian_mm(), tolerance_, enough_, section_});
  evaluations_ += found.evaluations;
  return found;
}

void Layout::add(std::size_t obstacle, std::optional<Piece> only, PieceCourses& to) const {
  for (const PieceStretch& p : pieces_) {
    if (only && p.piece != *only) continue;
    const double from = p.stretch.from_mm(), end = p.stretch.to_mm();
    const auto count = [&](double first, double last) {
      if (first >= last) return;
      to.courses.push_back({p.stretch.within(first, last), p.straight_mm, bodies_of(obstacle), section_});
      to.pieces.push_back(p.piece);
    };
    const auto& skip = not_counted_[obstacle];
    const bool front = p.piece == Piece::front_end;
    const double skip_from = skip ? (front ? skip->front_end_from_mm : skip->from_mm) : end;
    const double skip_to = skip ? (front ? skip->front_end_to_mm : skip->to_mm) : end;
    count(from, std::min(end, skip_from));
    count(std::max(from, skip_to), end);
  }
}

PieceCourses Layout::against(std::size_t obstacle, Piece piece) const {
  PieceCourses result;
  add(obstacle, piece, result);
  return result;
}

PieceCourses Layout::against_everything() const {
  PieceCourses result = against_stock();
  for (std::size_t i = 0; i < spec_.obstacle_count(); ++i)
    if (not_counted_[i]) add(i, std::nullopt, result);
  for (const PieceStretch& p : pieces_) {
    result.courses.push_back({p.stretch, p.straight_mm, without_contact_, section_});
    result.pieces.push_back(p.piece);
  }
  return result;
}

std::optional<double> Layout::returns_from() const {
  const double apart = std::numbers::pi / spec_.part->helix().curvature().per_mm();
  if (spec_.rolled_mm <= apart) return std::nullopt;
  return apart;
}

PieceCourses Layout::against_stock() const {
  PieceCourses result;
  const auto from = returns_from();
  if (!from) return result;
  for (const PieceStretch& p : pieces_) {
    if (p.piece == Piece::stock || p.piece == Piece::spans || p.stretch.to_mm() <= *from) continue;
    result.courses.push_back({p.stretch.within(std::max(*from, p.stretch.from_mm()), p.stretch.to_mm()),
                              p.straight_mm, std::span(indices_).last(1), section_});
    result.pieces.push_back(p.piece);
  }
  return result;
}

std::vector<PairCourse> Layout::pairs_with_spans() const {
  std::vector<PairCourse> pairs;
  const double entry = -spec_.part->span_in_mm(), exit = spec_.part->span_out_mm();
  if (const auto from = returns_from())
    for (const Stretch& near : stretches(*spec_.part, entry, exit))
      for (const Stretch& far : stretches(*spec_.part, std::max(*from, exit), spec_.rolled_mm))
        pairs.push_back({near, far, front_end_on(far), 0.0});
  return pairs;
}

std::vector<PairCourse> Layout::pairs_with_itself(FrontEnd front_end) const {
  std::vector<PairCourse> pairs;
  const auto apart = returns_from();
  const double exit = spec_.part->span_out_mm();
  if (!apart || spec_.rolled_mm - exit <= *apart) return pairs;
  if (front_end == FrontEnd::with && spec_.front_end_mm == 0.0) return pairs;
  for (const Stretch& near : stretches(*spec_.part, exit, spec_.rolled_mm - *apart)) {
    const bool rigid = near.stage() == Stage::coil;
    if (rigid && front_end == FrontEnd::without) continue;
    // On the rigid helix every pair equally far apart is the same: one lag stands for all.
    const Stretch start = rigid ? near.within(near.from_mm(), near.from_mm()) : near;
    for (const Stretch& far : stretches(*spec_.part, start.from_mm() + *apart, spec_.rolled_mm))
      pairs.push_back({start, far, front_end == FrontEnd::with ? front_end_on(far) : 0.0, *apart});
  }
  return pairs;
}

std::optional<PairMeeting> Layout::rigid_pair() const {
  const auto apart = returns_from();
  const double from = std::max(spec_.part->outboard_lag_mm(), spec_.part->span_out_mm());
  if (!apart || spec_.rolled_mm - from <= *apart) return std::nullopt;
  const Helix& helix = spec_.part->helix();
  const double rho = helix.arc_per_radian_mm();
  std::optional<PairMeeting> best;
  const auto consider = [&](double behind) {
    const double theta = behind / rho;
    const double distance =
        std::hypot(2.0 * helix.plan_radius().mm() * std::sin(0.5 * theta), helix.rise_per_radian_mm() * theta);
    if (!best || distance < best->distance_mm)
      best = PairMeeting{from,
                         from + behind,
                         0.0,
                         spec_.part->at(Stage::coil, from).p,
                         spec_.part->at(Stage::coil, from + behind).p,
                         distance,
                         0.0};
  };
  consider(*apart);
  consider(spec_.rolled_mm - from);
  if (const auto turn = turn_to_turn(helix)) {
    const double behind = turn->azimuth_rad * rho;
    if (behind > *apart && behind < spec_.rolled_mm - from) consider(behind);
  }
  return best;
}

NearestPair Layout::pair_of(std::string name, Piece piece, double lag, double ahead, const Eigen::Vector3d& centre,
                            const Eigen::Vector3d& toward_part, double centre_distance, double radius_mm) const {
  NearestPair pair;
  pair.part = std::move(name);
  pair.piece = piece;
  pair.fed_length_mm = piece == Piece::stock || piece == Piece::spans ? 0.0 : lag;
  pair.along_part_mm = spec_.flat_front_mm + pair.fed_length_mm - lag - ahead;
  pair.distance_mm = centre_distance - radius_mm;
  pair.part_point = centre - radius_mm * toward_part;
  pair.machine_point = centre - centre_distance * toward_part;
  return pair;
}

NearestPair Layout::nearest(std::string name, Piece piece, const Meeting& meeting) const {
  return pair_of(std::move(name), piece, meeting.lag_mm, meeting.ahead_mm, meeting.point, meeting.direction,
                 meeting.distance_mm, section_.rounding_mm);
}

NearestPair Layout::nearest(std::string name, const PairMeeting& meeting) const {
  Piece piece = meeting.far_lag_mm > spec_.coil_to_mm ? Piece::lead_arc : Piece::coil;
  if (meeting.ahead_mm > 0.0) piece = Piece::front_end;
  const Eigen::Vector3d between = meeting.far_point - meeting.near_point;
  const Eigen::Vector3d toward_part =
      meeting.distance_mm > 0.0 ? Eigen::Vector3d(between.normalized()) : Eigen::Vector3d::UnitX();
  return pair_of(std::move(name), piece, meeting.far_lag_mm, meeting.ahead_mm, meeting.far_point, toward_part,
                 meeting.distance_mm - spec_.tube_radius_mm, spec_.tube_radius_mm);
}

bool Layout::at_end(const PairMeeting& meeting) const {
  return meeting.ahead_mm > 0.0 || meeting.far_lag_mm + meeting.within_mm >= spec_.rolled_mm ||
         meeting.far_lag_mm - meeting.near_lag_mm - meeting.within_mm <= returns_from().value_or(0.0);
}

}  // namespace coilwright
