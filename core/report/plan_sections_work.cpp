#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/chord_gauge.hpp>
#include <coilwright/report/plan_sections.hpp>
#include <coilwright/report/scale_reading.hpp>
#include <coilwright/report/shown.hpp>
#include <numbers>
#include <string>

namespace coilwright {
namespace {

// Numbers the steps as they are written.
class Steps {
 public:
  explicit Steps(TextPage& page) : page_(page) {}
  void step(const std::string& name, const std::string& text) {
    const std::string number = std::to_string(++count_) + ".";
    page_.item(number.size() < 3 ? " " + number : number, name + ": " + text);
  }

 private:
  TextPage& page_;
  int count_ = 0;
};

bool climbs(const Plan& plan) { return plan.lift && plan.coil.helix().pitch() > Length(); }

void touch(Steps& steps, const Plan& plan) {
  const Show show = plan.job.show;
  std::string text = "lay the straight stock on both outer rolls, its front end " +
                     length_text(plan.blank.flat_front, show) +
                     " past the centre roll, and run the centre roll in until it just touches. Here travel is zero";
  if (plan.job.scales.touch_reading)
    text += "; the scale should read " + fine_text(*plan.job.scales.touch_reading, show, 2) +
            ", and if it does not, move every travel reading by the difference";
  steps.step("Touch", text + ".");
}

std::string at_a_standstill(const PassPlan& pass, Show show) {
  if (!pass.press_in_force)
    return "Pressed in at a standstill, the stock would fold round the centre roll before the travel is reached (computed).";
  const double more = 100.0 * (*pass.press_in_force / pass.centre_roll_force - 1.0);
  std::string text = "The whole travel pressed in at a standstill takes " + force_text(*pass.press_in_force, show) + ", ";
  // A share that rounds to nothing is not worth a word of more or less.
  if (more >= 0.5) text += number_text(more, 0) + " % more than rolling (computed)";
  else if (more <= -0.5) text += number_text(-more, 0) + " % less than rolling (computed)";
  else text += "as much as rolling (computed)";
  if (pass.press_in_radius) text += ", and leaves a kink of radius " + length_text(*pass.press_in_radius, show, 0);
  return text + ".";
}

void press_in(Steps& steps, const Plan& plan, const PassPlan& pass, const std::string& name) {
  const Show show = plan.job.show;
  const auto reading = travel_reading(plan.job.scales, pass);
  steps.step(name, "run the centre roll in to " + fine_text(pass.travel, show, 2) + " from touch" +
                       (reading ? ", scale " + fine_text(*reading, show, 2) + "," : "") +
                       " while feeding slowly, or in steps. " + at_a_standstill(pass, show) +
                       " From here the fed length counts.");
}

void lead_arc(Steps& steps, const Plan& plan, Length first_lift, const std::string& lift_words) {
  const Show show = plan.job.show;
  const Blank& blank = plan.blank;
  steps.step("Lead arc flat", "outboard roll low, at pass height or below. Feed " + length_text(blank.lead_arc, show) +
                                  ": nothing holds this length in height yet, it comes out flat.");
  steps.step("Guide on", "guide the front end on to the outboard roll, with a tool.");
  steps.step("Raise while feeding",
             "raise the outboard roll to a lift of " + fine_text(first_lift, show) + lift_words + " while the next " +
                 length_text(blank.settling > Length() ? blank.settling : blank.lead_arc, show) +
                 " go through. Never raise at a standstill: lifting the end of a flat lead arc at rest bends it at "
                 "three to four times first yield (computed).");
}

void last_lead_arc(Steps& steps, const Plan& plan) {
  const LiftPlan& lift = *plan.lift;
  if (!lift.working_low) {
    lead_arc(steps, plan, lift.nominal.lift, " (nominal; stay well below at first)");
    return;
  }
  const auto reading = lift_reading(plan.job.scales, lift, *lift.working_low);
  lead_arc(steps, plan, *lift.working_low,
           reading ? ", scale " + fine_text(*reading, plan.job.show) + ", the start," : " (the start)");
}

std::string radius_to_gauge(const Plan& plan) {
  const Show show = plan.job.show;
  const Length bend_radius = plan.coil.helix().bend_radius();
  const Length face = bend_radius + plan.coil.faces().outer;
  const Length chord = gauge_chord(face, show);
  return "A chord gauge with straight feet " + length_text(chord, show) +
         " apart on the outside of the bend, held in the plane of the bend, should rise " +
         fine_text(chord_rise(face, chord), show, 2) + " (bend radius " + length_text(bend_radius, show) +
         " to the centreline).";
}

std::string leaning(const Plan& plan) {
  return plan.lift ? number_text(plan.lift->forward_lean.deg(), 1) + " deg in the direction of feed"
                   : "in the direction of feed";
}

// A part of several segments: settings come from its programme, pass by pass.
void programme(Steps& steps, const Plan& plan, std::size_t pass) {
  const auto& passes = plan.part->programme->passes;
  const ProgrammeStep& first = passes[pass].front();
  const Show show = plan.job.show;
  const Length start_up = plan.blank.start_up() + plan.blank.trim_front;
  std::string text = first.from.travel_mm > 0.0
                         ? "press the centre roll in to " + fine_text(Length::mm(first.from.travel_mm), show, 2) +
                               " from touch while feeding slowly, or in steps"
                         : std::string("leave the centre roll at touch");
  text += ", feed the start-up of " + length_text(start_up, show) +
          ", then follow the roll programme below by fed length. Mark the joints on the bar before rolling. Move the centre roll "
          "while feeding, never at a standstill";
  if (first.from.lift_mm && plan.lift) text += ", and raise the outboard roll only while feeding, coming from below";
  steps.step(passes.size() == 1 ? "Roll by the programme"
                                : "Pass " + std::to_string(pass + 1) + " of " + std::to_string(passes.size()),
             text + ".");
}

constexpr const char* next_pass = "feed through, withdraw the centre roll to touch, back the part out, and feed it again "
                                  "from the same side and the same start.";

void gauge(Steps& steps, const Plan& plan) {
  const Show show = plan.job.show;
  const Helix& helix = plan.coil.helix();
  if (plan.part) {
    steps.step("Gauge", "within segment " + std::to_string(plan.part->governing + 1) +
                            ", past the length in which its radius is not promised, stop. " + radius_to_gauge(plan));
    return;
  }
  std::string text = "after a quarter turn of settled coil, " +
                     length_text(Length::mm(helix.arc_per_radian_mm() * std::numbers::pi / 2.0), show) +
                     " along the centreline, stop";
  if (helix.pitch() > Length())
    text += "; the rise over that quarter turn should be " + length_text(plan.coil.rise_per_quarter_turn(), show) +
            " along the coil's own axis. On the machine that axis leans " + leaning(plan) +
            ", so measure along it, or stand the piece upright";
  steps.step("Gauge", text + ". " + radius_to_gauge(plan));
}

void correct(Steps& steps, const Plan& plan) {
  const Show show = plan.job.show;
  steps.step("Correct the radius",
             "stay on the light side (radius too large) and creep up, an eighth to a quarter turn of the screw at a "
             "time (common practice): a bend that is too tight cannot be undone at the same set-up.");
  if (!climbs(plan)) return;
  const double pitch_per_lift = plan.lift->pitch_per_lift;
  steps.step("Correct the pitch", "raise the outboard roll in small steps, feeding. One mm of lift changes the pitch by " +
                                      fine_text(Length::mm(pitch_per_lift), show) +
                                      " and the rise of a quarter turn by " +
                                      fine_text(Length::mm(pitch_per_lift / 4.0), show, 2) +
                                      ". Come from below: twist from too great a lift stays when it is lowered.");
}

std::string carrying_text(const Plan& plan) {
  if (!plan.carrying) return {};
  const Carrying& carrying = *plan.carrying;
  const Show show = plan.job.show;
  if (!carrying.at_least_every)
    return " So short and stiff, its end hangs by no more than " + fine_text(carrying.left.sag, show) + " even when left alone (computed).";
  return " A prop or a pair of hands at least every " + length_text(*carrying.at_least_every, show, 0) +
         " along it, counted back from where its straight front end begins: so carried its end hangs by " +
         (plan.part ? "no more than " : "") + fine_text(carrying.then.sag, show) +
         (plan.part ? " (a bound)."
                    : ", a turn of it left alone by " + fine_text(carrying.left.sag, show) +
                          (carrying.left.share_of_yield > 1.0 ? ", bent for good by its own weight" : "") + " (computed).");
}

void finish(Steps& steps, const Plan& plan) {
  const Show show = plan.job.show;
  if (climbs(plan))
    steps.step("Carry the coil", "support the coil as it grows, without lifting or twisting it: its hanging weight "
                                 "changes the pitch." + carrying_text(plan));
  steps.step("Roll out", "feed on to a fed length of " + length_text(plan.blank.rolled(), show) +
                             "; there the tail leaves the entry roll. Withdraw the centre roll only with the part held.");
  steps.step("Cut", "the usable part lies from " + length_text(plan.blank.usable_from(), show) + " to " +
                        length_text(plan.blank.usable_to(), show) +
                        " along the centreline from the front end of the blank.");
}

}  // namespace

void work_section(TextPage& page, const Plan& plan) {
  const auto& passes = plan.rolling.passes;
  if (passes.empty()) return;
  page.heading("Order of work");
  Steps steps(page);
  touch(steps, plan);
  const bool by_programme = plan.part && plan.part->programme;
  for (std::size_t i = 0; by_programme && i < passes.size(); ++i) {
    programme(steps, plan, i);
    if (i + 1 < passes.size()) steps.step("Next pass", next_pass);
  }
  for (std::size_t i = 0; !by_programme && i < passes.size(); ++i) {
    const bool last = i + 1 == passes.size();
    press_in(steps, plan, passes[i],
             passes.size() == 1 ? "Press in"
                                : "Pass " + std::to_string(i + 1) + " of " + std::to_string(passes.size()));
    if (climbs(plan) && plan.blank.lead_arc > Length()) {
      if (last)
        last_lead_arc(steps, plan);
      else if (passes[i].roll_lift)
        lead_arc(steps, plan, *passes[i].roll_lift, " (nominal for this pass)");
    }
    if (last) break;
    steps.step("Next pass", next_pass);
  }
  gauge(steps, plan);
  correct(steps, plan);
  finish(steps, plan);
}

}  // namespace coilwright
