#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/machine/example_machine.hpp>
#include <coilwright/rolling/incoming.hpp>
#include <coilwright/rolling/passes.hpp>
#include <numbers>

using namespace coilwright;

namespace {

struct Second {
  PosedPart part;
  Helix before;
};

// The second of two passes of a rail.
Second second_pass(double pitch_mm) {
  const Stock stock{Section::round_tube(Length::mm(42.4), Length::mm(2.6)).value(), find_material("S235").value(), "", "", {}};
  const RollingSetup setup = RollingSetup::of(stock, example_machine(), Angle());
  const auto outcome = roll_in_passes(setup, Helix(Length::mm(700), Length::mm(pitch_mm), Hand::right_screw), 2);
  const auto& passes = std::get<std::vector<RolledPass>>(outcome);
  const RolledPass& last = passes.back();
  return {place_part(last.helix, setup.law, setup.rolls, last.before, last.rolling, last.lift ? &last.lift->model->arc() : nullptr,
                     last.lift ? &last.lift->state : nullptr),
          passes.front().helix};
}

}  // namespace

TEST_CASE("bent stock goes on from the entry contact without a kink, against the feed", "[incoming][property]") {
  for (const double pitch : {0.0, 600.0}) {
    const Second second = second_pass(pitch);
    const PosedPart in = incoming_bent(second.part, second.before);
    const double entry = in.span_out_mm();
    CHECK(entry == second.part.span_in_mm());
    const CurvePoint spans = in.at(Stage::spans, entry), coil = in.at(Stage::coil, entry);
    CHECK((spans.p - coil.p).norm() < 1e-9);
    CHECK((spans.d1.normalized() - coil.d1).norm() < 1e-9);
    CHECK((coil.p - second.part.at(Stage::spans, -entry).p).norm() < 1e-9);
    CHECK(coil.d1.x() < 0.0);
    CHECK(coil.d2.norm() == Approx(second.before.curvature().per_mm()));
    CHECK(coil.d2.y() > 0.0);                                  // round the same side as the centre roll
    CHECK(std::abs(coil.d2.z()) < 1e-12);                      // upright
    // The loaded spans are the same line.
    for (const double lag : {-150.0, -40.0, 0.0, 70.0, 180.0})
      CHECK((in.at(Stage::spans, -lag).p - second.part.at(Stage::spans, lag).p).norm() < 1e-9);
  }
}

TEST_CASE("a right-hand screw that climbs ahead of the rolls hangs down behind them", "[incoming][oracle]") {
  // After half a turn a coil that leaves level has moved along its leaning axis by half a pitch, and across it by the
  // diameter: z = -(half the pitch) cos(slope) - (what the lean of the diameter along the tangent gives, nothing).
  const Second second = second_pass(600.0);
  const PosedPart in = incoming_bent(second.part, second.before);
  const double half = std::numbers::pi * second.before.arc_per_radian_mm();
  const CurvePoint end = in.at(Stage::coil, in.span_out_mm() + half), start = in.at(Stage::coil, in.span_out_mm());
  CHECK(end.p.z() - start.p.z() ==
        Approx(-0.5 * second.before.pitch().mm() * std::cos(second.before.slope().rad())).epsilon(1e-9));
  // Its screw is right-handed whichever way it is walked: torsion by the triple product of derivatives.
  const double h = 0.5, s = in.span_out_mm() + 300.0;
  const Eigen::Vector3d third = (in.at(Stage::coil, s + h).d2 - in.at(Stage::coil, s - h).d2) / (2.0 * h);
  const CurvePoint at = in.at(Stage::coil, s);
  CHECK(at.d1.cross(at.d2).dot(third) > 0.0);
}

TEST_CASE("a ring on its way in stays level", "[incoming][property]") {
  const Second second = second_pass(0.0);
  const PosedPart in = incoming_bent(second.part, second.before);
  for (double s = in.span_out_mm(); s < 6000.0; s += 500.0) CHECK(std::abs(in.at(Stage::coil, s).p.z()) < 1e-9);
}
