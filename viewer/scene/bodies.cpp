#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numbers>
#include <optional>
#include <tuple>
#include <viewer/scene/bodies.hpp>
#include <vtkCellArray.h>
#include <vtkFloatArray.h>
#include <vtkPointData.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>

namespace coilwright::view {
namespace {

using Eigen::Vector2d;
using Eigen::Vector3d;

constexpr int sides = 72;

std::optional<Frustum> as_frustum(const Shape& shape) {
  if (const auto* c = std::get_if<Cylinder>(&shape)) return Frustum{c->from, c->to, c->radius_mm, c->radius_mm};
  if (const auto* f = std::get_if<Frustum>(&shape)) return *f;
  return std::nullopt;
}

std::array<Vector3d, 8> corners(const Box& box, double grown_mm = 0.0) {
  const Vector3d mid = 0.5 * (box.min + box.max);
  const Vector3d half = 0.5 * (box.max - box.min) + Vector3d::Constant(grown_mm);
  const Eigen::AngleAxisd turn(box.turned_rad, Vector3d::UnitZ());
  std::array<Vector3d, 8> out;
  for (unsigned i = 0; i < 8; ++i)
    out[i] = mid + turn * Vector3d(i & 1u ? half.x() : -half.x(), i & 2u ? half.y() : -half.y(),
                                   i & 4u ? half.z() : -half.z());
  return out;
}

// Two directions square to an axis.
std::pair<Vector3d, Vector3d> across(const Vector3d& axis) {
  const Vector3d helper = std::abs(axis.z()) < 0.9 ? Vector3d::UnitZ() : Vector3d::UnitX();
  const Vector3d u = axis.cross(helper).normalized();
  return {u, axis.cross(u)};
}

// Collects faces and edges, mirroring points and turning faces over where asked.
class Mesher {
 public:
  explicit Mesher(Mirror mirror) : mirror_(mirror) {
    points_->SetDataTypeToDouble();
    edge_points_->SetDataTypeToDouble();
    normals_->SetNumberOfComponents(3);
    normals_->SetName("Normals");
  }
  vtkIdType point(const Vector3d& p, const Vector3d& n) {
    const Vector3d q = placed(p), m = placed(n);
    normals_->InsertNextTuple3(m.x(), m.y(), m.z());
    return points_->InsertNextPoint(q.data());
  }
  // Corners counter-clockwise seen from outside, before mirroring.
  void face(std::vector<vtkIdType> ids) {
    if (mirror_ == Mirror::in_x) std::reverse(ids.begin(), ids.end());
    faces_->InsertNextCell(static_cast<vtkIdType>(ids.size()), ids.data());
  }
  void edge(const std::vector<Vector3d>& chain) {
    edges_->InsertNextCell(static_cast<int>(chain.size()));
    for (const Vector3d& p : chain) {
      const Vector3d q = placed(p);
      edges_->InsertCellPoint(edge_points_->InsertNextPoint(q.data()));
    }
  }
  void outline(const Vector3d& p) { outline_.push_back(placed(p)); }
  [[nodiscard]] vtkSmartPointer<vtkPolyData> faces() const {
    const auto out = vtkSmartPointer<vtkPolyData>::New();
    out->SetPoints(points_);
    out->SetPolys(faces_);
    out->GetPointData()->SetNormals(normals_);
    return out;
  }
  [[nodiscard]] vtkSmartPointer<vtkPolyData> edges() const {
    const auto out = vtkSmartPointer<vtkPolyData>::New();
    out->SetPoints(edge_points_);
    out->SetLines(edges_);
    return out;
  }
  [[nodiscard]] const std::vector<Vector3d>& outline() const { return outline_; }

 private:
  [[nodiscard]] Vector3d placed(const Vector3d& v) const {
    return mirror_ == Mirror::in_x ? Vector3d(-v.x(), v.y(), v.z()) : v;
  }
  Mirror mirror_;
  vtkSmartPointer<vtkPoints> points_ = vtkSmartPointer<vtkPoints>::New();
  vtkSmartPointer<vtkPoints> edge_points_ = vtkSmartPointer<vtkPoints>::New();
  vtkSmartPointer<vtkFloatArray> normals_ = vtkSmartPointer<vtkFloatArray>::New();
  vtkSmartPointer<vtkCellArray> faces_ = vtkSmartPointer<vtkCellArray>::New();
  vtkSmartPointer<vtkCellArray> edges_ = vtkSmartPointer<vtkCellArray>::New();
  std::vector<Vector3d> outline_;
};

std::vector<Vector3d> circle(const Vector3d& centre, const Vector3d& axis, double radius_mm) {
  const auto [u, v] = across(axis);
  std::vector<Vector3d> out;
  for (int k = 0; k < sides; ++k) {
    const double angle = 2.0 * std::numbers::pi * k / sides;
    out.push_back(centre + radius_mm * (std::cos(angle) * u + std::sin(angle) * v));
  }
  return out;
}

void add_revolved(Mesher& mesher, const Frustum& f, double grown_mm) {
  const Vector3d along = f.to - f.from;
  const Vector3d axis = along.normalized();
  const auto bottom = circle(f.from, axis, f.from_radius_mm + grown_mm);
  const auto top = circle(f.to, axis, f.to_radius_mm + grown_mm);
  const auto outward = circle(Vector3d::Zero(), axis, 1.0);
  // The flank's normal leans by the cone's own slope.
  const double lean = (f.from_radius_mm - f.to_radius_mm) / along.norm();
  std::vector<vtkIdType> low, high, low_cap, high_cap;
  for (std::size_t k = 0; k < sides; ++k) {
    const Vector3d out = (outward[k] + lean * axis).normalized();
    low.push_back(mesher.point(bottom[k], out));
    high.push_back(mesher.point(top[k], out));
    low_cap.push_back(mesher.point(bottom[k], -axis));
    high_cap.push_back(mesher.point(top[k], axis));
    if (k % 6 == 0) {
      mesher.outline(bottom[k]);
      mesher.outline(top[k]);
    }
  }
  for (std::size_t k = 0; k < sides; ++k) {
    const std::size_t next = (k + 1) % sides;
    mesher.face({low[k], low[next], high[next], high[k]});
  }
  std::reverse(low_cap.begin(), low_cap.end());
  mesher.face(low_cap);
  mesher.face(high_cap);
}

void add_box(Mesher& mesher, const Box& box) {
  const auto c = corners(box);
  constexpr std::array<std::array<std::size_t, 4>, 6> faces{
      {{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}}};
  for (const auto& face : faces) {
    const Vector3d normal = (c[face[1]] - c[face[0]]).cross(c[face[2]] - c[face[0]]).normalized();
    std::vector<vtkIdType> ids;
    for (const std::size_t i : face) ids.push_back(mesher.point(c[i], normal));
    mesher.face(ids);
  }
  for (const Vector3d& corner : c) mesher.outline(corner);
}

// A body of flat triangles: a hull, or a mesh as it was drawn.
struct Triangles {
  std::vector<std::array<Vector3d, 3>> faces;  // counter-clockwise seen from outside

  static std::optional<Triangles> of(const Shape& shape) {
    Triangles out;
    if (const auto* hull = std::get_if<ConvexHull>(&shape)) {
      for (const auto& f : hull->faces) out.faces.push_back({hull->points[f[0]], hull->points[f[1]], hull->points[f[2]]});
    } else if (const auto* body = std::get_if<MeshBody>(&shape)) {
      for (std::size_t i = 0; i < body->mesh->triangles().size(); ++i) {
        std::array<Vector3d, 3> face;
        for (std::size_t k = 0; k < 3; ++k) face[k] = body->placed(body->mesh->corner(i, k));
        if (body->side == MeshBody::Side::mirrored) std::swap(face[1], face[2]);
        out.faces.push_back(face);
      }
    } else {
      return std::nullopt;
    }
    return out;
  }
};

void add_triangles(Mesher& mesher, const Triangles& triangles) {
  for (const auto& [a, b, c] : triangles.faces) {
    const Vector3d normal = (b - a).cross(c - a).normalized();
    mesher.face({mesher.point(a, normal), mesher.point(b, normal), mesher.point(c, normal)});
    for (const Vector3d& corner : {a, b, c}) mesher.outline(corner);
  }
}

// Edges where two faces meet at more than about 25 degrees, and edges of one face alone.
void ink_triangles(Mesher& mesher, const Triangles& triangles) {
  using Point = std::array<double, 3>;
  struct Edge {
    Vector3d from, to, normal;
    bool sharp;
  };
  std::map<std::pair<Point, Point>, Edge> edges;
  const auto key = [](const Vector3d& p) { return Point{p.x(), p.y(), p.z()}; };
  constexpr double cosine = 0.906;
  for (const auto& face : triangles.faces) {
    const Vector3d normal = (face[1] - face[0]).cross(face[2] - face[0]).normalized();
    for (std::size_t k = 0; k < 3; ++k) {
      const Vector3d &a = face[k], &b = face[(k + 1) % 3];
      const auto [edge, first] = edges.try_emplace(std::minmax(key(a), key(b)), Edge{a, b, normal, true});
      if (!first) edge->second.sharp = edge->second.normal.dot(normal) < cosine;
    }
  }
  for (const auto& [ends, edge] : edges)
    if (edge.sharp) mesher.edge({edge.from, edge.to});
}

void ink_box(Mesher& mesher, const Box& box, double off_mm) {
  const auto c = corners(box, off_mm);
  for (std::size_t i = 0; i < 8; ++i)
    for (const std::size_t bit : {1u, 2u, 4u})
      if (!(i & bit)) mesher.edge({c[i], c[i | bit]});
}

// The two end circles of every body of revolution, shared ones once, and only where a corner is.
void ink_circles(Mesher& mesher, const std::vector<Frustum>& bodies, double off_mm) {
  struct End {
    Vector3d centre, outward;  // along the axis
    double radius_mm, flank_slope;
    bool shared = false, corner = true;
  };
  std::vector<End> ends;
  for (const Frustum& f : bodies) {
    const Vector3d axis = (f.to - f.from).normalized();
    const double slope = std::atan2(f.to_radius_mm - f.from_radius_mm, (f.to - f.from).norm());
    for (const auto& [centre, radius, outward] :
         {std::tuple(f.from, f.from_radius_mm, Vector3d(-axis)), std::tuple(f.to, f.to_radius_mm, axis)}) {
      const auto same = std::find_if(ends.begin(), ends.end(), [&, c = centre, r = radius](const End& e) {
        return (e.centre - c).norm() < 1e-3 && std::abs(e.radius_mm - r) < 1e-3;
      });
      if (same == ends.end())
        ends.push_back({centre, outward, radius, slope});
      else
        same->shared = true, same->corner = std::abs(same->flank_slope - slope) > 0.45;  // about 25 degrees
    }
  }
  for (const End& e : ends) {
    if (!e.corner || e.radius_mm <= 0.0) continue;
    const Vector3d centre = e.shared ? e.centre : Vector3d(e.centre + off_mm * e.outward);
    auto chain = circle(centre, e.outward, e.radius_mm + off_mm);
    chain.push_back(chain.front());
    mesher.edge(chain);
  }
}

}  // namespace

BodyMesh mesh_of(const std::vector<Shape>& bodies, Mirror mirror) {
  Mesher mesher(mirror);
  for (const Shape& body : bodies) {
    if (const auto f = as_frustum(body)) add_revolved(mesher, *f, 0.0);
    else if (const auto* box = std::get_if<Box>(&body)) add_box(mesher, *box);
    else if (const auto triangles = Triangles::of(body)) add_triangles(mesher, *triangles);
  }
  return {mesher.faces(), mesher.outline()};
}

BodyInk ink_of(const std::vector<Shape>& bodies, Mirror mirror, double off_mm) {
  Mesher mesher(mirror);
  std::vector<Frustum> revolved;
  for (const Shape& body : bodies) {
    if (const auto f = as_frustum(body)) {
      add_revolved(mesher, *f, off_mm);
      revolved.push_back(*f);
    } else if (const auto* box = std::get_if<Box>(&body)) {
      ink_box(mesher, *box, 0.4 * off_mm);
    } else if (const auto triangles = Triangles::of(body)) {
      ink_triangles(mesher, *triangles);
    }
  }
  ink_circles(mesher, revolved, 0.4 * off_mm);
  return {mesher.edges(), mesher.faces()};
}

std::vector<Vector3d> spanning_points(const Shape& body) {
  std::vector<Vector3d> out;
  if (const auto f = as_frustum(body)) {
    const Vector3d axis = (f->to - f->from).normalized();
    for (const auto& ring : {circle(f->from, axis, f->from_radius_mm), circle(f->to, axis, f->to_radius_mm)})
      out.insert(out.end(), ring.begin(), ring.end());
  } else if (const auto* box = std::get_if<Box>(&body)) {
    const auto c = corners(*box);
    out.assign(c.begin(), c.end());
  } else if (const auto* hull = std::get_if<ConvexHull>(&body)) {
    out = hull->points;
  } else if (const auto* mesh = std::get_if<MeshBody>(&body)) {
    for (const Vector3d& p : mesh->mesh->points()) out.push_back(mesh->placed(p));
  }
  return out;
}

std::vector<Vector2d> plan_hull(std::vector<Vector2d> points) {
  const auto less = [](const Vector2d& a, const Vector2d& b) {
    return a.x() < b.x() || (a.x() == b.x() && a.y() < b.y());
  };
  std::sort(points.begin(), points.end(), less);
  const auto turns_left = [](const Vector2d& a, const Vector2d& b, const Vector2d& c) {
    return (b - a).x() * (c - a).y() - (b - a).y() * (c - a).x() > 0.0;
  };
  // Lower chain left to right, then upper chain back (A. M. Andrew, 1979).
  std::vector<Vector2d> hull;
  for (int half = 0; half < 2; ++half) {
    const std::size_t start = hull.size();
    for (const Vector2d& p : points) {
      while (hull.size() >= start + 2 && !turns_left(hull[hull.size() - 2], hull.back(), p)) hull.pop_back();
      hull.push_back(p);
    }
    hull.pop_back();
    std::reverse(points.begin(), points.end());
  }
  return hull;
}

}  // namespace coilwright::view
