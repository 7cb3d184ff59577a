// How much of a section lies at which depth: the integrals over the part below a depth, in closed form.
//
// By Green's theorem the part of an outline with depth below c has int y^n dA = sum over the sides of
// int x y^n dy up to c (the closing line at c has dy = 0), and int x y^n dA = sum of int x^2 y^n / 2 dy. On a
// straight side x is linear in y, on an arc x = x_c +- sqrt(r^2 - (y - y_c)^2): both integrate in elementary
// functions, so nothing is sampled. Between two breaks the sides are the same, and are added up beforehand.
#pragma once

#include <coilwright/stock/outline.hpp>

namespace coilwright {

class DepthProfile {
 public:
  // Depths and offsets are then measured from the centroid, y as in the outline.
  explicit DepthProfile(const Outline& outline);

  struct Integrals {
    double area = 0.0, first = 0.0, second = 0.0;  // A, int y, int y^2
  };
  struct SideIntegrals {
    double first = 0.0, product = 0.0;  // int x, int x y
  };
  // Of the part whose depth is less than y; all of it above the highest, nothing below the lowest.
  [[nodiscard]] Integrals below(double y_mm) const;
  [[nodiscard]] SideIntegrals side_below(double y_mm) const;
  [[nodiscard]] double breadth(double y_mm) const;      // b(y)
  [[nodiscard]] double side_moment(double y_mm) const;  // int x dx at y

  [[nodiscard]] const Integrals& total() const { return total_; }
  [[nodiscard]] const SideIntegrals& side_total() const { return side_total_; }
  [[nodiscard]] double lowest() const { return breaks_.front(); }
  [[nodiscard]] double highest() const { return breaks_.back(); }
  // Depths, rising, between which b(y) is analytic.
  [[nodiscard]] const std::vector<double>& breaks() const { return breaks_; }
  // The upper half is the mirror image of the lower one: the neutral axis cannot shift.
  [[nodiscard]] bool even() const { return even_; }
  // The axis that halves the area, and int |y - axis| dA: plastic modulus.
  [[nodiscard]] double halving_axis_mm() const { return halving_axis_; }
  [[nodiscard]] double plastic_modulus_mm3() const { return plastic_modulus_; }

 private:
  struct Arc {
    double y, radius, breadth, side;  // adds breadth q and side q, q = sqrt(r^2 - (y - y_c)^2)
  };
  struct Slab {
    double b0 = 0, b1 = 0;          // breadth b0 + b1 y
    double s0 = 0, s1 = 0, s2 = 0;  // side moment s0 + s1 y + s2 y^2
    std::vector<Arc> arcs;
    Integrals constant;
    SideIntegrals side_constant;
  };
  [[nodiscard]] static Integrals primitive(const Slab& slab, double y);
  [[nodiscard]] static SideIntegrals side_primitive(const Slab& slab, double y);
  [[nodiscard]] const Slab& slab_at(double y) const;
  void fill_slabs(const Outline& outline);
  [[nodiscard]] bool find_even() const;

  std::vector<double> breaks_;
  std::vector<Slab> slabs_;
  Integrals total_;
  SideIntegrals side_total_;
  bool even_ = false;
  double halving_axis_ = 0, plastic_modulus_ = 0;
};

}  // namespace coilwright
