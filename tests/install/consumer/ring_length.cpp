// One turn of a flat ring is its circumference: what a stranger's first program with the library looks like.
#include <cmath>
#include <coilwright/coil/helix.hpp>
#include <coilwright/plan/plan.hpp>
#include <numbers>

int main() {
  const coilwright::Helix ring(coilwright::Length::mm(500), coilwright::Length::mm(0),
                               coilwright::Hand::right_screw);
  const double length_mm = ring.arc_per_radian_mm() * 2 * std::numbers::pi;
  return std::abs(length_mm - 1000 * std::numbers::pi) < 1e-9 ? 0 : 1;
}
