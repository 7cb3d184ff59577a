#include <algorithm>
#include <cmath>
#include <coilwright/clearance/fed_part.hpp>
#include <coilwright/clearance/stretch.hpp>
#include <coilwright/quantity/require.hpp>
#include <limits>
#include <numbers>

namespace coilwright {
namespace {

using Eigen::Isometry3d;
using Eigen::Matrix3d;
using Eigen::Vector3d;

// How far a length stays measurable as an azimuth: an integral over pieces of at most a radian, by five points of
// Gauss each (Abramowitz and Stegun 1964, table 25.4).
double cone_length(const ConeSegment& cone, double azimuth) {
  constexpr std::array<double, 3> at{0.0, 0.5384693101056831, 0.9061798459386640};
  constexpr std::array<double, 3> weight{0.5688888888888889, 0.4786286704993665, 0.2369268850561891};
  const double pieces = std::max(1.0, std::ceil(std::abs(azimuth))), half = 0.5 * azimuth / pieces;
  const auto speed = [&](double t) {
    return std::hypot(cone.taper_mm_per_rad, cone.start_radius_mm + cone.taper_mm_per_rad * t, cone.climb_mm_per_rad);
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
  double low = 0.0, high = cone.turn_rad;
  if (length >= cone_length(cone, high)) return high;
  for (int i = 0; i < 60; ++i) {  // halves to the last digit
    const double middle = 0.5 * (low + high);
    (cone_length(cone, middle) < length ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

Vector3d cross(const Vector3d& a, const Vector3d& b) { return a.cross(b); }

Isometry3d screw_frame(double curvature, double torsion, double length) {
  const Vector3d omega(torsion, 0.0, curvature), e = Vector3d::UnitX();
  const double rate = omega.norm(), angle = rate * length;
  Isometry3d X = Isometry3d::Identity();
  if (rate == 0.0) {
    X.translation() = length * e;
    return X;
  }
  const double half_sine = std::sin(0.5 * angle) / rate;
  const double first = 2.0 * half_sine * half_sine;  // (1 - cos) / rate^2
  const double angle2 = angle * angle;
  // length - sin / rate loses its digits at small angles.
  const double second = std::abs(angle) < 0.03
                            ? length * length * length / 6.0 * (1.0 - angle2 / 20.0 * (1.0 - angle2 / 42.0))
                            : (length - std::sin(angle) / rate) / (rate * rate);
  const Vector3d turned = cross(omega, e);
  X.linear() = Eigen::AngleAxisd(angle, omega / rate).toRotationMatrix();
  X.translation() = length * e + first * turned + second * cross(omega, turned);
  return X;
}

// The Frenet frame of a cone at a plan radius, in (radial, azimuthal, axial) axes, and its derivative by the radius.
struct ConeFrame {
  Matrix3d F, dF;
};
ConeFrame cone_frame(double rho, double b, double c) {
  const Vector3d p(b, rho, c), m(-2.0 * b * c, -c * rho, rho * rho + 2.0 * b * b);
  const double v = p.norm(), size = m.norm();
  const Vector3d T = p / v, B = m / size, N = B.cross(T);
  const Vector3d dp = Vector3d::UnitY(), dm(0.0, -c, 2.0 * rho);
  const Vector3d dT = (dp - T.dot(dp) * T) / v, dB = (dm - B.dot(dm) * B) / size;
  ConeFrame frame;
  frame.F << T, N, B;
  frame.dF << dT, dB.cross(T) + B.cross(dT), dB;
  return frame;
}

// Bounds of the frame's first and second derivative by the radius, over radii of at least `least` and at most `most`.
struct ConeBounds {
  double first, second;
};
ConeBounds cone_bounds(double least, double most, double b, double c) {
  const double q = std::hypot(b, c), climb = std::abs(c), taper = std::abs(b), speed2 = q * q + least * least;
  // The tangent's angle is atan(rho / q).
  const double t1 = q / speed2, t2 = std::hypot(t1 * t1, 2.0 * most * q / (speed2 * speed2));
  // The binormal: m / |m|, |m| >= rho^2, by the parts of m' and m'' square to m.
  const double size = least * least, dm = std::hypot(climb, 2.0 * most);
  const double b1 = climb * (most * most + 2.0 * taper * taper + 4.0 * taper * most + 2.0 * taper * climb) / (size * size);
  const double b2 = 2.0 * climb * std::hypot(2.0 * taper, most) / (size * size) + 2.0 * b1 * dm / size + b1 * b1;
  const double n2 = b2 + 2.0 * b1 * t1 + t2;
  return {std::hypot(t1, b1), std::hypot(t2, n2, b2)};
}

// What bounds a curve: speed, second and third derivative, and its chord over a half length.
struct CurveBounds {
  double first, second, third, reach;
};

double screw_reach(double radius, double rate, double along, double half) {
  return std::hypot(2.0 * radius * std::sin(0.5 * std::min(rate * half, std::numbers::pi)), along * half);
}

}  // namespace

double least_quadratic_on_box(double a, double b, double A, double B, double C, double hx, double hy) {
  // On the four edges, and where it is level inside.
  double least = std::numeric_limits<double>::infinity();
  for (const double x : {-hx, hx}) least = std::min(least, a * x + 0.5 * A * x * x + least_quadratic(b + B * x, C, hy));
  for (const double y : {-hy, hy}) least = std::min(least, b * y + 0.5 * C * y * y + least_quadratic(a + B * y, A, hx));
  const double determinant = A * C - B * B;
  if (A > 0.0 && determinant > 0.0) {
    const double x = (B * b - C * a) / determinant, y = (B * a - A * b) / determinant;
    // A little beyond the box does no harm: the value there is lower.
    constexpr double beyond = 1.0 + 1e-9;
    if (std::abs(x) <= hx * beyond && std::abs(y) <= hy * beyond) least = std::min(least, 0.5 * (a * x + b * y));
  }
  return least;
}

double length_mm(const SegmentShape& shape) {
  if (const auto* screw = std::get_if<ScrewSegment>(&shape)) return screw->length_mm;
  const auto& cone = std::get<ConeSegment>(shape);
  return cone_length(cone, cone.turn_rad);
}

Isometry3d frame_along(const SegmentShape& shape, double length_mm) {
  const auto* cone = std::get_if<ConeSegment>(&shape);
  return FedPatch::law_of(shape).at(cone ? cone_azimuth(*cone, length_mm) : length_mm);
}

std::vector<FedSegment> fed_segments(const Centreline& centreline, std::span<const Isometry3d> X_FB) {
  require(X_FB.size() == centreline.size(), "every segment is held somewhere");
  std::vector<FedSegment> segments;
  for (std::size_t i = 0; i < centreline.size(); ++i) {
    const Centreline::Joined& joined = centreline.segments()[i];
    Isometry3d X_PS = Isometry3d::Identity();
    X_PS.linear() << joined.start.tangent, joined.start.normal, joined.start.binormal;
    X_PS.translation() = joined.start.point;
    if (const auto* screw = std::get_if<SegmentCurve::Screw>(&joined.curve.kind())) {
      segments.push_back({ScrewSegment{screw->curvature, screw->torsion, screw->length_mm}, X_PS, X_FB[i]});
    } else {
      const auto& taper = std::get<SegmentCurve::Taper>(joined.curve.kind());
      const double turn = 2.0 * std::numbers::pi * taper.turns;
      segments.push_back({ConeSegment{taper.start_radius_mm, (taper.end_radius_mm - taper.start_radius_mm) / turn,
                                      taper.rise_mm / turn, turn},
                          X_PS, X_FB[i]});
    }
  }
  return segments;
}

FedPatch::Law FedPatch::law_of(const SegmentShape& shape) {
  Law law;
  if (const auto* screw = std::get_if<ScrewSegment>(&shape)) {
    law.curvature = screw->curvature_per_mm;
    law.torsion = screw->torsion_per_mm;
    law.rate = std::hypot(law.curvature, law.torsion);
    return law;
  }
  const auto& cone = std::get<ConeSegment>(shape);
  law.cone = true;
  law.rho0 = cone.start_radius_mm;
  law.taper = cone.taper_mm_per_rad;
  law.climb = cone.climb_mm_per_rad;
  law.start = cone_frame(law.rho0, law.taper, law.climb).F;
  return law;
}

Isometry3d FedPatch::Law::at(double t) const {
  if (!cone) return screw_frame(curvature, torsion, t);
  const double rho = rho0 + taper * t, sine = std::sin(t), cosine = std::cos(t);
  Isometry3d X = Isometry3d::Identity();
  const Matrix3d turn = Eigen::AngleAxisd(t, Vector3d::UnitZ()).toRotationMatrix();
  X.linear() = start.transpose() * turn * cone_frame(rho, taper, climb).F;
  X.translation() = start.transpose() * Vector3d(rho * cosine - rho0, rho * sine, climb * t);
  return X;
}

double FedPatch::Law::length_to(double t) const {
  return cone ? cone_length({rho0, taper, climb, t}, t) : t;
}

double FedPatch::fed_mm(double s) const {
  return kind_ == Kind::like ? fixed_fed_mm_ : bend_start_mm_ + bend_law_.length_to(s);
}

double FedPatch::along_mm(double s, double w) const {
  switch (kind_) {
    case Kind::like: return place_start_mm_ + fixed_fed_mm_ - bend_start_mm_ - w;
    case Kind::cone: return place_start_mm_ + place_law_.length_to(s - w);
    case Kind::unlike: return place_start_mm_ + place_law_.length_to(w);
  }
  throw InternalError("unknown patch");
}

Vector3d FedPatch::point(double s, double w, const Eigen::Vector2d& offset) const {
  const Vector3d o(0.0, offset.x(), offset.y());
  if (kind_ == Kind::like) return X_FB_ * (place_law_.at(-w) * o);
  const double u = kind_ == Kind::cone ? s - w : w;
  return X_FB_ * (bend_law_.at(s).inverse() * (X_bend_place_ * (place_law_.at(u) * o)));
}

PatchPoint FedPatch::at(const PatchBox& box, const Eigen::Vector2d& offset) const {
  if (kind_ == Kind::cone) return at_cone(box);
  if (kind_ == Kind::unlike) return at_unlike(box, offset);
  // A helix, run backwards.
  const Isometry3d X = X_FB_ * place_law_.at(-box.w);
  const Vector3d o(0.0, offset.x(), offset.y()), omega(place_law_.torsion, 0.0, place_law_.curvature);
  const Vector3d along = Vector3d::UnitX() + cross(omega, o), bend = cross(omega, along);
  const double rate = place_law_.rate, h = box.half_w, size = bend.norm();
  const double radius = rate > 0.0 ? size / (rate * rate) : 0.0;
  const double climb = rate > 0.0 ? std::abs(place_law_.torsion) / rate : along.norm();
  const double rest = rate * size * h * h * h / 6.0;
  return {X * o, Vector3d::Zero(), -(X.linear() * along), Vector3d::Zero(), Vector3d::Zero(), X.linear() * bend,
          rest,  0.0,              rest,                  screw_reach(radius, rate, climb, h)};
}

PatchPoint FedPatch::at_cone(const PatchBox& box) const {
  const double b = bend_law_.taper, c = bend_law_.climb, w = box.w, hs = box.half_s, hw = box.half_w;
  const double rho = bend_law_.rho0 + b * box.s, rho_u = rho - b * w;
  const auto [F, dF] = cone_frame(rho, b, c);
  const double sine = std::sin(w), cosine = std::cos(w);
  const Vector3d Y(rho_u * cosine - rho, -rho_u * sine, -c * w);
  const Vector3d Yw(-b * cosine - rho_u * sine, b * sine - rho_u * cosine, -c);
  const Vector3d Yww(2.0 * b * sine - rho_u * cosine, 2.0 * b * cosine + rho_u * sine, 0.0);
  const Vector3d Yr(cosine - 1.0, -sine, 0.0), Yrw(-sine, -cosine, 0.0);
  const double size = std::abs(b), most_u = std::abs(rho_u) + size * (hs + hw);
  const ConeBounds frame = cone_bounds(rho - size * hs, rho + size * hs, b, c);
  const double speed = std::hypot(b, most_u, c), most = Y.norm() + speed * hw + 2.0 * size * hs;
  const double third = std::hypot(most_u, 3.0 * b);
  const double S_ss = b * b * (frame.second * most + 4.0 * frame.first);
  const double S_sww = size * (frame.first * std::hypot(most_u, 2.0 * b) + 1.0);
  const double rest_s = 0.5 * S_ss * hs * hs, rest_w = third * hw * hw * hw / 6.0;
  const Matrix3d to_F = X_FB_.linear() * F.transpose(), to_dF = X_FB_.linear() * dF.transpose();
  const double chord = std::min(speed * hw, 2.0 * most_u + std::abs(c) * hw);
  return {X_FB_ * (F.transpose() * Y),
          b * (to_dF * Y + to_F * Yr),
          to_F * Yw,
          Vector3d::Zero(),
          b * (to_dF * Yw + to_F * Yrw),
          to_F * Yww,
          rest_s + rest_w + 0.5 * S_sww * hs * hw * hw,
          rest_s,
          rest_w,
          size * (frame.first * most + 2.0) * hs + chord};
}

PatchPoint FedPatch::at_unlike(const PatchBox& box, const Eigen::Vector2d& offset) const {
  const double hs = box.half_s, hu = box.half_w;
  const Isometry3d place = place_law_.at(box.w);
  const Isometry3d X = bend_law_.at(box.s).inverse() * X_bend_place_;  // start of the place's segment in B
  const Vector3d o(0.0, offset.x(), offset.y());
  // Along the part.
  Vector3d point, along, bend;
  CurveBounds u{};
  if (!place_law_.cone) {
    const Vector3d omega(place_law_.torsion, 0.0, place_law_.curvature);
    const Vector3d step = Vector3d::UnitX() + cross(omega, o), turn = cross(omega, step);
    point = X * (place * o);
    along = X.linear() * (place.linear() * step);
    bend = X.linear() * (place.linear() * turn);
    const double rate = place_law_.rate, size = turn.norm();
    u = {step.norm(), size, rate * size,
         rate > 0.0 ? screw_reach(size / (rate * rate), rate, std::abs(place_law_.torsion) / rate, hu) : step.norm() * hu};
  } else {
    const double b = place_law_.taper, c = place_law_.climb, rho = place_law_.rho0 + b * box.w;
    const double sine = std::sin(box.w), cosine = std::cos(box.w);
    const Matrix3d R = X.linear() * place_law_.start.transpose();
    point = X * place.translation();
    along = R * Vector3d(b * cosine - rho * sine, b * sine + rho * cosine, c);
    bend = R * Vector3d(-2.0 * b * sine - rho * cosine, 2.0 * b * cosine - rho * sine, 0.0);
    const double most = std::abs(rho) + std::abs(b) * hu;
    u = {std::hypot(b, most, c), std::hypot(most, 2.0 * b), std::hypot(most, 3.0 * b), 0.0};
    u.reach = std::min(u.first * hu, 2.0 * most + std::abs(c) * hu);
  }
  // With the feed.
  Vector3d omega, s, ss, su;
  double rest_s = 0.0, mixed = 0.0, reach_s = 0.0;
  if (!bend_law_.cone) {
    omega = {bend_law_.torsion, 0.0, bend_law_.curvature};
    const double rate = bend_law_.rate;
    s = -(Vector3d::UnitX() + cross(omega, point));
    ss = -cross(omega, s);
    su = -cross(omega, along);
    const double most_ss = ss.norm() + rate * rate * u.first * hu;
    rest_s = rate * ss.norm() * hs * hs * hs / 6.0;
    mixed = (rate * (most_ss - ss.norm()) * hs * hs * hs + 3.0 * rate * rate * u.first * hs * hs * hu +
             3.0 * rate * u.second * hs * hu * hu) /
            6.0;
    reach_s = rate > 0.0 ? screw_reach(ss.norm() / (rate * rate) + u.reach, rate, std::abs(bend_law_.torsion) / rate, hs)
                         : hs;
  } else {
    const double b = bend_law_.taper, c = bend_law_.climb, rho = bend_law_.rho0 + b * box.s, size = std::abs(b);
    const auto [F, dF] = cone_frame(rho, b, c);
    const Vector3d turned(F.col(2).dot(dF.col(1)), F.col(0).dot(dF.col(2)), F.col(1).dot(dF.col(0)));
    omega = F.row(2).transpose() + b * turned;
    s = -(std::hypot(b, rho, c) * Vector3d::UnitX() + cross(omega, point));
    ss.setZero();
    su = -cross(omega, along);
    const ConeBounds frame = cone_bounds(rho - size * hs, rho + size * hs, b, c);
    const double rate = 1.0 + size * frame.first, speed = std::hypot(b, rho + size * hs, c);
    const double change = size * frame.first + b * b * (frame.second + frame.first * frame.first);
    // |X| is the distance of two points of the part at rest.
    const double most_here = point.norm() + u.reach + speed * hs;
    rest_s = 0.5 * (size + change * most_here + rate * (speed + rate * most_here)) * hs * hs;
    mixed = 0.5 * rate * u.second * hs * hu * hu;
    reach_s = (speed + rate * most_here) * hs;
  }
  const double rest_u = u.third * hu * hu * hu / 6.0;
  const Matrix3d& R = X_FB_.linear();
  return {X_FB_ * point, R * s, R * along, R * ss, R * su, R * bend, rest_s + rest_u + mixed, rest_s, rest_u,
          reach_s + u.reach};
}

FedPatch::Feasible FedPatch::feasible(const PatchBox& box) const {
  if (kind_ == Kind::like) return Feasible::all;
  if (kind_ == Kind::cone) {
    if (box.w - box.half_w > box.s + box.half_s) return Feasible::none;
    return box.w + box.half_w <= box.s - box.half_s ? Feasible::all : Feasible::some;
  }
  if (lag_from_mm_ <= 0.0) return Feasible::all;
  if (fed_mm(box.s + box.half_s) - along_mm(0.0, box.w - box.half_w) < lag_from_mm_) return Feasible::none;
  return fed_mm(box.s - box.half_s) - along_mm(0.0, box.w + box.half_w) >= lag_from_mm_ ? Feasible::all : Feasible::some;
}

std::array<double, 2> FedPatch::nearest_feasible(const PatchBox& box) const {
  if (kind_ == Kind::like) return {box.s, box.w};
  // Halves toward the corner that exists if any does, until the place does.
  double low = 0.0, high = 1.0;
  const auto exists = [&](double share) {
    return feasible({box.s + share * box.half_s, 0.0, box.w - share * box.half_w, 0.0}) == Feasible::all;
  };
  if (exists(0.0)) return {box.s, box.w};
  for (int i = 0; i < 50; ++i) (exists(0.5 * (low + high)) ? high : low) = 0.5 * (low + high);
  return {box.s + high * box.half_s, box.w - high * box.half_w};
}

double FedPatch::least_linear(const PatchBox& box, double slope_s, double slope_w) const {
  const double hs = box.half_s, hw = box.half_w;
  const double everywhere = -std::abs(slope_s) * hs - std::abs(slope_w) * hw;
  double most = std::numeric_limits<double>::infinity();  // of y - x
  if (kind_ == Kind::cone) most = box.s - box.w;
  if (kind_ == Kind::unlike && !bend_law_.cone && !place_law_.cone)
    most = fed_mm(box.s) - along_mm(0.0, box.w) - lag_from_mm_;
  if (most >= hs + hw) return everywhere;
  double least = std::numeric_limits<double>::infinity();
  const auto corner = [&](double x, double y) { least = std::min(least, slope_s * x + slope_w * y); };
  for (const double x : {-hs, hs}) {
    for (const double y : {-hw, hw})
      if (y - x <= most) corner(x, y);
    if (std::abs(x + most) <= hw) corner(x, x + most);
  }
  for (const double y : {-hw, hw})
    if (std::abs(y - most) <= hs) corner(y - most, y);
  return std::isfinite(least) ? std::max(least, everywhere) : everywhere;
}

FedPart::FedPart(std::vector<FedSegment> segments) : segments_(std::move(segments)) {
  require(!segments_.empty(), "a part has segments");
  starts_.push_back(0.0);
  for (const FedSegment& segment : segments_) {
    if (const auto* cone = std::get_if<ConeSegment>(&segment.shape)) {
      const double end = cone->start_radius_mm + cone->taper_mm_per_rad * cone->turn_rad;
      require(cone->start_radius_mm > 0.0 && end > 0.0 && cone->turn_rad > 0.0 && std::isfinite(end) &&
                  std::isfinite(cone->climb_mm_per_rad),
              "a cone has radii and a turn");
    } else {
      const auto& screw = std::get<ScrewSegment>(segment.shape);
      require(screw.length_mm > 0.0 && std::isfinite(screw.length_mm) && std::isfinite(screw.curvature_per_mm) &&
                  screw.curvature_per_mm >= 0.0 && std::isfinite(screw.torsion_per_mm),
              "a segment has a length and a curvature");
    }
    require(segment.X_PS.matrix().allFinite() && segment.X_FB.matrix().allFinite(), "a segment has a place");
    starts_.push_back(starts_.back() + coilwright::length_mm(segment.shape));
  }
}

std::vector<FedPatch> FedPart::patches(double fed_from_mm, double fed_to_mm, double lag_from_mm) const {
  require(fed_from_mm <= fed_to_mm && lag_from_mm >= 0.0, "fed lengths run forward, and lag is behind the bend");
  std::vector<FedPatch> patches;
  for (std::size_t i = 0; i < segments_.size(); ++i) {
    const double from = std::max(starts_[i], fed_from_mm), to = std::min(starts_[i + 1], fed_to_mm);
    if (from >= to) continue;
    for (std::size_t j = 0; j <= i; ++j) {
      FedPatch patch;
      patch.bend_ = i;
      patch.place_ = j;
      patch.bend_law_ = FedPatch::law_of(segments_[i].shape);
      patch.place_law_ = FedPatch::law_of(segments_[j].shape);
      patch.X_FB_ = segments_[i].X_FB;
      patch.X_bend_place_ = segments_[i].X_PS.inverse() * segments_[j].X_PS;
      patch.bend_start_mm_ = starts_[i];
      patch.place_start_mm_ = starts_[j];
      patch.fixed_fed_mm_ = to;
      patch.lag_from_mm_ = lag_from_mm;
      patch.extent_ = segments_[i].X_FB.translation().norm() + 2.0 * length_mm();
      if (to - starts_[j] <= lag_from_mm) continue;
      const auto between = [](double low, double high) { return std::array{0.5 * (low + high), 0.5 * (high - low)}; };
      const auto* cone = std::get_if<ConeSegment>(&segments_[i].shape);
      const auto parameter = [&](double length) { return cone ? cone_azimuth(*cone, length - starts_[i]) : length - starts_[i]; };
      auto s = between(parameter(from), parameter(to));
      std::array<double, 2> w{};
      if (i == j && !cone) {
        patch.kind_ = FedPatch::Kind::like;
        s = {0.0, 0.0};
        w = between(lag_from_mm, to - starts_[i]);
      } else if (i == j) {
        patch.kind_ = FedPatch::Kind::cone;
        const double most = std::max(cone->start_radius_mm, cone->start_radius_mm + cone->taper_mm_per_rad * cone->turn_rad);
        const double speed = std::hypot(most, cone->taper_mm_per_rad, cone->climb_mm_per_rad);
        w = between(lag_from_mm / speed, parameter(to));
      } else {
        patch.kind_ = FedPatch::Kind::unlike;
        const auto* place = std::get_if<ConeSegment>(&segments_[j].shape);
        w = between(0.0, place ? place->turn_rad : starts_[j + 1] - starts_[j]);
      }
      patch.whole_ = {s[0], s[1], w[0], w[1]};
      patches.push_back(patch);
    }
  }
  return patches;
}

}  // namespace coilwright
