#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <coilwright/clearance/mesh_distance.hpp>
#include <coilwright/quantity/require.hpp>
#include <utility>

namespace coilwright {

MeshDistance::MeshDistance(MeshBody body) : body_(std::move(body)) {
  require(body_.mesh != nullptr && body_.by.allFinite(), "a mesh body needs its mesh");
  mirror_ = body_.side == MeshBody::Side::mirrored ? -1.0 : 1.0;
  const TriangleMesh::Node& root = body_.mesh->nodes().front();
  extent_ = root.min.cwiseAbs().cwiseMax(root.max.cwiseAbs()).norm() + body_.by.norm();
}

Eigen::Vector3d MeshDistance::as_drawn(const Eigen::Vector3d& p) const {
  Eigen::Vector3d q = p - body_.by;
  q.x() *= mirror_;
  return q;
}

// The corners must lie behind the plane square to the way to the triangle. Where they do not, the triangle is thinner than
// rounding can tell, and its edges stand for it; or p lies so near that rounding has turned the way, and it is turned
// back, or, with no digits left of it, stands square to the triangle.
SurfaceDistance MeshDistance::near_triangle(const Eigen::Vector3d& q, const std::array<Eigen::Vector3d, 3>& corners,
                                            Eigen::Vector3d off) const {
  double d = off.norm();
  for (std::size_t i = 0; i < 3; ++i) {
    const Eigen::Vector3d &from = corners[i], edge = corners[(i + 1) % 3] - from;
    const double along = edge.squaredNorm() > 0.0 ? edge.dot(q - from) / edge.squaredNorm() : 0.0;
    const Eigen::Vector3d there = q - from - std::clamp(along, 0.0, 1.0) * edge;
    if (there.norm() < d) d = there.norm(), off = there;
  }
  const double size = extent_ + d, rounding = 0x1p-47 * size, no_digits = 0x1p-44 * size;
  if (d > no_digits)
    if (const auto behind = turned_behind(q, q - off, corners, rounding)) return *behind;
  // Square to the longest edge first, then to the rest: so it stays square to a thin triangle too.
  std::size_t longest = 0;
  const auto edge = [&](std::size_t i) { return Eigen::Vector3d(corners[(i + 1) % 3] - corners[i]); };
  for (const std::size_t i : {1u, 2u})
    if (edge(i).squaredNorm() > edge(longest).squaredNorm()) longest = i;
  const Eigen::Vector3d along = edge(longest).normalized();
  const auto square = [&](Eigen::Vector3d v) {
    for (int again = 0; again < 2; ++again) v = (v - v.dot(along) * along).stableNormalized();
    return v;
  };
  const Eigen::Vector3d normal = along.cross(square(edge((longest + 1) % 3))).stableNormalized();
  const double height = normal.dot(q - corners[longest]);
  return {std::abs(height), height < 0.0 ? Eigen::Vector3d(-normal) : normal};
}

SurfaceDistance MeshDistance::distance(Piece piece, const Eigen::Vector3d& p) const {
  const Eigen::Vector3d q = as_drawn(p);
  SurfaceDistance found{};
  if (piece.kind == Piece::Kind::box) {
    const TriangleMesh::Node& node = body_.mesh->nodes()[piece.index];
    found = box_distance(q - 0.5 * (node.min + node.max), 0.5 * (node.max - node.min));
    // Inside the box nothing is known but that the surface may be there.
    if (found.distance_mm < 0.0) found = {0.0, Eigen::Vector3d::Zero()};
  } else {
    const Eigen::Vector3d &a = body_.mesh->corner(piece.index, 0), &b = body_.mesh->corner(piece.index, 1),
                          &c = body_.mesh->corner(piece.index, 2);
    const Eigen::Vector3d off = q - nearest_on_triangle(q, a, b, c);
    const double d = off.norm();
    const double behind = std::max({off.dot(a - q), off.dot(b - q), off.dot(c - q)});
    if (d > 0.0 && behind + d * d <= extent_ * 0x1p-44 * d) {
      found = {d, off / d};
    } else {
      found = near_triangle(q, {a, b, c}, off);
    }
  }
  found.direction.x() *= mirror_;
  return found;
}

double MeshDistance::half_diagonal_mm(Piece piece) const {
  if (piece.kind == Piece::Kind::triangle) return 0.0;
  const TriangleMesh::Node& node = body_.mesh->nodes()[piece.index];
  return 0.5 * (node.max - node.min).norm();
}

MeshDistance::Parts MeshDistance::parts_of(Piece box) const {
  require(box.kind == Piece::Kind::box, "a triangle is not divided");
  const TriangleMesh::Node& node = body_.mesh->nodes()[box.index];
  if (node.right != 0) return {{Piece{Piece::Kind::box, box.index + 1}, Piece{Piece::Kind::box, node.right}}, 2};
  require(node.count == 1 || node.count == 2, "a last box holds one or two triangles");
  return {{Piece{Piece::Kind::triangle, node.first}, Piece{Piece::Kind::triangle, node.first + node.count - 1}},
          node.count};
}

ConvexBody::Ball MeshDistance::ball() const {
  const TriangleMesh::Node& root = body_.mesh->nodes().front();
  Eigen::Vector3d centre = 0.5 * (root.min + root.max);
  centre.x() *= mirror_;
  return {centre + body_.by, half_diagonal_mm({})};
}

bool MeshDistance::inside(const Eigen::Vector3d& p) const {
  return body_.mesh->closed() && body_.mesh->inside(as_drawn(p));
}

}  // namespace coilwright
