#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/own_weight.hpp>
#include <coilwright/rolling/quadrature.hpp>
#include <numbers>

namespace coilwright {
namespace {

constexpr double gravity = 9.80665;  // m/s^2, the standard value (3rd General Conference on Weights and Measures, 1901)

struct Beam {
  double weight_n_per_mm, EI, GJ;  // up and down
  double face_mm;                  // farthest from the centroid

  static Beam of(const Stock& stock) {
    const Section& section = stock.section;
    return {stock.mass_per_metre_kg() * gravity * 1e-3, stock.material.modulus.mpa() * section.side_inertia_mm4(),
            stock.torsion_stiffness_n_mm2(), std::max(section.above_centroid(), section.outer_face()).mm()};
  }
  // By von Mises, as if bending and torsion were greatest at one place.
  [[nodiscard]] double share_of_yield(const Stock& stock, double bending, double twisting) const {
    const double sigma = bending * face_mm / stock.section.side_inertia_mm4();
    const double tau = twisting * face_mm / stock.section.torsion_constant_mm4();
    return std::sqrt(sigma * sigma + 3.0 * tau * tau) / stock.material.yield.mpa();
  }
};

// `end(free)` of a part that is left free over a length, `spacings` tried one after the other.
template <class End>
Carrying fewest_props(Length beyond, Length first_spacing, int halvings, Length allowed, End end) {
  constexpr double most_of_yield = 0.5;
  const auto fine = [&](const HangingEnd& e) { return e.sag <= allowed && e.share_of_yield <= most_of_yield; };
  const HangingEnd left = end(std::min(beyond, first_spacing));
  if (beyond <= first_spacing && fine(left)) return {std::nullopt, left, left};
  Carrying result{first_spacing, left, left};
  for (int i = 1; i <= halvings && !fine(result.then); ++i) {
    result.at_least_every = first_spacing / std::exp2(i);
    result.then = end(std::min(beyond, *result.at_least_every));
  }
  return result;
}

}  // namespace

HangingEnd hanging_end(const Stock& stock, Length bend_radius, Angle arc, Length straight) {
  require(bend_radius.mm() > 0.0 && arc.rad() >= 0.0 && straight.mm() >= 0.0, "what hangs is an arc with a straight ahead");
  const Beam beam = Beam::of(stock);
  const double w = beam.weight_n_per_mm, R = bend_radius.mm(), L = straight.mm();
  const auto bend = [&](double u) { return w * (R * R * (1.0 - std::cos(u)) + L * R * std::sin(u) + 0.5 * L * L * std::cos(u)); };
  const auto twist = [&](double u) {
    return w * (R * R * (u - std::sin(u)) + L * R * (1.0 - std::cos(u)) + 0.5 * L * L * std::sin(u));
  };
  double sag = w * L * L * L * L / (8.0 * beam.EI);
  // 20 points take a quarter turn of such functions to rounding.
  const double quarters = std::max(1.0, std::ceil(arc.rad() / (0.5 * std::numbers::pi)));
  for (double part = 0.0; part < quarters; ++part)
    for (const auto& [x, weight] : gauss_20()) {
      const double u = arc.rad() * (part + x) / quarters;
      const double m = R * std::sin(u) + L * std::cos(u), t = R * (1.0 - std::cos(u)) + L * std::sin(u);
      sag += (bend(u) * m / beam.EI + twist(u) * t / beam.GJ) * R * arc.rad() * weight / quarters;
    }
  double share = 0.0;
  constexpr int looks = 64;
  for (int i = 0; i <= looks; ++i) {
    const double u = arc.rad() * i / looks;
    share = std::max(share, beam.share_of_yield(stock, bend(u), twist(u)));
  }
  return {Length::mm(sag), share};
}

HangingEnd hanging_end(const Stock& stock, Length length) {
  require(length.mm() >= 0.0, "what hangs has a length");
  const Beam beam = Beam::of(stock);
  const double s = length.mm(), moment = 0.5 * beam.weight_n_per_mm * s * s;
  return {Length::mm(0.25 * moment * s * s / std::min(beam.EI, beam.GJ)), beam.share_of_yield(stock, moment, moment)};
}

Carrying carry_coil(const Stock& stock, Length bend_radius, Length beyond, Length straight, Length allowed) {
  return fewest_props(beyond, bend_radius * (2.0 * std::numbers::pi), 3, allowed, [&](Length free) {
    return hanging_end(stock, bend_radius, Angle::rad(free / bend_radius), straight);
  });
}

Carrying carry_part(const Stock& stock, Length beyond, Length straight, Length allowed) {
  return fewest_props(beyond, beyond, 6, allowed, [&](Length free) { return hanging_end(stock, free + straight); });
}

}  // namespace coilwright
