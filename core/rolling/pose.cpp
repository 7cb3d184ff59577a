#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/pose.hpp>
#include <limits>

namespace coilwright {
namespace {

// The two stations or nodes around a lag, and how far between them it lies (0 … 1, beyond for outside).
template <class Table>
std::pair<std::size_t, double> bracket(const Table& table, double lag_mm) {
  const auto after = std::upper_bound(table.begin() + 1, table.end() - 1, lag_mm,
                                      [](double lag, const auto& row) { return lag < row.lag_mm; });
  const auto i = static_cast<std::size_t>(after - table.begin()) - 1;
  return {i, (lag_mm - table[i].lag_mm) / (table[i + 1].lag_mm - table[i].lag_mm)};
}

Eigen::Vector3d raised(const Eigen::Vector2d& v) { return {v.x(), v.y(), 0.0}; }

// Along a stretch whose curvature runs linearly between two stations: exact in direction, position by the
// cubic Hermite form, which meets both stations in point and tangent.
CurvePoint on_spans(const std::vector<PosedPart::Station>& spans, const std::vector<Eigen::Vector2d>& tangents, double lag_mm) {
  const auto [i, x] = bracket(spans, lag_mm);
  const PosedPart::Station &a = spans[i], &b = spans[i + 1];
  const double h = b.lag_mm - a.lag_mm;
  const Eigen::Vector2d &ta = tangents[i], &tb = tangents[i + 1];
  const double x2 = x * x, x3 = x2 * x;
  const Eigen::Vector2d p = (2 * x3 - 3 * x2 + 1) * a.p + (x3 - 2 * x2 + x) * h * ta + (3 * x2 - 2 * x3) * b.p +
                            (x3 - x2) * h * tb;
  const Eigen::Vector2d d1 = (6 * x2 - 6 * x) / h * (a.p - b.p) + (3 * x2 - 4 * x + 1) * ta + (3 * x2 - 2 * x) * tb;
  const Eigen::Vector2d d2 =
      ((12 * x - 6) / h * (a.p - b.p) + (6 * x - 4) * ta + (6 * x - 2) * tb) / h;
  return {raised(p), raised(d1), raised(d2)};
}

// Quintic Hermite interpolation of the elastic displacement: meets u, u' and u'' at both nodes.
struct Quintic {
  double h;
  Eigen::Vector3d c0, c1, c2, c3, c4, c5;  // of x, 0 ... 1 over the length h

  Quintic(const PosedPart::Node& a, const PosedPart::Node& b) : h(b.lag_mm - a.lag_mm), c0(a.u), c1(a.du * h), c2(0.5 * h * h * a.ddu) {
    const Eigen::Vector3d vb = b.du * h, aa = 2.0 * c2, ab = b.ddu * h * h, step = b.u - a.u;
    c3 = 10 * step - 6 * c1 - 4 * vb - 1.5 * aa + 0.5 * ab;
    c4 = -15 * step + 8 * c1 + 7 * vb + 1.5 * aa - ab;
    c5 = 6 * step - 3 * c1 - 3 * vb - 0.5 * aa + 0.5 * ab;
  }
  [[nodiscard]] CurvePoint at(double x) const {
    return {c0 + x * (c1 + x * (c2 + x * (c3 + x * (c4 + x * c5)))),
            (c1 + x * (2 * c2 + x * (3 * c3 + x * (4 * c4 + x * 5 * c5)))) / h,
            (2 * c2 + x * (6 * c3 + x * (12 * c4 + x * 20 * c5))) / (h * h)};
  }
};
CurvePoint displacement(const std::vector<PosedPart::Node>& nodes, double lag_mm) {
  const auto [i, x] = bracket(nodes, lag_mm);
  return Quintic(nodes[i], nodes[i + 1]).at(x);
}

// The least over 0 ... 1 of the cubic with these values and rates at its ends.
double least_of_cubic(double a, double da, double b, double db) {
  const double c2 = 3.0 * (b - a) - 2.0 * da - db, c3 = 2.0 * (a - b) + da + db;
  double least = std::min(a, b);
  // Its rate da + 2 c2 x + 3 c3 x^2 rises through zero at its least.
  const double square = c2 * c2 - 3.0 * c3 * da;
  if (!(square > 0.0)) return least;
  const double root = std::sqrt(square);
  const double x = c2 > 0.0 ? -da / (c2 + root) : c3 != 0.0 ? (root - c2) / (3.0 * c3) : -1.0;
  if (x > 0.0 && x < 1.0) least = std::min(least, a + x * (da + x * (c2 + x * c3)));
  return least;
}

// A quantity over a piece of length h by its values and rates at both ends: a cubic, within its Bezier points as its
// derivatives are within theirs.
double size_of(double value) { return std::abs(value); }
double size_of(const Eigen::Vector3d& value) { return value.norm(); }
template <class Value>
struct TurningPiece {
  Value a, da, b, db;
  double h;
  [[nodiscard]] Value second_at_start() const { return (6.0 / (h * h)) * (b - a) - (1.0 / h) * (4.0 * da + 2.0 * db); }
  [[nodiscard]] Value second_at_end() const { return (1.0 / h) * (2.0 * da + 4.0 * db) - (6.0 / (h * h)) * (b - a); }
  [[nodiscard]] PosedPart::Turning<Value> at(double x) const {
    const double x2 = x * x, x3 = x2 * x;
    const Value step = b - a;
    return {a + (3 * x2 - 2 * x3) * step + h * ((x3 - 2 * x2 + x) * da + (x3 - x2) * db),
            ((6 * x - 6 * x2) / h) * step + (3 * x2 - 4 * x + 1) * da + (3 * x2 - 2 * x) * db};
  }
  [[nodiscard]] PosedPart::TurningBounds bounds() const {
    const Value c = a + (h / 3.0) * da, d = b - (h / 3.0) * db, rate = (3.0 / h) * (b - a) - da - db;
    return {std::max({size_of(a), size_of(c), size_of(d), size_of(b)}), std::max({size_of(da), size_of(rate), size_of(db)}),
            std::max(size_of(second_at_start()), size_of(second_at_end()))};
  }
};
template <class Value>
TurningPiece<Value> turning(const Value& a, const Value& da, const Value& b, const Value& db, double h) {
  return {a, da, b, db, h};
}

CurvePoint on_helix(const Helix& helix, const Eigen::Isometry3d& X, double lag_mm) {
  const Helix::Place place = helix.place_C(lag_mm / helix.arc_per_radian_mm());
  return {X * place.point, X.linear() * place.tangent, helix.curvature().per_mm() * (X.linear() * place.normal)};
}

}  // namespace

PosedPart::PosedPart(Spec spec) : spec_(std::move(spec)), spans_second_bound_(0.0) {
  require(spec_.spans.size() >= 2, "a posed part needs its loaded spans");
  require(spec_.elastic.empty() || spec_.elastic.size() >= 2, "an elastic arc needs two nodes");
  require(spec_.helix.hand() == Hand::right_screw, "in the feed frame every part is a right-hand screw");
  // The second derivative of a cubic is linear, so its largest size on a stretch stands at an end.
  span_tangents_.reserve(spec_.spans.size());
  for (const Station& s : spec_.spans) span_tangents_.emplace_back(std::cos(s.direction_rad), std::sin(s.direction_rad));
  for (std::size_t i = 0; i + 1 < spec_.spans.size(); ++i) {
    const Station &a = spec_.spans[i], &b = spec_.spans[i + 1];
    const double h = b.lag_mm - a.lag_mm;
    const Eigen::Vector2d &ta = span_tangents_[i], &tb = span_tangents_[i + 1];
    const Eigen::Vector2d chord = 6.0 * (b.p - a.p) / h;
    spans_second_bound_ = std::max({spans_second_bound_, (chord - 4.0 * ta - 2.0 * tb).norm() / h,
                                    (chord - 2.0 * ta - 4.0 * tb).norm() / h});
  }
  spans_second_bound_ *= 1.0 + 1e-9;
  find_section();
}

CurvePoint PosedPart::at(Stage stage, double lag_mm) const {
  switch (stage) {
    case Stage::stock: {
      const Station& entry = spec_.spans.front();
      const double level = std::cos(spec_.stock_slope_rad);
      const Eigen::Vector3d t(level * std::cos(entry.direction_rad), level * std::sin(entry.direction_rad),
                              std::sin(spec_.stock_slope_rad));
      return {raised(entry.p) + (lag_mm - entry.lag_mm) * t, t, Eigen::Vector3d::Zero()};
    }
    case Stage::spans:
      return on_spans(spec_.spans, span_tangents_, lag_mm);
    case Stage::arc: {
      CurvePoint c = on_helix(spec_.helix, spec_.X_FC_unsprung, lag_mm);
      if (spec_.elastic.empty()) return c;
      const CurvePoint u = displacement(spec_.elastic, lag_mm);
      return {c.p + u.p, c.d1 + u.d1, c.d2 + u.d2};
    }
    case Stage::coil:
      return on_helix(spec_.helix, spec_.X_FC, lag_mm);
  }
  throw InternalError("unknown stage");
}

double PosedPart::least_arc_speed(double from_mm, double to_mm) const {
  constexpr double rounding = 1e-12;
  const std::vector<Node>& nodes = spec_.elastic;
  if (nodes.empty()) return 1.0 - rounding;
  // g = X'.X' between nodes is the cubic by its values and rates there to within its fourth derivative by h^4 / 384; that is
  // 2 X(1).X(5) + 8 X(2).X(4) + 6 X(3).X(3) of its derivatives, where X' is the unit tangent of the helix and the rate of the displacement.
  const Helix& helix = spec_.helix;
  const double bend = helix.curvature().per_mm(), turn = std::hypot(bend, helix.torsion().per_mm());
  struct Rate {
    double square, change;
  };
  const auto at_node = [&](const Node& node) {
    const CurvePoint c = on_helix(helix, spec_.X_FC_unsprung, node.lag_mm);
    const Eigen::Vector3d d1 = c.d1 + node.du;
    return Rate{d1.squaredNorm(), 2.0 * d1.dot(c.d2 + node.ddu)};
  };
  const std::size_t first = bracket(nodes, from_mm).first, last = bracket(nodes, to_mm).first;
  double least = std::numeric_limits<double>::infinity();
  Rate a = at_node(nodes[first]);
  for (std::size_t i = first; i <= last; ++i) {
    const Rate b = at_node(nodes[i + 1]);
    const Quintic u(nodes[i], nodes[i + 1]);
    const double h = u.h, n1 = u.c1.norm(), n2 = u.c2.norm(), n3 = u.c3.norm(), n4 = u.c4.norm(), n5 = u.c5.norm();
    const double d1 = h + n1 + 2 * n2 + 3 * n3 + 4 * n4 + 5 * n5, d2 = bend * h * h + 2 * n2 + 6 * n3 + 12 * n4 + 20 * n5;
    const double d3 = bend * turn * h * h * h + 6 * n3 + 24 * n4 + 60 * n5;
    const double d4 = bend * turn * turn * h * h * h * h + 24 * n4 + 120 * n5;
    const double d5 = bend * turn * turn * turn * h * h * h * h * h + 120 * n5;
    const double missed = (2 * d1 * d5 + 8 * d2 * d4 + 6 * d3 * d3) / (384.0 * h * h);
    least = std::min(least, least_of_cubic(a.square, h * a.change, b.square, h * b.change) - missed);
    a = b;
  }
  require(least > 0.25, "a sprung arc keeps its length to the strain of bending");
  return std::sqrt(least) - rounding;
}

Stage PosedPart::stage_at(double lag_mm) const {
  if (lag_mm < -span_in_mm()) return Stage::stock;
  if (lag_mm < span_out_mm()) return Stage::spans;
  return lag_mm < outboard_lag_mm() ? Stage::arc : Stage::coil;
}

PosedPart::Turning<double> PosedPart::spans_direction(double lag_mm) const {
  const auto [i, x] = bracket(spec_.spans, lag_mm);
  const Station &a = spec_.spans[i], &b = spec_.spans[i + 1];
  return turning(a.direction_rad, a.curvature_per_mm, b.direction_rad, b.curvature_per_mm, b.lag_mm - a.lag_mm).at(x);
}

PosedPart::Turning<Eigen::Vector3d> PosedPart::arc_turned(double lag_mm) const {
  if (spec_.elastic.empty()) return {Eigen::Vector3d::Zero(), Eigen::Vector3d::Zero()};
  const auto [i, x] = bracket(spec_.elastic, lag_mm);
  const Node &a = spec_.elastic[i], &b = spec_.elastic[i + 1];
  return turning(a.turned, a.dturned, b.turned, b.dturned, b.lag_mm - a.lag_mm).at(x);
}

void PosedPart::find_section() {
  const std::vector<Station>& spans = spec_.spans;
  inward_side_ = std::cos(spans.back().direction_rad) < 0.0 ? -1.0 : 1.0;
  const auto with = [](TurningBounds& most, const TurningBounds& piece) {
    // The rounding of cubics of a few rad.
    constexpr double reserve = 1.0 + 1e-9;
    most.value = std::max(most.value, reserve * piece.value);
    most.rate = std::max(most.rate, reserve * piece.rate);
    most.change = std::max(most.change, reserve * piece.change);
  };
  for (std::size_t i = 0; i + 1 < spans.size(); ++i)
    with(spans_turning_, turning(spans[i].direction_rad, spans[i].curvature_per_mm, spans[i + 1].direction_rad,
                                 spans[i + 1].curvature_per_mm, spans[i + 1].lag_mm - spans[i].lag_mm)
                             .bounds());
  const std::vector<Node>& nodes = spec_.elastic;
  for (std::size_t i = 0; i + 1 < nodes.size(); ++i)
    with(arc_turning_, turning(nodes[i].turned, nodes[i].dturned, nodes[i + 1].turned, nodes[i + 1].dturned,
                               nodes[i + 1].lag_mm - nodes[i].lag_mm)
                           .bounds());
  // Level and upright, on the side of the normal and with the shafts' way up; a helix that leaves upward has no level side.
  const double theta = spec_.upright_lag_mm / spec_.helix.arc_per_radian_mm();
  const Eigen::Matrix3d R = spec_.X_FC_unsprung.linear();
  const Eigen::Vector3d t = R * spec_.helix.tangent_C(theta), n = R * spec_.helix.normal_C(theta), b = t.cross(n);
  const Eigen::Vector3d level = Eigen::Vector3d::UnitZ().cross(t);
  constexpr double upward = 0.01;  // half a degree
  if (level.norm() < upward) return;
  const Eigen::Vector3d inward = (level.dot(n) < 0.0 ? -level : level).normalized();
  const Eigen::Vector3d up = t.cross(level).normalized();
  section_in_helix_ << inward.dot(n), up.dot(n), inward.dot(b), up.dot(b);
}

PosedPart::SectionAxes PosedPart::section_axes(Stage stage, double lag_mm) const {
  switch (stage) {
    case Stage::stock: {
      const Eigen::Vector3d t = at(stage, lag_mm).d1;
      const Eigen::Vector3d left = Eigen::Vector3d::UnitZ().cross(t).normalized();
      return {inward_side_ * left, t.cross(left)};
    }
    case Stage::spans: {
      const double direction = spans_direction(lag_mm).value;
      return {inward_side_ * Eigen::Vector3d(-std::sin(direction), std::cos(direction), 0.0), Eigen::Vector3d::UnitZ()};
    }
    case Stage::arc:
    case Stage::coil: {
      const double theta = lag_mm / spec_.helix.arc_per_radian_mm();
      const Eigen::Matrix3d R = (stage == Stage::arc ? spec_.X_FC_unsprung : spec_.X_FC).linear();
      const Eigen::Vector3d n = R * spec_.helix.normal_C(theta), b = (R * spec_.helix.tangent_C(theta)).cross(n);
      const Eigen::Matrix2d& W = section_in_helix_;
      SectionAxes axes{W(0, 0) * n + W(1, 0) * b, W(0, 1) * n + W(1, 1) * b};
      if (stage == Stage::arc) {
        const Eigen::Vector3d turned = arc_turned(lag_mm).value;
        axes.inward += turned.cross(axes.inward);
        axes.shafts += turned.cross(axes.shafts);
      }
      return axes;
    }
  }
  throw InternalError("unknown stage");
}

PosedPart PosedPart::shifted(const Eigen::Vector3d& by) const {
  Spec spec = spec_;
  for (Station& station : spec.spans) station.p += by.head<2>();
  spec.X_FC_unsprung.pretranslate(by);
  spec.X_FC.pretranslate(by);
  return PosedPart(std::move(spec));
}

PosedPart PosedPart::sunk(double by_mm) const {
  Spec spec = spec_;
  spec.X_FC.pretranslate(Eigen::Vector3d(0.0, 0.0, -by_mm));
  return PosedPart(std::move(spec));
}

}  // namespace coilwright
