// Parts, bodies and scenes that the clearance tests share. Everything is invented and made from a seed.
#pragma once

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <coilwright/clearance/clearance.hpp>
#include <coilwright/clearance/shape_distance.hpp>
#include <coilwright/rolling/pose.hpp>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <numbers>
#include <random>
#include <utility>
#include <vector>

namespace coilwright::bench {

// Uniform numbers that are the same on every machine (std::uniform_real_distribution is not).
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : engine_(seed) {}
  double between(double low, double high) {
    return low + (high - low) * static_cast<double>(engine_() >> 11) * 0x1p-53;
  }
  Eigen::Vector3d within(double size) {
    const double x = between(-size, size), y = between(-size, size), z = between(-size, size);
    return {x, y, z};
  }
  Eigen::Vector3d direction() {
    for (;;) {
      const Eigen::Vector3d v = within(1.0);
      if (v.norm() > 0.1 && v.norm() < 1.0) return v.normalized();
    }
  }

 private:
  std::mt19937_64 engine_;
};

// How many times as much to sample as by default; set for a long run.
inline int effort() {
  const char* value = std::getenv("COILWRIGHT_TEST_EFFORT");
  const int times = value ? std::atoi(value) : 1;
  return times > 0 ? times : 1;
}

// A claimed bound under attack: how often it was tried, how often it did not hold, and by how little it held. `room` is
// what is left of it, rounding allowed for: negative when it is broken.
struct Claim {
  std::size_t tried = 0, broken = 0;
  double least_room = 1e300;
  void hold(double room) {
    ++tried;
    if (!(room >= 0.0)) ++broken;
    least_room = std::min(least_room, room);
  }
};

inline Shape random_shape(Dice& dice, const Eigen::Vector3d& centre, int kind) {
  const Eigen::Vector3d half = dice.direction() * dice.between(10.0, 150.0);
  switch (kind % 4) {
    case 0: return Cylinder{centre - half, centre + half, dice.between(5.0, 120.0)};
    case 1: {
      const double from = dice.between(0.0, 120.0);
      return Frustum{centre - half, centre + half, from, dice.between(5.0, 120.0)};
    }
    case 2: {
      const Eigen::Vector3d size = half.cwiseAbs() + Eigen::Vector3d::Constant(5.0);
      return Box{centre - size, centre + size, dice.between(-3.0, 3.0)};
    }
    default: return HalfSpace{centre, dice.direction()};
  }
}

// A rigid helix from lag 0, with straight spans of `span_mm` on either side of the bend point.
inline PosedPart rigid_part(const Helix& helix, const Eigen::Isometry3d& X_FC, double span_mm = 100.0) {
  const double span = span_mm;
  return PosedPart({helix,
                    {{-span, 0.0, 0.0, {-span, 0.0}}, {0.0, 0.0, 0.0, {0.0, 0.0}}},
                    {},
                    0.0,
                    X_FC,
                    X_FC,
                    helix.curvature().per_mm(),
                    1.0});
}

inline Eigen::Isometry3d random_pose(Dice& dice, double size_mm) {
  Eigen::Isometry3d X = Eigen::Isometry3d::Identity();
  X.rotate(Eigen::AngleAxisd(dice.between(-3.0, 3.0), dice.direction()));
  X.pretranslate(dice.within(size_mm));
  return X;
}

// A part as it comes out of the rolls, all stages: spans bent by a triangle of curvature from P1 over P2 to
// P3, an arc that an invented smooth displacement springs, then the leaning rigid helix that continues it
// in point and direction (to second order in the displacement's slope).
struct SprungSpec {
  double plan_radius_mm = 800.0, pitch_mm = 900.0, half_spacing_mm = 250.0, outboard_azimuth_rad = 1.5;
  double spring_mm = 8.0;  // size of the displacement at the outboard roll
  Eigen::Vector3d spring_direction{0.1, -0.2, 1.0};
};
PosedPart sprung_part(const SprungSpec& spec);

// A part with a straight front end of 240 mm, as long as said, among obstacles; how thick is left to say.
struct SceneLengths {
  double coil_to_mm, rolled_mm, stock_mm;
};
ClearanceScene scene_of_lengths(const PosedPart& part, const SceneLengths& lengths, std::vector<Obstacle> obstacles);
// The lags between which a piece of a scene lies; of the front end, those that it is tangent at.
std::pair<double, double> lags_of(const ClearanceScene& scene, Piece piece);

// 40 solids around a 10-turn coil (helix R 300, pitch 60, from lag 0, upright), least gap 3 mm to a tube of
// 48.3 mm: one half-space, the rest boxes, cylinders and frusta in turn.
inline constexpr double forty_tube_radius_mm = 24.15;
PosedPart forty_coil();
double forty_coil_length_mm();
std::vector<Shape> forty_solids();

}  // namespace coilwright::bench
