#include <algorithm>
#include <cmath>
#include <coilwright/coil/coil_measures.hpp>
#include <coilwright/coil/stair.hpp>
#include <coilwright/quantity/characters.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <numbers>

namespace coilwright {
namespace {

constexpr double pi = std::numbers::pi;

std::string mm(Length v) {
  return length_text(v, Show::both);
}
std::string degrees(Angle v, int decimals = 2) {
  return number_text(v.deg(), decimals) + " degrees";
}
bool agree(Length a, Length b) {
  return measures_agree(SegmentMeasure::length, a.mm(), b.mm());
}
bool agree(Angle a, Angle b) {
  return measures_agree(SegmentMeasure::angle, a.rad(), b.rad());
}

}  // namespace

Result<StairExtension> read_extension(std::string_view text, std::string_view about) {
  const auto without = [&](std::string_view ending) -> std::optional<std::string_view> {
    if (!text.ends_with(ending)) return std::nullopt;
    std::string_view rest = text.substr(0, text.size() - ending.size());
    while (rest.ends_with(' ')) rest.remove_suffix(1);
    return rest;
  };
  StairExtension extension;
  std::optional<std::string_view> length = without("level");
  if (!length) length = without("at the slope"), extension.run = ExtensionRun::at_the_slope;
  const std::string how =
      " An extension is written as \"300 mm level\", \"300 mm at the slope\", \"one tread level\" or \"one "
      "tread at the slope\".";
  if (!length)
    return refuse(std::string(about),
                  quoted(text) + " does not say whether it is level or at the slope of the stair." + how);
  if (*length == "one tread") return extension;
  const Result<Length> read = read_length(*length, about);
  if (!read || !(read->mm() > 0.0))
    return refuse(std::string(about),
                  quoted(text) + " does not begin with a length above 0 and its unit." + how);
  extension.length = *read;
  return extension;
}

class StairMaker {
 public:
  StairMaker(const StairSpec& spec, const StockFaces& faces) : spec_(spec), faces_(faces) {}

  Result<Stair> make() {
    check_values();
    if (!faults_.empty()) return refuse(faults_);
    settle_radius();
    settle_steps();
    if (!faults_.empty()) return refuse(faults_);
    if (!radius_ || !rise_ || !sweep_ || !spec_.hand) return refuse(too_few());
    CoilSpec coil;
    coil.radius = radius_;
    coil.rise = rise_;
    coil.sweep = sweep_;
    coil.hand = spec_.hand;
    const Result<Coil> rail = Coil::from(coil, faces_);
    if (!rail) {
      Findings findings = rail.error();
      for (Finding& f : findings)
        f.about = f.about == "coil.radius"  ? "stair.plan_radius"
                  : f.about == "coil.sweep" ? "stair.sweep"
                                            : "stair.total_rise";
      return refuse(findings);
    }
    Stair stair(spec_, *rail);
    stair.riser_count_ = count_;
    stair.notes_ = notes_;
    note_extension(stair, spec_.bottom_extension, "bottom");
    note_extension(stair, spec_.top_extension, "top");
    return stair;
  }

 private:
  void fault(const char* key, std::string text) {
    faults_.push_back({Level::fault, std::string("stair.") + key, std::move(text), std::nullopt});
  }

  void check_values() {
    const auto positive = [&](const char* key, const auto& value) {
      using Value = std::decay_t<decltype(*value)>;
      if (value && !(value->finite() && *value > Value{})) fault(key, "This must be more than 0.");
    };
    if (spec_.riser_count && (*spec_.riser_count < 1 || *spec_.riser_count > 1000))
      fault("riser_count",
            "A stair has 1 to 1000 risers; " + std::to_string(*spec_.riser_count) + " are given.");
    positive("riser_height", spec_.riser_height);
    positive("total_rise", spec_.total_rise);
    positive("tread_angle", spec_.tread_angle);
    positive("sweep", spec_.sweep);
    positive("plan_radius", spec_.plan_radius);
    positive("newel_radius", spec_.newel_radius);
    positive("well_radius", spec_.well_radius);
    positive("clear_width", spec_.clear_width);
    positive("walk_line", spec_.walk_line);
    positive("going", spec_.going);
    positive("rail_height", spec_.rail_height);
    if (!(spec_.easing_radius > Length{})) fault("easing_radius", "This must be more than 0.");
    if (spec_.newel_radius && spec_.well_radius)
      fault("well_radius",
            "A stair has a newel or an open well in its middle, not both. Keep the one that is meant.");
  }

  void settle_radius() {
    const std::optional<Length> core = spec_.newel_radius ? spec_.newel_radius : spec_.well_radius;
    const char* core_name = spec_.newel_radius ? "newel radius" : "well radius";
    const auto offer = [&](const char* key, Length radius, const std::string& how) {
      if (!radius_) {
        radius_ = radius, radius_from_ = how;
      } else if (!agree(*radius_, radius)) {
        fault(key, "The inputs disagree: " + radius_from_ +
                       " makes the plan radius of the rail's centreline " + mm(*radius_) + ", but " + how +
                       " makes it " + mm(radius) + ", " +
                       mm(radius > *radius_ ? radius - *radius_ : *radius_ - radius) +
                       " apart. Correct one or leave it out.");
      }
    };
    if (spec_.plan_radius) {
      Length radius = *spec_.plan_radius;
      if (spec_.measured_to == MeasuredTo::inside) radius += faces_.inner;
      if (spec_.measured_to == MeasuredTo::outside) radius = radius - faces_.outer;
      offer("plan_radius", radius, "the plan radius " + mm(*spec_.plan_radius));
    }
    if (core && spec_.offset)
      offer("offset", *core + *spec_.offset,
            std::string("the ") + core_name + " with the offset " + mm(*spec_.offset));
    if (core && spec_.clear_width)
      offer("clear_width", *core + *spec_.clear_width + faces_.inner,
            std::string("the ") + core_name + " with the clear width " + mm(*spec_.clear_width) +
                " and the rail's reach inward");
    if (!core && (spec_.offset || spec_.clear_width))
      fault(
          spec_.offset ? "offset" : "clear_width",
          "This is measured from the newel or from the edge of the well: give newel_radius or well_radius.");
  }

  void settle_steps() {
    rise_ = spec_.total_rise;
    riser_ = spec_.riser_height;
    sweep_ = spec_.sweep;
    tread_ = spec_.tread_angle;
    count_ = spec_.riser_count;
    if (spec_.going && spec_.walk_line) {
      const Angle by_going = Angle::rad(*spec_.going / *spec_.walk_line);
      if (!tread_) {
        tread_ = by_going;
        notes_.push_back("The going " + mm(*spec_.going) + " along the walk line of " + mm(*spec_.walk_line) +
                         " radius makes a tread of " + degrees(by_going) + ".");
      } else if (!agree(*tread_, by_going)) {
        fault("going", "The inputs disagree: the going " + mm(*spec_.going) + " along the walk line of " +
                           mm(*spec_.walk_line) + " radius makes a tread of " + degrees(by_going) + ", but " +
                           degrees(*tread_) + " is given; that is a going of " +
                           mm(*spec_.walk_line * tread_->rad()) + ".");
      }
    }
    if (!count_ && rise_ && riser_)
      count_ = whole(*rise_ / *riser_, 0.5 / riser_->mm(), "riser_height",
                     "the total rise " + mm(*rise_) + " divided by the riser " + mm(*riser_));
    if (!count_ && sweep_ && tread_)
      count_ = whole(*sweep_ / *tread_, Angle::deg(0.05) / *tread_, "tread_angle",
                     "the sweep " + degrees(*sweep_) + " divided by the tread " + degrees(*tread_));
    if (!count_) return;
    const double n = *count_;
    if (!rise_ && riser_) rise_ = *riser_ * n;
    if (!sweep_ && tread_) sweep_ = *tread_ * n;
    if (spec_.riser_count && rise_ && riser_ &&
        std::abs(rise_->mm() - n * riser_->mm()) > std::max(0.05 * n, 1e-6 * rise_->mm()))
      fault("total_rise", "The inputs disagree: " + std::to_string(*count_) + " risers of " + mm(*riser_) +
                              " make a total rise of " + mm(*riser_ * n) + ", but " + mm(*rise_) +
                              " is given; that is " + mm(*rise_ / n) + " a riser.");
    if (rise_) riser_ = *rise_ / n;
    if (!sweep_ || !tread_ || agree(*sweep_, *tread_ * n)) return;
    if (*count_ > 1 && agree(*sweep_, *tread_ * (n - 1.0)) && rise_) {
      rise_ = *riser_ * (n - 1.0);
      notes_.push_back("The sweep of " + degrees(*sweep_) + " is that of " + std::to_string(*count_ - 1) +
                       " treads: the rail is taken from the first nosing to the landing's, " + mm(*rise_) +
                       " of rise.");
    } else {
      fault("sweep", "The inputs disagree: " + std::to_string(*count_) + " treads of " + degrees(*tread_) +
                         " make a sweep of " + degrees(*tread_ * n) +
                         " (from the first nosing to the landing's " + degrees(*tread_ * (n - 1.0)) +
                         "), but " + degrees(*sweep_) + " is given; that is " + degrees(*sweep_ / n) +
                         " a tread.");
    }
  }

  std::optional<int> whole(double ratio, double relative_slack, const char* key, const std::string& how) {
    const double nearest = std::round(ratio);
    if (nearest >= 1.0 && nearest <= 1000.0 && std::abs(ratio - nearest) <= relative_slack * nearest)
      return static_cast<int>(nearest);
    fault(key, "The inputs disagree: " + how + " is " + number_text(ratio, 3) +
                   ", which is not a whole number of steps (1 to 1000).");
    return std::nullopt;
  }

  // With riser and radius known: what each usual tread angle would make.
  [[nodiscard]] std::string usual_treads() const {
    std::vector<std::string> replies;
    for (const double tread : {22.5, 27.0, 30.0}) {
      if (!radius_ || !riser_) break;
      const Helix helix(*radius_, *riser_ * (360.0 / tread), Hand::right_screw);
      replies.push_back(number_text(tread, 1) + " degrees: pitch " + mm(helix.pitch()) + ", slope " +
                        degrees(helix.slope(), 1) + ", bend radius " + mm(helix.bend_radius()));
    }
    std::string text;
    for (const std::string& reply : replies)
      text += (text.empty() ? " The usual ones make, with " : "; with ") + reply;
    return text.empty() ? text : text + ".";
  }

  Findings too_few() {
    Findings questions;
    const auto ask = [&](const char* key, std::string text) {
      questions.push_back({Level::question, std::string("stair.") + key, std::move(text), std::nullopt});
    };
    if (!radius_)
      ask("plan_radius",
          "What is the radius of the rail in plan, to its centreline, inside or outside? Or the radius of "
          "the newel or well and the clear width between it and the rail?");
    if (!rise_ && !riser_)
      ask("total_rise",
          "What is the total rise from floor to floor, or the number and height of the risers?");
    else if (!rise_)
      ask("riser_count", "How many risers are there, or what is the total rise from floor to floor?");
    if (!sweep_ && !tread_)
      ask("tread_angle",
          "How many degrees does each tread turn in plan, or the whole stair?" + usual_treads());
    else if (!sweep_ && rise_)
      ask("riser_count", "How many risers are there?");
    if (!spec_.hand) ask("climbs", "Going up, seen from above, does it turn clockwise or counter-clockwise?");
    std::vector<std::string> missing;
    for (const Finding& q : questions) {
      std::string key = q.about.substr(6);
      std::replace(key.begin(), key.end(), '_', ' ');
      missing.push_back(key == "climbs" ? "which way it climbs" : "the " + key);
    }
    Findings findings{{Level::fault, questions.front().about,
                       "The stair is not settled by what is given. Needed: " + joined(missing, " and ") + ".",
                       std::nullopt}};
    append(findings, questions);
    return findings;
  }

  static void note_extension(Stair& stair, const std::optional<StairExtension>& extension,
                             const std::string& which) {
    if (!extension || extension->run != ExtensionRun::level) return;
    const Angle kink = stair.rail_.helix().slope();
    stair.notes_.push_back(
        "The level " + which + " extension meets the sloping rail in a kink of " + degrees(kink, 1) +
        ". It takes a fitted elbow, a mitre, or an easing: an arc bent " +
        (which == "bottom" ? "up" : "down") + " by " + degrees(kink, 1) + " at a radius of " +
        mm(stair.spec_.easing_radius) + ", " + mm(stair.spec_.easing_radius * kink.rad()) +
        " long, is among the segments offered (radius: common practice).");
  }

  const StairSpec& spec_;
  StockFaces faces_;
  Findings faults_;
  std::vector<std::string> notes_;
  std::string radius_from_;
  std::optional<Length> radius_, rise_, riser_;
  std::optional<Angle> sweep_, tread_;
  std::optional<int> count_;
};

Result<Stair> Stair::from(const StairSpec& spec, const StockFaces& faces) {
  return StairMaker(spec, faces).make();
}

std::optional<Angle> Stair::tread_angle() const {
  if (spec_.tread_angle) return spec_.tread_angle;
  if (spec_.going && spec_.walk_line) return Angle::rad(*spec_.going / *spec_.walk_line);
  if (riser_count_) return sweep() / static_cast<double>(*riser_count_);
  return std::nullopt;
}

std::optional<Length> Stair::riser_height() const {
  const auto tread = tread_angle();
  if (!tread) return std::nullopt;
  return rail_.helix().pitch() * tread->turns();
}

std::vector<RailPoint> Stair::rail_line() const {
  std::vector<RailPoint> line;
  const auto tread = tread_angle();
  const auto riser = riser_height();
  if (!spec_.rail_height || !riser_count_ || !tread || !riser) return line;
  for (int i = 1; i <= *riser_count_; ++i) {
    const Length nosing = *riser * static_cast<double>(i);
    line.push_back({i, *tread * (i - 1.0), nosing, nosing + *spec_.rail_height});
  }
  return line;
}

std::optional<Length> Stair::going_at_walk_line() const {
  if (spec_.going) return spec_.going;
  const auto tread = tread_angle();
  if (!tread) return std::nullopt;
  return (spec_.walk_line ? *spec_.walk_line : rail_.helix().plan_radius()) * tread->rad();
}

Length Stair::extension_length(const StairExtension& extension) const {
  if (extension.length) return *extension.length;
  const Length going = going_at_walk_line().value_or(rail_.helix().plan_radius() * Angle::deg(27).rad());
  return extension.run == ExtensionRun::level ? going : going / std::cos(rail_.helix().slope().rad());
}

std::vector<SegmentSpec> Stair::segments() const {
  std::vector<SegmentSpec> all;
  const auto straight = [&](const StairExtension& extension) {
    SegmentSpec spec;
    spec.kind = SegmentKind::straight;
    spec.with(SegmentMeasure::length, extension_length(extension));
    return spec;
  };
  const auto easing = [&](Bends bends) {
    SegmentSpec spec;
    spec.kind = SegmentKind::arc;
    spec.bends = bends;
    spec.with(SegmentMeasure::radius, spec_.easing_radius).with(SegmentMeasure::angle, rail_.helix().slope());
    return spec;
  };
  if (spec_.bottom_extension) {
    all.push_back(straight(*spec_.bottom_extension));
    if (spec_.bottom_extension->run == ExtensionRun::level) all.push_back(easing(Bends::up));
  }
  SegmentSpec helix;
  helix.kind = SegmentKind::helix;
  helix.hand = rail_.hand();
  helix.with(SegmentMeasure::radius, rail_.helix().plan_radius())
      .with(SegmentMeasure::rise, rail_.rise())
      .with(SegmentMeasure::angle, rail_.sweep());
  all.push_back(helix);
  if (spec_.top_extension) {
    if (spec_.top_extension->run == ExtensionRun::level) all.push_back(easing(Bends::down));
    all.push_back(straight(*spec_.top_extension));
  }
  return all;
}

}  // namespace coilwright
