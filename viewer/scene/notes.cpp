#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <viewer/scene/label_layout.hpp>
#include <viewer/scene/notes.hpp>
#include <viewer/scene/panel.hpp>

namespace coilwright::view {
namespace {

using Eigen::Vector3d;

constexpr double full_turn = 2.0 * std::numbers::pi;

// Points of the finished coil's own frame C in the machine frame.
struct CoilFrame {
  const Subject& subject;
  double radius, c;
  explicit CoilFrame(const Subject& s)
      : subject(s), radius(s.part->helix().plan_radius().mm()), c(s.part->helix().rise_per_radian_mm()) {}
  // At an azimuth, a distance from the axis and a height along it.
  [[nodiscard]] Vector3d at(double azimuth, double from_axis, double height) const {
    const Vector3d p_C(from_axis * std::sin(azimuth), radius - from_axis * std::cos(azimuth), height);
    return placed(subject, subject.part->X_FC() * p_C);
  }
};

void add_dimensions(Notes& notes, const Subject& subject, double fed_mm) {
  const CoilFrame coil(subject);
  const double rho = subject.part->helix().arc_per_radian_mm();
  // The usable part as the finished helix, also where it still lies between the rolls.
  const double front = fed_mm - subject.start_up_mm, tail = front - subject.developed_mm;
  const double low = std::max(0.0, tail) / rho, high = front / rho;
  const double turned = high - low;
  if (turned < std::numbers::pi / 6.0) return;

  constexpr double step = std::numbers::pi / 12.0;
  // The radius stands at the upper end of the coil, where no turn above hides it, unless the view is along it.
  std::vector<Dimension> radius;
  for (double at = high; at >= std::max(low, high - full_turn); at -= step)
    radius.push_back({coil.at(at, 0.0, coil.c * at), coil.at(at, coil.radius, coil.c * at), {},
                      subject.radius_label, Dimension::Ends::far});
  notes.dimensions.push_back(radius);
  if (coil.c <= 0.0) return;

  const double half_tube = subject.tube_radius_mm * std::cos(subject.part->helix().slope().rad());
  const bool all_through = tail >= -1e-9 * subject.developed_mm;
  if (turned >= full_turn) {
    const double out = coil.radius + std::max(0.10 * coil.radius, 3.0 * subject.tube_radius_mm);
    std::vector<Dimension> pitch;
    for (double top = high; top >= std::max(low + full_turn, high - full_turn); top -= step) {
      const Vector3d a = coil.at(top, out, coil.c * (top - full_turn)), b = coil.at(top, out, coil.c * top);
      pitch.push_back({a, b,
                       {{coil.at(top, coil.radius, coil.c * (top - full_turn)), a},
                        {coil.at(top, coil.radius, coil.c * top), b}},
                       subject.pitch_label, Dimension::Ends::both});
    }
    notes.dimensions.push_back(pitch);
  }
  if (all_through) {
    const double out = coil.radius + std::max(0.22 * coil.radius, 6.0 * subject.tube_radius_mm);
    const double z_low = coil.c * low - half_tube, z_high = coil.c * high + half_tube;
    std::vector<Dimension> height;
    for (double at = 0.0; at < full_turn - 0.5 * step; at += step) {
      const Vector3d a = coil.at(at, out, z_low), b = coil.at(at, out, z_high);
      height.push_back({a, b,
                        {{coil.at(low, coil.radius, z_low), a}, {coil.at(high, coil.radius, z_high), b}},
                        turned < full_turn ? subject.height_label + "; " + subject.pitch_label : subject.height_label,
                        Dimension::Ends::both});
    }
    notes.dimensions.push_back(height);
  }
}

std::vector<Vector3d> some_of(const std::vector<Ring>& rings) {
  std::vector<Vector3d> out;
  for (const double share : {0.5, 0.35, 0.65, 0.8, 0.2})
    out.push_back(rings[static_cast<std::size_t>(share * static_cast<double>(rings.size() - 1))].centre);
  return out;
}

// A place on a body to point at: the middle of its top for upright ones.
Vector3d handle_of(const Shape& body) {
  if (const auto* c = std::get_if<Cylinder>(&body)) return c->to.z() > c->from.z() ? c->to : c->from;
  if (const auto* f = std::get_if<Frustum>(&body)) return f->to.z() > f->from.z() ? f->to : f->from;
  if (const auto* b = std::get_if<Box>(&body)) {
    Vector3d mid = 0.5 * (b->min + b->max);
    mid.z() = b->max.z();
    return mid;
  }
  if (const auto* h = std::get_if<ConvexHull>(&body))
    return *std::max_element(h->points.begin(), h->points.end(),
                             [](const Vector3d& a, const Vector3d& b) { return a.z() < b.z(); });
  if (const auto* m = std::get_if<MeshBody>(&body)) {
    const auto& box = m->mesh->nodes().front();
    return m->placed({0.5 * (box.min.x() + box.max.x()), 0.5 * (box.min.y() + box.max.y()), box.max.z()});
  }
  return std::get<HalfSpace>(body).point;
}

}  // namespace

Notes notes_of(const Subject& subject, const PartRings& rings, const Setting& setting) {
  Notes notes;
  if (subject.nearest && setting.fed_mm >= subject.nearest->fed_length_mm - 1e-9) {
    const Nearest& n = *subject.nearest;
    notes.callouts.push_back({{placed(subject, n.place())},
                              n.label,
                              n.distance_mm <= 0.0 ? Callout::Kind::hit : Callout::Kind::nearest, {}});
  }
  for (const MachinePart& solid : subject.machine)
    if (solid.hit_at && !(subject.nearest && (*solid.hit_at - subject.nearest->place()).norm() < 1e-6))
      notes.callouts.push_back({{placed(subject, *solid.hit_at)}, "COLLISION with " + solid.name, Callout::Kind::hit, solid.name});

  if (subject.part && subject.one_helix()) add_dimensions(notes, subject, setting.fed_mm);
  if (subject.swept_radius_mm) {
    Callout keep_out{{}, subject.swept_label, Callout::Kind::keep_out, {}};
    for (const double eighth : {6.5, 5.5, 7.2, 4.8, 0.0, 4.0, 2.0, 1.0, 3.0}) {
      const double a = eighth * std::numbers::pi / 4.0;
      keep_out.anchors.emplace_back(*subject.swept_radius_mm * std::cos(a), *subject.swept_radius_mm * std::sin(a), setting.floor_z_mm);
    }
    notes.callouts.push_back(keep_out);
  }
  if (rings.start_up.size() >= 2) notes.callouts.push_back({some_of(rings.start_up), subject.start_up_label, Callout::Kind::plain, {}});
  if (rings.front_end.size() >= 2) notes.callouts.push_back({some_of(rings.front_end), subject.front_label, Callout::Kind::plain, {}});
  for (const MachinePart& solid : subject.machine) {
    if (solid.bodies.empty() || solid.hit_at) continue;
    if (solid.role == Role::roll) {
      Vector3d highest = handle_of(solid.bodies.front());
      for (const Shape& body : solid.bodies)
        if (handle_of(body).z() > highest.z()) highest = handle_of(body);
      notes.callouts.push_back({{placed(subject, highest)}, solid.name, Callout::Kind::plain, {}});
    }
  }

  if (setting.ceiling_edge) notes.callouts.push_back({{*setting.ceiling_edge}, "ceiling", Callout::Kind::plain, {}});
  if (subject.part && subject.standing == Standing::in_machine) {
    const CurvePoint entry = subject.part->at(Stage::stock, -subject.part->span_in_mm());
    const Vector3d across(-entry.d1.y(), entry.d1.x(), 0.0);
    const double length = std::max(0.28 * setting.stage_radius_mm, 12.0 * subject.tube_radius_mm);
    const Vector3d tip = entry.p - 0.35 * length * entry.d1 - (4.0 * subject.tube_radius_mm + 0.08 * length) * across;
    notes.directions.push_back({placed(subject, tip - length * entry.d1), placed(subject, tip), "feed"});
  }
  if (subject.part && subject.one_helix() && rings.usable.size() >= 2) {
      const CoilFrame coil(subject);
      const double rho = subject.part->helix().arc_per_radian_mm();
      const double low = coil.c * rings.usable.front().lag_mm / rho, high = coil.c * rings.usable.back().lag_mm / rho;
      const double over = 0.08 * (high - low) + 2.0 * subject.tube_radius_mm;
      notes.axis = {coil.at(0.0, 0.0, low - over), coil.at(0.0, 0.0, high + over)};
  }
  return notes;
}

}  // namespace coilwright::view
