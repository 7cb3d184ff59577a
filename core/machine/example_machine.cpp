#include <coilwright/machine/example_machine.hpp>
#include <coilwright/machine/machine_file.hpp>
#include <coilwright/quantity/require.hpp>

namespace coilwright {
namespace {

// The example is kept as the text of a machine file, not as values in code: it is read by the same rules as
// every other machine, single values of it can be replaced in the same way, and printing it gives a shop a
// complete file to start its own from. Reading it costs well under a millisecond, once.
//
// The layout is that of machines on which coils can grow: everything inside the coil's plan lies below pass
// height, what stands higher is behind the outer rolls, and the outboard arm comes in from outside the coil.
constexpr std::string_view text =
    R"toml(# An invented mid-size three-roll machine. Measures are from the machine frame: x along the line through
# the two outer-roll axes, y toward the centre roll, z up, 0 at the height of the stock's centreline.
# Solids are given with the centre slide at touch and the outboard arm at pass height.
name = "built-in example machine"
feed = ["from the left", "from the right"]

[rolls]                                  # the groove is that of the roll set: without one it fits the stock
outer_spacing = "500 mm"
spacing_positions = ["400 mm", "500 mm", "600 mm"]
outer_radius = "100 mm"
centre_radius = "100 mm"
drive = { entry = 0.5, centre = 0.0, exit = 0.5 }
friction = 0.15                          # from memory
frame_stiffness_kn_per_mm = 40
exit_play_up = "0.5 mm"
exit_play_down = "0.5 mm"
exit_height = "0 mm"
stock_turns = "by friction"

[outboard_roll]
reach = "1200 mm"
radius = "50 mm"

[limits]
centre_roll_force = "60 kN"
centre_roll_travel = "250 mm"
roll_lift = "500 mm"

[room]
floor = "-900 mm"
ceiling = "5000 mm"

# What turns with the rolls: shafts below, nuts and caps above.
[[solid]]
name = "left outer shaft"
shape = "cylinder"
from_mm = [-250, 0, -330]
to_mm = [-250, 0, -30]
radius_mm = 40
[[solid]]
name = "left outer cap"
shape = "cylinder"
from_mm = [-250, 0, 30]
to_mm = [-250, 0, 62]
radius_mm = 40
[[solid]]
name = "right outer shaft"
shape = "cylinder"
from_mm = [250, 0, -330]
to_mm = [250, 0, -30]
radius_mm = 40
[[solid]]
name = "right outer cap"
shape = "cylinder"
from_mm = [250, 0, 30]
to_mm = [250, 0, 62]
radius_mm = 40
[[solid]]
name = "centre shaft"
shape = "cylinder"
from_mm = [0, 242, -330]
to_mm = [0, 242, -30]
radius_mm = 40
rides = "centre slide"
[[solid]]
name = "centre cap"
shape = "frustum"
from_mm = [0, 242, 30]
to_mm = [0, 242, 62]
from_radius_mm = 40
to_radius_mm = 28
rides = "centre slide"

# The centre slide and its ram, inside the coil and therefore low.
[[solid]]
name = "centre slide"
shape = "box"
min_mm = [-150, 160, -330]
max_mm = [150, 780, -110]
rides = "centre slide"
[[solid]]
name = "slide ram"
shape = "cylinder"
from_mm = [0, 780, -230]
to_mm = [0, 1120, -230]
radius_mm = 70
rides = "centre slide"
[[solid]]
name = "slide bed"
shape = "box"
min_mm = [-260, -120, -560]
max_mm = [260, 1180, -340]

# The frame that carries the outer shafts, with the drive behind them.
[[solid]]
name = "frame"
shape = "box"
min_mm = [-420, -620, -880]
max_mm = [420, 120, -140]
[[solid]]
name = "drive housing"
shape = "box"
min_mm = [-380, -700, -140]
max_mm = [380, -260, 160]
[[solid]]
name = "control desk"
shape = "box"
min_mm = [-1180, -900, -900]
max_mm = [-780, -600, 150]
turned = "20 deg"

# Where the part lies before the outboard roll lifts it.
[[solid]]
name = "support table"
shape = "box"
min_mm = [460, -120, -180]
max_mm = [860, 620, -110]
[[solid]]
name = "table leg"
shape = "cylinder"
from_mm = [660, 250, -900]
to_mm = [660, 250, -180]
radius_mm = 60

# The outboard arm: a lifting column outside the coil, a beam that reaches in below pass height, a fork
# that carries the outboard roll.
[[solid]]
name = "outboard column"
shape = "cylinder"
from_mm = [1420, 900, -900]
to_mm = [1420, 900, -180]
radius_mm = 90
rides = "outboard arm"
[[solid]]
name = "outboard beam"
shape = "box"
min_mm = [1000, 850, -260]
max_mm = [1420, 950, -190]
rides = "outboard arm"
[[solid]]
name = "outboard fork"
shape = "box"
min_mm = [970, 860, -190]
max_mm = [1060, 950, -135]
rides = "outboard arm"
)toml";

// A roll set of the example when nothing is bent: for the common 42.4 mm handrail tube.
constexpr Length example_groove = Length::mm(42.4);

}  // namespace

std::string_view example_machine_text() {
  return text;
}

const KeyedValues& example_machine_values() {
  static const KeyedValues values = [] {
    const Result<DocumentValue> document = read_document(text, "built-in example machine");
    require(document.has_value(), "the built-in machine must be a valid file");
    Findings faults;
    KeyedValues read = KeyedValues::from_table(*document, machine_keys(), faults);
    require(faults.empty(), "the built-in machine must have no unknown keys");
    return read;
  }();
  return values;
}

const Machine& example_machine() {
  static const Machine machine = [] {
    Result<Machine> read = read_machine(example_machine_values(), std::nullopt, example_groove);
    require(read.has_value(), "the built-in machine must be a valid machine");
    return *std::move(read);
  }();
  return machine;
}

}  // namespace coilwright
