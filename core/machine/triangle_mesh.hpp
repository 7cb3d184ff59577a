// A surface of triangles with a tree of boxes around them, as a scanner or a drawing program gives a machine
// part. Lengths in mm, in the frame of whoever made it. Never changes once made: many places may share one.
#pragma once

#include <Eigen/Core>
#include <array>
#include <coilwright/quantity/finding.hpp>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace coilwright {

inline constexpr std::size_t most_triangles = 1'000'000;

class TriangleMesh {
 public:
  using Triangle = std::array<std::uint32_t, 3>;  // places in the list of points, counter-clockwise from outside

  // A box of the tree with the triangles first ... first + count - 1 in it. The left half follows its parent,
  // the right half stands at `right`; 0 when the box is not divided.
  struct Node {
    Eigen::Vector3d min, max;
    std::uint32_t first, count, right;
  };

  // What the edges say. In a closed surface every edge belongs to an even number of triangles (two, where it
  // is not branched): then every point off the surface lies inside or outside.
  struct Edges {
    std::size_t open = 0;      // in an odd number of triangles
    std::size_t branched = 0;  // in more than two
    std::size_t turned = 0;    // whose two triangles run along it the same way: one faces inward
  };

  // Points that are equal are made one; triangles with two equal corners are left out and counted. Refuses no
  // triangle at all, too many, a corner that is not there, coordinates that are not numbers or beyond 10 km.
  static Result<TriangleMesh> from(std::vector<Eigen::Vector3d> points, std::vector<Triangle> triangles);

  [[nodiscard]] const std::vector<Eigen::Vector3d>& points() const { return points_; }
  [[nodiscard]] const std::vector<Triangle>& triangles() const { return triangles_; }  // in the order of the tree
  [[nodiscard]] const std::vector<Node>& nodes() const { return nodes_; }              // the root is the first
  [[nodiscard]] const Eigen::Vector3d& corner(std::size_t triangle, std::size_t i) const {
    return points_[triangles_[triangle][i]];
  }
  [[nodiscard]] const Edges& edges() const { return edges_; }
  [[nodiscard]] bool closed() const { return edges_.open == 0; }
  [[nodiscard]] std::size_t left_out() const { return left_out_; }

  // Whether a point off the surface of a closed mesh is inside: a ray from it crosses the surface an odd
  // number of times. Edges shared by two triangles are decided the same way for both, so no crossing is
  // counted twice or missed.
  [[nodiscard]] bool inside(const Eigen::Vector3d& p) const;

 private:
  TriangleMesh() = default;
  void join_equal_points(std::vector<Eigen::Vector3d> points);
  void look_at_edges();
  void grow_tree();

  std::vector<Eigen::Vector3d> points_;
  std::vector<Triangle> triangles_;
  std::vector<Node> nodes_;
  Edges edges_;
  std::size_t left_out_ = 0;
};

}  // namespace coilwright
