#include <algorithm>
#include <cmath>
#include <coilwright/coil/coil_equations.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/require.hpp>
#include <limits>
#include <numbers>

namespace coilwright {
namespace {

constexpr double full_turn = 2.0 * std::numbers::pi;

using Impossible = tl::unexpected<Contradiction>;

std::string said(double mm) {
  return length_text(Length::mm(mm), Show::both, 2);
}
std::string said_pitch(double climb_mm) {
  return said(climb_mm * full_turn);
}

Impossible impossible(CoilMeasure about, std::string text) {
  return Impossible(Contradiction{about, std::move(text)});
}

// sqrt(long^2 - short^2) without loss by cancellation.
double other_side(double long_mm, double short_mm) {
  return std::sqrt((long_mm - short_mm) * (long_mm + short_mm));
}

// Lengths that are equal up to the rounding of the few operations they come from.
bool equal_but_for_rounding(double a, double b) {
  return std::abs(a - b) <= 8.0 * std::numeric_limits<double>::epsilon() * std::max(a, b);
}

// The steps that need no plan radius: from rise, turn, length and rise per radian to one another.
std::optional<Impossible> settle_ends(CoilNumbers& k) {
  const bool flat = (k.climb_mm && *k.climb_mm == 0.0) || (k.rise_mm && *k.rise_mm == 0.0) ||
                    (k.slope_rad && *k.slope_rad == 0.0);
  if (flat) k.climb_mm = k.slope_rad = k.rise_mm = 0.0;
  if (k.turn_rad && k.rise_mm && !k.climb_mm) k.climb_mm = *k.rise_mm / *k.turn_rad;
  if (!k.turn_rad && k.rise_mm && k.climb_mm && *k.climb_mm > 0.0) k.turn_rad = *k.rise_mm / *k.climb_mm;
  if (k.turn_rad && k.length_mm) k.arc_mm = *k.length_mm / *k.turn_rad;
  if (k.rise_mm && k.length_mm && !k.slope_rad) {
    if (*k.rise_mm >= *k.length_mm)
      return impossible(CoilMeasure::length, "A length of " + said(*k.length_mm) + " cannot rise by " +
                                                 said(*k.rise_mm) + ": it must be longer than its rise.");
    k.slope_rad = std::asin(*k.rise_mm / *k.length_mm);
  }
  return std::nullopt;
}

// Plan radius and rise per radian from any two of radius, rise per radian, arc, slope and bend radius, the
// best conditioned pair first.
std::optional<Impossible> settle_shape(CoilNumbers& k) {
  const bool climbs = k.climb_mm && *k.climb_mm > 0.0;
  if (k.radius_mm && k.climb_mm) return std::nullopt;
  if (k.radius_mm && k.slope_rad) {
    k.climb_mm = *k.radius_mm * std::tan(*k.slope_rad);
  } else if (climbs && k.slope_rad) {
    k.radius_mm = *k.climb_mm / std::tan(*k.slope_rad);
  } else if (k.slope_rad && k.bend_radius_mm) {
    const double cosine = std::cos(*k.slope_rad);
    k.radius_mm = *k.bend_radius_mm * cosine * cosine;
    k.climb_mm = *k.bend_radius_mm * cosine * std::sin(*k.slope_rad);
  } else if (k.slope_rad && k.arc_mm) {
    k.radius_mm = *k.arc_mm * std::cos(*k.slope_rad);
    k.climb_mm = *k.arc_mm * std::sin(*k.slope_rad);
  } else if (k.climb_mm && k.arc_mm) {
    if (*k.climb_mm >= *k.arc_mm)
      return impossible(CoilMeasure::length, "A length of " + said(*k.length_mm) + " cannot rise by " +
                                                 said(*k.climb_mm * *k.turn_rad) +
                                                 ": it must be longer than its rise.");
    k.radius_mm = other_side(*k.arc_mm, *k.climb_mm);
  } else if (k.radius_mm && k.arc_mm) {
    const double flat_length = *k.radius_mm * *k.turn_rad;
    const bool level = equal_but_for_rounding(*k.arc_mm, *k.radius_mm) ||
                       (*k.arc_mm < *k.radius_mm && agree(CoilMeasure::length, *k.length_mm, flat_length));
    if (!level && *k.arc_mm < *k.radius_mm)
      return impossible(CoilMeasure::length, "A length of " + said(*k.length_mm) +
                                                 " is too short for this turn at this radius: even without "
                                                 "any rise it takes " +
                                                 said(flat_length) + ".");
    k.climb_mm = level ? 0.0 : other_side(*k.arc_mm, *k.radius_mm);
  } else if (k.radius_mm && k.bend_radius_mm) {
    const double more = *k.bend_radius_mm - *k.radius_mm;
    const bool level = equal_but_for_rounding(*k.bend_radius_mm, *k.radius_mm) ||
                       (more < 0.0 && agree(CoilMeasure::bend_radius, *k.bend_radius_mm, *k.radius_mm));
    if (!level && more < 0.0)
      return impossible(CoilMeasure::bend_radius,
                        "A bend radius of " + said(*k.bend_radius_mm) +
                            " is smaller than the plan radius of " + said(*k.radius_mm) +
                            " to the centreline: the bend radius of a coil is never "
                            "smaller, and the more it climbs the larger it is.");
    if (level && k.rise_mm && *k.rise_mm > 0.0)
      return impossible(CoilMeasure::rise,
                        "A coil whose bend radius is its plan radius, " + said(*k.radius_mm) +
                            ", is flat and does not rise; a rise of " + said(*k.rise_mm) + " is given.");
    k.climb_mm = level ? 0.0 : std::sqrt(*k.radius_mm * more);
  } else if (k.arc_mm && k.bend_radius_mm) {
    const double cosine = *k.arc_mm / *k.bend_radius_mm;
    const bool level =
        equal_but_for_rounding(*k.arc_mm, *k.bend_radius_mm) ||
        (cosine > 1.0 && agree(CoilMeasure::length, *k.length_mm, *k.bend_radius_mm * *k.turn_rad));
    if (!level && cosine > 1.0)
      return impossible(CoilMeasure::length, "A length of " + said(*k.length_mm) +
                                                 " is too long for this turn and bend radius: it is " +
                                                 said(*k.bend_radius_mm * *k.turn_rad) +
                                                 " at most, and that only without any rise.");
    k.radius_mm = level ? *k.bend_radius_mm : *k.arc_mm * cosine;
    k.climb_mm = level ? 0.0 : cosine * other_side(*k.bend_radius_mm, *k.arc_mm);
  } else if (k.climb_mm && k.bend_radius_mm) {
    // R^2 - bend radius R + c^2 = 0
    const double b = *k.bend_radius_mm, twice_c = 2.0 * *k.climb_mm;
    const bool steepest =
        equal_but_for_rounding(b, twice_c) ||
        (b < twice_c && agree(CoilMeasure::pitch, *k.climb_mm * full_turn, b * std::numbers::pi));
    if (!steepest && b < twice_c)
      return impossible(CoilMeasure::pitch, "A bend radius of " + said(b) + " allows a pitch of " +
                                                said_pitch(0.5 * b) + " at most; " + said_pitch(*k.climb_mm) +
                                                " is given.");
    k.radius_mm = steepest ? 0.5 * b : 0.5 * (b + other_side(b, twice_c));
  }
  return std::nullopt;
}

// A coil to try kinds of measures on.
CoilNumbers example(bool flat) {
  CoilNumbers known;
  known.radius_mm = 900.0;
  known.climb_mm = flat ? 0.0 : 300.0;
  known.turn_rad = 8.0;
  return *solve_coil(known);
}

CoilNumbers example_of(const std::vector<CoilMeasure>& kinds, bool flat) {
  const CoilNumbers all = example(flat);
  CoilNumbers known;
  for (const CoilMeasure kind : kinds) known.learn(kind, all.value(kind).value());
  const auto solved = solve_coil(known);
  require(solved.has_value(), "measures of one coil do not contradict each other");
  return *solved;
}

}  // namespace

std::optional<double> CoilNumbers::value(CoilMeasure measure) const {
  const auto times = [](const std::optional<double>& number, double factor) {
    return number ? std::optional<double>(*number * factor) : std::nullopt;
  };
  switch (measure) {
    case CoilMeasure::radius:
      return radius_mm;
    case CoilMeasure::diameter:
      return times(radius_mm, 2.0);
    case CoilMeasure::bend_radius:
      return bend_radius_mm;
    case CoilMeasure::pitch:
      return times(climb_mm, full_turn);
    case CoilMeasure::turns:
      return times(turn_rad, 1.0 / full_turn);
    case CoilMeasure::rise:
      return rise_mm;
    case CoilMeasure::sweep:
      return turn_rad;
    case CoilMeasure::slope:
      return slope_rad;
    case CoilMeasure::length:
      return length_mm;
  }
  return std::nullopt;
}

void CoilNumbers::learn(CoilMeasure measure, double value) {
  switch (measure) {
    case CoilMeasure::radius:
      radius_mm = value;
      break;
    case CoilMeasure::diameter:
      radius_mm = 0.5 * value;
      break;
    case CoilMeasure::bend_radius:
      bend_radius_mm = value;
      break;
    case CoilMeasure::pitch:
      climb_mm = value / full_turn;
      break;
    case CoilMeasure::turns:
      turn_rad = value * full_turn;
      break;
    case CoilMeasure::rise:
      rise_mm = value;
      break;
    case CoilMeasure::sweep:
      turn_rad = value;
      break;
    case CoilMeasure::slope:
      slope_rad = value;
      break;
    case CoilMeasure::length:
      length_mm = value;
      break;
  }
}

bool agree(CoilMeasure measure, double a, double b) {
  double tolerance = 0.05;  // mm
  if (measure == CoilMeasure::turns) tolerance = 0.00005;
  if (measure == CoilMeasure::sweep || measure == CoilMeasure::slope) tolerance = Angle::deg(0.005).rad();
  return std::abs(a - b) <= std::max(tolerance, 1e-6 * std::max(std::abs(a), std::abs(b)));
}

tl::expected<CoilNumbers, Contradiction> solve_coil(CoilNumbers known) {
  if (auto contradiction = settle_ends(known)) return *contradiction;
  if (auto contradiction = settle_shape(known)) return *contradiction;
  CoilNumbers& k = known;
  if (k.radius_mm && k.climb_mm) {
    k.arc_mm = std::hypot(*k.radius_mm, *k.climb_mm);
    k.slope_rad = std::atan2(*k.climb_mm, *k.radius_mm);
    k.bend_radius_mm = *k.radius_mm + *k.climb_mm * (*k.climb_mm / *k.radius_mm);
    if (!k.turn_rad && k.length_mm) k.turn_rad = *k.length_mm / *k.arc_mm;
    if (!k.turn_rad && k.rise_mm && *k.climb_mm > 0.0) k.turn_rad = *k.rise_mm / *k.climb_mm;
  }
  if (!k.rise_mm && k.turn_rad && k.climb_mm) k.rise_mm = *k.turn_rad * *k.climb_mm;
  if (!k.length_mm && k.turn_rad && k.arc_mm) k.length_mm = *k.turn_rad * *k.arc_mm;
  if (!k.rise_mm && k.length_mm && k.slope_rad) k.rise_mm = *k.length_mm * std::sin(*k.slope_rad);
  if (!k.length_mm && k.rise_mm && k.slope_rad && *k.slope_rad > 0.0)
    k.length_mm = *k.rise_mm / std::sin(*k.slope_rad);
  return known;
}

bool determines(const std::vector<CoilMeasure>& kinds, bool flat, CoilMeasure wanted) {
  return example_of(kinds, flat).value(wanted).has_value();
}

bool determines_all(const std::vector<CoilMeasure>& kinds, bool flat) {
  return example_of(kinds, flat).complete();
}

}  // namespace coilwright
