#include <array>
#include <catch2/catch.hpp>
#include <coilwright/clearance/fed_part.hpp>
#include <coilwright/quantity/require.hpp>

#include "fed_parts.hpp"

using namespace coilwright;
using namespace coilwright::bench;
using Eigen::Vector2d;
using Eigen::Vector3d;

namespace {

constexpr double tolerance = 0.01;

SegmentShape random_segment(Dice& dice, int kind) {
  switch (kind % 4) {
    case 0: return ScrewSegment{0.0, 0.0, dice.between(50, 1500)};
    case 1: return ScrewSegment{1.0 / dice.between(150, 900), 0.0, dice.between(50, 3000)};
    case 2: return helix_segment(dice.between(150, 900), dice.between(20, 1500), dice.between(50, 6000));
    default:
      return ConeSegment{dice.between(250, 500), dice.between(-15, 15), dice.between(0, 60), dice.between(0.5, 12)};
  }
}

// Another pose, a little turned and moved from one.
Eigen::Isometry3d moved(const Eigen::Isometry3d& X, Dice& dice) {
  Eigen::Isometry3d by(Eigen::AngleAxisd(dice.between(-0.6, 0.6), dice.direction()));
  by.translation() = dice.within(120);
  return X * by;
}

// Everything that one step of a part can be: fed or at a standstill, held or on the way to another pose.
std::vector<FedPatch> some_step(const FedPart& part, Dice& dice, int kind) {
  const auto i = static_cast<std::size_t>(dice.between(0, static_cast<double>(part.segments().size()) - 1e-9));
  const double start = part.starts_mm()[i], length = part.starts_mm()[i + 1] - start;
  const Eigen::Isometry3d X = part.segments()[i].X_FB, to = kind % 3 ? moved(X, dice) : X;
  if (kind % 2) return part.patches({i, start + 0.2 * length, start + 0.9 * length, X, to}, kind % 5 ? 0.0 : 60.0);
  const double at = start + dice.between(0.3, 1.0) * length;
  return part.patches({i, at, at, X, to}, kind % 5 ? 0.0 : 60.0);
}

}  // namespace

TEST_CASE("a motion between two poses begins at one and ends at the other, at a steady rate", "[clearance][property]") {
  Dice dice(92);
  for (int i = 0; i < 200; ++i) {
    Eigen::Isometry3d from(Eigen::AngleAxisd(dice.between(-3, 3), dice.direction()));
    from.translation() = dice.within(500);
    const Eigen::Isometry3d to = i % 7 ? moved(from, dice) : from;
    const double t = dice.between(0.1, 900);
    const Twist twist = twist_between(from, to, t);
    CHECK((from * twist.after(t)).isApprox(to, 1e-9));
    CHECK((twist.after(0.3 * t) * twist.after(0.7 * t)).isApprox(twist.after(t), 1e-9));
    const Vector3d p = dice.within(300), h = 1e-5 * t * (twist.velocity + twist.rate.cross(p));
    CHECK((twist.after(1e-5 * t) * p - p - h).norm() <= 1e-4 * h.norm() + 1e-12);
  }
}

TEST_CASE("a step on the way between two poses stands where both put it at its ends", "[clearance][oracle]") {
  Dice dice(93);
  for (int i = 0; i < 200; ++i) {
    const FedPart part = chained({random_segment(dice, i), random_segment(dice, i / 4)}, {0.0, dice.between(-3, 3)});
    const double end = part.length_mm(), from = 0.9 * part.starts_mm()[1] + 0.1 * end, at = 0.5 * (from + end);
    const Eigen::Isometry3d X = part.segments()[1].X_FB, to = moved(X, dice);
    // Seen from the bend point the part is the same however the machine holds it.
    const auto seen = [&](double fed, double along) { return Vector3d(X.inverse() * standing(part, fed, along)); };
    for (const bool fed : {true, false}) {
      const auto patches = part.patches({1, fed ? from : at, fed ? end : at, X, to}, 0.0);
      REQUIRE(patches.size() == 2);
      for (const FedPatch& patch : patches) {
        const PatchBox all = patch.whole();
        for (const double side : {-1.0, 1.0}) {
          const double s = all.s + side * all.half_s, w = all.w + dice.between(-1, 1) * all.half_w;
          if (patch.feasible({s, 0, w, 0}) != FedPatch::Feasible::all) continue;
          const Vector3d there = seen(patch.fed_mm(s, w), patch.along_mm(s, w));
          CHECK((patch.point(s, w, Vector2d::Zero()) - (side < 0 ? X : to) * there).norm() < 1e-5);
        }
      }
    }
  }
}

TEST_CASE("a quadratic on a box: never above any of its values, and one of them", "[clearance][property]") {
  Dice dice(81);
  for (int i = 0; i < 2000; ++i) {
    const double a = dice.between(-2, 2), b = dice.between(-2, 2), A = dice.between(-2, 2), B = dice.between(-2, 2),
                 C = dice.between(-2, 2), hx = dice.between(0, 2), hy = dice.between(0, 2);
    const double least = least_quadratic_on_box(a, b, A, B, C, hx, hy);
    double sampled = 1e300;
    for (int k = 0; k <= 60; ++k)
      for (int m = 0; m <= 60; ++m) {
        const double x = hx * (k / 30.0 - 1), y = hy * (m / 30.0 - 1);
        sampled = std::min(sampled, a * x + b * y + 0.5 * (A * x * x + 2 * B * x * y + C * y * y));
      }
    CHECK(least <= sampled + 1e-12);
    CHECK(least >= sampled - 0.05);  // half a step away the value differs by this at most
  }
}

TEST_CASE("the frame along a segment turns with its curvature and torsion", "[clearance][oracle]") {
  // Serret and Frenet: T' = k N, B' = -t N, by differences of second order.
  Dice dice(82);
  for (int i = 0; i < 200; ++i) {
    const SegmentShape shape = random_segment(dice, i);
    const double u = dice.between(0.1, 0.9) * length_mm(shape), h = 0.01;
    const auto before = frame_along(shape, u - h), here = frame_along(shape, u), after = frame_along(shape, u + h);
    const Vector3d t = (after.translation() - before.translation()) / (2 * h);
    CHECK((t - here.linear().col(0)).norm() < 1e-6);
    const Vector3d dt = (after.linear().col(0) - before.linear().col(0)) / (2 * h);
    const Vector3d db = (after.linear().col(2) - before.linear().col(2)) / (2 * h);
    CHECK(std::abs(dt.dot(here.linear().col(2))) < 1e-8);
    CHECK(dt.dot(here.linear().col(1)) > -1e-8);
    CHECK(std::abs(db.dot(here.linear().col(0))) < 1e-8);
    if (const auto* screw = std::get_if<ScrewSegment>(&shape)) {
      CHECK(dt.dot(here.linear().col(1)) == Approx(screw->curvature_per_mm).margin(1e-8));
      CHECK(db.dot(here.linear().col(1)) == Approx(-screw->torsion_per_mm).margin(1e-8));
    }
  }
}

TEST_CASE("points of a patch stand where the frames put them", "[clearance][oracle]") {
  Dice dice(83);
  for (int i = 0; i < 60; ++i) {
    const FedPart part = chained({random_segment(dice, i), random_segment(dice, i / 4), random_segment(dice, i / 2)},
                                 {0.0, dice.between(-3, 3), dice.between(-3, 3)});
    for (const FedPatch& patch : part.patches(0.0, part.length_mm(), 0.0)) {
      const PatchBox all = patch.whole();
      const PatchBox box{dice.between(all.s - all.half_s, all.s + all.half_s), 0,
                         dice.between(all.w - all.half_w, all.w + all.half_w), 0};
      if (patch.feasible(box) != FedPatch::Feasible::all) continue;
      const Vector3d p = patch.point(box.s, box.w, Vector2d::Zero());
      CHECK((p - standing(part, patch.fed_mm(box.s, box.w), patch.along_mm(box.s, box.w))).norm() < 1e-6);
      CHECK((p - patch.at(box, Vector2d::Zero()).p).norm() < 1e-8);
    }
  }
}

TEST_CASE("a centreline as a fed part", "[clearance][oracle]") {
  Centreline line;
  line.append(SegmentCurve::straight(Length::mm(200)));
  line.append(SegmentCurve::arc(Length::mm(400), Angle::deg(70)), 0.3);
  line.append(SegmentCurve::taper({350.0, 250.0, 2.5, -180.0}), -1.2);
  line.append(SegmentCurve::helix(Helix(Length::mm(600), Length::mm(900), Hand::left_screw), Length::mm(1500)), 2.0);
  const std::vector<Eigen::Isometry3d> held(line.size(), Eigen::Isometry3d::Identity());
  const FedPart part(fed_segments(line, held));
  CHECK(part.length_mm() == Approx(line.length_mm()).epsilon(1e-9));
  Dice dice(88);
  for (int i = 0; i < 300; ++i) {
    const double fed = dice.between(0, line.length_mm()), along = dice.between(0, fed);
    const CurveFrame bend = line.frame(fed);
    const Vector3d off = line.frame(along).point - bend.point;
    CHECK((standing(part, fed, along) - Vector3d(off.dot(bend.tangent), off.dot(bend.normal), off.dot(bend.binormal))).norm() <
          1e-5);
  }
}

TEST_CASE("the bounds of a patch hold at every place of a box", "[clearance][bound][attack]") {
  Dice dice(84);
  Claim rests, reaches, cuts, cylinders;
  std::array<std::size_t, 3> samples{};  // of a screw with itself, a cone with itself, unlike segments
  for (int i = 0; i < 250 * effort(); ++i) {
    const FedPart part = chained({random_segment(dice, i), random_segment(dice, i / 4), random_segment(dice, i / 2)},
                                 {0.0, dice.between(-3, 3), dice.between(-3, 3)});
    std::vector<FedPatch> patches = part.patches(0.0, part.length_mm(), i % 3 ? 0.0 : 100.0);
    const std::vector<FedPatch> moving = some_step(part, dice, i);
    patches.insert(patches.end(), moving.begin(), moving.end());
    for (const FedPatch& patch : patches) {
      const bool cones = std::holds_alternative<ConeSegment>(part.segments()[patch.bend_segment()].shape) ||
                         std::holds_alternative<ConeSegment>(part.segments()[patch.part_segment()].shape);
      const Vector2d offset = i % 4 == 0 ? Vector2d(0, 0) : Vector2d(dice.between(-40, 40), dice.between(-40, 40));
      PatchBox box = patch.whole();
      for (int halvings = static_cast<int>(dice.between(0, 14)); halvings > 0; --halvings) {
        const bool s = dice.between(0, 1) < 0.5;
        (s ? box.half_s : box.half_w) *= 0.5;
        (s ? box.s : box.w) += (dice.between(0, 1) < 0.5 ? -1 : 1) * (s ? box.half_s : box.half_w);
      }
      const auto exists = patch.feasible(box);
      if (exists == FedPatch::Feasible::none) continue;
      const PatchPoint m = patch.at(box, offset);
      const Vector3d g = dice.direction();
      const double cut = patch.least_linear(box, g.dot(m.s), g.dot(m.w));
      const double size = 1e-9 * (1.0 + m.p.norm() / 1000.0) + 1e-12 * part.length_mm();
      bool any = false;
      const bool wound = patch.wound(box);
      const Vector3d beside = dice.within(dice.between(0, 3000));
      const double away = wound ? patch.least_away(box, beside) : 0.0;
      const bool alike = patch.bend_segment() == patch.part_segment();
      for (int k = 0; k < 80; ++k) {
        const auto within = [&](double half) { return k < 8 ? (dice.between(0, 1) < 0.5 ? -half : half) : dice.between(-half, half); };
        const double a = within(box.half_s), b = within(box.half_w);
        const Vector3d x = patch.point(box.s + a, box.w + b, offset);
        const Vector3d poly = m.p + a * m.s + b * m.w + 0.5 * a * a * m.ss + a * b * m.sw + 0.5 * b * b * m.ww;
        rests.hold(m.rest_mm - (x - poly).norm() + size);
        reaches.hold(m.reach_mm - (x - m.p).norm() + size);
        if (wound) cylinders.hold((patch.point(box.s + a, box.w + b, Vector2d(0, 0)) - beside).norm() - away + size);
        if (patch.feasible({box.s + a, 0, box.w + b, 0}) == FedPatch::Feasible::all) {
          any = true;
          cuts.hold(a * g.dot(m.s) + b * g.dot(m.w) - cut + size);
        }
        ++samples[!alike ? 2 : cones ? 1 : 0];
      }
      if (any && exists == FedPatch::Feasible::some) {
        const auto [s, w] = patch.nearest_feasible(box);
        CHECK(patch.feasible({s, 0, w, 0}) == FedPatch::Feasible::all);
        CHECK(std::abs(s - box.s) <= box.half_s * (1 + 1e-12));
        CHECK(std::abs(w - box.w) <= box.half_w * (1 + 1e-12));
      }
    }
  }
  WARN("patches: " << rests.tried << " samples (screws " << samples[0] << ", cones " << samples[1] << ", unlike segments "
                   << samples[2] << "), " << rests.broken + reaches.broken + cuts.broken + cylinders.broken
                   << " violations; " << cylinders.tried << " of them against the cylinder of a wound box");
  CAPTURE(rests.least_room, reaches.least_room, cuts.least_room, cylinders.least_room);
  CHECK(rests.broken == 0);
  CHECK(reaches.broken == 0);
  CHECK(cuts.broken == 0);
  CHECK(cylinders.broken == 0);
  CHECK(cylinders.tried > 0);
}

TEST_CASE("a helix is the same part in one segment, in many, and as the stretch of a coil", "[clearance][oracle]") {
  Dice dice(85);
  const double R = 300.0, pitch = 70.0, length = 6000.0;
  const ScrewSegment whole = helix_segment(R, pitch, length);
  ScrewSegment third = whole;
  third.length_mm = length / 3;
  const FedPart one = chained({whole}), three = chained({third, third, third});
  // The stretch starts along +x with its inside toward +y and climbs to +z; the fed part, seen from the bend point
  // backwards, runs along +x, and half a turn about y keeps a helix a helix of the same hand.
  const PosedPart coil = rigid_part(Helix(Length::mm(R), Length::mm(pitch), Hand::right_screw), Eigen::Isometry3d::Identity());
  const Helix helix = coil.helix();
  const auto start = helix.frame_C(Length::mm(0));
  Eigen::Isometry3d X_CB = Eigen::Isometry3d::Identity();  // T backward, N inward
  X_CB.linear() << -start.tangent, start.normal, -start.binormal;
  for (int i = 0; i < 12; ++i) {
    const Shape shape = random_shape(dice, dice.within(700), i);
    const std::vector<ConvexBody> body{ConvexBody(shape)};
    const std::vector<std::uint32_t> index{0};
    std::vector<FedSegment> held = one.segments(), in_three = three.segments();
    for (FedSegment& s : held) s.X_FB = X_CB;
    for (FedSegment& s : in_three) s.X_FB = X_CB;
    const auto fed = CertifiedMinimum(tolerance).find(courses_of(FedPart(held), index), Scenery{body});
    const auto cut = CertifiedMinimum(tolerance).find(courses_of(FedPart(in_three), index), Scenery{body});
    const std::vector<Course> courses{{{coil, Stage::coil, 0.0, length}, 0.0, index}};
    const auto stretch = CertifiedMinimum(tolerance).find(courses, body);
    CHECK(fed.lower_mm <= stretch.upper_mm + 1e-9);
    CHECK(stretch.lower_mm <= fed.upper_mm + 1e-9);
    CHECK(cut.lower_mm <= stretch.upper_mm + 1e-9);
    CHECK(stretch.lower_mm <= cut.upper_mm + 1e-9);
    CHECK(fed.upper_mm - fed.lower_mm <= tolerance);
    CHECK(cut.upper_mm - cut.lower_mm <= tolerance);
  }
}

TEST_CASE("a growing part against random bodies agrees with sampling", "[clearance][oracle]") {
  Dice dice(86);
  for (int i = 0; i < 12 * effort(); ++i) {
    const FedPart part = chained({random_segment(dice, i), random_segment(dice, i / 2 + 2), random_segment(dice, i / 4)},
                                 {0.0, dice.between(-3, 3), dice.between(-3, 3)});
    const std::vector<ConvexBody> body{ConvexBody(random_shape(dice, dice.within(1500), i))};
    const std::vector<std::uint32_t> index{0};
    const auto found = CertifiedMinimum(tolerance).find(courses_of(part, index), Scenery{body});
    REQUIRE(found.meeting);
    CHECK(found.upper_mm - found.lower_mm <= tolerance);
    double sampled = 1e300;
    const double step = part.length_mm() / 150;
    for (double fed = 0; fed <= part.length_mm(); fed += step)
      for (double along = 0; along <= fed; along += step)
        sampled = std::min(sampled, body.front().distance(standing(part, fed, along)).distance_mm);
    CHECK(found.lower_mm <= sampled + 1e-6);
    // What was met is a place of the part.
    const Vector3d there = standing(part, found.meeting->fed_mm, found.meeting->along_mm);
    CHECK(body.front().distance(there).distance_mm == Approx(found.upper_mm).margin(1e-5));
  }
}

TEST_CASE("a part on the way between two poses against random bodies agrees with sampling", "[clearance][oracle]") {
  Dice dice(94);
  for (int i = 0; i < 24 * effort(); ++i) {
    const FedPart part = chained({random_segment(dice, i), random_segment(dice, i / 2 + 2), random_segment(dice, i / 4)},
                                 {0.0, dice.between(-3, 3), dice.between(-3, 3)});
    const std::vector<ConvexBody> body{ConvexBody(random_shape(dice, dice.within(1500), i))};
    const std::vector<std::uint32_t> index{0};
    std::vector<PatchCourse> courses;
    for (const FedPatch& patch : some_step(part, dice, i)) courses.push_back({patch, index});
    if (courses.empty()) continue;
    const auto found = CertifiedMinimum(tolerance).find(courses, Scenery{body});
    REQUIRE(found.meeting);
    CHECK(found.upper_mm - found.lower_mm <= tolerance);
    double sampled = 1e300;
    for (const PatchCourse& course : courses) {
      const PatchBox all = course.patch.whole();
      for (int k = 0; k <= 100; ++k)
        for (int m = 0; m <= 300; ++m) {
          const double s = all.s + all.half_s * (k / 50.0 - 1), w = all.w + all.half_w * (m / 150.0 - 1);
          if (course.patch.feasible({s, 0, w, 0}) == FedPatch::Feasible::all)
            sampled = std::min(sampled, body.front().distance(course.patch.point(s, w, Vector2d::Zero())).distance_mm);
        }
    }
    CHECK(found.lower_mm <= sampled + 1e-6);
    CHECK(found.upper_mm >= sampled - 60.0);  // half a step of the samples
  }
}

TEST_CASE("a rectangle is as near as the nearest of its points", "[clearance][oracle]") {
  Dice dice(87);
  for (int i = 0; i < 10 * effort(); ++i) {
    const FedPart part = chained({helix_segment(300, 70, 1500), ScrewSegment{0, 0, 400}}, {0.0, dice.between(-1, 1)});
    const std::vector<ConvexBody> body{ConvexBody(random_shape(dice, dice.within(900), i))};
    const std::vector<std::uint32_t> index{0};
    const Vector2d half(dice.between(5, 40), dice.between(5, 40));
    const auto courses = courses_of(part, index, half);
    const auto found = CertifiedMinimum(tolerance).find(courses, Scenery{body});
    CHECK(found.upper_mm - found.lower_mm <= tolerance);
    double sampled = 1e300;
    for (const PatchCourse& course : courses) {
      const PatchBox all = course.patch.whole();
      for (int k = 0; k <= 60; ++k)
        for (int m = 0; m <= 60; ++m)
          for (int x = -3; x <= 3; ++x)
            for (int y = -3; y <= 3; ++y)
              sampled = std::min(sampled, body.front()
                                              .distance(course.patch.point(all.s + all.half_s * (k / 30.0 - 1),
                                                                           all.w + all.half_w * (m / 30.0 - 1),
                                                                           half.cwiseProduct(Vector2d(x / 3.0, y / 3.0))))
                                              .distance_mm);
    }
    CHECK(found.lower_mm <= sampled + 1e-9);
    CHECK(found.upper_mm >= sampled - 60.0);  // half a step of the samples
  }
}

TEST_CASE("a scroll to itself at rest is its radial gap, a little less", "[clearance][oracle]") {
  // Four turns from 150 to 400: the distance of centrelines lies under the 62.5 of the radial gap.
  const ConeSegment scroll{150.0, 250.0 / (8 * std::numbers::pi), 0.0, 8 * std::numbers::pi};
  const FedPart part = chained({scroll}, {}, Eigen::Isometry3d::Identity());
  const std::vector<ConvexBody> point{ConvexBody::capsule(Vector3d::Zero(), Vector3d::Zero(), 0.0)};
  const std::vector<std::uint32_t> index{0};
  const auto found =
      CertifiedMinimum(tolerance).find(courses_of(part, index, Vector2d::Zero(), 500.0), Scenery{point});
  CHECK(found.upper_mm < 62.5);
  CHECK(found.lower_mm > 62.0);
  CHECK_THROWS_AS(FedPart({}), InternalError);
}
