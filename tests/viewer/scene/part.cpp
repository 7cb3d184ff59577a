#include "sample_subjects.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/clearance/shape_distance.hpp>
#include <numbers>
#include <viewer/scene/part.hpp>

using namespace coilwright;
using namespace coilwright::view;
using Eigen::Vector3d;

namespace {

double length(const std::vector<Ring>& rings) {
  return rings.size() < 2 ? 0.0 : rings.back().lag_mm - rings.front().lag_mm;
}

}  // namespace

TEST_CASE("rings of the coil lie on the analytic helix where the pose puts it", "[oracle]") {
  for (const Hand hand : {Hand::right_screw, Hand::left_screw}) {
    const Subject subject = samples::handrail(hand);
    const GrowingPart part(subject);
    const double R = 800.0, c = 2700.0 / (2.0 * std::numbers::pi), rho = std::hypot(R, c);
    const auto rings = part.at_fed_length(subject.rolled_mm).usable;
    REQUIRE(rings.size() > 50);
    for (const Ring& ring : rings) {
      const double theta = ring.lag_mm / rho;
      Vector3d p = subject.part->X_FC() * Vector3d(R * std::sin(theta), R * (1.0 - std::cos(theta)), c * theta);
      if (hand == Hand::left_screw) p.x() = -p.x();
      REQUIRE((ring.centre - p).norm() < 1e-6);
      REQUIRE(ring.tangent.norm() == Approx(1.0).epsilon(1e-12));
    }
    // Neighbours are at most five degrees apart.
    for (std::size_t i = 0; i + 1 < rings.size(); ++i)
      REQUIRE((rings[i + 1].lag_mm - rings[i].lag_mm) / rho < 5.0001 * std::numbers::pi / 180.0);
  }
}

TEST_CASE("a left hand is the mirror image in x of the right hand", "[property]") {
  const Subject right = samples::handrail(), left = samples::handrail(Hand::left_screw);
  const auto a = GrowingPart(right).at_fed_length(4000.0), b = GrowingPart(left).at_fed_length(4000.0);
  REQUIRE(a.start_up.size() == b.start_up.size());
  for (std::size_t i = 0; i < a.start_up.size(); ++i) {
    CHECK(a.start_up[i].centre.x() == -b.start_up[i].centre.x());
    CHECK(a.start_up[i].centre.y() == b.start_up[i].centre.y());
    CHECK(a.start_up[i].clearance_mm == b.start_up[i].clearance_mm);
  }
}

TEST_CASE("at every fed length the stretches add up to the blank", "[property]") {
  const Subject subject = samples::handrail();
  const GrowingPart part(subject);
  for (double fed = 0.0; fed <= subject.rolled_mm; fed += subject.rolled_mm / 23.0) {
    const PartRings r = part.at_fed_length(fed);
    const double stock = r.stock.empty() ? 0.0 : (r.stock.back().centre - r.stock.front().centre).norm();
    const double front = r.front_end.empty() ? 0.0 : (r.front_end.back().centre - r.front_end.front().centre).norm();
    INFO("fed " << fed);
    CHECK(stock + length(r.spans) + length(r.usable) + length(r.start_up) + front == Approx(subject.cut_mm).epsilon(1e-9));
    // What is formed and passed the exit contact is never more than was fed.
    for (const auto* stretch : {&r.usable, &r.start_up})
      for (const Ring& ring : *stretch) CHECK(ring.lag_mm <= std::max(fed, subject.part->span_out_mm()) + 1e-9);
    // The leading stretch is the one to cut off, as long as it is.
    if (fed > subject.start_up_mm + subject.part->span_out_mm())
      CHECK(length(r.start_up) == Approx(subject.start_up_mm).epsilon(1e-9));
  }
}

TEST_CASE("a fed length beyond the ends is the end", "[property]") {
  const Subject subject = samples::tight_coil();
  const GrowingPart part(subject);
  CHECK(part.at_fed_length(1e9).usable.size() == part.at_fed_length(subject.rolled_mm).usable.size());
  CHECK(part.at_fed_length(-1e9).usable.empty());
}

TEST_CASE("the front end is straight, tangent to the leading end", "[property]") {
  const Subject subject = samples::handrail();
  const GrowingPart part(subject);
  const PartRings r = part.at_fed_length(3000.0);
  REQUIRE(r.front_end.size() > 2);
  CHECK((r.front_end.front().centre - r.start_up.back().centre).norm() < 1e-9);
  for (const Ring& ring : r.front_end) CHECK((ring.tangent - r.start_up.back().tangent).norm() < 1e-12);
  CHECK((r.front_end.back().centre - r.front_end.front().centre).norm() == Approx(subject.front_mm));
}

TEST_CASE("clearance of a ring is the least distance to the bodies, by brute force", "[oracle]") {
  const Subject subject = samples::colliding_handrail();
  const GrowingPart part(subject);
  int touching = 0;
  const auto rings = part.at_fed_length(subject.rolled_mm).usable;
  for (const Ring& ring : rings) {
    // Against a post: the distance of an upright axis in plan, below its top.
    const auto& post = std::get<Cylinder>(subject.machine.back().bodies.front());
    REQUIRE(subject.machine.back().name == "gallery column");
    if (ring.centre.z() > post.to.z()) continue;
    const double gap = (ring.centre - post.from).head<2>().norm() - post.radius_mm - subject.tube_radius_mm;
    CHECK(ring.clearance_mm <= gap + 1e-9);
    if (gap <= 0.0) {
      ++touching;
      CHECK(ring.clearance_mm <= 0.0);
    }
  }
  CHECK(touching > 0);
  CHECK(GrowingPart::colliding(part.at_fed_length(subject.rolled_mm)) == touching);
}

TEST_CASE("nothing touches in the clear sample, and only the front end in the one made for it", "[property]") {
  const Subject clear = samples::handrail();
  CHECK(GrowingPart::colliding(GrowingPart(clear).at_fed_length(clear.rolled_mm)) == 0);

  const Subject swinging = samples::front_end_only();
  const GrowingPart part(swinging);
  REQUIRE(swinging.nearest);
  CHECK(swinging.nearest->piece == Piece::front_end);
  PartRings r = part.at_fed_length(swinging.nearest->fed_length_mm);
  CHECK(GrowingPart::colliding(r) > 0);
  r.front_end.clear();
  CHECK(GrowingPart::colliding(r) == 0);
}

TEST_CASE("turns know each other: the gap of a close coil is pitch cos(slope) less the diameter", "[oracle]") {
  const Subject subject = samples::tight_coil();
  const auto rings = GrowingPart(subject).at_fed_length(subject.rolled_mm).usable;
  const double slope = std::atan2(30.0, 2.0 * std::numbers::pi * 90.0);
  // In the middle of the coil, away from the machine. Turns of a coil this flat are as far apart as parallel
  // straights, to second order in the slope.
  for (std::size_t i = rings.size() / 2; i < rings.size() / 2 + 40; ++i)
    CHECK(rings[i].clearance_mm == Approx(30.0 * std::cos(slope) - 12.0).margin(0.05));
}
