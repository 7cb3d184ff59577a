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
    Eigen::Vector3d off = q - nearest_on_triangle(q, a, b, c);
    double d = off.norm();
    // The corners must lie behind the plane square to the way there. Where they do not, the triangle is thinner
    // than rounding can tell, and its edges stand for it.
    const double behind = std::max({off.dot(a - q), off.dot(b - q), off.dot(c - q)});
    if (behind + d * d > extent_ * 0x1p-44 * d) {
      for (const auto& [from, to] : {std::pair(&a, &b), std::pair(&b, &c), std::pair(&c, &a)}) {
        const Eigen::Vector3d edge = *to - *from;
        const double along = edge.squaredNorm() > 0.0 ? edge.dot(q - *from) / edge.squaredNorm() : 0.0;
        const Eigen::Vector3d there = q - *from - std::clamp(along, 0.0, 1.0) * edge;
        if (there.norm() < d) d = there.norm(), off = there;
      }
    }
    found = {d, d > 0.0 ? Eigen::Vector3d(off / d) : (b - a).cross(c - a).stableNormalized()};
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

bool MeshDistance::inside(const Eigen::Vector3d& p) const {
  return body_.mesh->closed() && body_.mesh->inside(as_drawn(p));
}

}  // namespace coilwright
