#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <coilwright/clearance/shape_distance.hpp>
#include <coilwright/quantity/require.hpp>
#include <limits>

namespace coilwright {
namespace {

bool finite(const Eigen::Vector3d& v) { return v.allFinite(); }

// Any unit vector square to a unit vector.
Eigen::Vector3d square_to(const Eigen::Vector3d& axis) {
  const Eigen::Vector3d off = std::abs(axis.x()) < 0.5 ? Eigen::Vector3d::UnitX() : Eigen::Vector3d::UnitY();
  return (off - off.dot(axis) * axis).normalized();
}

// Distance and its gradient in the half-plane (radial, axial) of a body of revolution.
struct Profile {
  double distance, radial, axial;
};

Profile to_corner(double radial, double axial) {
  const double d = std::sqrt(radial * radial + axial * axial);
  return d > 0.0 ? Profile{d, radial / d, axial / d} : Profile{0.0, 1.0, 0.0};
}

// A cylinder: |z| <= half, r <= radius.
Profile cylinder_profile(double r, double z, double radius, double half) {
  const double dr = r - radius, dz = std::abs(z) - half, up = z < 0.0 ? -1.0 : 1.0;
  if (dr > 0.0 && dz > 0.0) {
    const Profile corner = to_corner(dr, dz);
    return {corner.distance, corner.radial, up * corner.axial};
  }
  return dr > dz ? Profile{dr, 1.0, 0.0} : Profile{dz, 0.0, up};
}

// At a corner next to the side: the way there lies between the directions of the two faces, which rounding must not deny
// it. `ahead` is the direction in which the side runs on past the corner.
Profile to_side_corner(double radial, double axial, const Eigen::Vector2d& ahead) {
  const double back = std::min(0.0, radial * ahead.x() + axial * ahead.y());
  return to_corner(radial - back * ahead.x(), axial - back * ahead.y());
}

// A frustum: its side runs from (from_radius, -half) along `slant`.
Profile frustum_profile(double r, double z, double from_radius, double to_radius, double half,
                        const Eigen::Vector2d& slant, double length) {
  const double qr = r - from_radius, qz = z + half;
  const double along = qr * slant.x() + qz * slant.y();
  const double out = qr * slant.y() - qz * slant.x();  // to the side's line, positive outside
  if (out > 0.0) {
    if (along >= 0.0 && along <= length) return {out, slant.y(), -slant.x()};
    if (along < 0.0) {
      if (r <= from_radius) return {-half - z, 0.0, -1.0};
      return to_side_corner(r - from_radius, z + half, -slant);
    }
    if (r <= to_radius) return {z - half, 0.0, 1.0};
    return to_side_corner(r - to_radius, z - half, slant);
  }
  if (z > half) {
    if (r <= to_radius) return {z - half, 0.0, 1.0};
    return to_corner(r - to_radius, z - half);
  }
  if (z < -half) {
    if (r <= from_radius) return {-half - z, 0.0, -1.0};
    return to_corner(r - from_radius, z + half);
  }
  const double top = z - half, bottom = -half - z;
  if (out >= top && out >= bottom) return {out, slant.y(), -slant.x()};
  return top > bottom ? Profile{top, 0.0, 1.0} : Profile{bottom, 0.0, -1.0};
}

}  // namespace

void ConvexBody::set_axis(const Eigen::Vector3d& from, const Eigen::Vector3d& to) {
  require(finite(from) && finite(to), "a body's axis must be finite");
  const double length = (to - from).norm();
  centre_ = 0.5 * (from + to);
  half_.x() = 0.5 * length;
  axis_ = length > 0.0 ? Eigen::Vector3d((to - from) / length) : Eigen::Vector3d::UnitZ();
  side_ = square_to(axis_);
  extent_ = std::max(from.lpNorm<Eigen::Infinity>(), to.lpNorm<Eigen::Infinity>()) +
            std::max(from_radius_, to_radius_);
}

ConvexBody::ConvexBody(const Shape& shape) {
  if (const auto* cylinder = std::get_if<Cylinder>(&shape)) {
    kind_ = Kind::cylinder;
    from_radius_ = to_radius_ = cylinder->radius_mm;
    set_axis(cylinder->from, cylinder->to);
    require(from_radius_ > 0.0 && std::isfinite(from_radius_) && half_.x() > 0.0, "a cylinder needs volume");
  } else if (const auto* frustum = std::get_if<Frustum>(&shape)) {
    kind_ = Kind::frustum;
    from_radius_ = frustum->from_radius_mm;
    to_radius_ = frustum->to_radius_mm;
    set_axis(frustum->from, frustum->to);
    require(from_radius_ >= 0.0 && to_radius_ >= 0.0 && std::isfinite(from_radius_ + to_radius_) &&
                from_radius_ + to_radius_ > 0.0 && half_.x() > 0.0,
            "a frustum needs volume");
    slant_length_ = std::hypot(to_radius_ - from_radius_, 2.0 * half_.x());
    slant_ = Eigen::Vector2d(to_radius_ - from_radius_, 2.0 * half_.x()) / slant_length_;
  } else if (const auto* box = std::get_if<Box>(&shape)) {
    kind_ = Kind::box;
    require(finite(box->min) && finite(box->max) && std::isfinite(box->turned_rad) &&
                (box->min.array() < box->max.array()).all(),
            "a box needs volume");
    centre_ = 0.5 * (box->min + box->max);
    half_ = 0.5 * (box->max - box->min);
    const double c = std::cos(box->turned_rad), s = std::sin(box->turned_rad);
    axis_ = {c, s, 0.0};
    side_ = {-s, c, 0.0};
    extent_ = centre_.lpNorm<Eigen::Infinity>() + half_.norm();
  } else if (const auto* hull = std::get_if<ConvexHull>(&shape)) {
    kind_ = Kind::hull;
    require(hull->faces.size() >= 4, "a hull needs volume");
    std::vector<Face> faces;
    for (const auto& [i, j, k] : hull->faces) {
      const Eigen::Vector3d &a = hull->points[i], &b = hull->points[j], &c = hull->points[k];
      const Eigen::Vector3d normal = (b - a).cross(c - a).stableNormalized();
      if (normal.norm() > 0.5) faces.push_back({a, b, c, normal});  // thin triangles border on others
      extent_ = std::max({extent_, a.norm(), b.norm(), c.norm()});
    }
    hull_ = std::make_shared<const Hull>(Hull{std::move(faces), hull->points});
  } else {
    require(std::holds_alternative<HalfSpace>(shape), "a mesh is not convex");
    const auto& plane = std::get<HalfSpace>(shape);
    kind_ = Kind::half_space;
    const double size = plane.normal.norm();
    require(finite(plane.point) && std::abs(size - 1.0) < 1e-9, "a half-space needs a unit normal");
    centre_ = plane.point;
    axis_ = plane.normal / size;
    extent_ = centre_.norm();
  }
  set_ball();
}

void ConvexBody::set_ball() {
  ball_.centre = centre_;
  switch (kind_) {
    case Kind::half_space:
      return;
    case Kind::capsule:
      ball_.radius_mm = half_.x() + from_radius_;
      return;
    case Kind::box:
      ball_.radius_mm = half_.norm();
      return;
    case Kind::cylinder:
    case Kind::frustum: {
      // As far from both rims as may be along the axis.
      const double half = half_.x(), between = to_radius_ * to_radius_ - from_radius_ * from_radius_;
      const double along = std::clamp(between / (4.0 * half), -half, half);
      ball_.centre += along * axis_;
      ball_.radius_mm = std::max(std::hypot(half + along, from_radius_), std::hypot(half - along, to_radius_));
      return;
    }
    case Kind::hull: {
      Eigen::Vector3d low = hull_->corners.front(), high = low;
      for (const Eigen::Vector3d& corner : hull_->corners) low = low.cwiseMin(corner), high = high.cwiseMax(corner);
      ball_ = {0.5 * (low + high), 0.0};
      for (const Eigen::Vector3d& corner : hull_->corners)
        ball_.radius_mm = std::max(ball_.radius_mm, (corner - ball_.centre).norm());
      return;
    }
  }
}

ConvexBody ConvexBody::capsule(const Eigen::Vector3d& from, const Eigen::Vector3d& to, double radius_mm) {
  require(radius_mm >= 0.0 && std::isfinite(radius_mm), "a capsule's radius is not negative");
  ConvexBody body;
  body.kind_ = Kind::capsule;
  body.from_radius_ = body.to_radius_ = radius_mm;
  body.set_axis(from, to);
  body.set_ball();
  return body;
}

SurfaceDistance box_distance(const Eigen::Vector3d& from_middle, const Eigen::Vector3d& half_edges) {
  const Eigen::Vector3d over = from_middle.cwiseAbs() - half_edges;
  Eigen::Vector3d g = Eigen::Vector3d::Zero();
  if ((over.array() > 0.0).any()) {
    const Eigen::Vector3d out = over.cwiseMax(0.0);
    const double d = out.norm();
    for (int i = 0; i < 3; ++i) g[i] = std::copysign(out[i] / d, from_middle[i]);
    return {d, g};
  }
  Eigen::Index face;
  const double d = over.maxCoeff(&face);
  g[face] = std::copysign(1.0, from_middle[face]);
  return {d, g};
}

Eigen::Vector3d nearest_on_triangle(const Eigen::Vector3d& p, const Eigen::Vector3d& a, const Eigen::Vector3d& b,
                                    const Eigen::Vector3d& c) {
  const Eigen::Vector3d ab = b - a, ac = c - a, ap = p - a;
  const double d1 = ab.dot(ap), d2 = ac.dot(ap);
  if (d1 <= 0.0 && d2 <= 0.0) return a;
  const Eigen::Vector3d bp = p - b;
  const double d3 = ab.dot(bp), d4 = ac.dot(bp);
  if (d3 >= 0.0 && d4 <= d3) return b;
  const double vc = d1 * d4 - d3 * d2;
  if (vc <= 0.0 && d1 >= 0.0 && d3 <= 0.0 && d1 - d3 > 0.0) return a + d1 / (d1 - d3) * ab;
  const Eigen::Vector3d cp = p - c;
  const double d5 = ab.dot(cp), d6 = ac.dot(cp);
  if (d6 >= 0.0 && d5 <= d6) return c;
  const double vb = d5 * d2 - d1 * d6;
  if (vb <= 0.0 && d2 >= 0.0 && d6 <= 0.0 && d2 - d6 > 0.0) return a + d2 / (d2 - d6) * ac;
  const double va = d3 * d6 - d5 * d4;
  if (va <= 0.0 && d4 - d3 >= 0.0 && d5 - d6 >= 0.0 && d4 - d3 + d5 - d6 > 0.0)
    return b + (d4 - d3) / (d4 - d3 + d5 - d6) * (c - b);
  const double whole = va + vb + vc;
  if (!(whole > 0.0)) return a;  // thinner than rounding can tell, and p beside it
  return a + vb / whole * ab + vc / whole * ac;
}

SurfaceDistance ConvexBody::hull_distance(const Eigen::Vector3d& p) const {
  // Inside the least deep face counts, outside the nearest point of the faces that p stands in front of.
  SurfaceDistance deepest{-std::numeric_limits<double>::infinity(), {}};
  Eigen::Vector3d nearest = p;
  double least = std::numeric_limits<double>::infinity();
  for (const Face& face : hull_->faces) {
    const double height = face.normal.dot(p - face.a);
    if (height > deepest.distance_mm) deepest = {height, face.normal};
    if (height <= 0.0) continue;
    const Eigen::Vector3d on = nearest_on_triangle(p, face.a, face.b, face.c);
    const double away = (p - on).squaredNorm();
    if (away < least) least = away, nearest = on;
  }
  if (!(least > 0.0) || least == std::numeric_limits<double>::infinity()) return deepest;
  const double d = std::sqrt(least);
  // The way there is known to the rounding of its ends: far off that does not turn it.
  if (d > 0x1p-6 * extent_) return {d, (p - nearest) / d};
  // Nearer than that no digit of it is left: the face that p stands highest over is as good.
  if (d < 0x1p-44 * extent_) return deepest;
  return turned_behind(p, nearest, hull_->corners, 0x1p-47 * extent_).value_or(deepest);
}

std::optional<SurfaceDistance> turned_behind(const Eigen::Vector3d& p, const Eigen::Vector3d& nearest,
                                             std::span<const Eigen::Vector3d> corners, double rounding_mm) {
  double d = (p - nearest).norm();
  Eigen::Vector3d g = (p - nearest) / d;
  constexpr int turns = 60;
  for (int i = 0; i < turns; ++i) {
    double most = rounding_mm;
    Eigen::Vector3d over = Eigen::Vector3d::Zero();
    for (const Eigen::Vector3d& corner : corners) {
      const Eigen::Vector3d there = corner - nearest;
      if (const double rise = g.dot(there); rise > most) most = rise, over = there;
    }
    if (most == rounding_mm) {
      // The way turned back may be shorter than the way that rounding had turned.
      for (const Eigen::Vector3d& corner : corners) d = std::min(d, g.dot(p - corner));
      return SurfaceDistance{std::max(d, 0.0), g};
    }
    g -= most / over.squaredNorm() * over;
    const double size = g.norm();
    if (!(size > 0.5)) return std::nullopt;
    g /= size;
  }
  return std::nullopt;
}

SurfaceDistance ConvexBody::distance(const Eigen::Vector3d& p) const {
  const Eigen::Vector3d q = p - centre_;
  switch (kind_) {
    case Kind::half_space:
      return {q.dot(axis_), axis_};
    case Kind::capsule: {
      const double t = q.dot(axis_);
      Eigen::Vector3d off = q - std::clamp(t, -half_.x(), half_.x()) * axis_;
      // Near the axis rounding would give the way out a part along it, and the plane square to it would cut the body.
      const double along = off.dot(axis_);
      off -= (t > half_.x() ? std::min(along, 0.0) : t < -half_.x() ? std::max(along, 0.0) : along) * axis_;
      const double d = off.norm();
      return {d - from_radius_, d > 0.0 ? Eigen::Vector3d(off / d) : side_};
    }
    case Kind::box: {
      const SurfaceDistance found = box_distance({q.dot(axis_), q.dot(side_), q.z()}, half_);
      const Eigen::Vector3d& g = found.direction;
      return {found.distance_mm, g.x() * axis_ + g.y() * side_ + g.z() * Eigen::Vector3d::UnitZ()};
    }
    case Kind::hull:
      return hull_distance(p);
    case Kind::cylinder:
    case Kind::frustum: {
      const double z = q.dot(axis_);
      Eigen::Vector3d radial = q - z * axis_;
      radial -= radial.dot(axis_) * axis_;  // what rounding leaves along the axis counts near it
      const double r = radial.norm();
      const Profile profile =
          kind_ == Kind::cylinder
              ? cylinder_profile(r, z, from_radius_, half_.x())
              : frustum_profile(r, z, from_radius_, to_radius_, half_.x(), slant_, slant_length_);
      // On the axis every radial direction is a subgradient's.
      const Eigen::Vector3d outward = r > 0.0 ? Eigen::Vector3d(radial / r) : side_;
      return {profile.distance, profile.radial * outward + profile.axial * axis_};
    }
  }
  throw InternalError("unknown body");
}

}  // namespace coilwright
