#include <algorithm>
#include <coilwright/machine/machine_file.hpp>
#include <coilwright/plan/job_keys.hpp>
#include <coilwright/plan/job_stair.hpp>

namespace coilwright {

const std::vector<KnownKey>& job_keys() {
  using enum ValueKind;
  static const std::vector<KnownKey> keys = [] {
    std::vector<KnownKey> all{
        {"coil.radius", length, "in plan, square to the axis, to measured_to"},
        {"coil.diameter", length, "likewise"},
        {"coil.measured_to", words, "what radius and diameter are measured to: centreline, inside, outside"},
        {"coil.bend_radius", length, "of the centreline, as a gauge on the rail reads it"},
        {"coil.pitch", length, "rise in one full turn"},
        {"coil.turns", number, "full turns"},
        {"coil.rise", length, "of the centreline from end to end"},
        {"coil.sweep", angle, "turn in plan"},
        {"coil.slope", angle, "of the centreline against the horizontal"},
        {"coil.length", length, "along the centreline"},
        {"coil.hand", words, "right-screw or left-screw"},
        {"coil.climbs", words,
         "going up, seen from above: clockwise or counter-clockwise (the right-hand screw)"},
        {"stock.tube", words, "round tube, outside diameter x wall, or a standard size"},
        {"stock.bar", length, "round bar, diameter"},
        {"stock.square", words, "square tube, side x side x wall: 50x50x3 mm"},
        {"stock.rectangle", words, "rectangular tube and how it is bent: 60x40x3 mm hard way, or easy way"},
        {"stock.flat", words, "flat bar and how it is bent: 50x10 mm easy way, or hard way"},
        {"stock.angle", words, "angle and which leg points where: 50x50x5 mm leg in; 75x50x6 mm, 75 mm leg out"},
        {"stock.channel", words, "channel and how it lies: UPE 80 flanges in, flanges out, or hard way"},
        {"stock.tee", words, "tee and where its stem points: 50x50x6 mm stem in, or stem out"},
        {"stock.beam", words, "I-beam and how it is bent: 80x46x3.8x5.2 mm hard way, or easy way"},
        {"stock.outline", tables, "free outline: points [x, y] in mm, y toward the centre; a third number makes an arc"},
        {"stock.corner_radius", words,
         "of a square or rectangular tube: cold-formed (default), hot-finished, or the outside radius"},
        {"stock.material", words, "a material of the tables"},
        {"stock.yield", stress, "measured yield stress"},
        {"stock.hardening", stress, "tangent modulus after yield"},
        {"stock.power_law_strength", stress, "instead of hardening: K of stress = K (e0 + plastic strain)^n"},
        {"stock.power_law_exponent", number, "n of that law"},
        {"stock.tensile", stress, "measured tensile strength"},
        {"stock.materials_file", words, "a file of your own materials, [[material]] tables"},
        {"stock.modulus", stress, "Young's modulus"},
        {"stock.poisson", number, "Poisson's ratio"},
        {"stock.stock_length", lengths, "length in which the stock is sold; may be given several times"},
        {"blank.grip_front", length, "straight end beyond the exit contact at the start"},
        {"blank.grip_back", length, "straight end beyond the entry contact at the end"},
        {"blank.trim_front", length, "cut off the front of the finished part"},
        {"blank.trim_back", length, "cut off its back"},
        {"blank.run_in", length, "until the radius settles"},
        {"blank.settling", length, "until the pitch settles"},
        {"machine.use", words, "a machine file, or the name of a built-in machine"},
    };
    for (const KnownKey& key : machine_keys()) all.push_back({"machine." + key.key, key.kind, key.help});
    all.insert(all.end(),
               {
                   {"rolling.passes", whole_number, "number of passes; without it the program chooses"},
                   {"rolling.stock_slope", angle, "slope at which the stock comes in"},
                   {"clearance.margin", length, "least distance that counts as clear"},
                   {"tolerance.radius", length, "as asked by the drawing"},
                   {"tolerance.rise", length, "as asked by the drawing"},
                   {"tolerance.distortion", number,
                    "of the section, in percent of its size: the shop's own figure, there is no standard one"},
                   {"tolerance.curvature", words, "a rule for the curvature: AISC 303 (section 6.4.2)"},
                   {"settings.touch_reading", length, "the travel scale at touch"},
                   {"settings.travel_reads", words, "the travel scale as the roll goes in: up or down"},
                   {"settings.lift_reading_at_pass_height", length, "the lift scale at pass height"},
                   {"settings.lift_reads", words, "the lift scale as the roll goes up: up or down"},
                   {"segment", tables, "the segments of a part in the order in which they are fed, in place of [coil]"},
               });
    for (KnownKey& key : stair_keys()) all.push_back(std::move(key));
    return all;
  }();
  return keys;
}

std::string flag_of(const std::string& key) {
  const auto known =
      std::find_if(job_keys().begin(), job_keys().end(), [&](const KnownKey& k) { return k.key == key; });
  if (known == job_keys().end() || known->kind == ValueKind::tables) return "";
  if (key == "machine.use") return "--machine";
  std::string name = key;
  if (key.starts_with("tolerance.") || key.starts_with("stair.") || key == "machine.name" || key == "machine.feed")
    std::replace(name.begin(), name.end(), '.', '-');
  else
    name.erase(0, name.find('.') + 1);
  std::replace(name.begin(), name.end(), '.', '-');
  std::replace(name.begin(), name.end(), '_', '-');
  return "--" + name;
}

const std::vector<std::vector<std::string>>& same_thing_in_job() {
  static const std::vector<std::vector<std::string>> groups{
      {"coil.radius", "coil.diameter"},
      {"coil.turns", "coil.sweep"},
      {"coil.hand", "coil.climbs"},
      {"stair.hand", "stair.climbs"},
      {"stock.tube", "stock.bar", "stock.square", "stock.rectangle", "stock.flat", "stock.angle",
       "stock.channel", "stock.tee", "stock.beam", "stock.outline"},
      {"machine.outboard_roll.reach", "machine.outboard_roll.position", "machine.outboard_roll.past_exit"},
  };
  return groups;
}

}  // namespace coilwright
