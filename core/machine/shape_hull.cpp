#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <coilwright/machine/shape.hpp>
#include <map>
#include <optional>

namespace coilwright {
namespace {

using Eigen::Vector3d;

// Relative to the size of the hull: points this close to a face's plane lie in it, and three points that span
// less of an area tell no plane.
constexpr double same_plane = 0x1p-36, no_area = 0x1p-20;

// All points in the plane of three of them, if every other point lies on one side; from outside
// counter-clockwise. None when the three are not the first of their face.
std::optional<std::vector<std::uint32_t>> face_through(const std::vector<Vector3d>& points, double size,
                                                       const std::array<std::uint32_t, 3>& corners) {
  const Vector3d &a = points[corners[0]], &b = points[corners[1]], &c = points[corners[2]];
  Vector3d normal = (b - a).cross(c - a);
  if (normal.norm() <= no_area * size * size) return std::nullopt;
  normal.normalize();
  std::vector<std::uint32_t> in_plane;
  bool above = false, below = false;
  for (std::uint32_t i = 0; i < points.size(); ++i) {
    const double height = normal.dot(points[i] - a);
    if (height > same_plane * size) above = true;
    else if (height < -same_plane * size) below = true;
    else in_plane.push_back(i);
    if (above && below) return std::nullopt;
  }
  if (above) normal = -normal;
  // Round their middle, which every corner of a convex face sees under another azimuth.
  Vector3d middle = Vector3d::Zero();
  for (const std::uint32_t i : in_plane) middle += points[i];
  middle /= static_cast<double>(in_plane.size());
  const Vector3d x = (b - a).normalized(), y = normal.cross(x);
  const auto azimuth = [&](std::uint32_t i) { return std::atan2(y.dot(points[i] - middle), x.dot(points[i] - middle)); };
  std::sort(in_plane.begin(), in_plane.end(), [&](std::uint32_t i, std::uint32_t j) { return azimuth(i) < azimuth(j); });
  // Points inside the face or on its edges are no corners of it.
  for (bool changed = true; changed && in_plane.size() > 3;) {
    changed = false;
    for (std::size_t i = 0; i < in_plane.size() && in_plane.size() > 3; ++i) {
      const std::size_t n = in_plane.size();
      const Vector3d &before = points[in_plane[(i + n - 1) % n]], &here = points[in_plane[i]],
                     &after = points[in_plane[(i + 1) % n]];
      if (normal.dot((here - before).cross(after - here)) <= same_plane * size * size) {
        in_plane.erase(in_plane.begin() + static_cast<std::ptrdiff_t>(i));
        changed = true;
      }
    }
  }
  return in_plane;
}

}  // namespace

Result<ConvexHull> hull_of(const std::vector<Vector3d>& given) {
  if (given.size() < 4) return refuse("points", "A hull needs at least four points that do not lie in a plane.");
  if (given.size() > most_hull_points)
    return refuse("points", "A hull takes at most " + std::to_string(most_hull_points) + " points, and there are " +
                                std::to_string(given.size()) + ": leave out what lies inside, or use a mesh.");
  std::vector<Vector3d> points;
  double size = 0.0;
  for (const Vector3d& p : given) {
    if (!p.allFinite()) return refuse("points", "A point of the hull is not a number.");
    size = std::max(size, (p - given.front()).norm());
    if (std::find(points.begin(), points.end(), p) == points.end()) points.push_back(p);
  }
  std::map<std::vector<std::uint32_t>, std::vector<std::uint32_t>> faces;  // by their corners in order
  const auto count = static_cast<std::uint32_t>(points.size());
  for (std::uint32_t i = 0; i < count; ++i)
    for (std::uint32_t j = i + 1; j < count; ++j)
      for (std::uint32_t k = j + 1; k < count; ++k)
        if (auto face = face_through(points, size, {i, j, k})) {
          std::vector<std::uint32_t> key = *face;
          std::sort(key.begin(), key.end());
          faces.emplace(std::move(key), std::move(*face));
        }
  ConvexHull hull;
  if (faces.size() < 4)
    return refuse("points", "The points of the hull lie in a plane: it has no volume. Move one of them out of it.");
  std::map<std::uint32_t, std::uint32_t> corner;
  const auto place = [&](std::uint32_t i) {
    const auto [at, added] = corner.emplace(i, static_cast<std::uint32_t>(hull.points.size()));
    if (added) hull.points.push_back(points[i]);
    return at->second;
  };
  for (const auto& [key, face] : faces)
    for (std::size_t i = 1; i + 1 < face.size(); ++i)
      hull.faces.push_back({place(face[0]), place(face[i]), place(face[i + 1])});
  return hull;
}

}  // namespace coilwright
