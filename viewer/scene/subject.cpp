#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <functional>
#include <coilwright/plan/direction_words.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/shown.hpp>
#include <viewer/scene/subject.hpp>

namespace coilwright::view {
namespace {

Role role_of(const Plan& plan, const Obstacle& obstacle) {
  const bool plane = std::all_of(obstacle.bodies.begin(), obstacle.bodies.end(), [](const Shape& body) {
    return std::holds_alternative<HalfSpace>(body);
  });
  if (plane && !obstacle.bodies.empty())
    return std::get<HalfSpace>(obstacle.bodies.front()).normal.z() < 0.0 ? Role::ceiling : Role::floor;
  for (const Solid& solid : plan.job.machine.solids)
    if (solid.name == obstacle.name) {
      if (solid.rides == Rides::centre_slide) return Role::slide;
      return solid.rides == Rides::outboard_arm ? Role::arm : Role::frame;
    }
  return Role::roll;  // rolls are described by the machine itself, not as solids
}

std::string sentence_case(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text;
}

std::string title_of(const Plan& plan) {
  if (plan.job.name.empty() || plan.job.name == "job")
    return plan.coil.helix().pitch().mm() > 0.0 ? "Coil" : "Ring";
  std::string title = plan.job.name;
  std::replace(title.begin(), title.end(), '-', ' ');
  std::replace(title.begin(), title.end(), '_', ' ');
  return sentence_case(title);
}

std::string turns_text(double turns) {
  std::string text = number_text(turns, 2);
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text + (text == "1" ? " turn" : " turns");
}

std::string piece_word(const Plan& plan, Piece piece) {
  switch (piece) {
    case Piece::stock: return "incoming stock";
    case Piece::spans: return "stretch between the rolls";
    case Piece::coil: return plan.part ? "part" : "coil";
    case Piece::lead_arc: return "lead arc";
    case Piece::front_end: return "swinging front end";
  }
  return "part";
}

// On the centre slide or the outboard arm.
bool rides(const Subject& subject, const std::string& name) {
  const auto solid = std::find_if(subject.machine.begin(), subject.machine.end(), [&](const MachinePart& m) { return m.name == name; });
  if (solid == subject.machine.end()) return false;
  const bool roll = solid->role == Role::roll && name != "entry roll" && name != "exit roll";
  return roll || solid->role == Role::slide || solid->role == Role::arm;
}

void add_clearance(Subject& subject, const Plan& plan, const std::function<std::string(double)>& length) {
  if (!plan.clearance) {
    subject.verdict = "Clearance not checked";
    return;
  }
  const ClearanceResult& result = plan.clearance->result;
  const double swept = plan.clearance->swept_radius_mm();
  subject.swept_radius_mm = swept;
  subject.swept_label = "nobody inside this line while it turns: radius " + length(swept);
  subject.keep_out = "Nobody within " + length(swept) + " of the middle of the rolls while it turns.";
  if (!result.nearest) {
    subject.verdict = "Nothing to meet";
    return;
  }
  const NearestPair& near = *result.nearest;
  const bool hit = near.distance_mm <= 0.0;
  const std::string place = piece_word(plan, near.piece) + (hit ? " meets " : " to ") + near.part;
  const bool elsewhere = subject.machine_elsewhere(near.fed_length_mm) && rides(subject, near.part);
  // Stock and loaded spans lie there at no one fed length.
  const bool formed = near.piece != Piece::stock && near.piece != Piece::spans;
  subject.nearest = Nearest{near.part_point, near.machine_point, near.distance_mm, near.piece, near.fed_length_mm,
                            (hit ? "COLLISION: " + place : "least " + length(near.distance_mm) + " to " + near.part) +
                                (elsewhere && formed ? ", at fed length " + length(near.fed_length_mm) : ""),
                            hit ? std::string() : length(near.distance_mm), elsewhere};
  for (const ObstacleClearance& one : result.obstacles)
    for (MachinePart& solid : subject.machine)
      if (solid.name == one.part) {
        solid.touches_lag_mm = one.excluded_lag_mm;
        if (one.nearest && one.nearest->distance_mm <= 0.0) solid.hit_at = one.nearest->part_point;
      }

  const std::string margin = "margin " + length(plan.clearance->margin.mm()) + ", standing uncertain by " +
                             fine_text(Length::mm(plan.clearance->pose_uncertainty_mm), plan.job.show);
  switch (plan.clearance->verdict) {
    case Verdict::clears:
      subject.answer = Answer::clears;
      subject.verdict = "Clears";
      break;
    case Verdict::too_close_to_say:
      subject.answer = Answer::too_close_to_say;
      subject.verdict = "Too close to say";
      break;
    case Verdict::collides:
      subject.answer = Answer::collides;
      subject.verdict = "Collides";
      break;
  }
  std::string unchecked;
  for (const std::string& what : plan.clearance->not_checked) unchecked += (unchecked.empty() ? "" : "; ") + what;
  subject.verdict_detail = hit ? sentence_case(place) + ", at fed length " + length(near.fed_length_mm) + "."
                               : "Least " + length(near.distance_mm) + ", " + place + "; " + margin + ".";
  // The picture shows the last pass as it runs; what decides at another time is told in words.
  if (const ClearancePlan::Governing worst = plan.clearance->governing(); !worst.when.empty() && worst.result->nearest) {
    const NearestPair& then = *worst.result->nearest;
    const std::string what = piece_word(plan, then.piece) + (then.distance_mm <= 0.0 ? " meets " : " to ") + then.part;
    subject.verdict_detail += " " + sentence_case(std::string(worst.when)) + ", not shown: " +
                              (then.distance_mm <= 0.0 ? what : "least " + length(then.distance_mm) + ", " + what) + ".";
  }
  if (!unchecked.empty()) subject.verdict_detail += " Not checked: " + unchecked + ".";
}

// The finished coil upright on its own lowest point, its axis through the origin.
void stand_alone(Subject& s, const Plan& plan) {
  const Helix& helix = plan.coil.helix();
  const double radius = helix.plan_radius().mm();
  s.standing = Standing::alone;
  s.front_mm = s.start_up_mm = 0.0;
  s.rolled_mm = s.developed_mm = plan.coil.developed_length().mm();
  Eigen::Isometry3d X = Eigen::Isometry3d::Identity();
  X.translation() = Eigen::Vector3d(0.0, -radius, s.tube_radius_mm * std::cos(helix.slope().rad()));
  // There are no rolls: the spans shrink to a point, which is not drawn.
  constexpr double point_mm = 1e-3;
  const Eigen::Vector2d start = X.translation().head<2>();
  s.part.emplace(PosedPart::Spec{Helix(helix.plan_radius(), helix.pitch(), Hand::right_screw),
                                 {{-point_mm, 0.0, 0.0, start - Eigen::Vector2d(point_mm, 0.0)}, {0.0, 0.0, 0.0, start}},
                                 {},
                                 0.0,
                                 X,
                                 X,
                                 0.0,
                                 0.0});
  s.cut_mm = s.rolled_mm + point_mm;
}

// A part of several segments upright on its own lowest point: up as the part says, its middle over the origin.
void stand_several(Subject& s, const Plan& plan) {
  stand_alone(s, plan);
  const Part& part = plan.part->part;
  s.several = part.centreline();
  s.mirrored = false;
  // Bent like in plan, without the lean of a coil in its machine. The binormal of a part, told from its leading end, points
  // down along the shafts; up where the plan is for its mirror image.
  for (std::size_t i = 0; i < s.several->size(); ++i) {
    const Eigen::Matrix2d in_frame = Eigen::Vector2d(1.0, -1.0).asDiagonal() * Eigen::Rotation2Dd(s.several->turned_rad(i)).toRotationMatrix();
    s.section_in_several.push_back(in_frame * Eigen::Vector2d(1.0, plan.mirrored() ? -1.0 : 1.0).asDiagonal());
  }
  s.rolled_mm = s.developed_mm = plan.developed_length().mm();
  s.cut_mm = s.rolled_mm;
  const Eigen::Vector3d up = part.up_direction().normalized();
  const CurveFrame start = part.centreline().frame(0.0);
  // The start may climb: it runs along x in plan.
  Eigen::Vector3d along = start.tangent - start.tangent.dot(up) * up;
  if (along.norm() < 1e-6) along = start.normal;
  along.normalize();
  s.X_several.linear().row(0) = along;
  s.X_several.linear().row(1) = up.cross(along);
  s.X_several.linear().row(2) = up;
  Eigen::AlignedBox3d box;
  constexpr int samples = 400;
  for (int i = 0; i <= samples; ++i) box.extend(curve_at(s, s.rolled_mm * i / samples).p);
  s.X_several.pretranslate(Eigen::Vector3d(-box.center().x(), -box.center().y(), s.tube_radius_mm - box.min().z()));
}

}  // namespace

CurvePoint curve_at(const Subject& subject, double lag_mm) {
  if (!subject.several) return subject.part->at(lag_mm);
  const CurveFrame f = subject.several->frame(lag_mm);
  const Eigen::Matrix3d& turn = subject.X_several.linear();
  const std::size_t i = subject.several->index_at(lag_mm);
  const Centreline::Joined& joined = subject.several->segments()[i];
  const double within = std::clamp(lag_mm - joined.from_mm, 0.0, joined.curve.length_mm());
  return {subject.X_several * f.point, turn * f.tangent, joined.curve.curvature(within) * (turn * f.normal)};
}

Subject subject_of(const Plan& plan) {
  const Show show = plan.job.show;
  const auto length = [show](double mm) { return length_text(Length::mm(mm), show); };
  Subject s;
  s.mirrored = plan.mirrored();
  s.part = plan.pose;
  s.tube_radius_mm = 0.5 * plan.job.stock.section.outside_diameter().mm();
  constexpr double chord_rise_mm = 0.2;
  s.box = SectionBox::of(plan.job.stock.section);
  if (!plan.job.stock.section.round()) s.section = plan.job.stock.section.outline().points(chord_rise_mm);
  s.front_mm = plan.blank.flat_front.mm();
  s.start_up_mm = (plan.blank.start_up() + plan.blank.trim_front).mm();
  s.developed_mm = plan.blank.developed.mm();
  s.rolled_mm = plan.blank.rolled().mm();
  s.cut_mm = plan.blank.cut_length().mm();
  s.back_mm = plan.blank.flat_back.mm();
  s.bent_stock = plan.bent_stock;
  s.margin_mm = plan.job.clearance_margin.mm();
  for (const Obstacle& obstacle : plan.scene)
    s.machine.push_back({obstacle.name, role_of(plan, obstacle), obstacle.bodies, std::nullopt, std::nullopt});

  const Helix& helix = plan.coil.helix();
  const bool climbs = helix.pitch().mm() > 0.0;
  s.title = title_of(plan);
  s.stock = sentence_case(plan.job.stock.section.text()) + ", " + plan.job.stock.material.name;
  s.measures = "plan radius " + length(helix.plan_radius().mm()) +
               (climbs ? ", pitch " + length(helix.pitch().mm()) : std::string()) + ", " +
               turns_text(plan.coil.turns());
  s.direction = climbs ? sentence_case(direction_words(plan)) + "." : "";
  s.radius_label = "plan radius " + length(helix.plan_radius().mm());
  s.pitch_label = "pitch " + length(helix.pitch().mm());
  s.height_label = "overall height " + length(plan.coil.overall_height().mm());
  s.start_up_label = "start-up, cut off: " + length(s.start_up_mm);
  s.front_label = "straight front end " + length(s.front_mm);
  if (plan.part) s.growth = plan.part->growth;
  add_clearance(s, plan, length);
  if (plan.part) {
    const Extent extent = plan.part->part.overall_extent();
    s.measures = (plan.part->part.segments().size() == 1 ? std::string("one segment, ") : std::to_string(plan.part->part.segments().size()) + " segments, ") + length(plan.developed_length().mm()) +
                 " along the centreline; overall " + length(extent.width.mm()) + " x " + length(extent.depth.mm()) + " x " +
                 length(extent.height.mm());
    if (s.growth) {
      for (const PartGrowth::Step& step : s.growth->steps)
        if (step.bent) s.part = *step.bent;
    } else {
      stand_several(s, plan);
      s.verdict = "Not checked for clearance";
      s.verdict_detail = "The finished part by itself; how it stands in the machine while it grows was not checked.";
    }
  } else if (!s.part) {
    stand_alone(s, plan);
    s.verdict = "Cannot be rolled so";
    s.verdict_detail.clear();
    for (const Finding& finding : plan.findings)
      if (finding.level == Level::fault && s.verdict_detail.empty()) s.verdict_detail = finding.text;
  }
  return s;
}

}  // namespace coilwright::view
