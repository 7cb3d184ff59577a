#include "fcl_side.hpp"

#include <fcl/broadphase/default_broadphase_callbacks.h>
#include <fcl/geometry/shape/box.h>
#include <fcl/geometry/shape/cylinder.h>
#include <fcl/narrowphase/distance.h>

#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <limits>
#include <numbers>

namespace coilwright::bench {
namespace {

using Eigen::Isometry3d;
using Eigen::Vector3d;

constexpr double pi = std::numbers::pi;

// A stack of rings with the same number of corners, closed by a fan at either end.
class Rings {
 public:
  explicit Rings(std::size_t around) : around_(around) {}
  void add(const Isometry3d& X, const std::vector<Eigen::Vector2d>& corners) {
    for (const auto& corner : corners) list_.points.push_back(X * Vector3d(0.0, corner.x(), corner.y()));
  }
  TriangleList closed(const Vector3d& first, const Vector3d& last) && {
    const std::size_t rings = list_.points.size() / around_;
    list_.points.push_back(first);
    list_.points.push_back(last);
    const auto triangle = [&](std::size_t a, std::size_t b, std::size_t c) {
      list_.triangles.push_back({static_cast<std::uint32_t>(a), static_cast<std::uint32_t>(b), static_cast<std::uint32_t>(c)});
    };
    for (std::size_t k = 0; k < around_; ++k) {
      const std::size_t next = (k + 1) % around_;
      for (std::size_t i = 0; i + 1 < rings; ++i) {
        const std::size_t here = i * around_, there = here + around_;
        triangle(here + k, here + next, there + next);
        triangle(here + k, there + next, there + k);
      }
      triangle(rings * around_, next, k);
      triangle(rings * around_ + 1, (rings - 1) * around_ + k, (rings - 1) * around_ + next);
    }
    return std::move(list_);
  }

 private:
  std::size_t around_;
  TriangleList list_;
};

std::vector<Eigen::Vector2d> circle(double radius, std::size_t corners) {
  std::vector<Eigen::Vector2d> points;
  for (std::size_t k = 0; k < corners; ++k) {
    const double a = 2.0 * pi * static_cast<double>(k) / static_cast<double>(corners);
    points.emplace_back(radius * std::cos(a), radius * std::sin(a));
  }
  return points;
}

// The turn in plan over a whole segment.
double turn_of(const SegmentShape& shape) {
  if (const auto* cone = std::get_if<ConeSegment>(&shape)) return cone->turn_rad;
  const auto& screw = std::get<ScrewSegment>(shape);
  return screw.length_mm * std::hypot(screw.curvature_per_mm, screw.torsion_per_mm);
}

Isometry3d frame_at(const FedPart& part, std::size_t segment, double along) {
  const FedSegment& s = part.segments()[segment];
  return s.X_PS * frame_along(s.shape, along - part.starts_mm()[segment]);
}

TriangleList frustum(const Frustum& f) {
  constexpr std::size_t sides = 256;
  const Vector3d axis = (f.to - f.from).normalized();
  Isometry3d X = Isometry3d::Identity();
  X.linear() = Eigen::Quaterniond::FromTwoVectors(Vector3d::UnitX(), axis).toRotationMatrix();
  Rings rings(sides);
  for (const bool end : {false, true}) {
    X.translation() = end ? f.to : f.from;
    rings.add(X, circle(end ? f.to_radius_mm : f.from_radius_mm, sides));
  }
  return std::move(rings).closed(f.from, f.to);
}

}  // namespace

Fineness fineness_for(double plan_radius_mm, double tube_radius_mm, double error_mm) {
  // A chord of angle a on a circle of radius r stands r (1 - cos(a / 2)) inside.
  const auto parts = [&](double radius) {
    return static_cast<std::size_t>(std::ceil(pi / std::acos(1.0 - 0.5 * error_mm / radius)));
  };
  return {parts(plan_radius_mm + tube_radius_mm), parts(tube_radius_mm)};
}

TriangleList swept(const FedPart& part, double to_mm, const SweptSection& section, const Fineness& fineness) {
  const bool round = (section.half_edges.array() == 0.0).all();
  const double x = section.half_edges.x(), y = section.half_edges.y(), r = section.tube_radius_mm;
  const std::vector<Eigen::Vector2d> corners =
      round ? circle(r, fineness.around) : std::vector<Eigen::Vector2d>{{-x, -y}, {x, -y}, {x, y}, {-x, y}};
  Rings rings(corners.size());
  const std::size_t cap = round ? std::max<std::size_t>(1, fineness.around / 4) : 0;
  const auto half_ball = [&](const Isometry3d& X, double side) {
    for (std::size_t i = 1; i < cap; ++i) {
      const double step = static_cast<double>(i) / static_cast<double>(cap);
      const double a = 0.5 * pi * (side < 0.0 ? step : 1.0 - step);  // from the pole to the ring, or back
      rings.add(X * Eigen::Translation3d(side * r * std::cos(a), 0.0, 0.0), circle(r * std::sin(a), corners.size()));
    }
  };
  const Isometry3d X_first = frame_at(part, 0, 0.0);
  half_ball(X_first, -1.0);
  rings.add(X_first, corners);
  Isometry3d X_last = X_first;
  for (std::size_t i = 0; i < part.segments().size() && part.starts_mm()[i] < to_mm; ++i) {
    const double from = part.starts_mm()[i], whole = part.starts_mm()[i + 1] - from, length = std::min(to_mm - from, whole);
    const double turns = turn_of(part.segments()[i].shape) * length / whole / (2.0 * pi);
    const auto steps = static_cast<std::size_t>(std::max(1.0, std::ceil(turns * static_cast<double>(fineness.per_turn) - 1e-9)));
    for (std::size_t k = 0; k <= steps; ++k) {
      // The first ring of a segment stands where the last one of the segment before does, turned with the bend.
      if (k == 0 && i == 0) continue;
      X_last = frame_at(part, i, from + length * static_cast<double>(k) / static_cast<double>(steps));
      rings.add(X_last, corners);
    }
  }
  half_ball(X_last, 1.0);
  const double out = round ? r : 0.0;
  return std::move(rings).closed(X_first * Vector3d(-out, 0, 0), X_last * Vector3d(out, 0, 0));
}

std::shared_ptr<const FclMesh> fcl_mesh(const TriangleList& list) {
  auto mesh = std::make_shared<FclMesh>();
  std::vector<fcl::Triangle> triangles;
  triangles.reserve(list.triangles.size());
  for (const auto& [a, b, c] : list.triangles) triangles.emplace_back(a, b, c);
  const bool made = mesh->beginModel(static_cast<int>(triangles.size()), static_cast<int>(list.points.size())) == fcl::BVH_OK &&
                    mesh->addSubModel(list.points, triangles) == fcl::BVH_OK && mesh->endModel() == fcl::BVH_OK;
  require(made, "FCL takes the mesh");
  mesh->computeLocalAABB();
  return mesh;
}

std::unique_ptr<FclBody> fcl_body(const Shape& shape) {
  Isometry3d X = Isometry3d::Identity();
  std::shared_ptr<fcl::CollisionGeometryd> geometry;
  if (const auto* c = std::get_if<Cylinder>(&shape)) {
    const Vector3d axis = c->to - c->from;
    geometry = std::make_shared<fcl::Cylinderd>(c->radius_mm, axis.norm());
    X.linear() = Eigen::Quaterniond::FromTwoVectors(Vector3d::UnitZ(), axis.normalized()).toRotationMatrix();
    X.translation() = 0.5 * (c->from + c->to);
  } else if (const auto* b = std::get_if<Box>(&shape)) {
    geometry = std::make_shared<fcl::Boxd>(Vector3d(b->max - b->min));
    X.linear() = Eigen::AngleAxisd(b->turned_rad, Vector3d::UnitZ()).toRotationMatrix();
    X.translation() = 0.5 * (b->min + b->max);
  } else if (const auto* f = std::get_if<Frustum>(&shape)) {
    geometry = std::const_pointer_cast<FclMesh>(fcl_mesh(frustum(*f)));
  } else {
    const auto* m = std::get_if<MeshBody>(&shape);
    require(m != nullptr, "the scenes hold no other shapes");
    TriangleList list;
    for (const Vector3d& p : m->mesh->points()) list.points.push_back(m->placed(p));
    list.triangles = m->mesh->triangles();
    geometry = std::const_pointer_cast<FclMesh>(fcl_mesh(list));
  }
  return std::make_unique<FclBody>(geometry, X);
}

FclPart::FclPart(const FedPart& part, std::size_t feeds, const SweptSection& section, const Fineness& fineness) {
  for (std::size_t i = 1; i <= feeds; ++i) {
    const double fed = part.length_mm() * static_cast<double>(i) / static_cast<double>(feeds);
    std::size_t in_bend = 0;
    while (in_bend + 1 < part.segments().size() && part.starts_mm()[in_bend + 1] < fed) ++in_bend;
    const TriangleList list = swept(part, fed, section, fineness);
    triangles_ = list.triangles.size();
    // Ahead of the bend the part stands still in the frame of the bend point.
    const Isometry3d X = part.segments()[in_bend].X_FB * frame_at(part, in_bend, fed).inverse();
    fed_.push_back(std::make_unique<FclBody>(std::const_pointer_cast<FclMesh>(fcl_mesh(list)), X));
  }
}

double FclPart::least(FclBody& body) const {
  // One result for all: what was found before bounds what is searched next.
  fcl::DistanceResultd result;
  for (const auto& fed : fed_) fcl::distance(fed.get(), &body, fcl::DistanceRequestd(), result);
  return result.min_distance;
}

double FclPart::least(fcl::DynamicAABBTreeCollisionManagerd& bodies) const {
  fcl::DefaultDistanceData<double> data;
  for (const auto& fed : fed_) bodies.distance(fed.get(), &data, fcl::DefaultDistanceFunction<double>);
  return data.result.min_distance;
}

}  // namespace coilwright::bench
