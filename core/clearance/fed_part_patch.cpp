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

// std::hypot guards against sizes that lengths of parts do not have, and takes its time for it.
double size_of(double a, double b, double c = 0.0) { return std::sqrt(a * a + b * b + c * c); }

Vector3d cross(const Vector3d& a, const Vector3d& b) { return a.cross(b); }

// What bounds a curve: speed, second and third derivative, and its chord over a half length; of the second derivative so
// much is known by its size only.
struct CurveBounds {
  double first, second, third, reach, loose = 0.0;
};

double least_radius(const SegmentLaw& cone) { return std::min(cone.rho0, cone.rho0 + cone.taper * cone.turn); }

// The sine of half the angle from above, by its series: up to a right angle at most 0.5 % too large.
double screw_reach(double radius, double rate, double along, double half) {
  const double x = 0.5 * rate * half, x2 = x * x;
  const double sine = x < 0.5 * std::numbers::pi ? std::min(1.0, x * (1.0 - x2 / 6.0 * (1.0 - x2 / 20.0))) : 1.0;
  const double chord = 2.0 * radius * sine, climb = along * half;
  return std::sqrt(chord * chord + climb * climb);
}

// What Eigen does not inline.
Vector3d turned(const Isometry3d& X, const Vector3d& v) {
  const auto& m = X.matrix();
  return {m(0, 0) * v.x() + m(0, 1) * v.y() + m(0, 2) * v.z(), m(1, 0) * v.x() + m(1, 1) * v.y() + m(1, 2) * v.z(),
          m(2, 0) * v.x() + m(2, 1) * v.y() + m(2, 2) * v.z()};
}
Vector3d moved(const Isometry3d& X, const Vector3d& p) { return turned(X, p) + X.translation(); }
Vector3d turned_back(const Matrix3d& F, const Vector3d& v) { return {F.col(0).dot(v), F.col(1).dot(v), F.col(2).dot(v)}; }

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

double FedPatch::fed_mm(double s, double w) const {
  if (standing_) return fed_to_mm_;
  if (by_lag_alone()) return std::max(fed_from_mm_, bend_start_mm_ + w);  // where it is reached first
  return bend_start_mm_ + bend_law_.length_to(s);
}

double FedPatch::along_mm(double s, double w) const {
  switch (kind_) {
    case Kind::like: return fed_mm(s, w) - w;
    case Kind::cone: return place_start_mm_ + place_law_.length_to(bend_parameter(s) - w);
    case Kind::unlike: return place_start_mm_ + place_law_.length_to(w);
  }
  throw InternalError("unknown patch");
}

Vector3d FedPatch::point(double s, double w, const Eigen::Vector2d& offset) const {
  const Vector3d o(0.0, offset.x(), offset.y());
  const Isometry3d X = X_FB_ * twist_.after(s - s_from_);
  if (kind_ == Kind::like) return X * (place_law_.at(-w) * o);
  const double bend = bend_parameter(s), u = kind_ == Kind::cone ? bend - w : w;
  return X * (bend_law_.at(bend).inverse() * (X_bend_place_ * (place_law_.at(u) * o)));
}

PatchPoint FedPatch::at(const PatchBox& box, const Eigen::Vector2d& offset) const {
  if (by_lag_alone()) return at_lag(turned_to(box), box.w, offset);
  const PatchBox here = standing_ ? PatchBox{stands_at_, 0.0, box.w, box.half_w} : box;
  PatchPoint at = kind_ == Kind::like ? at_like(here, offset) : kind_ == Kind::cone ? at_cone(here, offset) : at_unlike(here, offset);
  if (standing_) at.s = at.ss = at.sw = Vector3d::Zero();  // nothing is fed
  Isometry3d X = X_FB_;
  if (moving_) {
    at = with_motion(at, box);
    X = X * twist_.after(box.s - s_from_);
  }
  at.p = moved(X, at.p);
  for (Vector3d PatchPoint::*d : {&PatchPoint::s, &PatchPoint::w, &PatchPoint::ss, &PatchPoint::sw, &PatchPoint::ww})
    at.*d = turned(X, at.*d);
  return at;
}

// See fed_part.hpp. The motion of the middle has speed V all the way: its third derivative is at most |omega|^2 V. What
// the point itself does in the box, delta, is turned: by a omega x delta, of which the part linear in a and b is
// kept, and by less than (a omega)^2 |delta| / 2 more. Turning keeps the size of what was left over before.
PatchPoint FedPatch::with_motion(const PatchPoint& at, const PatchBox& box) const {
  const double hs = box.half_s, hw = box.half_w, rate = twist_.rate.norm();
  const Vector3d speed = twist_.velocity + cross(twist_.rate, at.p);
  const double s = at.s.norm() * hs, ss = 0.5 * at.ss.norm() * hs * hs;
  const double rest_of_second = ss + at.sw.norm() * hs * hw + 0.5 * at.ww.norm() * hw * hw;
  const double delta = s + at.w.norm() * hw + rest_of_second;
  const double turn = rate * hs, of_middle = rate * rate * speed.norm() * hs * hs * hs / 6.0;
  PatchPoint result = at;
  result.s += speed;
  result.ss += 2.0 * cross(twist_.rate, at.s) + cross(twist_.rate, speed);
  result.sw += cross(twist_.rate, at.w);
  result.rest_mm += of_middle + 0.5 * turn * turn * delta + turn * rest_of_second;
  result.rest_s_mm += of_middle + 0.5 * turn * turn * (s + ss) + turn * ss;
  result.reach_mm += speed.norm() * hs;
  return result;
}

FedPatch::Turned FedPatch::turned_to(const PatchBox& box) const {
  const double half_angle = -0.5 * place_law_.rate * box.w;
  const double half_sine = std::sin(half_angle), half_cosine = std::cos(half_angle);
  const double sine = 2.0 * half_sine * half_cosine, versine = 2.0 * half_sine * half_sine;
  return {box.half_w, sine, 1.0 - versine, versine};
}

// SegmentLaw::on_screw with its axes in F: the way along the tangent a, that round the axis e, and inward i, after a turn.
// The frame there is T = a axis + b e, N = i, B = b axis - a e, and it turns with de = rate i, di = -rate e.
PatchPoint FedPatch::at_lag(const Turned& t, double lag_mm, const Eigen::Vector2d& offset) const {
  const double rate = place_law_.rate, h = t.half, x = offset.x(), y = offset.y();
  const bool straight = rate == 0.0;
  const double a = straight ? 0.0 : place_law_.axis_t, b = straight ? 1.0 : place_law_.axis_b;
  const Vector3d e = t.cosine * coil_round_ + t.sine * coil_inward_, i = t.cosine * coil_inward_ - t.sine * coil_round_;
  const double ahead = straight ? -lag_mm : t.sine / rate, aside = straight ? 0.0 : t.versine / rate;
  const double round = b - rate * x, lean = a * rate * y;  // of the tangent of the curve at this offset, along e and -i
  PatchPoint at;
  at.p = X_FB_.translation() + (b * y - lag_mm * a) * coil_axis_ + b * (ahead * coil_round_ + aside * coil_inward_) +
         (x * i - a * y * e);
  at.s = at.ss = at.sw = Vector3d::Zero();
  at.w = -(a * coil_axis_ + round * e - lean * i);
  at.ww = rate * (round * i + lean * e);
  const double size = size_of(round, lean);
  at.rest_mm = at.rest_w_mm = rate * rate * size * h * h * h / 6.0;
  at.rest_s_mm = 0.0;
  at.reach_mm = straight ? h : screw_reach(size / rate, rate, std::abs(a), h);
  return at;
}

std::array<PatchPoint, 4> FedPatch::at_corners(const PatchBox& box, const std::array<Eigen::Vector2d, 4>& o) const {
  if (!by_lag_alone()) return {at(box, o[0]), at(box, o[1]), at(box, o[2]), at(box, o[3])};
  const Turned turned = turned_to(box);
  return {at_lag(turned, box.w, o[0]), at_lag(turned, box.w, o[1]), at_lag(turned, box.w, o[2]), at_lag(turned, box.w, o[3])};
}

double FedPatch::least_away(const PatchBox& box, const Vector3d& p) const {
  const double radius = place_law_.axis_b / place_law_.rate;
  const Vector3d from = p - (X_FB_.translation() + radius * coil_inward_);
  const double height = from.dot(coil_axis_), out = (from - height * coil_axis_).norm() - radius;
  const double past = std::abs(height + place_law_.axis_t * box.w) - std::abs(place_law_.axis_t) * box.half_w;
  return past > 0.0 ? size_of(out, past) : std::abs(out);
}

// A helix, run backwards.
PatchPoint FedPatch::at_like(const PatchBox& box, const Eigen::Vector2d& offset) const {
  const Isometry3d X = place_law_.on_screw(-box.w);
  const Vector3d o(0.0, offset.x(), offset.y()), omega(place_law_.torsion, 0.0, place_law_.curvature);
  const Vector3d along = Vector3d::UnitX() + cross(omega, o), bend = cross(omega, along);
  const double rate = place_law_.rate, h = box.half_w, size = bend.norm();
  const double radius = rate > 0.0 ? size / (rate * rate) : 0.0;
  const double climb = rate > 0.0 ? std::abs(place_law_.torsion) / rate : along.norm();
  const double rest = rate * size * h * h * h / 6.0;
  return {moved(X, o), Vector3d::Zero(), -turned(X, along), Vector3d::Zero(), Vector3d::Zero(), turned(X, bend),
          rest,        0.0,              rest,              screw_reach(radius, rate, climb, h)};
}

// A point off the centreline is turned from the cone's frame at it to that at the bend. Its rotation about the axis is
// kept to second order; all else of second order, and what is left of the third, is bounded by how the frames change.
PatchPoint FedPatch::at_cone(const PatchBox& box, const Eigen::Vector2d& offset) const {
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
  const double speed = size_of(b, most_u, c), most = Y.norm() + speed * hw + 2.0 * size * hs;
  const double third = size_of(most_u, 3.0 * b);
  const double S_ss = b * b * (frame.second * most + 4.0 * frame.first);
  const double S_sww = size * (frame.first * size_of(most_u, 2.0 * b) + 1.0);
  const double rest_s = 0.5 * S_ss * hs * hs, rest_w = third * hw * hw * hw / 6.0;
  const double chord = std::min(speed * hw, 2.0 * most_u + std::abs(c) * hw);
  if (!offset.isZero(0.0)) {
    const double off = offset.norm(), spread = size * (hs + hw), least = least_radius(bend_law_);
    // On the way from the middle, which need not exist, to what does. Where it lies too far off the cone, it turns anyhow.
    const double lowest = std::min(rho_u, std::max(least, rho_u - spread));
    if (lowest < 0.5 * least) {
      constexpr double unknown = std::numeric_limits<double>::infinity();
      const Vector3d zero = Vector3d::Zero();
      return {turned_back(F, Y), zero, zero, zero, zero, zero, unknown, hs >= hw ? unknown : 0.0, hs >= hw ? 0.0 : unknown,
              size * (frame.first * most + 2.0) * hs + chord + off};
    }
    const ConeFrame at_u = cone_frame(rho_u, b, c);
    const ConeBounds frame_u = cone_bounds(lowest, rho_u + spread, b, c);
    const double first = std::max(frame.first, frame_u.first), second = std::max(frame.second, frame_u.second);
    Matrix3d back;  // about the axis, by -w
    back << cosine, sine, 0.0, -sine, cosine, 0.0, 0.0, 0.0, 1.0;
    const Vector3d o(0.0, offset.x(), offset.y()), V = back * (at_u.F * o), changed = back * (at_u.dF * o);
    const Vector3d Vw = Vector3d(V.y(), -V.x(), 0.0) - b * changed, Vww(-V.x(), -V.y(), 0.0);
    const double turning = 1.0 + size * first, bent = 2.0 * size * first + size * size * second;
    const double off_s = b * b * (second + first * first) * off * hs * hs;
    const double off_w = 0.5 * bent * off * hw * hw + turning * off * hw * hw * hw / 6.0;
    const double off_sw = size * (2.0 * first + size * (first * first + second)) * off * hs * hw +
                          size * first * off * hs * hw * hw / 6.0;
    return {turned_back(F, Y + V),
            b * (turned_back(dF, Y + V) + turned_back(F, Yr + changed)),
            turned_back(F, Yw + Vw),
            Vector3d::Zero(),
            b * (turned_back(dF, Yw) + turned_back(F, Yrw)),
            turned_back(F, Yww + Vww),
            rest_s + rest_w + 0.5 * S_sww * hs * hw * hw + off_s + off_w + off_sw,
            rest_s + off_s,
            rest_w + off_w,
            size * (frame.first * most + 2.0) * hs + chord + 2.0 * size * first * off * hs +
                std::min(turning * hw, 2.0 + size * first * hw) * off};
  }
  return {turned_back(F, Y),
          b * (turned_back(dF, Y) + turned_back(F, Yr)),
          turned_back(F, Yw),
          Vector3d::Zero(),
          b * (turned_back(dF, Yw) + turned_back(F, Yrw)),
          turned_back(F, Yww),
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
    point = moved(X, moved(place, o));
    along = turned(X, turned(place, step));
    bend = turned(X, turned(place, turn));
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
    u = {size_of(b, most, c), size_of(most, 2.0 * b), size_of(most, 3.0 * b), 0.0};
    u.reach = std::min(u.first * hu, 2.0 * most + std::abs(c) * hu);
    if (!offset.isZero(0.0)) {
      const double spread = std::abs(b) * hu, off = offset.norm();
      const ConeFrame frame = cone_frame(rho, b, c);
      const ConeBounds change = cone_bounds(std::max(least_radius(place_law_), rho - spread), rho + spread, b, c);
      Matrix3d on;
      on << cosine, -sine, 0.0, sine, cosine, 0.0, 0.0, 0.0, 1.0;
      const Vector3d V = on * (frame.F * o), Vu = Vector3d(-V.y(), V.x(), 0.0) + b * (on * (frame.dF * o));
      const double turning = 1.0 + std::abs(b) * change.first;
      const double bent = 2.0 * std::abs(b) * change.first + b * b * change.second;
      point += R * V;
      along += R * Vu;
      bend += R * Vector3d(-V.x(), -V.y(), 0.0);
      u.first += turning * off;
      u.second += (1.0 + bent) * off;
      u.third += turning * off;
      u.loose = bent * off;
      u.reach += std::min(turning * hu, 2.0 + std::abs(b) * change.first * hu) * off;
    }
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
    const Vector3d with_radius(F.col(2).dot(dF.col(1)), F.col(0).dot(dF.col(2)), F.col(1).dot(dF.col(0)));
    omega = F.row(2).transpose() + b * with_radius;
    s = -(size_of(b, rho, c) * Vector3d::UnitX() + cross(omega, point));
    ss.setZero();
    su = -cross(omega, along);
    const ConeBounds frame = cone_bounds(rho - size * hs, rho + size * hs, b, c);
    const double rate = 1.0 + size * frame.first, speed = size_of(b, rho + size * hs, c);
    const double change = size * frame.first + b * b * (frame.second + frame.first * frame.first);
    // |X| is the distance of two points of the part at rest.
    const double most_here = point.norm() + u.reach + speed * hs;
    rest_s = 0.5 * (size + change * most_here + rate * (speed + rate * most_here)) * hs * hs;
    mixed = 0.5 * rate * u.second * hs * hu * hu;
    reach_s = (speed + rate * most_here) * hs;
  }
  const double rest_u = u.third * hu * hu * hu / 6.0 + 0.5 * u.loose * hu * hu;
  return {point, s, along, ss, su, bend, rest_s + rest_u + mixed, rest_s, rest_u, reach_s + u.reach};
}

FedPatch::Feasible FedPatch::feasible_while_fed(const PatchBox& box) const {
  if (kind_ != Kind::unlike) {
    if (box.w - box.half_w > box.s + box.half_s) return Feasible::none;
    return box.w + box.half_w <= box.s - box.half_s ? Feasible::all : Feasible::some;
  }
  if (lag_from_mm_ <= 0.0) return Feasible::all;
  if (fed_mm(box.s + box.half_s, 0.0) - along_mm(0.0, box.w - box.half_w) < lag_from_mm_) return Feasible::none;
  return fed_mm(box.s - box.half_s, 0.0) - along_mm(0.0, box.w + box.half_w) >= lag_from_mm_ ? Feasible::all
                                                                                            : Feasible::some;
}

std::array<double, 2> FedPatch::nearest_feasible(const PatchBox& box) const {
  if (standing_ || by_lag_alone()) return {box.s, box.w};
  // Halves toward the corner that exists if any does, until the place does.
  double low = 0.0, high = 1.0;
  const auto exists = [&](double share) {
    return feasible({box.s + share * box.half_s, 0.0, box.w - share * box.half_w, 0.0}) == Feasible::all;
  };
  if (exists(0.0)) return {box.s, box.w};
  if (kind_ != Kind::unlike) {
    // Where w = s on the way to that corner, and a little more; the halving stands in where rounding denies it.
    const double share = std::min(1.0, (box.w - box.s) / (box.half_s + box.half_w) * (1.0 + 1e-12));
    if (exists(share)) return {box.s + share * box.half_s, box.w - share * box.half_w};
  }
  for (int i = 0; i < 50; ++i) (exists(0.5 * (low + high)) ? high : low) = 0.5 * (low + high);
  return {box.s + high * box.half_s, box.w - high * box.half_w};
}

double FedPatch::least_linear(const PatchBox& box, double slope_s, double slope_w) const {
  const double hs = box.half_s, hw = box.half_w;
  const double everywhere = -std::abs(slope_s) * hs - std::abs(slope_w) * hw;
  double most = std::numeric_limits<double>::infinity();  // of y - x
  if (standing_ || by_lag_alone()) return everywhere;
  if (kind_ != Kind::unlike) most = box.s - box.w;
  if (kind_ == Kind::unlike && !bend_law_.cone && !place_law_.cone)
    most = fed_mm(box.s, 0.0) - along_mm(0.0, box.w) - lag_from_mm_;
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

}  // namespace coilwright
