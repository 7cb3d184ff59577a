// How a section that is not round lies along a part, drawn and coloured as clearance has it: fixed to the part as it lay when
// it was formed.
#include "plan/jobs.hpp"

#include <algorithm>
#include <cmath>
#include <coilwright/clearance/shape_distance.hpp>
#include <viewer/scene/part.hpp>

using namespace coilwright;
using namespace coilwright::view;
using Eigen::Vector3d;

namespace {

Job job_of(const Section::Kind& kind, std::vector<SegmentSpec> segments) {
  Job job = job_on_example_machine({Section::from(kind).value(), find_material("S235").value(), "bar", "", {Length::metres(12)}});
  job.machine.rolls.groove.reset();
  job.passes = 1;
  job.segments = std::move(segments);
  return job;
}

const Section::Kind hard_way = RectangularTube{Length::mm(60), Length::mm(40), Length::mm(3)};

SegmentSpec straight(double length_mm) { return SegmentSpec{}.with(SegmentMeasure::length, Length::mm(length_mm)); }

SegmentSpec arc(double radius_mm, double angle_deg, Bends bends) {
  SegmentSpec spec{.kind = SegmentKind::arc, .given = {}, .bends = bends, .hand = {}, .closing = {}};
  return spec.with(SegmentMeasure::radius, Length::mm(radius_mm)).with(SegmentMeasure::angle, Angle::deg(angle_deg));
}

SegmentSpec helix(double turns, Hand hand) {
  SegmentSpec spec{.kind = SegmentKind::helix, .given = {}, .hand = hand, .closing = {}};
  return spec.with(SegmentMeasure::radius, Length::mm(800.0)).with(SegmentMeasure::pitch, Length::mm(1800.0)).with_turns(turns);
}

// To the inside, up, and over again to the other side.
std::vector<SegmentSpec> to_all_sides() {
  return {arc(800.0, 60.0, Bends::in), straight(500.0), arc(900.0, 70.0, Bends::up), straight(500.0), arc(850.0, 50.0, Bends::out)};
}

// As far as two rings say of a section differently, when the bar only bends from one to the other.
double twisted_rad(const Ring& a, const Ring& b) {
  const Eigen::Quaterniond bent = Eigen::Quaterniond::FromTwoVectors(a.tangent, b.tangent);
  return std::max((bent * a.section->inward - b.section->inward).norm(), (bent * a.section->shafts - b.section->shafts).norm());
}

double most_twisted_rad(const std::vector<Ring>& rings) {
  double most = 0.0;
  for (std::size_t i = 1; i < rings.size(); ++i) most = std::max(most, twisted_rad(rings[i - 1], rings[i]));
  return most;
}

void check_square(const std::vector<Ring>& rings) {
  for (const Ring& ring : rings) {
    REQUIRE(ring.section);
    CHECK(ring.section->inward.norm() == Approx(1.0));
    CHECK(ring.section->shafts.norm() == Approx(1.0));
    CHECK(std::abs(ring.section->inward.dot(ring.section->shafts)) < 1e-9);
    // Between the rolls place and direction are interpolated apart: a micrometre a metre.
    CHECK(std::abs(ring.section->inward.dot(ring.tangent)) < 1e-6);
    CHECK(std::abs(ring.section->shafts.dot(ring.tangent)) < 1e-6);
  }
}

// Of the outline at a ring, in points 0.2 mm apart, the least distance to the bodies that it does not touch by design.
double least_of_outline(const Subject& subject, const Ring& ring) {
  double least = INFINITY;
  for (const MachinePart& solid : subject.machine) {
    if (solid.touches_lag_mm) continue;
    for (const Shape& shape : solid.bodies) {
      const ConvexBody body(shape);
      const auto& loop = subject.section.front();
      for (std::size_t k = 0; k < loop.size(); ++k) {
        const Eigen::Vector2d a(loop[k][0], loop[k][1]), b(loop[(k + 1) % loop.size()][0], loop[(k + 1) % loop.size()][1]);
        const int count = std::max(1, static_cast<int>((b - a).norm() / 0.2));
        for (int i = 0; i < count; ++i) {
          const Eigen::Vector2d at = a + (b - a) * i / count;
          Vector3d p = ring.centre + at.x() * ring.section->shafts + at.y() * ring.section->inward;
          if (subject.mirrored) p.x() = -p.x();
          least = std::min(least, body.distance(p).distance_mm);
        }
      }
    }
  }
  return least;
}

}  // namespace

TEST_CASE("a bar bent to all sides is not twisted: its section goes on over every joint", "[section][oracle]") {
  // Circular arcs and straights have no torsion, so the bar only bends; and it bends by the angle between two tangents.
  const Plan plan = planned(job_of(hard_way, to_all_sides()));
  REQUIRE(plan.part->growth);
  const Subject grown = subject_of(plan);
  const GrowingPart part(grown);
  const PartRings rings = part.at_fed_length(grown.rolled_mm);
  const std::vector<Ring> formed = whole_part({{}, {}, rings.usable, rings.start_up, rings.front_end});
  REQUIRE(formed.size() > 50);
  check_square(formed);
  // Rounding; a quarter turn of the bar would be 1.4.
  CHECK(most_twisted_rad(formed) < 1e-6);

  Plan alone = plan;
  alone.part->growth.reset();
  const Subject finished = subject_of(alone);
  const std::vector<Ring> whole = GrowingPart(finished).at_fed_length(finished.rolled_mm).usable;
  REQUIRE(whole.size() > 30);
  check_square(whole);
  CHECK(most_twisted_rad(whole) < 1e-6);
}

TEST_CASE("what comes out of the rolls lies as it lay in them, to whichever side it is bent", "[section][property]") {
  const Plan plan = planned(job_of(hard_way, to_all_sides()));
  const Subject subject = subject_of(plan);
  const GrowingPart part(subject);
  bool turned = false;
  for (const PartGrowth::Step& step : plan.part->growth->steps) {
    if (step.fed.fed_to_mm - step.fed.fed_from_mm < 100.0) continue;
    const PartRings rings = part.at_fed_length(step.fed.fed_to_mm - plan.part->growth->front_end_mm);
    const std::vector<Ring> formed = whole_part({{}, {}, rings.usable, rings.start_up, rings.front_end});
    INFO("fed " << step.fed.fed_to_mm);
    REQUIRE_FALSE(formed.empty());
    check_square(rings.spans);
    check_square(rings.stock);
    CHECK(twisted_rad(rings.spans.back(), formed.front()) < 1e-6);
    // Bent upward, the bar lies on its side in the rolls: 60 mm along the shafts.
    if (std::abs(rings.spans.front().section->inward.z()) > 0.999) turned = true;
  }
  CHECK(turned);
}

TEST_CASE("one helix told as segments is drawn with its section as the one helix is", "[section][oracle]") {
  for (const Hand hand : {Hand::right_screw, Hand::left_screw}) {
    Job as_coil = job_of(hard_way, {});
    as_coil.coil.radius = Length::mm(800.0);
    as_coil.coil.pitch = Length::mm(1800.0);
    as_coil.coil.turns = 0.5;
    as_coil.coil.hand = hand;
    const Subject one = subject_of(planned(as_coil)), several = subject_of(planned(job_of(hard_way, {helix(0.2, hand), helix(0.3, hand)})));
    REQUIRE(several.growth);
    const GrowingPart of_one(one), of_several(several);
    // Where the outboard roll holds it, on its way to the end.
    const std::vector<Ring> a = of_one.at_fed_length(one.rolled_mm).usable, b = of_several.at_fed_length(several.rolled_mm).usable;
    int compared = 0;
    for (const Ring& ring : b) {
      if (ring.lag_mm < one.part->outboard_lag_mm()) continue;
      const auto near = std::min_element(a.begin(), a.end(), [&](const Ring& x, const Ring& y) {
        return std::abs(x.lag_mm - ring.lag_mm) < std::abs(y.lag_mm - ring.lag_mm);
      });
      const Vector3d moved = ring.centre - near->centre;
      if (std::abs(near->lag_mm - ring.lag_mm) > 40.0) continue;
      ++compared;
      // Rings up to 40 mm apart turn by 0.05, the free arc springs by less than 0.01.
      CHECK(moved.norm() < 50.0);
      CHECK((near->section->inward - ring.section->inward).norm() < 0.07);
      CHECK((near->section->shafts - ring.section->shafts).norm() < 0.07);
    }
    CHECK(compared > 5);
    // Clearly not upright in the room: it leans with the slope of the helix somewhere on its way round.
    CHECK(std::any_of(b.begin(), b.end(), [](const Ring& ring) { return std::abs(ring.section->inward.z()) > 0.2; }));
  }
}

TEST_CASE("rings of several segments are coloured by the distance of their section, by brute force", "[section][oracle]") {
  const Subject subject = subject_of(planned(job_of(hard_way, {helix(0.2, Hand::left_screw), straight(700.0)})));
  REQUIRE(subject.growth);
  const GrowingPart part(subject);
  int compared = 0, nearer_than_circle = 0;
  for (const Ring& ring : part.at_fed_length(0.6 * subject.rolled_mm).start_up) {
    const double brute = least_of_outline(subject, ring);
    // The rolls that it touches count where it has come round: only where they are farther is the brute least the least.
    if (ring.clearance_mm < brute - 0.5) continue;
    ++compared;
    // 0.2 mm between the points, the rise of their chords in the rounded corners, and what a colour may be wrong by.
    CHECK(ring.clearance_mm == Approx(brute).margin(0.5));
    double circle = INFINITY;
    for (const MachinePart& solid : subject.machine)
      for (const Shape& shape : solid.bodies)
        if (!solid.touches_lag_mm)
          circle = std::min(circle, ConvexBody(shape).distance(placed(subject, ring.centre)).distance_mm - subject.tube_radius_mm);
    CHECK(ring.clearance_mm >= circle - 1e-9);
    if (ring.clearance_mm > circle + 1.0) ++nearer_than_circle;
  }
  CHECK(compared > 10);
  CHECK(nearer_than_circle > 0);
}

TEST_CASE("a finished part by itself has the hand of the part in the machine", "[section][property]") {
  for (const Hand hand : {Hand::right_screw, Hand::left_screw}) {
    Plan plan = planned(job_of(hard_way, {helix(0.2, hand), straight(700.0)}));
    const Subject grown = subject_of(plan);
    plan.part->growth.reset();
    const Subject alone = subject_of(plan);
    const Ring in_machine = GrowingPart(grown).at_fed_length(grown.rolled_mm).usable.front();
    const Ring finished = GrowingPart(alone).at_fed_length(alone.rolled_mm).usable.front();
    // Seen toward the leading end; a part by itself is followed from there.
    const auto screw = [](const Ring& ring, double way) { return ring.section->inward.cross(ring.section->shafts).dot(way * ring.tangent); };
    CHECK(screw(in_machine, 1.0) == Approx(screw(finished, -1.0)));
  }
}

TEST_CASE("the machine is drawn as set at the end, and where it stood elsewhere that is known", "[property]") {
  // Between two segments of different radii the centre roll moves; along one segment it stands.
  const Subject two = subject_of(planned(job_of(hard_way, {arc(800.0, 60.0, Bends::in), arc(1600.0, 60.0, Bends::in)})));
  CHECK(two.machine_elsewhere(0.2 * two.rolled_mm));
  CHECK_FALSE(two.machine_elsewhere(two.rolled_mm));
  const Subject one = subject_of(planned(job_of(hard_way, {arc(800.0, 60.0, Bends::in)})));
  REQUIRE(one.growth);
  CHECK_FALSE(one.machine_elsewhere(0.2 * one.rolled_mm));
}
