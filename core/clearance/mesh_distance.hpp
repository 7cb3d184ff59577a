// Distances to a mesh where it stands, piece by piece: its boxes and its triangles are convex, so each gives
// the bounds of shape_distance.hpp for all that lies in it.
//
// The distance to a mesh is the distance to its surface, and to a closed one that of the material inside it:
// 0 there, never negative.
#pragma once

#include <array>
#include <coilwright/clearance/shape_distance.hpp>
#include <coilwright/machine/shape.hpp>
#include <cstdint>

namespace coilwright {

class MeshDistance {
 public:
  explicit MeshDistance(MeshBody body);

  // A box of the tree, or a triangle.
  struct Piece {
    enum class Kind : std::uint8_t { box, triangle } kind = Kind::box;
    std::uint32_t index = 0;  // the root unless said
  };
  [[nodiscard]] SurfaceDistance distance(Piece piece, const Eigen::Vector3d& p) const;
  // Half the diagonal of a box; 0 for a triangle, which is not divided.
  [[nodiscard]] double half_diagonal_mm(Piece piece) const;
  // What a box is divided into: two boxes, or the triangles of the last ones.
  struct Parts {
    std::array<Piece, 2> piece;
    std::uint32_t count;
  };
  [[nodiscard]] Parts parts_of(Piece box) const;

  // Whether the material of a closed mesh is there; an open one has none.
  [[nodiscard]] bool inside(const Eigen::Vector3d& p) const;
  // A ball that holds it.
  [[nodiscard]] ConvexBody::Ball ball() const;
  [[nodiscard]] double extent_mm() const { return extent_; }

 private:
  [[nodiscard]] Eigen::Vector3d as_drawn(const Eigen::Vector3d& p) const;

  [[nodiscard]] SurfaceDistance near_triangle(const Eigen::Vector3d& q, const std::array<Eigen::Vector3d, 3>& corners,
                                              Eigen::Vector3d off) const;

  MeshBody body_;
  double mirror_ = 1.0;  // sign of x
  double extent_;
};

}  // namespace coilwright
