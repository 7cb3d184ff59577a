// Centrelines against a CAD kernel, Open CASCADE: the same shapes built with its own curves and surfaces, placed one
// after the other by its own derivatives, measured by its own lengths. Nothing of ours goes into its side but the
// measures of each segment.
//
// A straight is a line, an arc a circle. Helix, cone and scroll are a straight line in the parameters (azimuth, along
// the generator) of a cylinder, a cone, and the plane that a line turning about an axis square to it sweeps.
#include <Adaptor3d_CurveOnSurface.hxx>
#include <GCPnts_AbscissaPoint.hxx>
#include <Geom2dAdaptor_Curve.hxx>
#include <Geom2d_Line.hxx>
#include <GeomAdaptor_Curve.hxx>
#include <GeomAdaptor_Surface.hxx>
#include <Geom_Circle.hxx>
#include <Geom_ConicalSurface.hxx>
#include <Geom_CylindricalSurface.hxx>
#include <Geom_Line.hxx>
#include <Geom_SurfaceOfRevolution.hxx>
#include <gp_Ax2.hxx>
#include <gp_Ax3.hxx>
#include <gp_Trsf.hxx>

#include <catch2/catch.hpp>
#include <coilwright/coil/centreline.hpp>
#include <numbers>
#include <optional>

#include "numbers.hpp"

using namespace coilwright;
using opencascade::handle;

namespace {

constexpr double pi = std::numbers::pi;
// Of a length, relative; of a position, mm: what is promised. The kernel is asked for more.
constexpr double promised_length = 1e-9, promised_position_mm = 1e-6, asked_of_kernel_mm = 1e-9;

enum class Kind { straight, arc, helix, cone, scroll };

struct Measures {
  Kind kind;
  double length_mm;                // of a straight
  double start_radius, end_radius; // in plan
  double turns, rise_mm;           // a negative rise: a left-hand screw
};

SegmentCurve ours(const Measures& m) {
  switch (m.kind) {
    case Kind::straight: return SegmentCurve::straight(Length::mm(m.length_mm));
    case Kind::arc: return SegmentCurve::arc(Length::mm(m.start_radius), Angle::rad(2.0 * pi * m.turns));
    case Kind::helix: {
      const Helix helix(Length::mm(m.start_radius), Length::mm(std::abs(m.rise_mm) / m.turns),
                        m.rise_mm < 0.0 ? Hand::left_screw : Hand::right_screw);
      return SegmentCurve::helix(helix, Length::mm(helix.arc_per_radian_mm() * 2.0 * pi * m.turns));
    }
    case Kind::cone:
    case Kind::scroll: return SegmentCurve::taper({m.start_radius, m.end_radius, m.turns, m.rise_mm});
  }
  throw std::logic_error("unknown kind");
}

// The line (u, start + slope u) in the parameters of a surface.
handle<Adaptor3d_Curve> line_on(const handle<Geom_Surface>& surface, double start, double slope) {
  const handle<Geom2d_Line> line = new Geom2d_Line(gp_Pnt2d(0.0, start), gp_Dir2d(1.0, slope));
  return new Adaptor3d_CurveOnSurface(new Geom2dAdaptor_Curve(line), new GeomAdaptor_Surface(surface));
}

// A segment of the kernel's, before it is placed, from parameter 0 to `last`.
struct KernelCurve {
  handle<Adaptor3d_Curve> curve;
  double last;
};

KernelCurve kernel_curve(const Measures& m) {
  const double turn = 2.0 * pi * m.turns, taper = (m.end_radius - m.start_radius) / turn, climb = m.rise_mm / turn;
  const gp_Ax3 axes(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1), gp_Dir(1, 0, 0));
  // A line in the plane of parameters is run at unit speed there.
  const auto stretched = [&](double slope) { return turn * std::hypot(1.0, slope); };
  switch (m.kind) {
    case Kind::straight: return {new GeomAdaptor_Curve(new Geom_Line(gp_Pnt(0, 0, 0), gp_Dir(1, 0, 0))), m.length_mm};
    case Kind::arc: return {new GeomAdaptor_Curve(new Geom_Circle(axes.Ax2(), m.start_radius)), turn};
    case Kind::helix: return {line_on(new Geom_CylindricalSurface(axes, m.start_radius), 0.0, climb), stretched(climb)};
    case Kind::cone: {
      // Along the generator by v: radius R + v sin a, height v cos a.
      const double slope = std::copysign(std::hypot(taper, climb), climb);
      return {line_on(new Geom_ConicalSurface(axes, std::atan(taper / climb), m.start_radius), 0.0, slope),
              stretched(slope)};
    }
    case Kind::scroll: {
      const handle<Geom_Line> generator = new Geom_Line(gp_Pnt(0, 0, 0), gp_Dir(1, 0, 0));
      return {line_on(new Geom_SurfaceOfRevolution(generator, gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1))), m.start_radius, taper),
              stretched(taper)};
    }
  }
  throw std::logic_error("unknown kind");
}

double length_of(const KernelCurve& c, double to) {
  return GCPnts_AbscissaPoint::Length(*c.curve, 0.0, to, asked_of_kernel_mm);
}

// The parameter at a length: the kernel's, made sharper by its own length and speed.
double parameter_at(const KernelCurve& c, double along) {
  if (along <= 0.0) return 0.0;
  const GCPnts_AbscissaPoint found(asked_of_kernel_mm, *c.curve, along, 0.0);
  double parameter = found.IsDone() ? found.Parameter() : c.last * along / length_of(c, c.last);
  for (int i = 0; i < 3; ++i) {
    gp_Pnt p;
    gp_Vec d1;
    c.curve->D1(parameter, p, d1);
    parameter += (along - length_of(c, parameter)) / d1.Magnitude();
  }
  return parameter;
}

// Origin, main direction the tangent, X direction the normal: from first and second derivative. A straight has no
// normal of its own.
std::optional<gp_Ax3> frenet(const KernelCurve& c, double parameter) {
  gp_Pnt p;
  gp_Vec d1, d2;
  c.curve->D2(parameter, p, d1, d2);
  if (d2.Magnitude() == 0.0) return std::nullopt;
  return gp_Ax3(p, gp_Dir(d1), gp_Dir(d2));  // the X direction is made square to the main one
}

// A part of the kernel's, joined segment by segment.
class KernelPart {
 public:
  void append(const Measures& m, double bend_turned_rad) {
    if (!segments_.empty()) at_.Rotate(gp_Ax1(at_.Location(), at_.Direction()), bend_turned_rad);
    const KernelCurve curve = kernel_curve(m);
    const gp_Ax3 start = frenet(curve, 0.0).value_or(gp_Ax3(gp_Pnt(0, 0, 0), gp_Dir(1, 0, 0), gp_Dir(0, 1, 0)));
    gp_Trsf placed;
    placed.SetDisplacement(start, at_);
    segments_.push_back({curve, placed});
    const std::optional<gp_Ax3> end = frenet(curve, curve.last);
    if (end) {
      at_ = end->Transformed(placed);
    } else {
      at_.SetLocation(curve.curve->Value(curve.last).Transformed(placed));
    }
  }
  [[nodiscard]] double length(std::size_t i) const { return length_of(segments_[i].curve, segments_[i].curve.last); }
  [[nodiscard]] Eigen::Vector3d point(std::size_t i, double along) const {
    const KernelCurve& c = segments_[i].curve;
    const gp_Pnt p = c.curve->Value(parameter_at(c, along)).Transformed(segments_[i].placed);
    return {p.X(), p.Y(), p.Z()};
  }

 private:
  struct Placed {
    KernelCurve curve;
    gp_Trsf placed;
  };
  std::vector<Placed> segments_;
  // Where the next one starts: main direction the tangent, X direction the normal.
  gp_Ax3 at_{gp_Pnt(0, 0, 0), gp_Dir(1, 0, 0), gp_Dir(0, 1, 0)};
};

Measures random_measures(std::mt19937_64& random, Kind kind) {
  const auto between = [&](double low, double high) { return uniform(random, low, high); };
  Measures m{kind, between(20, 4000), between(60, 1500), between(60, 1500), between(0.05, 6), 0.0};
  if (kind == Kind::arc) m.turns = between(0.02, 1.0);
  if (kind == Kind::helix || kind == Kind::cone) m.rise_mm = (uniform(random, 0, 1) < 0.5 ? -1.0 : 1.0) * between(5, 2500);
  return m;
}

struct Worst {
  double length = 0.0, position_mm = 0.0;
};
Worst compare(const std::vector<Measures>& segments, const std::vector<double>& turned) {
  Centreline line;
  KernelPart kernel;
  for (std::size_t i = 0; i < segments.size(); ++i) {
    line.append(ours(segments[i]), turned[i]);
    kernel.append(segments[i], turned[i]);
  }
  Worst worst;
  for (std::size_t i = 0; i < segments.size(); ++i) {
    const double ours_mm = line.segments()[i].curve.length_mm(), theirs_mm = kernel.length(i);
    worst.length = std::max(worst.length, std::abs(ours_mm / theirs_mm - 1.0));
    for (int k = 0; k <= 20; ++k) {
      const double along = ours_mm * k / 20.0;
      const Eigen::Vector3d here = line.frame(line.segments()[i].from_mm + along).point;
      worst.position_mm = std::max(worst.position_mm, (here - kernel.point(i, along)).norm());
    }
  }
  return worst;
}

}  // namespace

TEST_CASE("each kind of segment is the kernel's curve", "[referee][oracle]") {
  std::mt19937_64 random(501);
  for (const auto& [kind, name] : {std::pair{Kind::straight, "straight"}, {Kind::arc, "arc"}, {Kind::helix, "helix"},
                                   {Kind::cone, "cone"}, {Kind::scroll, "scroll"}}) {
    Worst worst;
    for (int i = 0; i < 40; ++i) {
      const Worst one = compare({random_measures(random, kind)}, {0.0});
      worst = {std::max(worst.length, one.length), std::max(worst.position_mm, one.position_mm)};
    }
    WARN(name << ": 40 segments, lengths within " << worst.length << " of the kernel's, positions within "
              << worst.position_mm << " mm");
    CHECK(worst.length <= promised_length);
    CHECK(worst.position_mm <= promised_position_mm);
  }
}

TEST_CASE("parts of several segments stand where the kernel puts them", "[referee][oracle]") {
  std::mt19937_64 random(502);
  Worst worst;
  double longest = 0.0;
  for (int i = 0; i < 60; ++i) {
    std::vector<Measures> segments;
    std::vector<double> turned;
    double length = 0.0;
    for (int k = 0; k < 3 + i % 5; ++k) {
      segments.push_back(random_measures(random, static_cast<Kind>(static_cast<int>(uniform(random, 0, 5)))));
      turned.push_back(k == 0 ? 0.0 : uniform(random, -pi, pi));
      length += ours(segments.back()).length_mm();
    }
    const Worst one = compare(segments, turned);
    worst = {std::max(worst.length, one.length), std::max(worst.position_mm, one.position_mm)};
    longest = std::max(longest, length);
  }
  WARN("60 parts of 3 to 7 segments, up to " << longest << " mm long: lengths within " << worst.length
                                             << " of the kernel's, positions within " << worst.position_mm << " mm");
  CHECK(worst.length <= promised_length);
  CHECK(worst.position_mm <= promised_position_mm);
}

TEST_CASE("the referee tells a wrong curve", "[referee][property]") {
  // A pitch off by a millionth, a radius off by a micrometre: seen.
  const Measures right{Kind::helix, 0.0, 300.0, 300.0, 5.0, 800.0};
  Measures pitch = right, radius = right;
  pitch.rise_mm *= 1.0 + 1e-6;
  radius.start_radius += 1e-3;
  KernelPart kernel;
  kernel.append(right, 0.0);
  for (const Measures& wrong : {pitch, radius}) {
    const SegmentCurve curve = ours(wrong);
    double apart = 0.0;
    for (int k = 0; k <= 20; ++k)
      apart = std::max(apart, (curve.frame(curve.length_mm() * k / 20.0).point - kernel.point(0, curve.length_mm() * k / 20.0)).norm());
    CHECK(apart > 100.0 * promised_position_mm);
  }
}
