#include <algorithm>
#include <cmath>
#include <coilwright/quantity/bracketed_root.hpp>
#include <coilwright/coil/segment_equations.hpp>
#include <numbers>
#include <optional>

namespace coilwright {
namespace {

using enum SegmentMeasure;
constexpr double pi = std::numbers::pi;

using Tapers = SegmentShapes<TaperNumbers>;

// What is known of a cone or scroll. With the turn unknown a pitch stands for the rise.
struct Known {
  std::optional<double> r1, r2, turn, rise, pitch;

  [[nodiscard]] double rise_at(double turn_rad) const {
    return rise ? *rise : *pitch * turn_rad / (2.0 * pi);
  }
};

std::string mm(double v) {
  return segment_value_text(length, v);
}

Tapers too_short(double L, double least, const std::string& why) {
  Tapers tapers;
  tapers.about = length;
  tapers.impossible = "The length, " + mm(L) + ", is too short by " + mm(least - L) + ": " + why +
                      " takes at least " + mm(least) + ". More than that would do.";
  return tapers;
}

// Length grows with the turn, from the straight way at none; the mean circle bounds it from below.
Tapers with_turn(const Known& k, double L) {
  const double straight = std::hypot(*k.r2 - *k.r1, k.rise ? *k.rise : 0.0);
  if (L <= straight) return too_short(L, straight, "the straight way between the given ends");
  const double most = L / (0.5 * (*k.r1 + *k.r2));
  const double turn = rising_root_between(0.0, most * (1.0 + 1e-12), [&](double x) {
    return (x > 0.0 ? taper_length_mm({*k.r1, *k.r2, x, k.rise_at(x)}) : straight) - L;
  });
  Tapers tapers;
  if (!(turn > 0.0)) return too_short(L, straight, "the straight way between the given ends");
  tapers.fit = {{*k.r1, *k.r2, turn, k.rise_at(turn)}};
  return tapers;
}

Tapers with_rise(const Known& k, double L) {
  const double flat = taper_length_mm({*k.r1, *k.r2, *k.turn, 0.0});
  if (L < flat * (1.0 - 1e-12)) return too_short(L, flat, "this many turns between these radii");
  const double rise = rising_root_between(0.0, L, [&](double x) {
    return taper_length_mm({*k.r1, *k.r2, *k.turn, x}) - L;
  });
  Tapers tapers;
  tapers.fit = {{*k.r1, *k.r2, *k.turn, rise}};
  return tapers;
}

// The other end's radius. The length is convex in it (an integral of lengths of affine vectors), with its
// least value below the known radius: one root beyond it, perhaps one before.
Tapers with_radius(const Known& k, double L) {
  const double known = k.r1 ? *k.r1 : *k.r2;
  const double rise = k.rise_at(*k.turn);
  const auto taper = [&](double r) {
    return TaperNumbers{k.r1 ? known : r, k.r1 ? r : known, *k.turn, rise};
  };
  const auto at = [&](double r) { return taper_length_mm(taper(r)); };
  const double tiny = 1e-9 * known;
  // Least length by golden section: the place need not be sharp, only below L if anything is.
  double low = tiny, high = known;
  for (int i = 0; i < 80; ++i) {
    const double a = high - 0.6180339887498949 * (high - low), b = low + 0.6180339887498949 * (high - low);
    (at(a) < at(b) ? high : low) = at(a) < at(b) ? b : a;
  }
  const double bottom = 0.5 * (low + high);
  if (L < at(bottom)) return too_short(L, at(bottom), "a taper from this radius with this turn");
  Tapers tapers;
  // Half the turn is spent at more than half the larger radius.
  double beyond = known + 4.0 * L / *k.turn + L;
  const double larger = rising_root_between(bottom, beyond, [&](double r) { return at(r) - L; });
  tapers.fit = {taper(larger)};
  if (bottom > 2.0 * tiny && L < at(tiny)) {
    const double smaller = -rising_root_between(-bottom, -tiny, [&](double r) { return at(-r) - L; });
    tapers.fit.push_back(taper(smaller));
  }
  return tapers;
}

}  // namespace

SegmentShapes<TaperNumbers> solve_taper(const SegmentNumbers& given) {
  Tapers none;
  Known k;
  std::vector<SegmentMeasure> used;
  const auto take = [&](SegmentMeasure measure, std::optional<double>& into, double scale = 1.0) {
    const auto found = given.find(measure);
    if (into || found == given.end()) return;
    into = found->second * scale;
    used.push_back(measure);
  };
  take(start_radius, k.r1);
  take(end_radius, k.r2);
  take(angle, k.turn);
  take(turns, k.turn, 2.0 * pi);
  take(rise, k.rise);
  if (!k.rise || !k.turn) take(pitch, k.pitch);
  if (!k.turn && k.rise && k.pitch && *k.pitch > 0.0) k.turn = 2.0 * pi * *k.rise / *k.pitch;
  if (!k.rise && k.turn && k.pitch) k.rise = k.rise_at(*k.turn);

  const bool climb = k.rise || k.pitch;
  const int unknown = !k.r1 + !k.r2 + !k.turn + !climb;
  const auto done = [&](Tapers tapers) {
    tapers.used = used;
    return tapers;
  };
  if (unknown == 0) {
    Tapers tapers;
    tapers.about = turns;
    if (!(*k.turn > 0.0)) {
      tapers.impossible = "A rise of 0 with a pitch does not say how many turns it makes.";
      tapers.about = rise;
      return done(tapers);
    }
    tapers.fit = {{*k.r1, *k.r2, *k.turn, *k.rise}};
    return done(tapers);
  }
  const auto L = given.find(length);
  if (unknown > 1 || L == given.end()) return none;
  used.push_back(length);
  if (!k.turn) return done(with_turn(k, L->second));
  if (!climb) return done(with_rise(k, L->second));
  return done(with_radius(k, L->second));
}

}  // namespace coilwright
