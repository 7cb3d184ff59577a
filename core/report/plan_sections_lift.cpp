#include <algorithm>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/plan_sections.hpp>
#include <coilwright/report/shown.hpp>
#include <string>

namespace coilwright {
namespace {

std::string or_none(const std::optional<Length>& length, Show show) {
  return length ? fine_text(*length, show) : "none: there is no such state";
}

void forces(TextPage& page, const LiftState& state, Show show) {
  page.row("Outboard roll carries", force_text(state.outboard_force, show) + ", upward on the part");
  const bool down = state.exit_vertical_force < Force();
  page.row("Exit roll, vertical", force_text(down ? -state.exit_vertical_force : state.exit_vertical_force, show) +
                                      (down ? ": the exit groove must hold the stock down" : ", upward on the part"));
  page.row("Held in height", state.held ? "yes, a flank of the exit groove carries that force"
                                        : "no, the stock floats within the play of the exit groove");
  page.row("Exit height", fine_text(state.exit_height, show, 2) + ", of the centreline at the exit roll");
  page.row("Stock turning", number_text(100.0 * state.turning_share, 0) +
                                " % of the twist is let go by the stock turning about its own axis");
}

}  // namespace

void lift_section(TextPage& page, const Plan& plan) {
  if (!plan.lift || plan.coil.helix().pitch() == Length()) return;
  const Show show = plan.job.show;
  const LiftPlan& lift = *plan.lift;
  const LiftState& state = lift.nominal;
  page.heading("The lift in detail");
  page.row("Nominal", fine_text(state.lift, show) + ": with the exit play and the friction given; the pose and the "
                                                    "clearance use it");
  page.row("Working band", lift.working_low && lift.working_high
                               ? band_text(*lift.working_low, *lift.working_high, show) +
                                     ": exit play half a mm either way, friction 0.05 to 0.30, stock held"
                               : "from " + or_none(lift.working_low, show) + ", to " +
                                     or_none(lift.working_high, show));
  page.row("Lowest", or_none(lift.low, show) + (lift.low ? ": exit groove holds, the stock turns freely" : ""));
  page.row("Highest", or_none(lift.high, show) + (lift.high ? ": exit groove holds nothing, the stock cannot turn" : ""));
  if (lift.pitch_at_working_low && lift.pitch_at_working_high)
    page.row("The other way round",
             "with the nominal exit play and friction a lift of " + fine_text(*lift.working_low, show) + " would give a pitch of " +
                 length_text(*lift.pitch_at_working_low, show) + ", one of " + fine_text(*lift.working_high, show) + " a pitch of " +
                 length_text(*lift.pitch_at_working_high, show));
  page.row("Pitch per lift", fine_text(Length::mm(lift.pitch_per_lift), show) + " of pitch for one mm of lift");
  forces(page, state, show);
  page.row("Lean", number_text(lift.forward_lean.deg(), 1) + " deg forward, in the direction of feed; " +
                       number_text(state.side_lean.deg(), 2) +
                       " deg to the side: the coil cannot stand upright on level stock");
  page.row("Outboard roll", number_text(lift.bend_point_to_roll.deg(), 1) + " deg of coil past the centre roll, lead arc " +
                                length_text(lift.lead_arc, show));
  page.row("Exit roll utilisation", number_text(lift.worst_utilisation, 2) +
                                        " of first yield at worst over the working band (above 1 the stock yields a "
                                        "second time there)",
           lift.worst_utilisation > 1.0 ? Tone::warning : Tone::plain);
  page.row("Bending moment", number_text(100.0 * lift.moment_factor, 1) +
                                 " % of its full value is left beside the twist; the rolling is computed with 100 %");
  page.gap();
  page.line("(Upright rule, pitch x angle / 360: " + fine_text(lift.upright_rule, show) +
            ". Not the setting: it takes the coil as standing upright. Level stock makes it lean forward by the slope, "
            "and how firmly the exit groove holds decides the rest; the rule is what is left when nothing holds.)");
}

void trust_section(TextPage& page, const Plan&) {
  page.heading("How far to trust this");
  page.item("-", "The model was checked against other computations, not against a real machine. A trial piece calibrates "
                 "it: roll one, gauge it, correct.");
  page.item("-", "Travel: expect the radius to come out within some 10 to 15 % before a trial piece. Published models err "
                 "by as much: about 15 % on radius for an analytical plate model against finite elements (Int J Adv "
                 "Manuf Technol 2019, doi 10.1007/s00170-019-04183-2), up to 4.8 % on springback of coiled round wire "
                 "(Zani and Solazzi, Eng 5, 2024, 1696-1707).");
  page.item("-", "Lift: no measured lift against pitch of a three-roll machine has been found in print. The working band "
                 "is the honest answer; the play in the exit groove decides most of it, so measure that play.");
}

}  // namespace coilwright
