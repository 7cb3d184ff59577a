#include <coilwright/clearance/bent_blank.hpp>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/clearance/bent_stock.hpp>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/incoming.hpp>
#include <memory>

#include "bench.hpp"

using namespace coilwright;
using namespace coilwright::bench;
using Eigen::Isometry3d;
using Eigen::Vector3d;

namespace {

constexpr double tolerance = 0.01, across_tolerance = 0.25, radius = 21.2, front_mm = 140.0, back_mm = 160.0;

Isometry3d frame_of(const CurveFrame& f) {
  Isometry3d X = Isometry3d::Identity();
  X.linear() << f.tangent, f.normal, f.binormal;
  X.translation() = f.point;
  return X;
}

// The frame at the bend point or the entry contact of a bar that lies level along x: tangent toward the stock.
Isometry3d level(double x, double y, double turned_in_plan) {
  Isometry3d X = Isometry3d::Identity();
  X.translate(Vector3d(x, y, 0.0));
  X.rotate(Eigen::AngleAxisd(turned_in_plan, Vector3d::UnitZ()));
  X.rotate(Eigen::AngleAxisd(std::numbers::pi, Vector3d::UnitY()));
  return X;
}

Isometry3d share_of_way(const Isometry3d& a, const Isometry3d& b, double share) {
  return a * twist_between(a, b, 1.0).after(share);
}

// A blank of several segments in one pass, and what the pass before has left of it.
struct Bar {
  Centreline now, before;
  FedPart blank;
  GrowingScene scene;
};

FedPart fed(const Centreline& line) {
  return FedPart(fed_segments(line, std::vector<Isometry3d>(line.size(), Isometry3d::Identity())));
}

// Steps segment by segment from the front end on, `pieces` to each; the entry contact goes from place to place meanwhile.
std::unique_ptr<Bar> bar(const Centreline& now, const Centreline& before, const std::vector<EntryContact>& entries, int pieces) {
  auto made = std::make_unique<Bar>(Bar{now, before, fed(now), {}});
  GrowingScene& scene = made->scene;
  scene.blank = &made->blank;
  scene.pieces.assign(now.size(), Piece::coil);
  scene.pieces.front() = Piece::front_end;
  std::size_t entry = 0;
  for (std::size_t i = 1; i < now.size(); ++i)
    for (int k = 0; k < pieces; ++k) {
      GrowingStep step;
      const double from = made->blank.starts_mm()[i], length = made->blank.starts_mm()[i + 1] - from;
      step.fed = {i, from + length * k / pieces, from + length * (k + 1) / pieces, level(0.0, 30.0, 0.0), level(0.0, 30.0, 0.0)};
      step.entry_from = entries[entry];
      entry = std::min(entry + 1, entries.size() - 1);
      step.entry_to = entries[entry];
      step.straight_y_mm = 30.0;
      step.span_in_mm = step.entry_to.span_in_mm;
      step.span_out_mm = 90.0;
      scene.steps.push_back(step);
    }
  scene.tube_radius_mm = radius;
  scene.front_end_mm = front_mm;
  scene.greatest_curvature_per_mm = now.greatest_curvature();
  return made;
}

// Where a place of the stock stands, from nothing but the frames of the bar.
Vector3d stands_at(const Bar& bar, std::size_t k, double share, double fed_mm, double along_mm) {
  const GrowingStep& step = bar.scene.steps[k];
  const double entry = fed_mm + std::lerp(step.entry_from.span_in_mm, step.entry_to.span_in_mm, share);
  Isometry3d X = share_of_way(step.entry_from.X_FE, step.entry_to.X_FE, share);
  const auto& segments = bar.before.segments();
  for (std::size_t i = step.fed.segment + 1; i < segments.size() && segments[i].from_mm < entry; ++i)
    X.rotate(Eigen::AngleAxisd(segments[i].bend_turned_rad, Vector3d::UnitX()));
  return X * (frame_of(bar.before.frame(entry)).inverse() * bar.before.frame(along_mm).point);
}

// Arcs, a helix, a cone, and a bend to the other side.
std::unique_ptr<Bar> mixed_bar() {
  Centreline now, before;
  const auto both = [&](const SegmentCurve& a, const SegmentCurve& b, double turned) {
    now.append(a, turned);
    before.append(b, turned);
  };
  both(SegmentCurve::straight(Length::mm(front_mm)), SegmentCurve::straight(Length::mm(front_mm)), 0.0);
  both(SegmentCurve::screw({500.0, 1.0 / 600.0, 0.0}), SegmentCurve::screw({500.0, 0.5 / 600.0, 0.0}), 0.0);
  both(SegmentCurve::screw({800.0, 1.0 / 400.0, 1.0 / 2000.0}), SegmentCurve::screw({800.0, 0.5 / 400.0, 0.5 / 2000.0}), 0.0);
  const SegmentCurve cone = SegmentCurve::taper({400.0, 500.0, 0.3, 150.0});
  both(SegmentCurve::screw({cone.length_mm(), 1.0 / 450.0, 0.0}), cone, 0.0);
  both(SegmentCurve::straight(Length::mm(300)), SegmentCurve::straight(Length::mm(300)), 0.0);
  both(SegmentCurve::screw({400.0, 1.0 / 700.0, 0.0}), SegmentCurve::screw({400.0, 0.5 / 700.0, 0.0}), std::numbers::pi);
  const std::vector<EntryContact> entries{{level(-150, 26, 0.1), 152.0},  {level(-150, 26, 0.1), 152.0}, {level(-148, 22, 0.16), 155.0},
                                          {level(-148, 22, 0.16), 155.0}, {level(-149, 24, 0.12), 153.0}};
  return bar(now, before, entries, 2);
}

}  // namespace

TEST_CASE("stock told in the mirror stands where its frames have it behind the entry contact", "[bent_blank][oracle]") {
  const auto bar = mixed_bar();
  const BentBlank stock(bar->scene, bar->before, back_mm);
  const double whole = bar->before.length_mm() + back_mm;
  REQUIRE(stock.length_mm() == Approx(whole));
  CHECK(stock.blank_in_mirror().length_mm() == Approx(whole - front_mm - 152.0));
  Dice dice(7);
  std::size_t of_patches = 0;
  for (std::size_t k = 0; k < bar->scene.steps.size(); ++k) {
    CAPTURE(k);
    const GrowingStep& step = bar->scene.steps[k];
    for (const double share : {0.0, 0.3, 1.0}) {
      const double fed_mm = std::lerp(step.fed.fed_from_mm, step.fed.fed_to_mm, share);
      const double entry = fed_mm + std::lerp(step.entry_from.span_in_mm, step.entry_to.span_in_mm, share);
      CHECK(stock.entry_mm(k, share) == Approx(entry));
      if (entry > whole) continue;
      for (int i = 0; i < 8; ++i) {
        const double along = dice.between(entry, whole);
        const auto found = stock.at(k, share, along);
        REQUIRE(found);
        CHECK((*found - stands_at(*bar, k, share, fed_mm, along)).norm() < 1e-6);
      }
      CHECK_FALSE(stock.at(k, share, entry - 1.0));
    }
    // What is searched are the same places: all of the step, once.
    double covered = 0.0;
    for (const BentBlank::Side& side : stock.behind(k, 0.0, 1.0)) {
      covered += std::abs(side.share_to - side.share_from);
      const bool still = side.fed.X_FB_from.matrix() == side.fed.X_FB_to.matrix();
      if (!still && std::holds_alternative<ConeSegment>(stock.blank_in_mirror().segments()[side.fed.segment].shape)) continue;
      for (const FedPatch& patch : stock.blank_in_mirror().patches(side.fed, 0.0))
        for (int i = 0; i < 20; ++i) {
          const PatchBox& box = patch.whole();
          const double s = box.s + dice.between(-1, 1) * box.half_s, w = box.w + dice.between(-1, 1) * box.half_w;
          const double in_mirror = patch.fed_mm(s, w), along = whole - patch.along_mm(s, w);
          if (patch.feasible({s, 0.0, w, 0.0}) != FedPatch::Feasible::all || in_mirror < side.fed.fed_from_mm ||
              in_mirror > side.fed.fed_to_mm || whole - in_mirror > along)
            continue;
          const double share = std::lerp(side.share_from, side.share_to,
                                         (in_mirror - side.fed.fed_from_mm) / (side.fed.fed_to_mm - side.fed.fed_from_mm));
          Vector3d found = patch.point(s, w, Eigen::Vector2d::Zero());
          found.x() *= -1.0;
          CHECK((found - stands_at(*bar, k, share, std::lerp(step.fed.fed_from_mm, step.fed.fed_to_mm, share), along)).norm() < 1e-6);
          ++of_patches;
        }
    }
    if (stock.entry_mm(k, 1.0) < whole) CHECK(covered == Approx(1.0));
  }
  CHECK(of_patches > 200);
}

TEST_CASE("one helix told as several segments comes in as near to everything as the one", "[bent_blank][oracle]") {
  Dice dice(31);
  for (int round = 0; round < 3 * effort(); ++round) {
    CAPTURE(round);
    const double R = dice.between(300, 600), pitch = dice.between(0, 500), coil_mm = dice.between(1500, 4000), ahead_mm = 500.0;
    const Helix helix(Length::mm(R), Length::mm(pitch), Hand::right_screw), wider(Length::mm(2 * R), Length::mm(2 * pitch), Hand::right_screw);
    const auto start = helix.frame_C(Length::mm(0));
    const Isometry3d X_FC(Eigen::AngleAxisd(std::asin(start.tangent.z()), Vector3d::UnitY()));
    const auto posed = std::make_shared<const PosedPart>(rigid_part(helix, X_FC));
    const PosedPart in = incoming_bent(*posed, wider);
    std::vector<Obstacle> obstacles;
    for (int k = 0; k < 8; ++k) {
      const Vector3d centre(dice.between(-3000, 1000), dice.between(-700, 2500), dice.between(-1500, 500));
      obstacles.push_back({"solid " + std::to_string(k), {random_shape(dice, centre, k % 3)}, std::nullopt, 0.0});
    }
    ClearanceScene one;
    one.part = &in;
    one.tube_radius_mm = radius;
    one.coil_to_mm = one.rolled_mm = coil_mm + ahead_mm;
    one.front_end_mm = back_mm;
    one.obstacles = obstacles;

    Centreline now, before;
    now.append(SegmentCurve::straight(Length::mm(front_mm)));
    before = now;
    for (const double length : {ahead_mm, 0.4 * coil_mm, 0.6 * coil_mm}) {
      now.append(SegmentCurve::helix(helix, Length::mm(length)));
      before.append(SegmentCurve::helix(wider, Length::mm(length)));
    }
    const auto told = bar(now, before, {EntryContact::of(*posed)}, 1);
    Isometry3d X_CB = Isometry3d::Identity();
    X_CB.linear() << -start.tangent, start.normal, -start.binormal;
    // Ahead of the exit contact there is nothing at first; the stock is there all the same.
    told->scene.steps.front().fed.fed_from_mm += 100.0;
    for (GrowingStep& step : told->scene.steps) {
      step.fed.X_FB_from = step.fed.X_FB_to = X_FC * X_CB;
      step.bent = posed;
      step.span_in_mm = posed->span_in_mm();
      step.span_out_mm = posed->span_out_mm();
      step.obstacles = obstacles;
    }
    const BentBlank stock(told->scene, before, back_mm);
    const ClearanceResult a = certify(one, tolerance), b = certify(stock.in_mirror(), tolerance);
    const auto of = [](const ObstacleClearance& c, Piece piece) { return c.pieces[static_cast<std::size_t>(piece)]; };
    for (std::size_t i = 0; i < obstacles.size(); ++i) {
      CAPTURE(i);
      for (const Piece piece : {Piece::coil, Piece::front_end}) {
        const auto x = of(a.obstacles[i], piece), y = of(b.obstacles[i], piece);
        REQUIRE(x);
        REQUIRE(y);
        CHECK(*x == Approx(*y).margin(2 * tolerance));
      }
    }
    // A bar shorter than half a turn of curvature is not looked at as one; told as several its straight end counts.
    if (a.self_mm) {
      REQUIRE(b.self_mm);
      CHECK(*a.self_mm == Approx(*b.self_mm).margin(2 * tolerance));
    }
    CHECK(b.swept_radius_mm >= a.swept_radius_mm - tolerance);
    CHECK(b.swept_radius_mm <= 1.002 * a.swept_radius_mm + 1.0);
    // The nearest place is there at the fed length that is told.
    const ObstacleClearance& nearest = *std::min_element(b.obstacles.begin(), b.obstacles.end(), [](const auto& x, const auto& y) {
      return *x.least_mm < *y.least_mm;
    });
    const NearestPair pair = stock.told(*nearest.nearest);
    CHECK(pair.piece == Piece::stock);
    CHECK(pair.fed_length_mm >= -1e-9);
    const auto& steps = stock.out().steps;
    const double fed_mm = pair.fed_length_mm + front_mm;
    const auto step = std::find_if(steps.begin(), steps.end(), [&](const GrowingStep& s) { return fed_mm <= s.fed.fed_to_mm + 1e-6; });
    REQUIRE(step != steps.end());
    const double share = (fed_mm - step->fed.fed_from_mm) / (step->fed.fed_to_mm - step->fed.fed_from_mm);
    const auto there = stock.at(static_cast<std::size_t>(step - steps.begin()), share, pair.along_part_mm);
    REQUIRE(there);
    CHECK((*there - pair.part_point).norm() == Approx(radius).margin(1e-6));

    const double rolled = coil_mm + ahead_mm;
    const BentStockDistance x = distance_to_bent_stock({posed.get(), &in, rolled, front_mm, back_mm}, tolerance);
    const BentBlankDistance y = distance_to_bent_blank(stock, across_tolerance);
    REQUIRE(x.meeting);
    REQUIRE(y.meeting);
    CHECK(y.lower_mm <= x.lower_mm + x.error_mm);
    // Here the straight ends are compared with each other, there not.
    const bool straight = y.meeting->out_along_mm < front_mm && y.meeting->in_along_mm > before.length_mm();
    if (!straight) CHECK(x.lower_mm <= y.lower_mm + y.error_mm);
    CHECK(y.error_mm <= across_tolerance);
  }
}

// An arc and a helix, bent to the same side or to both.
std::unique_ptr<Bar> two_radii(double turned) {
  Centreline now, before;
  now.append(SegmentCurve::straight(Length::mm(front_mm)));
  before = now;
  for (const auto& [length, curvature, torsion] : {std::array{900.0, 1.0 / 380.0, 0.0}, std::array{1100.0, 1.0 / 800.0, 1.0 / 4000.0}}) {
    now.append(SegmentCurve::screw({length, curvature, torsion}), torsion > 0.0 ? turned : 0.0);
    before.append(SegmentCurve::screw({length, 0.5 * curvature, 0.5 * torsion}), torsion > 0.0 ? turned : 0.0);
  }
  return bar(now, before, {{level(-150, 26, 0.1), 152.0}, {level(-150, 26, 0.1), 152.0}, {level(-148, 22, 0.16), 155.0}}, 3);
}

// Nearly a ring, whose front end comes round to the stock while that swings toward it.
std::unique_ptr<Bar> comes_round() {
  Centreline now, before;
  now.append(SegmentCurve::straight(Length::mm(front_mm)));
  before = now;
  now.append(SegmentCurve::screw({1900.0, 1.0 / 380.0, 1.0 / 6000.0}));
  before.append(SegmentCurve::screw({1900.0, 0.5 / 380.0, 0.5 / 6000.0}));
  for (Centreline* line : {&now, &before}) line->append(SegmentCurve::straight(Length::mm(600)));
  const EntryContact low{level(-150, 26, 0.1), 152.0}, high{level(-150, 26, -0.25), 152.0};
  return bar(now, before, {low, low, low, high, low}, 3);
}

TEST_CASE("part and bent stock of several radii keep the distance that looking at many places finds", "[bent_blank][oracle]") {
  Dice dice(53);
  // Along the cone of the third the pose between the ends of a step goes by azimuth there, by length here.
  constexpr double cone_slack = 0.5;
  struct Kind {
    std::unique_ptr<Bar> bar;
    double slack;
  };
  std::array kinds{Kind{two_radii(0.0), 0.0}, Kind{two_radii(std::numbers::pi), 0.0}, Kind{mixed_bar(), cone_slack}, Kind{comes_round(), 0.0}};
  for (const auto& [made, slack] : kinds) {
    const Centreline &now = made->now, &before = made->before;
    std::vector<Obstacle> obstacles;
    for (int k = 0; k < 6; ++k) {
      const Vector3d centre(dice.between(-2500, -300), dice.between(-700, 1500), dice.between(-300, 300));
      obstacles.push_back({"solid " + std::to_string(k), {random_shape(dice, centre, k % 3)}, std::nullopt, 0.0});
    }
    for (GrowingStep& step : made->scene.steps) step.obstacles = obstacles;
    const BentBlank stock(made->scene, before, back_mm);
    const ClearanceResult result = certify(stock.in_mirror(), tolerance);
    const BentBlankDistance across = distance_to_bent_blank(stock, across_tolerance);
    REQUIRE(across.meeting);
    CHECK(across.error_mm <= across_tolerance);

    constexpr double apart = 10.0;  // places along the bar, and fed lengths
    std::vector<ConvexBody> bodies;
    for (const Obstacle& obstacle : obstacles) bodies.emplace_back(obstacle.bodies.front());
    std::vector<double> least(bodies.size(), INFINITY);
    double least_across = INFINITY, met = INFINITY;
    const double whole = before.length_mm() + back_mm;
    for (std::size_t k = 0; k < made->scene.steps.size(); ++k) {
      const GrowingStep& step = made->scene.steps[k];
      const double length = step.fed.fed_to_mm - step.fed.fed_from_mm, looks = std::ceil(length / apart);
      for (double i = 0.0; i <= looks; ++i) {
        const double share = i / looks, fed_mm = std::lerp(step.fed.fed_from_mm, step.fed.fed_to_mm, share);
        std::vector<Vector3d> behind;
        for (double along = fed_mm + std::lerp(step.entry_from.span_in_mm, step.entry_to.span_in_mm, share); along <= whole; along += apart) behind.push_back(stands_at(*made, k, share, fed_mm, along));
        for (const Vector3d& p : behind)
          for (std::size_t b = 0; b < bodies.size(); ++b) least[b] = std::min(least[b], bodies[b].distance(p).distance_mm - radius);
        const Isometry3d X = step.fed.X_FB_from * frame_of(now.frame(fed_mm)).inverse();
        for (double along = 0.0; along <= fed_mm - step.span_out_mm; along += apart) {
          const Vector3d p = X * now.frame(along).point;
          for (const Vector3d& q : behind) least_across = std::min(least_across, (p - q).norm());
        }
      }
      const double fed_mm = across.meeting->fed_mm;
      if (fed_mm >= step.fed.fed_from_mm && fed_mm <= step.fed.fed_to_mm) {
        const double share = (fed_mm - step.fed.fed_from_mm) / length;
        const Vector3d q = stands_at(*made, k, share, fed_mm, across.meeting->in_along_mm);
        const Vector3d p = step.fed.X_FB_from * (frame_of(now.frame(fed_mm)).inverse() * now.frame(across.meeting->out_along_mm).point);
        met = std::min(met, (p - across.meeting->out_point).norm() + (q - across.meeting->in_point).norm());
      }
    }
    CHECK(met < slack + 1e-6);
    CHECK(across.lower_mm <= least_across + slack + 1e-9);
    // However coarsely it is looked for: then the stock moves far during a slice.
    for (const double coarse : {10.0, 40.0, 160.0}) {
      CAPTURE(coarse);
      const BentBlankDistance found = distance_to_bent_blank(stock, coarse);
      CHECK(found.lower_mm <= least_across + slack + 1e-9);
      CHECK(found.error_mm <= coarse);
      CHECK(across.lower_mm <= found.lower_mm + found.error_mm);
    }
    // A place lies at most half of `apart` from one that is looked at on either side, and so does the fed length, while
    // what is formed and the stock's far end move by at most three times as much as is fed.
    CHECK(least_across <= across.lower_mm + across.error_mm + 3.0 * apart);
    for (std::size_t b = 0; b < bodies.size(); ++b) {
      CAPTURE(b);
      REQUIRE(result.obstacles[b].least_mm);
      CHECK(*result.obstacles[b].least_mm <= least[b] + slack + 1e-9);
      CHECK(least[b] <= *result.obstacles[b].least_mm + tolerance + 2.5 * apart);
    }
  }
}

TEST_CASE("a bar that has all gone by leaves nothing behind", "[bent_blank][property]") {
  Centreline line;
  line.append(SegmentCurve::straight(Length::mm(front_mm)));
  line.append(SegmentCurve::screw({100.0, 1.0 / 500.0, 0.0}));
  // Its tail is at the entry contact before anything is fed.
  const auto made = bar(line, line, {{level(-150, 26, 0.0), 150.0}}, 2);
  const BentBlank stock(made->scene, line, 0.0);
  CHECK(stock.in_mirror().steps.empty());
  CHECK_FALSE(distance_to_bent_blank(stock, across_tolerance).meeting);
  Centreline shorter;
  shorter.append(SegmentCurve::straight(Length::mm(front_mm)));
  CHECK_THROWS_AS(BentBlank(made->scene, shorter, 0.0), InternalError);
}
