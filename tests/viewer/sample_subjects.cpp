#include "sample_subjects.hpp"

#include <coilwright/clearance/shape_distance.hpp>
#include <cmath>
#include <cstdio>
#include <limits>
#include <numbers>
#include <viewer/scene/part.hpp>

namespace coilwright::view::samples {
namespace {

using Eigen::Vector3d;

std::string plain(double v, int decimals = 0) {
  char text[40];
  std::snprintf(text, sizeof text, "%.*f", decimals, v);
  return text;
}
std::string both(double mm) { return plain(mm, 1) + " mm (" + plain(mm / 25.4, 2) + " in)"; }

MachinePart upright(const std::string& name, Role role, double x, double y, double radius, double low, double high) {
  return {name, role, {Cylinder{{x, y, low}, {x, y, high}, radius}}, std::nullopt, std::nullopt};
}

void add_machine(Subject& s, double spacing, double roll, double pass_y) {
  const double a = 0.5 * spacing, r = s.tube_radius_mm, tall = 0.07 * spacing, table = tall + 0.02 * spacing;
  const auto grooved = [&](const std::string& name, double x, double y, double lag) {
    MachinePart part{name, Role::roll, {}, std::pair(lag - 0.7 * spacing, lag + 0.7 * spacing), std::nullopt};
    const double flange = roll + r;
    part.bodies = {Cylinder{{x, y, r}, {x, y, tall}, flange}, Frustum{{x, y, 0}, {x, y, r}, roll, flange},
                   Frustum{{x, y, -r}, {x, y, 0}, flange, roll}, Cylinder{{x, y, -tall}, {x, y, -r}, flange}};
    return part;
  };
  s.machine.push_back(grooved("entry roll", -a, 0, -a));
  s.machine.push_back(grooved("centre roll", 0, 2 * pass_y - 0.08 * spacing, 0));
  s.machine.push_back(grooved("exit roll", a, 0, a));
  s.machine.push_back({"centre roll cap", Role::slide, {Cylinder{{0, 2 * pass_y - 0.08 * spacing, tall}, {0, 2 * pass_y - 0.08 * spacing, 1.5 * tall}, 0.4 * roll}}, {}, {}});
  s.machine.push_back({"frame", Role::frame, {Box{{-a - 180, -260, -820}, {a + 180, 420, -120}}}, {}, {}});
  s.machine.push_back({"table", Role::frame, {Box{{-a - 130, -200, -120}, {a + 130, 130, -table}}}, {}, {}});
  s.machine.push_back({"slide", Role::slide, {Box{{-0.2 * spacing, 0.28 * spacing, -120}, {0.2 * spacing, 1.2 * spacing, -table - 5}}}, {}, {}});
  s.machine.push_back(upright("entry shaft cap", Role::frame, -a, 0, 0.3 * roll, tall, 1.7 * tall));
  s.machine.push_back(upright("exit shaft cap", Role::frame, a, 0, 0.3 * roll, tall, 1.7 * tall));
  s.machine.push_back({"floor", Role::floor, {HalfSpace{{0, 0, -900}, {0, 0, 1}}}, {}, {}});
  s.machine.push_back({"ceiling", Role::ceiling, {HalfSpace{{0, 0, 3200}, {0, 0, -1}}}, {}, {}});
}

// Fills in nearest pair and verdict by sampling what is drawn.
void judge(Subject& s) {
  const GrowingPart part(s);
  double least = std::numeric_limits<double>::infinity();
  for (double fed = s.part->span_out_mm();; fed += s.rolled_mm / 120.0) {
    fed = std::min(fed, s.rolled_mm);
    const PartRings rings = part.at_fed_length(fed);
    for (const auto& [stretch, piece] : {std::pair(&rings.usable, Piece::coil), std::pair(&rings.start_up, Piece::lead_arc),
                                         std::pair(&rings.front_end, Piece::front_end)})
      for (const Ring& ring : *stretch) {
        Vector3d p_F = ring.centre;
        if (s.mirrored) p_F.x() = -p_F.x();
        for (MachinePart& solid : s.machine) {
          const double lag = piece == Piece::front_end ? fed : ring.lag_mm;
          if (solid.touches_lag_mm && lag < solid.touches_lag_mm->second) continue;
          for (const Shape& body : solid.bodies) {
            const auto [distance, g] = ConvexBody(body).distance(p_F);
            const double d = distance - s.tube_radius_mm;
            if (d <= 0.0 && !solid.hit_at) solid.hit_at = p_F;
            if (d >= least) continue;
            least = d;
            s.nearest = Nearest{p_F - s.tube_radius_mm * g, p_F - (d + s.tube_radius_mm) * g, d, piece, fed, "", d > 0.0 ? plain(d, 1) + " mm" : std::string()};
            s.nearest->label = d <= 0.0 ? "COLLISION with " + solid.name + " at fed length " + plain(fed) + " mm"
                                        : "least " + plain(d, 1) + " mm to " + solid.name;
            s.verdict_detail = s.nearest->label;
            if (d <= 0.0) solid.hit_at = s.nearest->place();
          }
        }
      }
    if (fed >= s.rolled_mm) break;
  }
  s.answer = least <= 0.0 ? Answer::collides : least > s.margin_mm ? Answer::clears : Answer::too_close_to_say;
  s.verdict = least <= 0.0 ? "Collides" : least > s.margin_mm ? "Clears" : "Too close to say";
  s.verdict_detail += "; margin " + plain(s.margin_mm) + " mm, standing uncertain by 11 mm";
}

}  // namespace

Subject subject_of(const Shape3& shape, Hand hand) {
  Subject s;
  s.mirrored = hand == Hand::left_screw;
  s.tube_radius_mm = 0.5 * shape.tube_mm;
  const Helix helix(Length::mm(shape.plan_radius_mm), Length::mm(shape.pitch_mm), Hand::right_screw);
  const double spacing = shape.plan_radius_mm > 300 ? 500 : 160, a = 0.5 * spacing;
  const double roll = 0.2 * spacing, y0 = roll + s.tube_radius_mm, R = shape.plan_radius_mm;
  // Spans: an arc symmetric about x = 0, touching (0, y) along +x in the middle.
  PosedPart::Spec spec{helix, {}, {}, 0.0, {}, {}, 0.0, 0.0};
  const double half = a;
  for (int i = -8; i <= 8; ++i) {
    const double lag = half * i / 8.0, turn = lag / R;
    spec.spans.push_back({lag, turn, 1.0 / R, {R * std::sin(turn), y0 + R * (1 - std::cos(turn))}});
  }
  spec.outboard_lag_mm = half;
  const double alpha = helix.slope().rad(), theta = half / helix.arc_per_radian_mm();
  // Level where it leaves the exit contact: forward lean, then turned and moved to continue the span.
  const Eigen::AngleAxisd lean(alpha, Vector3d::UnitY());
  const Vector3d leaving = lean * helix.tangent_C(theta);
  const double turn = half / R - std::atan2(leaving.y(), leaving.x());
  const Eigen::Matrix3d rotation = (Eigen::AngleAxisd(turn, Vector3d::UnitZ()) * lean).toRotationMatrix();
  Eigen::Isometry3d X = Eigen::Isometry3d::Identity();
  X.linear() = rotation;
  const Eigen::Vector2d end = spec.spans.back().p;
  X.translation() = Vector3d(end.x(), end.y(), 0.0) - rotation * helix.point_C(theta);
  spec.X_FC = spec.X_FC_unsprung = X;
  s.part.emplace(spec);

  s.front_mm = std::max(shape.front_mm, half);  // what is ahead of the bend point at the start cannot be bent
  s.start_up_mm = shape.start_up_mm;
  s.developed_mm = shape.turns * helix.arc_per_radian_mm() * 2 * std::numbers::pi;
  s.rolled_mm = s.start_up_mm + s.developed_mm;
  s.cut_mm = s.front_mm + s.rolled_mm + half + 40.0;
  add_machine(s, spacing, roll, y0);
  const double r = s.tube_radius_mm;
  if (shape.pitch_mm > 0.0 && R > 300) {
    const CurvePoint hold = s.part->at(shape.start_up_mm);
    const Vector3d along(hold.d1.x(), hold.d1.y(), 0.0), across = Vector3d(-along.y(), along.x(), 0.0).normalized();
    const Vector3d mid = hold.p - Vector3d(0, 0, r + 50.0 / std::cos(alpha));
    s.machine.push_back({"outboard roll", Role::roll, {Cylinder{mid - 45 * across, mid + 45 * across, 50}},
                         std::pair(shape.start_up_mm - 200.0, shape.start_up_mm + 200.0), {}});
    s.machine.push_back({"outboard arm", Role::arm, {Cylinder{{mid.x(), mid.y(), -900}, {mid.x(), mid.y(), mid.z() - 60}, 45},
                                                     Box{{mid.x() - 220, mid.y() - 220, -900}, {mid.x() + 220, mid.y() + 220, -850}, 0.4}}, {}, {}});
  }
  s.title = "Sample coil";
  s.stock = "round tube " + plain(2 * r, 1) + " x 2.6 mm, S235";
  s.measures = "plan radius " + both(R) + ", pitch " + both(shape.pitch_mm) + ", " + plain(shape.turns, shape.turns == std::floor(shape.turns) ? 0 : 2) + " turns";
  s.direction = std::string(hand == Hand::right_screw
                    ? "right-hand screw; climbs counter-clockwise seen from above; going up you turn left; a rail on the outside of the stair is at your right hand"
                    : "left-hand screw; climbs clockwise seen from above; going up you turn right; a rail on the outside of the stair is at your left hand");
  s.radius_label = "plan radius " + both(R);
  s.pitch_label = "pitch " + both(shape.pitch_mm);
  s.height_label = "overall height " + both(shape.turns * shape.pitch_mm + 2 * r * std::cos(alpha));
  s.start_up_label = "start-up, cut off: " + both(s.start_up_mm);
  s.front_label = "straight front end " + both(s.front_mm);
  double swept = 0.0;
  for (double lag = half; lag <= s.rolled_mm; lag += 10.0) {
    const CurvePoint at = s.part->at(lag);
    swept = std::max({swept, at.p.head<2>().norm() + r, (at.p + s.front_mm * at.d1).head<2>().norm() + r});
  }
  s.swept_radius_mm = swept;
  s.swept_label = "nobody inside this line while it turns: radius " + both(swept);
  s.keep_out = "Nobody within " + both(swept) + " of the middle of the rolls while it turns.";
  judge(s);
  return s;
}

Subject handrail(Hand hand) {
  Subject s = subject_of({800, 2700, 1.1, 42.4, 1455, 235}, hand);
  s.title = "Common spiral handrail";
  return s;
}

Subject colliding_handrail() {
  Subject s = subject_of({800, 2700, 1.1, 42.4, 1455, 235}, Hand::right_screw);
  s.title = "Handrail under a low gallery";
  const Vector3d through = s.part->at(3600.0).p;
  s.machine.push_back(upright("gallery column", Role::frame, through.x() + 40, through.y(), 60, -900, through.z() + 300));
  judge(s);
  return s;
}

Subject tight_coil() {
  Subject s = subject_of({90, 30, 10, 12, 250, 90}, Hand::right_screw);
  s.title = "Heat exchanger coil";
  s.stock = "round tube 12 x 1 mm, Cu-DHP R220";
  return s;
}

Subject front_end_only() {
  Subject s = subject_of({90, 30, 10, 12, 250, 190}, Hand::right_screw);
  s.title = "Heat exchanger coil";
  // Where the tip of the front end comes by before it has climbed out of the way.
  const CurvePoint lead = s.part->at(430.0);
  const Vector3d tip = lead.p + (s.front_mm - 15.0) * lead.d1.normalized();
  s.machine.push_back(upright("stop post", Role::frame, tip.x(), tip.y(), 12, -200, tip.z() + 15.0));
  judge(s);
  return s;
}

Subject ring() {
  Subject s = subject_of({700, 0, 0.75, 60.3, 300, 200}, Hand::right_screw);
  s.title = "Tank rim";
  return s;
}

}  // namespace coilwright::view::samples
