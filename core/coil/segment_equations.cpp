#include <algorithm>
#include <cmath>
#include <coilwright/coil/centreline.hpp>
#include <coilwright/quantity/bracketed_root.hpp>
#include <coilwright/coil/segment_equations.hpp>
#include <numbers>
#include <optional>

namespace coilwright {
namespace {

using enum SegmentMeasure;
constexpr double pi = std::numbers::pi;

std::string mm(double v) {
  return segment_value_text(length, v);
}

std::optional<double> number(const SegmentNumbers& given, SegmentMeasure measure) {
  const auto found = given.find(measure);
  return found == given.end() ? std::nullopt : std::optional<double>(found->second);
}

using Arcs = SegmentShapes<ArcNumbers>;

// A radius with something that tells how far round.
Arcs arc_of_radius(double R, SegmentMeasure other, double v) {
  Arcs arcs;
  arcs.about = other;
  if (other == length) {
    arcs.fit = {{R, v / R}};
  } else if (other == chord) {
    if (v > 2.0 * R) {
      arcs.impossible = "The chord, " + mm(v) + ", is longer than the diameter to the centreline, " +
                        mm(2.0 * R) + ", by " + mm(v - 2.0 * R) + ". A chord of at most " + mm(2.0 * R) +
                        " would do, or a radius to the centreline of at least " + mm(0.5 * v) + ".";
      return arcs;
    }
    const double half = std::asin(v / (2.0 * R));
    arcs.fit = {{R, 2.0 * half}, {R, 2.0 * (pi - half)}};
  } else {
    if (v > 2.0 * R) {
      arcs.impossible = "The chord rise, " + mm(v) + ", is more than the diameter to the centreline, " +
                        mm(2.0 * R) + ", by " + mm(v - 2.0 * R) + ". A chord rise of at most " + mm(2.0 * R) +
                        " would do.";
      return arcs;
    }
    arcs.fit = {{R, 4.0 * std::asin(std::sqrt(v / (2.0 * R)))}};
  }
  return arcs;
}

Arcs arc_of_angle(double angle, SegmentMeasure other, double v) {
  Arcs arcs;
  arcs.about = other;
  const double quarter_sine = std::sin(0.25 * angle);
  if (other == length) arcs.fit = {{v / angle, angle}};
  if (other == chord_rise) arcs.fit = {{v / (2.0 * quarter_sine * quarter_sine), angle}};
  if (other == chord) {
    const double sine = std::sin(0.5 * angle);
    // A full turn has no chord: what is left of its sine is rounding.
    if (sine < 1e-12)
      arcs.impossible = "A full turn ends where it began: its chord is 0, and " + mm(v) +
                        " is given. Give a radius or the length instead.";
    else
      arcs.fit = {{v / (2.0 * sine), angle}};
  }
  return arcs;
}

Arcs arc_of_length_and_chord(double L, double c) {
  Arcs arcs;
  arcs.about = chord;
  if (c >= L) {
    arcs.impossible =
        "The chord, " + mm(c) + ", is not shorter than the length along the arc, " + mm(L) +
        (c > L ? ": it is longer by " + mm(c - L) : "") +
        ". The chord of an arc is shorter than its length; at most one of the two can be right.";
    return arcs;
  }
  // The shortfall 1 - sin x / x, from its series where the difference would lose its digits.
  const double shortfall = (L - c) / L;
  const auto short_by = [](double x) {
    if (x > 0.1) return 1.0 - std::sin(x) / x;
    const double q = x * x;
    return q / 6.0 * (1.0 - q / 20.0 * (1.0 - q / 42.0 * (1.0 - q / 72.0)));
  };
  const double half =
      rising_root_between(0.0, pi, [&](double x) { return x > 0.0 ? short_by(x) - shortfall : -shortfall; });
  arcs.fit = {{0.5 * L / half, 2.0 * half}};
  return arcs;
}

Arcs arc_of_length_and_rise(double L, double h) {
  Arcs arcs;
  arcs.about = chord_rise;
  // rise / length = sin^2(q) / 2 q with q a quarter of the angle: it grows to where tan q = 2 q.
  const auto share = [](double q) { return q > 0.0 ? std::sin(q) * (std::sin(q) / (2.0 * q)) : 0.0; };
  const double top = rising_root_between(1.0, 1.4, [](double q) { return std::tan(q) - 2.0 * q; });
  const double wanted = h / L;
  if (wanted > share(top)) {
    arcs.impossible = "The chord rise, " + mm(h) + ", is more than any arc of the length " + mm(L) +
                      " can have, by " + mm(h - L * share(top)) + ". A chord rise of at most " +
                      mm(L * share(top)) + " would do, or a length of at least " + mm(h / share(top)) + ".";
    return arcs;
  }
  const double flat = rising_root_between(0.0, top, [&](double q) { return share(q) - wanted; });
  arcs.fit = {{0.25 * L / flat, 4.0 * flat}};
  if (wanted >= share(0.5 * pi)) {
    const double round = rising_root_between(-0.5 * pi, -top, [&](double q) { return share(-q) - wanted; });
    arcs.fit.push_back({0.25 * L / -round, 4.0 * -round});
  }
  return arcs;
}

}  // namespace

SegmentShapes<ArcNumbers> solve_arc(const SegmentNumbers& given) {
  std::optional<double> R;
  SegmentMeasure radius_kind = radius;
  for (const SegmentMeasure kind : {bend_radius, diameter, radius})
    if (const auto v = number(given, kind)) R = kind == diameter ? 0.5 * *v : *v, radius_kind = kind;
  std::optional<double> turn = number(given, angle);
  const SegmentMeasure turn_kind = turn ? angle : turns;
  if (!turn)
    if (const auto v = number(given, turns)) turn = *v * 2.0 * pi;

  Arcs arcs;
  const auto done = [&](Arcs result, SegmentMeasure a, SegmentMeasure b) {
    result.used = {a, b};
    return result;
  };
  if (R && turn) return done({{{*R, *turn}}, "", turn_kind, {}}, radius_kind, turn_kind);
  for (const SegmentMeasure other : {length, chord_rise, chord}) {
    const auto v = number(given, other);
    if (v && R) return done(arc_of_radius(*R, other, *v), radius_kind, other);
    if (v && turn) return done(arc_of_angle(*turn, other, *v), turn_kind, other);
  }
  const auto L = number(given, length), c = number(given, chord), h = number(given, chord_rise);
  if (c && h)
    return done({{{*c * *c / (8.0 * *h) + 0.5 * *h, 4.0 * std::atan2(2.0 * *h, *c)}}, "", chord_rise, {}},
                chord, chord_rise);
  if (L && c) return done(arc_of_length_and_chord(*L, *c), length, chord);
  if (L && h) return done(arc_of_length_and_rise(*L, *h), length, chord_rise);
  return arcs;
}

SegmentNumbers arc_measures(const ArcNumbers& arc) {
  const double R = arc.radius_mm, quarter_sine = std::sin(0.25 * arc.angle_rad);
  return {{radius, R},
          {diameter, 2.0 * R},
          {bend_radius, R},
          {angle, arc.angle_rad},
          {turns, arc.angle_rad / (2.0 * pi)},
          {length, R * arc.angle_rad},
          {chord, 2.0 * R * std::max(0.0, std::sin(0.5 * arc.angle_rad))},
          {chord_rise, 2.0 * R * quarter_sine * quarter_sine}};
}

double taper_length_mm(const TaperNumbers& t) {
  return SegmentCurve::taper({t.start_radius_mm, t.end_radius_mm, t.turn_rad / (2.0 * pi), t.rise_mm})
      .length_mm();
}

SegmentNumbers taper_measures(const TaperNumbers& t) {
  return {{start_radius, t.start_radius_mm},
          {end_radius, t.end_radius_mm},
          {turns, t.turn_rad / (2.0 * pi)},
          {angle, t.turn_rad},
          {rise, t.rise_mm},
          {pitch, t.rise_mm / (t.turn_rad / (2.0 * pi))},
          {length, taper_length_mm(t)}};
}

}  // namespace coilwright
