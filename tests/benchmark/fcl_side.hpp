// The benchmark's scenes as the collision library FCL sees them: parts as swept meshes, solids as its own bodies where
// it has them, else as meshes.
#pragma once

#include <fcl/broadphase/broadphase_dynamic_AABB_tree.h>
#include <fcl/geometry/bvh/BVH_model.h>
#include <fcl/narrowphase/collision_object.h>

#include <Eigen/Geometry>
#include <coilwright/clearance/fed_part.hpp>
#include <coilwright/machine/shape.hpp>
#include <cstddef>
#include <memory>
#include <vector>

namespace coilwright::bench {

using FclMesh = fcl::BVHModel<fcl::OBBRSSd>;
using FclBody = fcl::CollisionObjectd;

struct TriangleList {
  std::vector<Eigen::Vector3d> points;
  std::vector<std::array<std::uint32_t, 3>> triangles;
};

// How finely a part is meshed: corners on the true surface, as a mesher puts them.
struct Fineness {
  std::size_t per_turn;     // rings in one turn
  std::size_t around = 16;  // corners of a round section
};
// The coarsest with which no chord of a round tube leaves the surface by more than `error_mm`, half of it along
// the tube's outer side and half around.
Fineness fineness_for(double plan_radius_mm, double tube_radius_mm, double error_mm);

// What is swept: a round tube with rounded ends, as clearance takes them, or a rectangle with flat ones.
struct SweptSection {
  double tube_radius_mm = 0.0;
  Eigen::Vector2d half_edges = Eigen::Vector2d::Zero();  // of a rectangle; 0: round
};
// The part from its leading end to `to_mm`, at rest.
TriangleList swept(const FedPart& part, double to_mm, const SweptSection& section, const Fineness& fineness);

std::shared_ptr<const FclMesh> fcl_mesh(const TriangleList& list);
// Cylinders and boxes as such, frusta as meshes of 256 sides, meshes as meshes.
std::unique_ptr<FclBody> fcl_body(const Shape& shape);

// The part at some fed lengths, evenly spaced, the last one all of it.
class FclPart {
 public:
  FclPart(const FedPart& part, std::size_t feeds, const SweptSection& section, const Fineness& fineness);
  [[nodiscard]] std::size_t triangles() const { return triangles_; }  // of the whole part
  // The least distance at all of these fed lengths, to each body alone or to all of them.
  [[nodiscard]] double least(FclBody& body) const;
  [[nodiscard]] double least(fcl::DynamicAABBTreeCollisionManagerd& bodies) const;

 private:
  std::vector<std::unique_ptr<FclBody>> fed_;
  std::size_t triangles_ = 0;
};

}  // namespace coilwright::bench
