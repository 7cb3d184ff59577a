#include <array>
#include <algorithm>
#include <cmath>
#include <coilwright/clearance/segment_law.hpp>
#include <coilwright/quantity/require.hpp>
#include <cstddef>
#include <limits>
#include <numbers>

namespace coilwright {
namespace {

using Eigen::Isometry3d;
using Eigen::Matrix3d;
using Eigen::Vector3d;

double size_of(double a, double b) { return std::sqrt(a * a + b * b); }

// How far a length stays measurable as an azimuth: an integral over pieces of at most a radian, by five points of
// Gauss each (Abramowitz and Stegun 1964, table 25.4).
double cone_length(const ConeSegment& cone, double azimuth) {
  constexpr std::array<double, 3> at{0.0, 0.5384693101056831, 0.9061798459386640};
  constexpr std::array<double, 3> weight{0.5688888888888889, 0.4786286704993665, 0.2369268850561891};
  const double pieces = std::max(1.0, std::ceil(std::abs(azimuth))), half = 0.5 * azimuth / pieces;
  const double across2 = cone.taper_mm_per_rad * cone.taper_mm_per_rad + cone.climb_mm_per_rad * cone.climb_mm_per_rad;
  const auto speed = [&](double t) {
    const double radius = cone.start_radius_mm + cone.taper_mm_per_rad * t;
    return std::sqrt(across2 + radius * radius);
  };
  double sum = 0.0;
  for (double i = 0.0; i < pieces; ++i) {
    const double middle = (2.0 * i + 1.0) * half;
    sum += weight[0] * speed(middle);
    for (const std::size_t k : {1u, 2u}) sum += weight[k] * (speed(middle - at[k] * half) + speed(middle + at[k] * half));
  }
  return sum * half;
}

double cone_azimuth(const ConeSegment& cone, double length) {
  if (length <= 0.0) return 0.0;
  double low = 0.0, high = cone.turn_rad;
  const double whole = cone_length(cone, high);
  if (length >= whole) return high;
  // The length grows at a speed that changes slowly: Newton inside a bracket, by halves where it leaves it.
  constexpr int enough = 60;
  constexpr double last_digits = 16.0 * std::numeric_limits<double>::epsilon();  // what the sum of the length loses
  double azimuth = high * (length / whole);
  for (int i = 0; i < enough; ++i) {
    const double beyond = cone_length(cone, azimuth) - length;
    (beyond > 0.0 ? high : low) = azimuth;
    const double radius = cone.start_radius_mm + cone.taper_mm_per_rad * azimuth;
    const double step = beyond / std::hypot(radius, cone.taper_mm_per_rad, cone.climb_mm_per_rad);
    if (std::abs(step) <= last_digits * cone.turn_rad) break;
    azimuth = azimuth - step > low && azimuth - step < high ? azimuth - step : 0.5 * (low + high);
  }
  return azimuth;
}

// The translation of a motion is linear in its velocity: V v = t v + first (rate x v) + second (rate x (rate x v)).
struct ScrewTerms {
  double first, second;
};
ScrewTerms screw_terms(double rate, double t) {
  const double angle = rate * t, angle2 = angle * angle;
  const double half_sine = std::abs(angle) < 1e-8 ? 0.5 * t : std::sin(0.5 * angle) / rate;
  // t - sin / rate loses its digits at small angles.
  const double second = std::abs(angle) < 0.03 ? t * t * t / 6.0 * (1.0 - angle2 / 20.0 * (1.0 - angle2 / 42.0))
                                               : (t - std::sin(angle) / rate) / (rate * rate);
  return {2.0 * half_sine * half_sine, second};
}

Matrix3d cross_matrix(const Vector3d& v) {
  Matrix3d m;
  m << 0.0, -v.z(), v.y(), v.z(), 0.0, -v.x(), -v.y(), v.x(), 0.0;
  return m;
}

}  // namespace

Isometry3d Twist::after(double t) const {
  const double size = rate.norm();
  Isometry3d X = Isometry3d::Identity();
  if (size == 0.0) {
    X.translation() = t * velocity;
    return X;
  }
  const auto [first, second] = screw_terms(size, t);
  const Vector3d turned = rate.cross(velocity);
  X.linear() = Eigen::AngleAxisd(size * t, rate / size).toRotationMatrix();
  X.translation() = t * velocity + first * turned + second * rate.cross(turned);
  return X;
}

Twist twist_between(const Isometry3d& from, const Isometry3d& to, double t) {
  require(t > 0.0, "a motion takes its time");
  const Isometry3d X = from.inverse() * to;
  const Eigen::AngleAxisd turn(X.linear());
  require(turn.angle() < std::numbers::pi, "a motion of half a turn has no one way");
  Twist twist;
  twist.rate = turn.axis() * (turn.angle() / t);
  const auto [first, second] = screw_terms(twist.rate.norm(), t);
  const Matrix3d K = cross_matrix(twist.rate);
  twist.velocity = (t * Matrix3d::Identity() + first * K + second * K * K).partialPivLu().solve(X.translation());
  return twist;
}

ConeFrame cone_frame(double rho, double b, double c) {
  const Vector3d p(b, rho, c), m(-2.0 * b * c, -c * rho, rho * rho + 2.0 * b * b);
  const double v = p.norm(), size = m.norm();
  const Vector3d T = p / v, B = m / size, N = B.cross(T);
  const Vector3d dp = Vector3d::UnitY(), dm(0.0, -c, 2.0 * rho);
  const Vector3d dT = (dp - T.dot(dp) * T) / v, dB = (dm - B.dot(dm) * B) / size;
  ConeFrame frame;
  frame.F.col(0) = T, frame.F.col(1) = N, frame.F.col(2) = B;
  frame.dF.col(0) = dT, frame.dF.col(1) = dB.cross(T) + B.cross(dT), frame.dF.col(2) = dB;
  return frame;
}

ConeBounds cone_bounds(double least, double most, double b, double c) {
  const double q = size_of(b, c), climb = std::abs(c), taper = std::abs(b), speed2 = q * q + least * least;
  // The tangent's angle is atan(rho / q).
  const double t1 = q / speed2, t2 = size_of(t1 * t1, 2.0 * most * q / (speed2 * speed2));
  // The binormal: m / |m|, |m| >= rho^2, by the parts of m' and m'' square to m.
  const double size = least * least, dm = size_of(climb, 2.0 * most);
  const double b1 = climb * (most * most + 2.0 * taper * taper + 4.0 * taper * most + 2.0 * taper * climb) / (size * size);
  const double b2 = 2.0 * climb * size_of(2.0 * taper, most) / (size * size) + 2.0 * b1 * dm / size + b1 * b1;
  const double n2 = b2 + 2.0 * b1 * t1 + t2;
  return {size_of(t1, b1), std::sqrt(t2 * t2 + n2 * n2 + b2 * b2)};
}

double length_mm(const SegmentShape& shape) {
  if (const auto* screw = std::get_if<ScrewSegment>(&shape)) return screw->length_mm;
  const auto& cone = std::get<ConeSegment>(shape);
  return cone_length(cone, cone.turn_rad);
}

Isometry3d frame_along(const SegmentShape& shape, double length_mm) {
  const SegmentLaw law(shape);
  return law.at(law.parameter_at(length_mm));
}

SegmentLaw::SegmentLaw(const SegmentShape& shape) {
  if (const auto* screw = std::get_if<ScrewSegment>(&shape)) {
    curvature = screw->curvature_per_mm;
    torsion = screw->torsion_per_mm;
    rate = std::hypot(curvature, torsion);
    if (rate > 0.0) axis_t = torsion / rate, axis_b = curvature / rate;
    return;
  }
  const auto& segment = std::get<ConeSegment>(shape);
  cone = true;
  rho0 = segment.start_radius_mm;
  taper = segment.taper_mm_per_rad;
  climb = segment.climb_mm_per_rad;
  turn = segment.turn_rad;
  start = cone_frame(rho0, taper, climb).F;
}

// Twist{e_x, (torsion, 0, curvature)}.after(t), written out: it is asked for at every distance. The advance is written
// with the angle's own sines, so that slight bends keep their digits.
Isometry3d SegmentLaw::on_screw(double t) const {
  Isometry3d X = Isometry3d::Identity();
  if (rate == 0.0) {
    X.translation().x() = t;
    return X;
  }
  const double half_sine = std::sin(0.5 * rate * t), half_cosine = std::cos(0.5 * rate * t);
  const double sine = 2.0 * half_sine * half_cosine, versine = 2.0 * half_sine * half_sine, cosine = 1.0 - versine;
  const double a = axis_t, b = axis_b, mixed = versine * a * b;
  X.linear() << cosine + versine * a * a, -sine * b, mixed,  //
      sine * b, cosine, -sine * a,                           //
      mixed, sine * a, cosine + versine * b * b;
  const double along = t * a, ahead = sine / rate;
  X.translation() = Vector3d(along * a + ahead * b * b, versine / rate * b, (along - ahead * a) * b);
  return X;
}

Isometry3d SegmentLaw::at(double t) const {
  if (!cone) return on_screw(t);
  const double rho = rho0 + taper * t, sine = std::sin(t), cosine = std::cos(t);
  Isometry3d X = Isometry3d::Identity();
  const Matrix3d turned = Eigen::AngleAxisd(t, Vector3d::UnitZ()).toRotationMatrix();
  X.linear() = start.transpose() * turned * cone_frame(rho, taper, climb).F;
  X.translation() = start.transpose() * Vector3d(rho * cosine - rho0, rho * sine, climb * t);
  return X;
}

double SegmentLaw::length_to(double t) const { return cone ? cone_length({rho0, taper, climb, turn}, t) : t; }

double SegmentLaw::parameter_at(double length_mm) const {
  return cone ? cone_azimuth({rho0, taper, climb, turn}, length_mm) : length_mm;
}

}  // namespace coilwright
