#include <coilwright/machine/shape.hpp>
#include <utility>

namespace coilwright {
namespace {

Eigen::Vector3d across(const Eigen::Vector3d& v) { return {-v.x(), v.y(), v.z()}; }

}  // namespace

Shape moved(const Shape& shape, const Eigen::Vector3d& by) {
  struct Move {
    Eigen::Vector3d by;
    Shape operator()(Cylinder c) const { return Cylinder{c.from + by, c.to + by, c.radius_mm}; }
    Shape operator()(Frustum f) const {
      return Frustum{f.from + by, f.to + by, f.from_radius_mm, f.to_radius_mm};
    }
    Shape operator()(Box b) const { return Box{b.min + by, b.max + by, b.turned_rad}; }
    Shape operator()(HalfSpace h) const { return HalfSpace{h.point + by, h.normal}; }
    Shape operator()(ConvexHull h) const {
      for (Eigen::Vector3d& p : h.points) p += by;
      return h;
    }
    Shape operator()(MeshBody m) const {
      m.by += by;
      return m;
    }
  };
  return std::visit(Move{by}, shape);
}

Shape mirrored_in_x(const Shape& shape) {
  struct Mirror {
    Shape operator()(Cylinder c) const { return Cylinder{across(c.from), across(c.to), c.radius_mm}; }
    Shape operator()(Frustum f) const {
      return Frustum{across(f.from), across(f.to), f.from_radius_mm, f.to_radius_mm};
    }
    Shape operator()(Box b) const {
      return Box{{-b.max.x(), b.min.y(), b.min.z()}, {-b.min.x(), b.max.y(), b.max.z()}, -b.turned_rad};
    }
    Shape operator()(HalfSpace h) const { return HalfSpace{across(h.point), across(h.normal)}; }
    Shape operator()(ConvexHull h) const {
      for (Eigen::Vector3d& p : h.points) p = across(p);
      for (auto& face : h.faces) std::swap(face[1], face[2]);
      return h;
    }
    Shape operator()(MeshBody m) const {
      m.by = across(m.by);
      m.side = m.side == MeshBody::Side::mirrored ? MeshBody::Side::as_drawn : MeshBody::Side::mirrored;
      return m;
    }
  };
  return std::visit(Mirror{}, shape);
}

}  // namespace coilwright
