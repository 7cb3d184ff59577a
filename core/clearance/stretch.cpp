#include <algorithm>
#include <cmath>
#include <coilwright/clearance/stretch.hpp>
#include <coilwright/quantity/require.hpp>
#include <limits>
#include <numbers>

namespace coilwright {
namespace {
constexpr double unlimited = std::numeric_limits<double>::infinity();
}

Stretch::Stretch(const PosedPart& part, Stage stage, double from_mm, double to_mm)
    : part_(&part), stage_(stage), from_(from_mm), to_(to_mm) {
  require(std::isfinite(from_mm) && std::isfinite(to_mm) && from_mm <= to_mm, "a stretch runs forward in lag");
  const Helix& helix = part.helix();
  switch (stage) {
    case Stage::stock:
      break;
    case Stage::spans:
      second_bound_ = part.spans_second_bound_per_mm();
      third_bound_ = unlimited;  // the second derivative jumps from station to station
      break;
    case Stage::arc:
      second_bound_ = part.arc_second_bound_per_mm();
      third_bound_ = part.arc_third_bound_per_mm2();
      break;
    case Stage::coil: {
      const Eigen::Matrix3d R = part.X_FC().linear();
      ex_ = R.col(0);
      ey_ = R.col(1);
      ez_ = R.col(2);
      plan_radius_ = helix.plan_radius().mm();
      climb_ = helix.rise_per_radian_mm();
      rho_ = helix.arc_per_radian_mm();
      half_turn_ = std::numbers::pi * rho_;
      axis_point_ = part.X_FC().translation() + plan_radius_ * ey_;
      second_bound_ = plan_radius_ / (rho_ * rho_);
      third_bound_ = plan_radius_ / (rho_ * rho_ * rho_);
      break;
    }
  }
  const double middle = 0.5 * (from_ + to_), half = 0.5 * (to_ - from_);
  const BoundedPoint m = at(middle);
  extent_ = m.c.p.lpNorm<Eigen::Infinity>() + 2.0 * plan_radius_ + half * std::max(1.0, m.c.d1.norm()) +
            std::max(std::abs(from_), std::abs(to_));
}

BoundedPoint Stretch::at(double lag_mm) const {
  if (stage_ != Stage::coil) {
    return {part_->at(stage_, lag_mm), second_bound_, third_bound_, unlimited};
  }
  const double theta = lag_mm / rho_, s = std::sin(theta), c = std::cos(theta);
  const Eigen::Vector3d along = c * ex_ + s * ey_, inward = c * ey_ - s * ex_;
  return {{axis_point_ - plan_radius_ * inward + climb_ * theta * ez_,
           (plan_radius_ * along + climb_ * ez_) / rho_, second_bound_ * inward},
          second_bound_,
          third_bound_,
          plan_radius_};
}

BoundedPoint Stretch::ahead(const BoundedPoint& from, double length_mm) const {
  BoundedPoint end = from;
  end.c.p += length_mm * from.c.d1;
  end.c.d1 += length_mm * from.c.d2;
  if (stage_ == Stage::coil) {
    // n' = -(plan direction of travel) / rho, and that direction is (rho t - c e_z) / R.
    const Eigen::Vector3d along = (rho_ * from.c.d1 - climb_ * ez_) / plan_radius_;
    end.c.d2 -= length_mm * second_bound_ / rho_ * along;
    const double growth = std::hypot(1.0, length_mm / rho_);
    end.second_bound_per_mm = second_bound_ * growth;
    end.third_bound_per_mm2 = third_bound_ * growth;
    end.chord_radius_mm = plan_radius_ * growth;
    return end;
  }
  require(stage_ == Stage::arc && std::isfinite(third_bound_), "a straight end continues a free arc or the coil");
  end.second_bound_per_mm = second_bound_ + length_mm * third_bound_;
  end.third_bound_per_mm2 = unlimited;
  return end;
}

BoundedPoint Stretch::at(double lag_mm, const SectionPoint& point) const {
  BoundedPoint result = at(lag_mm);
  const Eigen::Vector2d& across = point.across;
  switch (stage_) {
    case Stage::stock: {
      const PosedPart::SectionAxes axes = part_->section_axes(stage_, lag_mm);
      result.c.p += across.x() * axes.inward + across.y() * axes.shafts;
      return result;
    }
    case Stage::spans: {
      const auto [direction, rate] = part_->spans_direction(lag_mm);
      const PosedPart::TurningBounds& turning = part_->spans_turning();
      const double inward = part_->inward_side() * across.x(), s = std::sin(direction), c = std::cos(direction);
      result.c.p += Eigen::Vector3d(-inward * s, inward * c, across.y());
      result.c.d1 -= inward * rate * Eigen::Vector3d(c, s, 0.0);
      result.second_bound_per_mm += std::abs(inward) * (turning.rate * turning.rate + turning.change);
      return result;
    }
    case Stage::arc:
    case Stage::coil: break;
  }
  const bool coil = stage_ == Stage::coil;
  const Helix& helix = part_->helix();
  const double rho = helix.arc_per_radian_mm(), theta = lag_mm / rho;
  Eigen::Vector3d t, n, axis;
  if (coil) {
    t = result.c.d1;
    n = std::cos(theta) * ey_ - std::sin(theta) * ex_;
    axis = ez_;
  } else {
    const Eigen::Matrix3d R = part_->X_FC_unsprung().linear();
    t = R * helix.tangent_C(theta);
    n = R * helix.normal_C(theta);
    axis = R.col(2);
  }
  if (point.ahead_mm > 0.0) result = ahead(result, point.ahead_mm);
  const Eigen::Vector2d in_helix = part_->section_in_helix() * across;
  const Eigen::Vector3d off = in_helix.x() * n + in_helix.y() * t.cross(n), omega = axis / rho;
  const Eigen::Vector3d step = omega.cross(off), turn = omega.cross(step);
  result.c.p += off;
  result.c.d1 += step;
  result.c.d2 += turn;
  if (coil) {
    const double size = result.c.d2.norm();
    result.second_bound_per_mm = size;
    result.third_bound_per_mm2 = size / rho;
    result.chord_radius_mm = size * rho * rho;
    return result;
  }
  const double bend = turn.norm();
  const auto [turned, dturned] = part_->arc_turned(lag_mm);
  const PosedPart::TurningBounds& turning = part_->arc_turning();
  result.c.p += turned.cross(off);
  result.c.d1 += dturned.cross(off) + turned.cross(step);
  result.loose_per_mm = turning.change * off.norm() + 2.0 * turning.rate * step.norm() + turning.value * bend;
  result.second_bound_per_mm += bend + result.loose_per_mm;
  result.third_bound_per_mm2 += bend / rho;
  return result;
}

double Stretch::straight_covering(double length_mm) const {
  return stage_ == Stage::arc ? length_mm / part_->least_arc_speed(from_, to_) : length_mm;
}

double Stretch::least_rise(const BoundedPoint& point, const Eigen::Vector3d& g, double half_mm) const {
  const double a = g.dot(point.c.d1);
  // The loaded spans bend in the plane z = 0 only.
  const double bending = stage_ == Stage::spans ? g.head<2>().norm() : 1.0;
  double rise = -std::abs(a) * half_mm - 0.5 * bending * point.second_bound_per_mm * half_mm * half_mm;
  if (point.third_bound_per_mm2 < unlimited) {
    rise = std::max(rise, least_quadratic(a, g.dot(point.c.d2), half_mm) -
                              point.third_bound_per_mm2 * half_mm * half_mm * half_mm / 6.0 -
                              0.5 * point.loose_per_mm * half_mm * half_mm);
  }
  // The chord cannot help where it is longer; over at most half a turn it is at least 2 / pi of the arc.
  if (point.chord_radius_mm < unlimited && rise < -(2.0 / std::numbers::pi) * std::min(half_mm, half_turn_))
    rise = std::max(rise, -reach(point, half_mm));
  return rise;
}

double Stretch::least_away(const Eigen::Vector3d& p, double lag_mm, double half_mm, double straight_mm) const {
  if (stage_ != Stage::coil) return -unlimited;
  const Eigen::Vector3d from = p - axis_point_;
  const double height = from.dot(ez_), out = (from - height * ez_).norm();
  const double middle = climb_ * lag_mm / rho_, climbs = climb_ * half_mm / rho_;
  const double outermost = std::hypot(plan_radius_, straight_mm * plan_radius_ / rho_);
  const double highest = middle + climbs + straight_mm * climb_ / rho_;
  const double aside = std::max({plan_radius_ - out, out - outermost, 0.0});
  const double past = std::max({middle - climbs - height, height - highest, 0.0});
  return std::sqrt(aside * aside + past * past);
}

double Stretch::reach(const BoundedPoint& point, double half_mm) const {
  if (point.chord_radius_mm < unlimited) {
    const double theta = half_mm / rho_;
    const double across = 2.0 * point.chord_radius_mm * std::sin(0.5 * std::min(theta, std::numbers::pi));
    const double along = climb_ * theta;
    return std::sqrt(across * across + along * along);
  }
  return point.c.d1.norm() * half_mm + 0.5 * point.second_bound_per_mm * half_mm * half_mm;
}

}  // namespace coilwright
