// Strong types for what a shop measures: lengths, angles, forces, moments, stresses, curvatures.
//
// Units inside the program are mm, N, MPa, rad. Inches, degrees, diameters and kilonewtons exist only
// where text is read or written; the named factories and accessors below are the only way in and out, so
// a number cannot change its unit silently. All types are plain values, zero when default-made, totally
// ordered, and cost one double.
#pragma once

#include <cmath>
#include <compare>
#include <numbers>

namespace coilwright {

// What all quantities share: sums of like with like, scaling by a plain number, the ratio of two.
template <class Self>
class Quantity {
 public:
  constexpr Quantity() = default;
  friend constexpr auto operator<=>(const Quantity&, const Quantity&) = default;
  friend constexpr Self operator+(Self a, Self b) { return make(a.value_ + b.value_); }
  friend constexpr Self operator-(Self a, Self b) { return make(a.value_ - b.value_); }
  friend constexpr Self operator-(Self a) { return make(-a.value_); }
  friend constexpr Self operator*(Self a, double k) { return make(a.value_ * k); }
  friend constexpr Self operator*(double k, Self a) { return make(k * a.value_); }
  friend constexpr Self operator/(Self a, double k) { return make(a.value_ / k); }
  friend constexpr double operator/(Self a, Self b) { return a.value_ / b.value_; }
  constexpr Self& operator+=(Self other) {
    value_ += other.value_;
    return static_cast<Self&>(*this);
  }
  [[nodiscard]] bool finite() const { return std::isfinite(value_); }

 protected:
  explicit constexpr Quantity(double value) : value_(value) {}
  static constexpr Self make(double value) { return Self(value); }
  double value_ = 0.0;  // in the type's own base unit
};

// A length. Base unit mm; 1 in = 25.4 mm exactly (international inch, 1959).
class Length : public Quantity<Length> {
 public:
  constexpr Length() = default;
  static constexpr Length mm(double v) { return Length(v); }
  static constexpr Length metres(double v) { return Length(v * 1000.0); }
  static constexpr Length inches(double v) { return Length(v * 25.4); }
  static constexpr Length feet(double v) { return Length(v * 304.8); }
  [[nodiscard]] constexpr double mm() const { return value_; }
  [[nodiscard]] constexpr double inches() const { return value_ / 25.4; }

 private:
  friend class Quantity<Length>;
  explicit constexpr Length(double v) : Quantity(v) {}
};

// A plane angle. Base unit rad.
class Angle : public Quantity<Angle> {
 public:
  constexpr Angle() = default;
  static constexpr Angle rad(double v) { return Angle(v); }
  static constexpr Angle deg(double v) { return Angle(v * (std::numbers::pi / 180.0)); }
  static constexpr Angle turns(double v) { return Angle(v * (2.0 * std::numbers::pi)); }
  [[nodiscard]] constexpr double rad() const { return value_; }
  [[nodiscard]] constexpr double deg() const { return value_ * (180.0 / std::numbers::pi); }
  [[nodiscard]] constexpr double turns() const { return value_ / (2.0 * std::numbers::pi); }

 private:
  friend class Quantity<Angle>;
  explicit constexpr Angle(double v) : Quantity(v) {}
};

// A force. Base unit N.
class Force : public Quantity<Force> {
 public:
  constexpr Force() = default;
  static constexpr Force newtons(double v) { return Force(v); }
  static constexpr Force kilonewtons(double v) { return Force(v * 1000.0); }
  [[nodiscard]] constexpr double newtons() const { return value_; }
  [[nodiscard]] constexpr double kilonewtons() const { return value_ / 1000.0; }

 private:
  friend class Quantity<Force>;
  explicit constexpr Force(double v) : Quantity(v) {}
};

// A bending or twisting moment. Base unit N mm.
class Moment : public Quantity<Moment> {
 public:
  constexpr Moment() = default;
  static constexpr Moment newton_mm(double v) { return Moment(v); }
  [[nodiscard]] constexpr double newton_mm() const { return value_; }
  [[nodiscard]] constexpr double newton_metres() const { return value_ / 1000.0; }

 private:
  friend class Quantity<Moment>;
  explicit constexpr Moment(double v) : Quantity(v) {}
};

// A stress or a modulus. Base unit MPa = N/mm^2; 1 ksi = 6.894757293168 MPa.
class Stress : public Quantity<Stress> {
 public:
  constexpr Stress() = default;
  static constexpr Stress mpa(double v) { return Stress(v); }
  static constexpr Stress ksi(double v) { return Stress(v * 6.894757293168361); }
  [[nodiscard]] constexpr double mpa() const { return value_; }
  [[nodiscard]] constexpr double ksi() const { return value_ / 6.894757293168361; }

 private:
  friend class Quantity<Stress>;
  explicit constexpr Stress(double v) : Quantity(v) {}
};

// A curvature or a torsion. Base unit 1/mm.
class Curvature : public Quantity<Curvature> {
 public:
  constexpr Curvature() = default;
  static constexpr Curvature per_mm(double v) { return Curvature(v); }
  static constexpr Curvature of_radius(Length radius) { return Curvature(1.0 / radius.mm()); }
  [[nodiscard]] constexpr double per_mm() const { return value_; }
  // Unlimited (infinite) for a straight: ask for the curvature where that can happen.
  [[nodiscard]] constexpr Length radius() const { return Length::mm(1.0 / value_); }

 private:
  friend class Quantity<Curvature>;
  explicit constexpr Curvature(double v) : Quantity(v) {}
};

}  // namespace coilwright
