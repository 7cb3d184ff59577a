#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <coilwright/coil/centreline.hpp>
#include <coilwright/quantity/require.hpp>
#include <iterator>
#include <numbers>

namespace coilwright {
namespace {

using Eigen::Matrix3d;
using Eigen::Vector3d;
using Screw = SegmentCurve::Screw;
using Taper = SegmentCurve::Taper;

constexpr double pi = std::numbers::pi;

Matrix3d axes(const CurveFrame& f) {
  Matrix3d R;
  R << f.tangent, f.normal, f.binormal;
  return R;
}

CurveFrame frame_of(const Vector3d& point, const Matrix3d& R) {
  return {point, R.col(0), R.col(1), R.col(2)};
}

// A turn about a fixed axis while advancing along it: the frame turns with the vector (tau, 0, kappa).
CurveFrame on_screw(const Screw& s, double along) {
  const double rate = std::hypot(s.curvature, s.torsion);
  const Vector3d ex = Vector3d::UnitX();
  if (rate == 0.0) return {along * ex, ex, Vector3d::UnitY(), Vector3d::UnitZ()};
  const Vector3d axis(s.torsion / rate, 0.0, s.curvature / rate);
  const double angle = rate * along;
  // The advance is written with the angle's own sines so that slight bends keep their digits.
  const double half_sine = std::sin(0.5 * angle);
  const Vector3d along_axis = axis * axis.x();
  const Vector3d point = along * along_axis + (std::sin(angle) / rate) * (ex - along_axis) +
                         (2.0 * half_sine * half_sine / rate) * axis.cross(ex);
  return frame_of(point, Eigen::AngleAxisd(angle, axis).toRotationMatrix());
}

// An Archimedean spiral that may rise: r = r0 + b theta, z = c theta.
struct Spiral {
  double r0, b, c, sweep;

  explicit Spiral(const Taper& t)
      : r0(t.start_radius_mm), b((t.end_radius_mm - t.start_radius_mm) / (2.0 * pi * t.turns)),
        c(t.rise_mm / (2.0 * pi * t.turns)), sweep(2.0 * pi * t.turns) {}

  [[nodiscard]] double radius(double theta) const { return r0 + b * theta; }
  [[nodiscard]] double speed(double theta) const { return std::hypot(radius(theta), b, c); }

  // The length to an azimuth: int sqrt(r^2 + q^2) dtheta, q^2 = b^2 + c^2. With u = asinh(r / q) the integral is
  // q^2 (u + sinh u cosh u) / 2 b; where the radius changes too little for that difference, five Gauss points
  // follow an integrand that is nearly a parabola.
  [[nodiscard]] double length(double theta) const {
    const double r1 = radius(theta), q = std::hypot(b, c);
    if (std::abs(r1 - r0) > 0.05 * std::max(r0, r1)) {
      const auto primitive = [q](double r) { return 0.5 * (r * std::hypot(r, q) + q * q * std::asinh(r / q)); };
      return (primitive(r1) - primitive(r0)) / b;
    }
    constexpr double nodes[] = {0.0, 0.5384693101056831, 0.9061798459386640};
    constexpr double weights[] = {0.5688888888888889, 0.4786286704993665, 0.2369268850561891};
    double sum = weights[0] * speed(0.5 * theta);
    for (int i = 1; i < 3; ++i)
      sum += weights[i] * (speed(0.5 * theta * (1.0 - nodes[i])) + speed(0.5 * theta * (1.0 + nodes[i])));
    return 0.5 * theta * sum;
  }

  // Length grows with the azimuth at a speed that changes slowly: Newton inside a bracket.
  [[nodiscard]] double azimuth(double along) const {
    const double total = length(sweep);
    if (along <= 0.0) return 0.0;
    if (along >= total) return sweep;
    double low = 0.0, high = sweep, theta = sweep * (along / total);
    constexpr int enough = 60;
    for (int i = 0; i < enough; ++i) {
      const double miss = length(theta) - along;
      (miss > 0.0 ? high : low) = theta;
      double next = theta - miss / speed(theta);
      if (!(next > low && next < high)) next = 0.5 * (low + high);
      if (std::abs(next - theta) <= 1e-15 * sweep) return next;
      theta = next;
    }
    return theta;
  }

  // Derivatives by theta in (radial, azimuthal, axial) directions; tangent, normal and binormal from them.
  [[nodiscard]] Matrix3d local_axes(double r) const {
    const Vector3d t = Vector3d(b, r, c).normalized();
    const Vector3d n_b = Vector3d(-2.0 * b * c, -c * r, r * r + 2.0 * b * b).normalized();
    Matrix3d R;
    R << t, n_b.cross(t), n_b;
    return R;
  }
  [[nodiscard]] double curvature(double r) const {
    const double v = std::hypot(b, r, c);
    return std::hypot(2.0 * b * c, c * r, r * r + 2.0 * b * b) / (v * v * v);
  }
  [[nodiscard]] double torsion(double r) const {
    const double cross = std::hypot(2.0 * b * c, c * r, r * r + 2.0 * b * b);
    return c * (6.0 * b * b + r * r) / (cross * cross);
  }

  [[nodiscard]] CurveFrame frame(double theta) const {
    const double r = radius(theta);
    // Axis along z through the origin, starting on the side of -y so that the plan direction of travel is x.
    const Vector3d radial(std::sin(theta), -std::cos(theta), 0.0), azimuthal(std::cos(theta), std::sin(theta), 0.0);
    Matrix3d cylindrical;
    cylindrical << radial, azimuthal, Vector3d::UnitZ();
    const double half = std::sin(0.5 * theta);
    const Vector3d point(r * std::sin(theta), r0 * 2.0 * half * half - b * theta * std::cos(theta), c * theta);
    const CurveFrame in_axis = frame_of(point, cylindrical * local_axes(r));
    // As seen from the segment's own start.
    Matrix3d at_start;
    at_start << -Vector3d::UnitY(), Vector3d::UnitX(), Vector3d::UnitZ();
    const Matrix3d back = (at_start * local_axes(r0)).transpose();
    return frame_of(back * in_axis.point, back * axes(in_axis));
  }
};

}  // namespace

CurveFrame start_frame() {
  return {Vector3d::Zero(), Vector3d::UnitX(), Vector3d::UnitY(), Vector3d::UnitZ()};
}

CurveFrame composed(const CurveFrame& base, const CurveFrame& in_base) {
  const Matrix3d R = axes(base);
  return frame_of(base.point + R * in_base.point, R * axes(in_base));
}

SegmentCurve::SegmentCurve(std::variant<Screw, Taper> kind) : kind_(kind) {
  if (const auto* s = std::get_if<Screw>(&kind_)) {
    require(std::isfinite(s->length_mm) && s->length_mm > 0.0 && std::isfinite(s->curvature) && s->curvature >= 0.0 &&
                std::isfinite(s->torsion),
            "a segment needs a positive length, a curvature that is not negative and a finite torsion");
    length_mm_ = s->length_mm;
    least_curvature_ = greatest_curvature_ = s->curvature;
    greatest_torsion_ = std::abs(s->torsion);
    return;
  }
  const auto& t = std::get<Taper>(kind_);
  require(std::isfinite(t.start_radius_mm) && t.start_radius_mm > 0.0 && std::isfinite(t.end_radius_mm) &&
              t.end_radius_mm > 0.0 && std::isfinite(t.turns) && t.turns > 0.0 && std::isfinite(t.rise_mm),
          "a tapered segment needs positive radii and turns");
  const Spiral spiral(t);
  length_mm_ = spiral.length(spiral.sweep);
  const double least = std::min(t.start_radius_mm, t.end_radius_mm), most = std::max(t.start_radius_mm, t.end_radius_mm);
  // With cross = |X' x X''| and speed v, both growing with the radius, curvature = cross / v^3 and
  // torsion = c (6 b^2 + r^2) / cross^2 lie between these.
  const double q2 = spiral.b * spiral.b + spiral.c * spiral.c;
  const auto cross = [&](double r) { return std::hypot(2.0 * spiral.b * spiral.c, spiral.c * r, r * r + 2.0 * spiral.b * spiral.b); };
  const auto cube = [&](double r) { return std::pow(r * r + q2, 1.5); };
  // Where the radius is large against its change the curvature simply falls with it: then the ends are exact.
  const bool falls = least * least > 2.0 * q2;
  least_curvature_ = falls ? spiral.curvature(most) : cross(least) / cube(most);
  greatest_curvature_ = falls ? spiral.curvature(least) : cross(most) / cube(least);
  greatest_torsion_ = std::abs(spiral.c) * (6.0 * spiral.b * spiral.b + most * most) / (cross(least) * cross(least));
}

SegmentCurve SegmentCurve::straight(Length length) {
  return SegmentCurve(Screw{length.mm(), 0.0, 0.0});
}
SegmentCurve SegmentCurve::arc(Length radius, Angle angle) {
  require(radius.mm() > 0.0, "an arc needs a positive radius");
  return SegmentCurve(Screw{radius.mm() * angle.rad(), 1.0 / radius.mm(), 0.0});
}
SegmentCurve SegmentCurve::helix(const Helix& helix, Length length) {
  return SegmentCurve(Screw{length.mm(), helix.curvature().per_mm(), helix.torsion().per_mm()});
}
SegmentCurve SegmentCurve::screw(Screw screw) {
  return SegmentCurve(screw);
}
SegmentCurve SegmentCurve::taper(Taper taper) {
  return SegmentCurve(taper);
}

double SegmentCurve::azimuth(double along_mm) const {
  if (const auto* s = std::get_if<Screw>(&kind_)) return std::hypot(s->curvature, s->torsion) * along_mm;
  return Spiral(std::get<Taper>(kind_)).azimuth(along_mm);
}

double SegmentCurve::curvature(double along_mm) const {
  if (const auto* s = std::get_if<Screw>(&kind_)) return s->curvature;
  const Spiral spiral(std::get<Taper>(kind_));
  return spiral.curvature(spiral.radius(spiral.azimuth(along_mm)));
}

double SegmentCurve::torsion(double along_mm) const {
  if (const auto* s = std::get_if<Screw>(&kind_)) return s->torsion;
  const Spiral spiral(std::get<Taper>(kind_));
  return spiral.torsion(spiral.radius(spiral.azimuth(along_mm)));
}

CurveFrame SegmentCurve::frame(double along_mm) const {
  if (const auto* s = std::get_if<Screw>(&kind_)) return on_screw(*s, along_mm);
  const Spiral spiral(std::get<Taper>(kind_));
  return spiral.frame(spiral.azimuth(along_mm));
}

SegmentCurve SegmentCurve::mirrored() const {
  if (const auto* s = std::get_if<Screw>(&kind_)) return SegmentCurve(Screw{s->length_mm, s->curvature, -s->torsion});
  Taper t = std::get<Taper>(kind_);
  t.rise_mm = -t.rise_mm;
  return SegmentCurve(t);
}

Helix helix_of(double curvature, double torsion) {
  require(curvature > 0.0, "a helix has curvature");
  const double square = curvature * curvature + torsion * torsion;
  return Helix(Length::mm(curvature / square), Length::mm(2.0 * pi * std::abs(torsion) / square),
               torsion < 0.0 ? Hand::left_screw : Hand::right_screw);
}

void Centreline::append(SegmentCurve curve, double bend_turned_rad) {
  CurveFrame start = segments_.empty() ? start_frame() : end();
  const Matrix3d turn = Eigen::AngleAxisd(bend_turned_rad, Vector3d::UnitX()).toRotationMatrix();
  start = composed(start, frame_of(Vector3d::Zero(), turn));
  segments_.push_back({curve, length_mm(), bend_turned_rad, start});
}

std::size_t Centreline::index_at(double along_mm) const {
  require(!segments_.empty(), "a centreline without segments has no points");
  const auto after = std::upper_bound(segments_.begin() + 1, segments_.end(), along_mm,
                                      [](double along, const Joined& s) { return along < s.from_mm; });
  return static_cast<std::size_t>(std::distance(segments_.begin(), after)) - 1;
}

CurveFrame Centreline::frame(double along_mm) const {
  const Joined& s = segments_[index_at(along_mm)];
  const double within = std::clamp(along_mm, s.from_mm, s.to_mm());
  CurveFrame f = composed(s.start, s.curve.frame(within - s.from_mm));
  f.point += (along_mm - within) * f.tangent;
  return f;
}

double Centreline::turned_rad(std::size_t segment) const {
  require(segment < segments_.size(), "a segment of this centreline");
  double turned = 0.0;
  for (std::size_t i = 0; i <= segment; ++i) turned += segments_[i].bend_turned_rad;
  return turned;
}

double Centreline::greatest_curvature() const {
  double most = 0.0;
  for (const Joined& s : segments_) most = std::max(most, s.curve.greatest_curvature());
  return most;
}

Centreline Centreline::mirrored() const {
  Centreline result;
  for (const Joined& s : segments_) result.append(s.curve.mirrored(), -s.bend_turned_rad);
  return result;
}

Centreline Centreline::reversed() const {
  // Walking back, the tangent turns about and with it the binormal; the bend keeps its inside and its hand.
  Centreline result;
  for (auto s = segments_.rbegin(); s != segments_.rend(); ++s) {
    SegmentCurve curve = s->curve;
    if (const auto* taper = std::get_if<Taper>(&s->curve.kind()))
      curve = SegmentCurve::taper({taper->end_radius_mm, taper->start_radius_mm, taper->turns, taper->rise_mm});
    result.append(curve, s == segments_.rbegin() ? 0.0 : std::prev(s)->bend_turned_rad);
  }
  return result;
}

}  // namespace coilwright
