#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/machine/example_machine.hpp>
#include <coilwright/rolling/held_part.hpp>
#include <coilwright/rolling/quadrature.hpp>
#include <coilwright/rolling/raised_lead_arc.hpp>
#include <memory>
#include <vector>

using namespace coilwright;
using Eigen::Vector3d;
using By = RaisedLeadArc::Way;

namespace {

constexpr int pieces = 32;
constexpr double straight_mm = 235.0;
const std::vector<By> ways{By::twists, By::springs, By::turns, By::tilts, By::turns_and_tilts};

RollingSetup setup() {
  Stock stock{Section::round_tube(Length::mm(42.4), Length::mm(2.6)).value(), find_material("S235").value(), "", "", {}};
  return RollingSetup::of(stock, example_machine(), Angle());
}

struct Rail {
  RollingSetup setup;
  RolledPass pass;  // as it runs
  PosedPart lying, lifted;
  RaisedLeadArc arc;
};

Rail rail(double plan_radius_mm, double pitch_mm, int divided = pieces) {
  const RollingSetup made = setup();
  const Helix helix(Length::mm(plan_radius_mm), Length::mm(pitch_mm), Hand::right_screw);
  const auto posed = [&](const Helix& other) {
    const auto passes = std::get<std::vector<RolledPass>>(roll_in_passes(made, other, 1));
    const RolledPass& pass = passes.front();
    return std::pair(pass, place_part(other, made.law, made.rolls, pass.before, pass.rolling, pass.lift ? &pass.lift->model->arc() : nullptr,
                                      pass.lift ? &pass.lift->state : nullptr));
  };
  auto [pass, lifted] = posed(helix);
  auto [flat, lying] = posed(Helix(helix.bend_radius(), Length(), Hand::right_screw));
  const auto arc = RaisedLeadArc::of({lying, lifted, pass.lift->state.lift.mm(), made.law.bending_stiffness(), made.torsion_stiffness,
                                      lifted.outboard_lag_mm(), straight_mm, divided});
  REQUIRE(arc);
  return {made, pass, lying, lifted, *arc};
}

RaisedLeadArc::State state(const RaisedLeadArc& arc, By way, int formed, double height_mm) {
  const auto made = arc.at(way, formed, height_mm);
  REQUIRE(made);
  return *made;
}

}  // namespace

TEST_CASE("little springing of the flat lead arc is that of a level arc by Castigliano's theorem", "[raised_lead_arc][oracle]") {
  for (const auto& [radius, pitch] : {std::pair(800.0, 2700.0), std::pair(700.0, 300.0)}) {
    const Rail r = rail(radius, pitch);
    const double lifted_mm = 0.01, EI = r.setup.law.bending_stiffness(), GJ = r.setup.torsion_stiffness, R = 1.0 / r.arc.curvature_per_mm();
    const auto sprung = state(r.arc, By::springs, 0, lifted_mm);
    const double angle = (sprung.contact_lag_mm - r.lifted.span_out_mm()) / R;
    // Bent by F R sin u, twisted by F R (1 - cos u), u back from the load: F R^3 (f_b / EI + f_t / GJ).
    const double f_b = angle / 2.0 - std::sin(2.0 * angle) / 4.0;
    const double f_t = 1.5 * angle - 2.0 * std::sin(angle) + std::sin(2.0 * angle) / 4.0;
    const double softness = R * R * R * (f_b / EI + f_t / GJ);
    const double nodes = static_cast<double>(sprung.nodes.size() - 1);
    // The trapezoidal rule over so many joints is off by no more than twice what it is for a straight cantilever.
    CHECK(sprung.outboard_force_N * softness == Approx(lifted_mm).epsilon(2.0 * 0.5 / (nodes * nodes)));
    // All along, with the moments integrated by Gauss's rule: the height at a place, and how the bar is turned there.
    for (std::size_t i = 4; i + 2 < sprung.nodes.size(); i += 5) {
      const double lag = sprung.nodes[i].lag_mm, length = lag - r.lifted.span_out_mm();
      Vector3d rise = Vector3d::Zero();
      const CurvePoint here = r.lying.at(Stage::coil, lag), load = r.lying.at(Stage::coil, sprung.contact_lag_mm);
      for (const auto& [x, weight] : gauss_20()) {
        const CurvePoint at = r.lying.at(Stage::coil, r.lifted.span_out_mm() + x * length);
        const Vector3d moment = sprung.outboard_force_N * (load.p - at.p).cross(Vector3d::UnitZ());
        const Vector3d turn = moment / EI + at.d1 * at.d1.dot(moment) * (1.0 / GJ - 1.0 / EI);
        rise += turn.cross(here.p - at.p) * (weight * length);
      }
      INFO("at a lag of " << lag);
      CHECK(sprung.nodes[i].X.translation().z() == Approx(rise.z()).margin(2e-3 * lifted_mm));
    }
  }
}

TEST_CASE("finer pieces spring alike, the closer the finer", "[raised_lead_arc][oracle]") {
  const Rail coarse = rail(800.0, 2700.0), fine = rail(800.0, 2700.0, 4 * pieces);
  const double at_coarse = state(coarse.arc, By::springs, 0, 1.0).outboard_force_N;
  const double at_fine = state(fine.arc, By::springs, 0, 1.0).outboard_force_N;
  CHECK(at_coarse == Approx(at_fine).epsilon(2e-3));
  CHECK(coarse.arc.steady_force_N() == Approx(fine.arc.steady_force_N()).epsilon(2e-3));
}

TEST_CASE("the roll carries what the lift has it carry, and the bar ends in the steady pose whichever way it came",
          "[raised_lead_arc][oracle]") {
  for (const auto& [radius, pitch] : {std::pair(800.0, 2700.0), std::pair(900.0, 700.0), std::pair(1200.0, 2400.0)}) {
    const Rail r = rail(radius, pitch);
    // Linear displacements there, turned pieces here: second order in a springing of less than a tenth.
    CHECK(r.arc.steady_force_N() == Approx(r.pass.lift->state.outboard_force.newtons()).epsilon(0.01));
    for (const By way : ways) {
      const auto end = state(r.arc, way, pieces, r.arc.lift_mm());
      double off = 0.0;
      for (const auto& node : end.nodes)
        if (node.lag_mm < r.lifted.outboard_lag_mm()) off = std::max(off, (node.X.translation() - r.lifted.at(Stage::arc, node.lag_mm).p).norm());
      CHECK(off < 0.1);
      CHECK(end.contact_lag_mm == Approx(r.lifted.outboard_lag_mm()).margin(0.1));
      CHECK(end.outboard_force_N == Approx(r.arc.steady_force_N()).epsilon(1e-6));
      CHECK(end.torsion_per_mm == Approx(r.arc.torsion_per_mm()).epsilon(1e-6));
    }
  }
}

TEST_CASE("before it is raised the lead arc lies flat, bent as it was", "[raised_lead_arc][oracle]") {
  const Rail r = rail(800.0, 2700.0);
  for (const By way : ways) {
    const auto flat = state(r.arc, way, 0, 0.0);
    for (const auto& node : flat.nodes) {
      CHECK(std::abs(node.X.translation().z()) < 1e-6);
      CHECK((node.X.translation() - r.lying.at(Stage::coil, node.lag_mm).p).norm() < 1e-6);
      CHECK((node.X.linear().col(0) + r.lying.at(Stage::coil, node.lag_mm).d1).norm() < 1e-9);
    }
    CHECK(flat.nodes.front().lag_mm == r.lifted.span_out_mm());
    CHECK(flat.nodes.back().lag_mm == Approx(r.lifted.outboard_lag_mm()));
  }
}

TEST_CASE("every way meets the height at the outboard roll, and keeps the bar's length and its way out of the exit roll",
          "[raised_lead_arc][property]") {
  const Rail r = rail(800.0, 2700.0);
  const CurvePoint roll = r.lifted.at(Stage::coil, r.lifted.outboard_lag_mm());
  const Vector3d along = Vector3d(roll.d1.x(), roll.d1.y(), 0.0).normalized();
  for (const By way : ways)
    for (const int formed : {0, 1, 7, 20, 31})
      for (const double share : {0.1, 0.6, 1.0}) {
        const auto held = state(r.arc, way, formed, share * r.arc.lift_mm());
        CHECK(held.height_mm == Approx(share * r.arc.lift_mm()).margin(1e-6));
        // By the nodes alone: between two of them, the chord's height where it crosses the roll, less than its bulge off.
        double crossed = NAN;
        for (std::size_t i = 0; i + 1 < held.nodes.size(); ++i) {
          const Vector3d a = held.nodes[i].X.translation(), b = held.nodes[i + 1].X.translation();
          const double before = along.dot(a - roll.p), behind = along.dot(b - roll.p);
          if (before < 0.0 && behind >= 0.0) crossed = a.z() + (b.z() - a.z()) * before / (before - behind);
          const double length = held.nodes[i + 1].lag_mm - held.nodes[i].lag_mm, turn = r.arc.curvature_per_mm() * length;
          const double twist = std::pow(r.arc.torsion_per_mm() * length, 2);
          CHECK((b - a).norm() <= length);
          CHECK((b - a).norm() >= length * (1.0 - turn * turn / 24.0 - twist));
        }
        const bool on_the_straight = held.contact_lag_mm > held.nodes.back().lag_mm;
        if (!on_the_straight) CHECK(crossed == Approx(held.height_mm).margin(0.3));
        // It leaves through the exit contact, as much higher as it leans of what the steady part does.
        const Vector3d exit = r.lying.at(Stage::spans, r.lying.span_out_mm()).p;
        const Vector3d steady = r.lifted.at(Stage::arc, r.lifted.span_out_mm()).p;
        const double leans = way == By::twists ? held.amount : static_cast<double>(formed) / pieces;
        CHECK((held.nodes.front().X.translation() - exit - leans * (steady - exit)).norm() < 1e-6);
      }
}

TEST_CASE("raised in step with feeding, the bar takes on twist steadily and the roll carries no more than in the end",
          "[raised_lead_arc][property]") {
  const Rail r = rail(800.0, 2700.0);
  double before = 0.0;
  for (int k = 0; k <= pieces; ++k) {
    const auto raised = state(r.arc, By::twists, k, r.arc.lift_mm() * k / pieces);
    CHECK(raised.amount >= before);
    CHECK(raised.amount <= 1.0 + 1e-6);
    CHECK(raised.outboard_force_N <= r.arc.steady_force_N() * (1.0 + 1e-6));
    before = raised.amount;
  }
  CHECK(before == Approx(1.0));
}

TEST_CASE("raised at a standstill a lead arc held at the exit roll would have to spring far beyond yield", "[raised_lead_arc][property]") {
  const Rail r = rail(800.0, 2700.0);
  const auto at_once = state(r.arc, By::springs, 0, r.arc.lift_mm());
  const Vector3d arm = r.lying.at(Stage::coil, at_once.contact_lag_mm).p - r.lying.at(Stage::coil, r.lying.span_out_mm()).p;
  CHECK(at_once.outboard_force_N * arm.norm() > 3.0 * r.setup.law.first_yield_moment());
}

TEST_CASE("a lead arc that does not come as far as the outboard roll is not raised", "[raised_lead_arc][input]") {
  const Rail r = rail(800.0, 2700.0);
  CHECK_FALSE(RaisedLeadArc::of({r.lying, r.lifted, r.arc.lift_mm(), r.setup.law.bending_stiffness(), r.setup.torsion_stiffness,
                                 0.6 * r.lifted.outboard_lag_mm(), 100.0, pieces}));
}
