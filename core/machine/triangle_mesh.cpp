#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <coilwright/machine/triangle_mesh.hpp>
#include <coilwright/quantity/require.hpp>
#include <numeric>
#include <optional>

namespace coilwright {
namespace {

using Eigen::Vector3d;

constexpr double farthest_mm = 1e7;
// Triangles of an undivided box: fewer make the tree larger than the mesh.
constexpr std::uint32_t most_in_leaf = 2;

bool before(const Vector3d& a, const Vector3d& b) {
  return std::lexicographical_compare(a.data(), a.data() + 3, b.data(), b.data() + 3);
}

// A box that a ray may meet; the ray starts at `from`, its direction has no zero coordinate.
bool meets(const TriangleMesh::Node& box, const Vector3d& from, const Vector3d& direction) {
  double enter = 0.0, leave = 1e300;
  for (int i = 0; i < 3; ++i) {
    const double a = (box.min[i] - from[i]) / direction[i], b = (box.max[i] - from[i]) / direction[i];
    enter = std::max(enter, std::min(a, b));
    leave = std::min(leave, std::max(a, b));
  }
  // A crossing at the rim of the box must not be lost to rounding.
  constexpr double rounding = 1e-9;
  return enter <= leave + rounding * (std::abs(leave) + 1.0);
}

// Whether the ray crosses the triangle; none when it meets an edge or the plane so closely that it cannot be
// told. Corners relative to the start of the ray. Each edge's side is the same number with the other sign for
// the triangle on its other side.
std::optional<bool> crosses(const Vector3d& a, const Vector3d& b, const Vector3d& c, const Vector3d& direction) {
  const double ab = direction.dot(a.cross(b)), bc = direction.dot(b.cross(c)), ca = direction.dot(c.cross(a));
  if (ab == 0.0 || bc == 0.0 || ca == 0.0) return std::nullopt;
  const bool left = ab > 0.0;
  if ((bc > 0.0) != left || (ca > 0.0) != left) return false;
  const double ahead = a.dot(b.cross(c));
  if (ahead == 0.0) return std::nullopt;
  return (ahead > 0.0) == left;
}

}  // namespace

Result<TriangleMesh> TriangleMesh::from(std::vector<Vector3d> points, std::vector<Triangle> triangles) {
  if (triangles.empty()) return refuse("mesh", "The mesh has no triangles.");
  if (triangles.size() > most_triangles)
    return refuse("mesh", "The mesh has " + std::to_string(triangles.size()) + " triangles, more than " +
                              std::to_string(most_triangles) + ": thin it out where it was made.");
  for (const Vector3d& p : points)
    if (!p.allFinite() || p.cwiseAbs().maxCoeff() > farthest_mm)
      return refuse("mesh", "The mesh has a corner that is not a number, or lies beyond 10 km.");
  for (const Triangle& t : triangles)
    for (const std::uint32_t corner : t)
      if (corner >= points.size())
        return refuse("mesh", "A triangle of the mesh names corner " + std::to_string(corner + 1) + ", but there are " +
                                  std::to_string(points.size()) + " corners.");
  TriangleMesh mesh;
  mesh.triangles_ = std::move(triangles);
  mesh.join_equal_points(std::move(points));
  if (mesh.triangles_.empty())
    return refuse("mesh", "No triangle of the mesh has an extent: two corners of every one are the same point.");
  mesh.look_at_edges();
  mesh.grow_tree();
  return mesh;
}

void TriangleMesh::join_equal_points(std::vector<Vector3d> points) {
  for (Vector3d& p : points)
    for (int i = 0; i < 3; ++i)
      if (p[i] == 0.0) p[i] = 0.0;  // -0 and 0 are one place
  std::vector<std::uint32_t> order(points.size()), joined(points.size());
  std::iota(order.begin(), order.end(), 0u);
  std::sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) {
    return points[a] == points[b] ? a < b : before(points[a], points[b]);
  });
  for (const std::uint32_t i : order) {
    if (points_.empty() || points_.back() != points[i]) points_.push_back(points[i]);
    joined[i] = static_cast<std::uint32_t>(points_.size() - 1);
  }
  const std::size_t given = triangles_.size();
  for (Triangle& t : triangles_)
    for (std::uint32_t& corner : t) corner = joined[corner];
  std::erase_if(triangles_, [](const Triangle& t) { return t[0] == t[1] || t[1] == t[2] || t[2] == t[0]; });
  left_out_ = given - triangles_.size();
}

void TriangleMesh::look_at_edges() {
  // Each edge by its ends in order, and which way its triangle runs along it.
  std::vector<std::array<std::uint32_t, 3>> edges;
  edges.reserve(3 * triangles_.size());
  for (const Triangle& t : triangles_)
    for (std::size_t i = 0; i < 3; ++i) {
      const std::uint32_t a = t[i], b = t[(i + 1) % 3];
      edges.push_back({std::min(a, b), std::max(a, b), a < b ? 1u : 0u});
    }
  std::sort(edges.begin(), edges.end());
  for (std::size_t i = 0; i < edges.size();) {
    std::size_t j = i, forward = 0;
    for (; j < edges.size() && edges[j][0] == edges[i][0] && edges[j][1] == edges[i][1]; ++j) forward += edges[j][2];
    const std::size_t count = j - i;
    if (count % 2 == 1) ++edges_.open;
    if (count > 2) ++edges_.branched;
    else if (count == 2 && forward != 1) ++edges_.turned;
    i = j;
  }
}

void TriangleMesh::grow_tree() {
  const std::size_t count = triangles_.size();
  std::vector<std::uint32_t> order(count);
  std::iota(order.begin(), order.end(), 0u);
  std::vector<Vector3d> middles;
  middles.reserve(count);
  for (std::size_t i = 0; i < count; ++i)
    middles.push_back(corner(i, 0) + corner(i, 1) + corner(i, 2));  // three times over
  struct Task {
    std::uint32_t first, count;
    std::optional<std::size_t> right_of;
  };
  std::vector<Task> tasks{{0, static_cast<std::uint32_t>(count), std::nullopt}};
  nodes_.reserve(count);
  while (!tasks.empty()) {
    const Task task = tasks.back();
    tasks.pop_back();
    const auto here = static_cast<std::uint32_t>(nodes_.size());
    if (task.right_of) nodes_[*task.right_of].right = here;
    Node node{Vector3d::Constant(1e300), Vector3d::Constant(-1e300), task.first, task.count, 0};
    Vector3d low = node.min, high = node.max;
    for (std::uint32_t i = 0; i < task.count; ++i) {
      const std::uint32_t t = order[task.first + i];
      for (std::size_t k = 0; k < 3; ++k) {
        node.min = node.min.cwiseMin(corner(t, k));
        node.max = node.max.cwiseMax(corner(t, k));
      }
      low = low.cwiseMin(middles[t]);
      high = high.cwiseMax(middles[t]);
    }
    nodes_.push_back(node);
    if (task.count <= most_in_leaf) continue;
    Eigen::Index axis;
    (high - low).maxCoeff(&axis);
    const std::uint32_t half = task.count / 2;
    const auto begin = order.begin() + task.first;
    // Of equal middles the one that came first, so that the tree is the same everywhere.
    std::nth_element(begin, begin + half, begin + task.count, [&](std::uint32_t a, std::uint32_t b) {
      return middles[a][axis] != middles[b][axis] ? middles[a][axis] < middles[b][axis] : a < b;
    });
    tasks.push_back({task.first + half, task.count - half, here});
    tasks.push_back({task.first, half, std::nullopt});
  }
  std::vector<Triangle> sorted;
  sorted.reserve(count);
  for (const std::uint32_t t : order) sorted.push_back(triangles_[t]);
  triangles_ = std::move(sorted);
}

bool TriangleMesh::inside(const Vector3d& p) const {
  require(closed(), "only a closed mesh has an inside");
  const Node& whole = nodes_.front();
  if ((p.array() < whole.min.array()).any() || (p.array() > whole.max.array()).any()) return false;
  // Directions in no plane that a part is likely to have; the next one when the ray grazes an edge.
  Vector3d direction(0.5772156649, 0.3678794412, 0.7315);
  constexpr int most_rays = 64;
  std::vector<std::uint32_t> stack;
  for (int ray = 0; ray < most_rays; ++ray) {
    std::size_t crossings = 0;
    bool told = true;
    stack.assign(1, 0u);
    while (told && !stack.empty()) {
      const std::uint32_t at = stack.back();
      stack.pop_back();
      const Node& node = nodes_[at];
      if (!meets(node, p, direction)) continue;
      if (node.right != 0) {
        stack.push_back(at + 1);
        stack.push_back(node.right);
        continue;
      }
      for (std::uint32_t t = node.first; told && t < node.first + node.count; ++t) {
        const auto crossed = crosses(corner(t, 0) - p, corner(t, 1) - p, corner(t, 2) - p, direction);
        told = crossed.has_value();
        if (told && *crossed) ++crossings;
      }
    }
    if (told) return crossings % 2 == 1;
    direction = Vector3d(direction.y(), -direction.z(), direction.x() * 0.9) + Vector3d(0.0131, 0.0173, -0.0119);
  }
  return true;  // on the surface as far as can be told: to the safe side
}

}  // namespace coilwright
