// Sections, laws and set-ups that the tests of this room share.
#pragma once

#include <coilwright/rolling/passes.hpp>

namespace coilwright::rolling_fixture {

inline Section tube(double outside_diameter_mm, double wall_mm) {
  return Section::round_tube(Length::mm(outside_diameter_mm), Length::mm(wall_mm)).value();
}
inline Section bar(double diameter_mm) { return Section::round_bar(Length::mm(diameter_mm)).value(); }

inline MomentCurvature law(const Section& section, double yield_mpa, double hardening_mpa, double modulus_mpa = 210000) {
  return {section, Stress::mpa(modulus_mpa), Stress::mpa(yield_mpa), Stress::mpa(hardening_mpa)};
}

// Outer rolls driven alike, all rolls of one radius.
inline RollGeometry rolls(double spacing_mm, double roll_radius_mm, const Section& section) {
  return {0.5 * spacing_mm,          roll_radius_mm, roll_radius_mm, section.outer_face().mm(),
          section.inner_face().mm(), 0.5,            0.0,            0.5};
}

// The round jobs of the reference tables: E 210000, yield 300, rolls of 200 mm diameter.
struct RollingJob {
  const char* name;
  Section section;
  double spacing_mm, radius_mm;
};

inline std::vector<RollingJob> rolling_jobs() {
  return {{"tube 42.4 x 2.6", tube(42.4, 2.6), 500, 900},
          {"tube 60.3 x 3.2", tube(60.3, 3.2), 600, 600},
          {"bar 25", bar(25), 400, 250}};
}

// The coils and rails of the lift tables: nu 0.3, hardening 0.005 E.
struct LiftJob {
  char name;
  Section section;
  double plan_radius_mm, pitch_mm, half_spacing_mm, yield_mpa, modulus_mpa;

  [[nodiscard]] MomentCurvature curve() const { return law(section, yield_mpa, 0.005 * modulus_mpa, modulus_mpa); }
  [[nodiscard]] Helix helix() const {
    return {Length::mm(plan_radius_mm), Length::mm(pitch_mm), Hand::right_screw};
  }
  [[nodiscard]] double torsion_stiffness() const { return modulus_mpa / 2.6 * section.torsion_constant_mm4(); }
  [[nodiscard]] TwistDemand twist() const {
    return twist_demand(curve(), helix().curvature().per_mm(), helix().torsion().per_mm(), half_spacing_mm);
  }
  // Outboard roll at an azimuth past the exit roll.
  [[nodiscard]] LiftModel model(double past_exit_deg) const {
    const double theta1 = half_spacing_mm / helix().arc_per_radian_mm();
    return {curve(), twist(), torsion_stiffness(), helix(), half_spacing_mm, theta1 + Angle::deg(past_exit_deg).rad()};
  }
};

inline LiftJob lift_job(char name) {
  switch (name) {
    case 'A': return {'A', tube(42.4, 2.6), 900, 2400, 175, 235, 210000};
    case 'B': return {'B', tube(60.3, 3.2), 600, 120, 200, 235, 210000};
    case 'C': return {'C', bar(25), 250, 60, 100, 235, 210000};
    case 'D': return {'D', tube(48.3, 3.2), 1500, 3000, 200, 235, 210000};
    default: return {'E', tube(33.7, 2.6), 400, 400, 125, 250, 195000};
  }
}

// A handrail on a roller with an outboard roll at `reach`.
inline Stock handrail_stock() {
  Material steel;
  steel.name = "steel";
  steel.modulus = Stress::mpa(210000);
  steel.poisson = 0.3;
  steel.yield = Stress::mpa(235);
  steel.hardening = Stress::mpa(2100);
  steel.density_kg_m3 = 7850;
  return {tube(42.4, 2.6), steel, "42.4x2.6 mm", "", {}};
}

inline Machine roller(double reach_mm) {
  Machine m;
  m.name = "roller";
  m.feed = {FeedSide::from_the_right};
  m.rolls.outer_spacing = Length::mm(500);
  m.rolls.outer_radius = m.rolls.centre_radius = Length::mm(100);
  m.outboard_roll = OutboardRoll{Reach{Length::mm(reach_mm)}, Length::mm(50)};
  return m;
}

}  // namespace coilwright::rolling_fixture
