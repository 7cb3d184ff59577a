// The scenes whose distances are counted, and timed by the benchmark: parts, what stands around them, from a seed.
#pragma once

#include <coilwright/machine/triangle_mesh.hpp>
#include <memory>

#include "fed_parts.hpp"

namespace coilwright::bench {

inline constexpr double counted_tube_mm = 24.15, counted_gap_mm = 3.0;
inline const Eigen::Vector2d counted_half_edges(20.0, 10.0);
inline constexpr double ten_turns_rad = 20.0 * std::numbers::pi;
inline constexpr std::uint64_t first_counted_seed = 1000;

inline FedPart ten_turn_helix() {
  return chained({helix_segment(300.0, 60.0, ten_turns_rad * std::hypot(300.0, 60.0 / (2 * std::numbers::pi)))});
}

// The same with its axis along z through (0, 300), climbing from the origin: the coil of forty_coil().
inline FedPart upright_ten_turn_helix() {
  const ScrewSegment helix = std::get<ScrewSegment>(ten_turn_helix().segments().front().shape);
  const CurveFrame start = forty_coil().helix().frame_C(Length::mm(0.0));
  Eigen::Isometry3d X_FB = Eigen::Isometry3d::Identity();
  X_FB.linear() << -start.tangent, start.normal, -start.binormal;
  return chained({helix}, {}, X_FB);
}

inline FedPart ten_turn_cone() {
  return chained({ConeSegment{350.0, -100.0 / ten_turns_rad, 60.0 / (2 * std::numbers::pi), ten_turns_rad}});
}

inline FedPart six_segment_rail() {
  return chained({ScrewSegment{0, 0, 300}, ScrewSegment{1.0 / 400, 0, 400}, helix_segment(900, 2700, 3000),
                  ScrewSegment{0, 0, 250}, helix_segment(600, 1500, 1500), ScrewSegment{0, 0, 300}},
                 {0.0, 0.0, 0.4, 0.0, -0.3, 0.0});
}

inline constexpr double around_coil_mm = 1000.0, around_rail_mm = 2500.0;

// A roll with a half-round groove about z = 0, axis z, `around` x about `along` squares.
inline std::shared_ptr<const TriangleMesh> grooved_roll(int around, int along) {
  std::vector<Eigen::Vector2d> outline{{0, -60}, {120, -60}};  // radius, z
  for (int k = 0; k <= along; ++k) {
    const double a = std::numbers::pi * (static_cast<double>(k) / along - 0.5);
    outline.emplace_back(120.0 - 25.0 * std::cos(a), 25.0 * std::sin(a));
  }
  outline.insert(outline.end(), {{120, 60}, {0, 60}});
  std::vector<Eigen::Vector3d> points;
  std::vector<TriangleMesh::Triangle> triangles;
  const auto rows = static_cast<std::uint32_t>(outline.size());
  for (int i = 0; i < around; ++i) {
    const double a = 2.0 * std::numbers::pi * i / around;
    for (const auto& o : outline) points.emplace_back(o.x() * std::cos(a), o.x() * std::sin(a), o.y());
  }
  for (std::uint32_t i = 0; i < static_cast<std::uint32_t>(around); ++i)
    for (std::uint32_t k = 0; k + 1 < rows; ++k) {
      const std::uint32_t next = (i + 1) % static_cast<std::uint32_t>(around);
      triangles.push_back({i * rows + k, next * rows + k, next * rows + k + 1});
      triangles.push_back({i * rows + k, next * rows + k + 1, i * rows + k + 1});
    }
  return std::make_shared<const TriangleMesh>(TriangleMesh::from(points, triangles).value());
}

// More than 100,000 triangles.
inline std::shared_ptr<const TriangleMesh> large_roll() { return grooved_roll(384, 130); }

// Where that roll stands beside a coil of plan radius 300 about the axis (0, 300): at a gap of 10 to 110 mm.
inline std::vector<Eigen::Vector3d> roll_places(std::size_t count) {
  Dice dice(74);
  std::vector<Eigen::Vector3d> places;
  while (places.size() < count) {
    const double azimuth = dice.between(-3.0, 3.0), away = 300.0 + 24.15 + 120.0 + dice.between(10, 110);
    const double x = away * std::cos(azimuth), y = 300.0 + away * std::sin(azimuth);
    places.emplace_back(x, y, dice.between(0, 600));
  }
  return places;
}

}  // namespace coilwright::bench
