#include <algorithm>
#include <cmath>
#include <coilwright/plan/scene.hpp>

namespace coilwright::plan_steps {
namespace {

using Eigen::Vector3d;

Obstacle solid_in_F(const Solid& solid, Hand hand, const Setting& setting) {
  Vector3d by = Vector3d::Zero();
  if (solid.rides == Rides::centre_slide) by.y() = -setting.travel.mm();
  if (solid.rides == Rides::outboard_arm) by.z() = setting.lift.mm();
  // The arm is carried over to the other side for the left hand, so in F it stays where the file puts it;
  // everything else stands still in M and is seen in the mirror.
  const bool mirror = hand == Hand::left_screw && solid.rides != Rides::outboard_arm;
  const Shape placed = moved(solid.shape, by);
  return {solid.name, {mirror ? mirrored_in_x(placed) : placed}, std::nullopt, 0.0};
}

// The way the stock may sit in a groove: this much of a contact is by design.
double seat_play_mm(const Rolls& rolls, const Section& section) {
  const double gap = rolls.groove ? std::max(0.0, (*rolls.groove - section.outside_diameter()).mm()) : 0.0;
  return gap + std::max(rolls.exit_play_up.mm(), rolls.exit_play_down.mm()) + groove_cover_mm(rolls);
}

// By how much more than its face a section that is not round, turned with the coil, reaches toward the exit roll. What it
// really does there, held by the rolls' flat faces, is not known.
double turned_at_exit_mm(const Contacts& contacts, const Section& section) {
  if (section.round()) return 0.0;
  return std::max(0.0, SectionBox::of(section).reach_along_mm(contacts.toward_exit_roll) - section.outer_face().mm());
}

// Horizontal axis, square to the tube in plan, touching it from below. As wide as two diameters of stock:
// its true width is not an input (judgement).
Obstacle outboard_roll_under(const Contacts::Outboard& contact, const Section& section, Length radius) {
  const CurvePoint& at = contact.at;
  const Vector3d t = at.d1.normalized();
  const Vector3d across = Vector3d::UnitZ().cross(t).normalized();
  const double stock_radius = 0.5 * section.outside_diameter().mm();
  // How far the section, as it lies there, reaches down square to the tube.
  const Vector3d down = -t.cross(across);
  const double below = section.round() ? section.above_centroid().mm()
                                       : SectionBox::of(section).reach_along_mm(
                                             {down.dot(contact.axes.inward), down.dot(contact.axes.shafts)});
  const double drop = (radius.mm() + below) / std::hypot(t.x(), t.y());
  const Vector3d middle = at.p - drop * Vector3d::UnitZ();
  const double half_width = 2.0 * stock_radius;
  return {"outboard roll",
          {Cylinder{middle - half_width * across, middle + half_width * across, radius.mm()}},
          contact.lag_mm,
          0.5};
}

}  // namespace

Contacts Contacts::of(const PosedPart& part) {
  Contacts contacts{part.span_in_mm(), part.span_out_mm(), std::nullopt};
  const double outboard = part.outboard_lag_mm();
  if (outboard > part.span_out_mm())
    contacts.outboard = Outboard{outboard, part.at(Stage::coil, outboard), part.section_axes(Stage::coil, outboard)};
  const double exit = part.span_out_mm();
  const Stage behind = contacts.outboard ? Stage::arc : Stage::coil;
  const Vector3d outward = -part.section_axes(Stage::spans, exit).inward;
  const PosedPart::SectionAxes axes = part.section_axes(behind, exit);
  contacts.toward_exit_roll = {outward.dot(axes.inward), outward.dot(axes.shafts)};
  return contacts;
}

namespace {

std::vector<Obstacle> rolls_around(const Machine& machine, const Contacts& contacts, const Section& section, const Setting& setting) {
  std::vector<Obstacle> scene;
  const Rolls& rolls = machine.rolls;
  const double play = seat_play_mm(rolls, section);
  const Length axis_y = rolls.outer_radius + section.depth() + rolls.centre_radius - setting.travel;
  const auto roll = [&](const char* name, RollPlace place, double lag) {
    std::vector<Shape> bodies = roll_bodies(rolls, place, axis_y);
    scene.push_back({name, std::move(bodies), lag, play + (place == RollPlace::exit ? turned_at_exit_mm(contacts, section) : 0.0)});
  };
  roll("entry roll", RollPlace::entry, -contacts.span_in_mm);
  roll("centre roll", RollPlace::centre, 0.0);
  roll("exit roll", RollPlace::exit, contacts.span_out_mm);
  if (machine.outboard_roll && machine.outboard_roll->radius && contacts.outboard)
    scene.push_back(outboard_roll_under(*contacts.outboard, section, *machine.outboard_roll->radius));
  return scene;
}

void add_room(const Room& room, std::vector<Obstacle>& to) {
  if (room.floor) to.push_back({"floor", {HalfSpace{{0, 0, room.floor->mm()}, Vector3d::UnitZ()}}, std::nullopt, 0.0});
  if (room.ceiling) to.push_back({"ceiling", {HalfSpace{{0, 0, room.ceiling->mm()}, -Vector3d::UnitZ()}}, std::nullopt, 0.0});
}

}  // namespace

std::vector<Obstacle> scene_around(const Machine& machine, Hand hand, const Contacts& contacts, const Section& section,
                                   const Setting& setting) {
  std::vector<Obstacle> scene = rolls_around(machine, contacts, section, setting);
  for (const Solid& solid : machine.solids) scene.push_back(solid_in_F(solid, hand, setting));
  add_room(machine.room, scene);
  return scene;
}

std::vector<Obstacle> set_around(const Machine& machine, Hand hand, const Contacts& contacts, const Section& section,
                                 const Setting& setting) {
  std::vector<Obstacle> scene = rolls_around(machine, contacts, section, setting);
  for (const Solid& solid : machine.solids)
    if (solid.rides != Rides::frame) scene.push_back(solid_in_F(solid, hand, setting));
  return scene;
}

std::vector<Obstacle> standing_around(const Machine& machine, Hand hand) {
  std::vector<Obstacle> scene;
  for (const Solid& solid : machine.solids)
    if (solid.rides == Rides::frame) scene.push_back(solid_in_F(solid, hand, {}));
  add_room(machine.room, scene);
  return scene;
}

ClearanceScene clearance_scene(const PosedPart& part, const Blank& blank, const Section& section,
                               std::vector<Obstacle> obstacles) {
  ClearanceScene scene;
  scene.part = &part;
  scene.tube_radius_mm = 0.5 * section.outside_diameter().mm();
  scene.section = SectionBox::of(section);
  scene.coil_to_mm = (blank.trim_back + blank.developed).mm();
  scene.rolled_mm = blank.rolled().mm();
  scene.front_end_mm = blank.flat_front.mm();
  scene.stock_mm = (blank.cut_length() - blank.flat_front).mm() - part.span_in_mm();
  scene.flat_front_mm = blank.flat_front.mm();
  scene.obstacles = std::move(obstacles);
  return scene;
}

}  // namespace coilwright::plan_steps
