#include <algorithm>
#include <cmath>
#include <coilwright/clearance/certified_minimum.hpp>
#include <coilwright/clearance/clearance.hpp>
#include <coilwright/clearance/contact.hpp>
#include <coilwright/clearance/self_distance.hpp>
#include <coilwright/clearance/sweep.hpp>
#include <coilwright/quantity/require.hpp>
#include <limits>
#include <numbers>
#include <numeric>

namespace coilwright {
namespace {

constexpr double unlimited = std::numeric_limits<double>::infinity();
// Over the sprung arc the unit of length is true to the strain of bending, below 1e-3 (pose.hpp).
constexpr double arc_stretch = 1.0 + 1e-3;

// The stretches of the part between two lags, by growing lag.
std::vector<Stretch> stretches(const PosedPart& part, double from_mm, double to_mm) {
  const std::array<double, 5> bounds{-unlimited, -part.span_in_mm(), part.span_out_mm(), part.outboard_lag_mm(),
                                     unlimited};
  constexpr std::array stages{Stage::stock, Stage::spans, Stage::arc, Stage::coil};
  std::vector<Stretch> result;
  for (std::size_t i = 0; i < stages.size(); ++i) {
    const double from = std::max(from_mm, bounds[i]), to = std::min(to_mm, bounds[i + 1]);
    if (from < to) result.emplace_back(part, stages[i], from, to);
  }
  return result;
}

// A stretch of one piece of the part; with a straight, of the front end.
struct PieceStretch {
  Piece piece;
  Stretch stretch;
  double straight_mm;
};

class Scene {
 public:
  Scene(const ClearanceScene& spec, double tolerance_mm) : spec_(spec), tolerance_(tolerance_mm) {
    require(spec.part != nullptr, "a clearance needs a part");
    require(std::isfinite(spec.tube_radius_mm) && spec.tube_radius_mm > 0.0 && std::isfinite(spec.coil_to_mm) &&
                std::isfinite(spec.rolled_mm) && spec.rolled_mm >= spec.coil_to_mm &&
                std::isfinite(spec.front_end_mm) && spec.front_end_mm >= 0.0 && std::isfinite(spec.stock_mm) &&
                spec.stock_mm >= 0.0 && std::isfinite(spec.flat_front_mm),
            "a clearance scene must have finite lengths in order");
    const PosedPart& part = *spec.part;
    const double entry = -part.span_in_mm(), exit = part.span_out_mm();
    add_piece(Piece::stock, entry - spec.stock_mm, entry);
    add_piece(Piece::spans, entry, exit);
    add_piece(Piece::coil, exit, spec.coil_to_mm);
    add_piece(Piece::lead_arc, std::max(exit, spec.coil_to_mm), spec.rolled_mm);
    if (spec.front_end_mm > 0.0) {
      for (const Stretch& stretch : stretches(part, exit, spec.rolled_mm))
        pieces_.push_back({Piece::front_end, stretch,
                           stretch.stage() == Stage::arc ? arc_stretch * spec.front_end_mm : spec.front_end_mm});
    }
    whole_ = stretches(part, entry - spec.stock_mm, std::max(exit, spec.rolled_mm));
    for (const Obstacle& obstacle : spec.obstacles) {
      require(!obstacle.bodies.empty(), "an obstacle needs a body");
      first_body_.push_back(static_cast<std::uint32_t>(bodies_.size()));
      for (const Shape& shape : obstacle.bodies) bodies_.emplace_back(shape);
    }
    first_body_.push_back(static_cast<std::uint32_t>(bodies_.size()));
    // The incoming stock is one more body; as thick as the tube, so that all distances mean the same.
    const Eigen::Vector3d entry_point = part.at(Stage::stock, entry).p;
    bodies_.push_back(ConvexBody::capsule(part.at(Stage::stock, entry - spec.stock_mm).p, entry_point,
                                          spec.tube_radius_mm));
    indices_.resize(bodies_.size());
    std::iota(indices_.begin(), indices_.end(), 0u);
    for (std::size_t i = 0; i < spec.obstacles.size(); ++i) not_counted_.push_back(find_not_counted(i));
  }

  [[nodiscard]] const std::vector<PieceStretch>& pieces() const { return pieces_; }
  [[nodiscard]] const std::vector<ConvexBody>& bodies() const { return bodies_; }
  [[nodiscard]] const std::optional<NotCounted>& not_counted(std::size_t obstacle) const {
    return not_counted_[obstacle];
  }
  [[nodiscard]] std::span<const std::uint32_t> bodies_of(std::size_t obstacle) const {
    return std::span(indices_).subspan(first_body_[obstacle], first_body_[obstacle + 1] - first_body_[obstacle]);
  }
  [[nodiscard]] std::span<const std::uint32_t> stock_body() const { return std::span(indices_).last(1); }
  [[nodiscard]] std::size_t evaluations() const { return evaluations_; }

  // What of the part is counted against an obstacle, all pieces or one.
  void add_courses(std::size_t obstacle, std::optional<Piece> only, std::vector<Course>& courses,
                   std::vector<Piece>& course_pieces) const {
    for (const PieceStretch& p : pieces_) {
      if (only && p.piece != *only) continue;
      double skip_from = unlimited, skip_to = unlimited;
      if (const auto& skip = not_counted_[obstacle]) {
        skip_from = p.piece == Piece::front_end ? skip->front_end_from_mm : skip->from_mm;
        skip_to = p.piece == Piece::front_end ? skip->front_end_to_mm : skip->to_mm;
      }
      const auto add = [&](double from, double to) {
        if (from >= to) return;
        courses.push_back({p.stretch.within(from, to), p.straight_mm, bodies_of(obstacle)});
        course_pieces.push_back(p.piece);
      };
      add(p.stretch.from_mm(), std::min(p.stretch.to_mm(), skip_from));
      if (skip_to > skip_from || skip_from == unlimited)
        add(std::max(p.stretch.from_mm(), skip_to), p.stretch.to_mm());
      else
        add(std::max(p.stretch.from_mm(), skip_from), p.stretch.to_mm());
    }
  }

  // The lag from which the part is checked against itself and the stock; none when it is shorter.
  [[nodiscard]] std::optional<double> returns_from() const {
    const double apart = std::numbers::pi / spec_.part->helix().curvature().per_mm();
    if (spec_.rolled_mm <= apart) return std::nullopt;
    return apart;
  }
  void add_stock_courses(std::vector<Course>& courses, std::vector<Piece>& course_pieces) const {
    const auto from = returns_from();
    if (!from) return;
    for (const PieceStretch& p : pieces_) {
      if (p.piece == Piece::stock || p.piece == Piece::spans || p.stretch.to_mm() <= *from) continue;
      courses.push_back({p.stretch.within(std::max(*from, p.stretch.from_mm()), p.stretch.to_mm()), p.straight_mm,
                         stock_body()});
      course_pieces.push_back(p.piece);
    }
  }
  // Pairs with the spans (every lag there is far enough away), or of the part with itself.
  [[nodiscard]] std::vector<PairCourse> span_pairs() const {
    std::vector<PairCourse> pairs;
    const double exit = spec_.part->span_out_mm();
    if (const auto from = returns_from())
      for (const Stretch& near : stretches(*spec_.part, -spec_.part->span_in_mm(), exit))
        for (const Stretch& far : stretches(*spec_.part, std::max(*from, exit), spec_.rolled_mm))
          pairs.push_back({near, far, straight_on(far), 0.0});
    return pairs;
  }
  [[nodiscard]] std::vector<PairCourse> self_pairs() const {
    std::vector<PairCourse> pairs;
    const auto apart = returns_from();
    const double exit = spec_.part->span_out_mm();
    if (!apart || spec_.rolled_mm - exit <= *apart) return pairs;
    for (const Stretch& near : stretches(*spec_.part, exit, spec_.rolled_mm - *apart)) {
      // On the rigid helix every pair equally far apart is the same: one lag stands for all.
      const bool rigid = near.stage() == Stage::coil;
      const Stretch start = rigid ? near.within(near.from_mm(), near.from_mm()) : near;
      for (const Stretch& far : stretches(*spec_.part, start.from_mm() + *apart, spec_.rolled_mm))
        pairs.push_back({start, far, straight_on(far), *apart});
    }
    return pairs;
  }

  // The least distance of the rigid helix to itself, closed form: at the nearest turn or at an end of the
  // lags that are compared.
  [[nodiscard]] std::optional<PairMeeting> rigid_pair() const {
    const auto apart = returns_from();
    const double from = std::max(spec_.part->outboard_lag_mm(), spec_.part->span_out_mm());
    if (!apart || spec_.rolled_mm - from <= *apart) return std::nullopt;
    const Helix& helix = spec_.part->helix();
    const double rho = helix.arc_per_radian_mm();
    std::optional<PairMeeting> best;
    const auto consider = [&](double behind) {
      const Eigen::Vector3d a = spec_.part->at(Stage::coil, from).p, b = spec_.part->at(Stage::coil, from + behind).p;
      const double theta = behind / rho;
      const double d = std::hypot(2.0 * helix.plan_radius().mm() * std::sin(0.5 * theta),
                                  helix.rise_per_radian_mm() * theta);
      if (!best || d < best->distance_mm) best = PairMeeting{from, from + behind, 0.0, a, b, d, 0.0};
    };
    consider(*apart);
    consider(spec_.rolled_mm - from);
    if (const auto turn = turn_to_turn(helix)) {
      const double behind = turn->azimuth_rad * rho;
      if (behind > *apart && behind < spec_.rolled_mm - from) consider(behind);
    }
    return best;
  }

  // Points and lengths of a meeting of the tube with something.
  [[nodiscard]] NearestPair nearest(std::string name, Piece piece, double lag, double ahead,
                                    const Eigen::Vector3d& centre, const Eigen::Vector3d& toward_part,
                                    double centre_distance) const {
    NearestPair pair;
    pair.part = std::move(name);
    pair.piece = piece;
    pair.fed_length_mm = std::max(lag, 0.0);
    if (piece == Piece::stock || piece == Piece::spans) pair.fed_length_mm = 0.0;
    pair.along_part_mm = spec_.flat_front_mm + pair.fed_length_mm - lag - ahead;
    pair.distance_mm = centre_distance - spec_.tube_radius_mm;
    pair.part_point = centre - spec_.tube_radius_mm * toward_part;
    pair.machine_point = centre - centre_distance * toward_part;
    return pair;
  }
  [[nodiscard]] NearestPair nearest(std::string name, Piece piece, const Meeting& meeting) const {
    return nearest(std::move(name), piece, meeting.lag_mm, meeting.ahead_mm, meeting.point, meeting.direction,
                   meeting.distance_mm);
  }
  [[nodiscard]] NearestPair nearest(std::string name, const PairMeeting& meeting) const {
    Piece piece = meeting.far_lag_mm > spec_.coil_to_mm ? Piece::lead_arc : Piece::coil;
    if (meeting.ahead_mm > 0.0) piece = Piece::front_end;
    const Eigen::Vector3d between = meeting.far_point - meeting.near_point;
    const double d = between.norm();
    return nearest(std::move(name), piece, meeting.far_lag_mm, meeting.ahead_mm, meeting.far_point,
                   d > 0.0 ? Eigen::Vector3d(between / d) : Eigen::Vector3d::UnitX(), d - spec_.tube_radius_mm);
  }
  // At an end of the part or of the lags compared, as far as the search knows the place.
  [[nodiscard]] bool at_end(const PairMeeting& meeting) const {
    return meeting.ahead_mm > 0.0 || meeting.far_lag_mm + meeting.within_mm >= spec_.rolled_mm ||
           meeting.far_lag_mm - meeting.near_lag_mm - meeting.within_mm <= returns_from().value_or(0.0);
  }

 private:
  void add_piece(Piece piece, double from_mm, double to_mm) {
    for (const Stretch& stretch : stretches(*spec_.part, from_mm, to_mm)) pieces_.push_back({piece, stretch, 0.0});
  }
  [[nodiscard]] double straight_on(const Stretch& stretch) const {
    return stretch.stage() == Stage::arc ? arc_stretch * spec_.front_end_mm : spec_.front_end_mm;
  }
  std::optional<NotCounted> find_not_counted(std::size_t obstacle) {
    const Obstacle& o = spec_.obstacles[obstacle];
    if (!o.contact_lag_mm) return std::nullopt;
    const auto bodies = std::span(bodies_).subspan(first_body_[obstacle], o.bodies.size());
    const NotCounted found = not_counted_at_contact(
        {bodies, whole_, *o.contact_lag_mm, o.play_mm, spec_.tube_radius_mm, arc_stretch * spec_.front_end_mm,
         std::numbers::pi * spec_.part->helix().arc_per_radian_mm(), tolerance_});
    evaluations_ += found.evaluations;
    return found;
  }

  const ClearanceScene& spec_;
  double tolerance_;
  std::vector<PieceStretch> pieces_;
  std::vector<Stretch> whole_;
  std::vector<ConvexBody> bodies_;  // of all obstacles in order, then the stock
  std::vector<std::uint32_t> indices_, first_body_;
  std::vector<std::optional<NotCounted>> not_counted_;
  std::size_t evaluations_ = 0;
};

// Keeps the least lower bound, the least upper bound and where that was met.
struct Least {
  double lower = unlimited, upper = unlimited;
  std::optional<NearestPair> nearest;
  void take(double lower_mm, double upper_mm, const NearestPair& pair) {
    lower = std::min(lower, lower_mm);
    if (upper_mm < upper) {
      upper = upper_mm;
      nearest = pair;
    }
  }
};

}  // namespace

std::string_view piece_text(Piece piece) {
  switch (piece) {
    case Piece::stock: return "stock";
    case Piece::spans: return "spans";
    case Piece::coil: return "coil";
    case Piece::lead_arc: return "lead_arc";
    case Piece::front_end: return "front_end";
  }
  throw InternalError("unknown piece");
}

ClearanceResult certify(const ClearanceScene& spec, double tolerance_mm) {
  const Scene scene(spec, tolerance_mm);
  const double radius = spec.tube_radius_mm;
  CertifiedMinimum search(tolerance_mm);
  std::size_t pair_evaluations = 0;
  ClearanceResult result;
  Least least;
  std::vector<Course> courses;
  std::vector<Piece> course_pieces;

  for (std::size_t i = 0; i < spec.obstacles.size(); ++i) {
    ObstacleClearance clearance;
    clearance.part = spec.obstacles[i].name;
    if (const auto& skip = scene.not_counted(i)) clearance.excluded_lag_mm = {skip->from_mm, skip->to_mm};
    Least least_of_part;
    for (const Piece piece : all_pieces) {
      courses.clear();
      course_pieces.clear();
      scene.add_courses(i, piece, courses, course_pieces);
      const LeastDistance found = search.find(courses, scene.bodies());
      if (!found.meeting) continue;
      clearance.pieces[static_cast<std::size_t>(piece)] = found.lower_mm - radius;
      least_of_part.take(found.lower_mm - radius, found.upper_mm - radius,
                         scene.nearest(clearance.part, piece, *found.meeting));
    }
    if (least_of_part.nearest) {
      clearance.least_mm = least_of_part.lower;
      clearance.nearest = least_of_part.nearest;
      least.take(least_of_part.lower, least_of_part.upper, *least_of_part.nearest);
    }
    result.obstacles.push_back(std::move(clearance));
  }

  // Against the incoming stock, and against the spans only as far as they may be nearer.
  courses.clear();
  course_pieces.clear();
  scene.add_stock_courses(courses, course_pieces);
  const LeastDistance stock = search.find(courses, scene.bodies());
  const std::vector<PairCourse> span_pairs = scene.span_pairs();
  const LeastPair spans = least_pair(span_pairs, tolerance_mm, stock.upper_mm + radius);
  pair_evaluations += spans.evaluations;
  if (!courses.empty() || !span_pairs.empty()) {
    Least near_stock;
    if (stock.meeting)
      near_stock.take(stock.lower_mm - radius, stock.upper_mm - radius,
                      scene.nearest("incoming stock", course_pieces[stock.meeting->course], *stock.meeting));
    if (spans.meeting)
      near_stock.take(spans.lower_mm - 2.0 * radius, spans.upper_mm - 2.0 * radius,
                      scene.nearest("incoming stock", *spans.meeting));
    near_stock.lower = std::min(near_stock.lower, spans.lower_mm - 2.0 * radius);
    result.stock_mm = near_stock.lower;
    if (near_stock.nearest) least.take(near_stock.lower, near_stock.upper, *near_stock.nearest);
  }

  const std::vector<PairCourse> self_pairs = scene.self_pairs();
  if (!self_pairs.empty()) {
    const auto rigid = scene.rigid_pair();
    const double closed = rigid ? rigid->distance_mm : unlimited;
    const LeastPair found = least_pair(self_pairs, tolerance_mm, closed);
    pair_evaluations += found.evaluations;
    const auto& meeting = found.meeting ? found.meeting : rigid;
    require(meeting.has_value(), "a part compared with itself has a nearest pair");
    result.self_mm = found.lower_mm - 2.0 * radius;
    result.self_at_end = scene.at_end(*meeting);
    least.take(*result.self_mm, found.upper_mm - 2.0 * radius, scene.nearest("itself", *meeting));
  }

  if (least.nearest) {
    result.least_mm = least.lower;
    result.error_bound_mm = least.upper - least.lower;
    result.nearest = least.nearest;
  }
  std::vector<SweptCourse> swept;
  for (const PieceStretch& p : scene.pieces())
    if (p.piece != Piece::stock) swept.push_back({p.stretch, p.straight_mm});
  result.swept_radius_mm = largest_plan_distance_mm(swept, tolerance_mm) + radius;
  result.swept_height_mm = highest_mm(swept, tolerance_mm) + radius;
  result.evaluations = scene.evaluations() + search.evaluations() + pair_evaluations;
  return result;
}

std::optional<double> least_distance_mm(const ClearanceScene& spec, double tolerance_mm) {
  const Scene scene(spec, tolerance_mm);
  const double radius = spec.tube_radius_mm;
  const auto rigid = scene.rigid_pair();
  const double closed = rigid ? rigid->distance_mm - radius : unlimited;

  // One search over everything, so that whatever is near sets aside what is far. Obstacles without a
  // contact share their courses.
  std::vector<Course> courses;
  std::vector<Piece> course_pieces;
  std::vector<std::uint32_t> shared;
  std::optional<std::size_t> plain;
  for (std::size_t i = 0; i < spec.obstacles.size(); ++i) {
    if (scene.not_counted(i)) {
      scene.add_courses(i, std::nullopt, courses, course_pieces);
    } else {
      const auto bodies = scene.bodies_of(i);
      shared.insert(shared.end(), bodies.begin(), bodies.end());
      plain = i;
    }
  }
  if (plain) {
    const std::size_t first = courses.size();
    scene.add_courses(*plain, std::nullopt, courses, course_pieces);
    for (std::size_t i = first; i < courses.size(); ++i) courses[i].bodies = shared;
  }
  scene.add_stock_courses(courses, course_pieces);
  CertifiedMinimum search(tolerance_mm);
  const LeastDistance found = search.find(courses, scene.bodies(), closed);

  std::vector<PairCourse> pairs = scene.self_pairs();
  const std::vector<PairCourse> spans = scene.span_pairs();
  pairs.insert(pairs.end(), spans.begin(), spans.end());
  const LeastPair pair = least_pair(pairs, tolerance_mm, found.upper_mm + radius);
  const double lower = std::min(found.lower_mm - radius, pair.lower_mm - 2.0 * radius);
  if (lower == unlimited) return std::nullopt;
  return lower;
}

std::optional<double> most_turns_under(const PosedPart& part, const Overhead& overhead, double ceiling_mm) {
  require(overhead.tube_radius_mm > 0.0 && overhead.front_end_mm >= 0.0 && overhead.ahead_mm >= 0.0 &&
              std::isfinite(ceiling_mm),
          "a ceiling and a tube are needed");
  constexpr double tolerance_mm = 0.01;  // of lag
  const Helix& helix = part.helix();
  const double rho = helix.arc_per_radian_mm(), exit = part.span_out_mm();
  const double highest = ceiling_mm - overhead.tube_radius_mm;
  const double turn = 2.0 * std::numbers::pi * rho;
  // Two turns show all that a helix does besides climbing steadily; after them it has to climb to the
  // ceiling, at most the whole height of a turn later than its axis does.
  const double rise_per_turn = part.X_FC().linear()(2, 2) * helix.pitch().mm();
  const double from = std::max(exit, part.outboard_lag_mm());
  double to = from + 2.0 * turn;
  if (rise_per_turn > 0.0) {
    const double left = highest - part.at(Stage::coil, from).p.z() + 2.0 * helix.plan_radius().mm();
    to += std::max(0.0, std::ceil(left / rise_per_turn)) * turn;
  }
  if (part.at(Stage::spans, exit).p.z() > highest) return 0.0;
  for (const Stretch& stretch : stretches(part, exit, to))
    if (const auto lag = first_lag_above({stretch, overhead.front_end_mm}, highest, tolerance_mm))
      return std::max(0.0, *lag - overhead.ahead_mm) / turn;
  return std::nullopt;
}

}  // namespace coilwright
