#include <algorithm>
#include <cmath>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/programme_drawing.hpp>
#include <functional>

namespace coilwright {
namespace {

constexpr double page_width = 297.0, page_height = 210.0, left = 30.0, right = 12.0, top = 31.0, bottom = 20.0, gap = 9.0;

// Round steps that divide a range into about so many parts.
double round_step(double range, int parts) {
  const double raw = range / parts, power = std::pow(10.0, std::floor(std::log10(raw)));
  for (const double times : {1.0, 2.0, 5.0})
    if (raw <= times * power * (1.0 + 1e-9)) return times * power;
  return 10.0 * power;
}

std::string tick_text(double value, double step) {
  return number_text(value, step >= 1.0 ? 0 : static_cast<int>(std::ceil(-std::log10(step) - 1e-9)));
}

struct Panel {
  std::string name;  // with its unit
  std::function<std::optional<double>(const ProgrammeStep&)> from, to;
  double of_reached = 0.0;  // unit of a curvature reached; 0: not of this panel
};

class Plot {
 public:
  Plot(const PlannedProgramme& planned, DrawingFormat format, const std::string& title, Show show)
      : planned_(planned), drawing_(format, {page_width, page_height}, title), unit_(show == Show::inch ? "in" : "mm"),
        per_mm_(show == Show::inch ? 1.0 / 25.4 : 1.0) {
    length_ = planned.part.centreline().length_mm() * per_mm_;
  }

  std::string draw(const std::string& title) {
    drawing_.text({left, 11.0}, title + ": roll programme", {.size_mm = 5.0, .weight = Weight::bold});
    drawing_.text({left, 17.0}, subtitle(), {.size_mm = 3.0, .colour = Colour::quiet});
    if (!planned_.reached.empty())
      drawing_.text({left, 21.5}, "Red: the curvature computed to be reached, against the one aimed at.",
                    {.size_mm = 3.0, .colour = Colour::quiet});
    const std::vector<Panel> panels = what();
    const double height = (page_height - top - bottom - gap * static_cast<double>(panels.size() - 1)) / static_cast<double>(panels.size());
    for (std::size_t i = 0; i < panels.size(); ++i) panel(panels[i], top + static_cast<double>(i) * (height + gap), height);
    const double step = round_step(length_, 10);
    for (double at = 0.0; at <= length_ * (1.0 + 1e-9); at += step)
      drawing_.text({x(at), page_height - bottom + 4.5}, tick_text(at, step), {.size_mm = 2.8, .at = Across::middle});
    drawing_.text({0.5 * (left + page_width - right), page_height - bottom + 10.5},
                  "fed length along the part, " + unit_ + ", from its front end at the centre roll", {.size_mm = 3.0, .at = Across::middle});
    return drawing_.finish();
  }

 private:
  [[nodiscard]] double x(double fed) const { return left + (page_width - left - right) * fed / length_; }

  [[nodiscard]] std::string subtitle() const {
    std::string text = "Travel from touch, lift above pass height, without the frame's give.";
    if (planned_.programme.passes.size() > 1) text += " Dashed: passes before the last.";
    if (!planned_.programme.transitions.empty()) text += " Grey: no radius is promised. Dotted: joints.";

    return text;
  }

  [[nodiscard]] std::vector<Panel> what() const {
    const double k = per_mm_;
    using Step = const ProgrammeStep&;
    std::vector<Panel> panels{{"travel, " + unit_, [k](Step s) { return std::optional(k * s.from.travel_mm); },
                               [k](Step s) { return std::optional(k * s.to.travel_mm); }}};
    const auto& last = planned_.programme.passes.back();
    if (std::any_of(last.begin(), last.end(), [](Step s) { return s.to.lift_mm.value_or(0.0) > 0.0; })) {
      const auto scaled = [k](std::optional<double> mm) { return mm ? std::optional(k * *mm) : std::nullopt; };
      panels.push_back({"lift, " + unit_, [scaled](Step s) { return scaled(s.from.lift_mm); },
                        [scaled](Step s) { return scaled(s.to.lift_mm); }});
    }
    const double per_metre = unit_ == "in" ? 12.0 * 25.4 : 1000.0;  // of curvature
    panels.push_back({unit_ == "in" ? "curvature, 1/ft" : "curvature, 1/m",
                      [per_metre](Step s) { return std::optional(per_metre * s.from.curvature); },
                      [per_metre](Step s) { return std::optional(per_metre * s.to.curvature); }, per_metre});
    panels.push_back({"feed, " + unit_ + "/s", [k](Step s) { return std::optional(k * s.feed_mm_per_s); },
                      [k](Step s) { return std::optional(k * s.feed_mm_per_s); }});
    return panels;
  }

  void panel(const Panel& panel, double y, double height) {
    double most = 0.0;
    for (const auto& pass : planned_.programme.passes)
      for (const ProgrammeStep& step : pass) most = std::max({most, panel.from(step).value_or(0.0), panel.to(step).value_or(0.0)});
    for (const ReachedCurvature& r : planned_.reached) most = std::max(most, panel.of_reached * r.curvature);
    if (most == 0.0) most = 1.0;
    const double step = round_step(most, 4), high = std::ceil(most / step - 1e-9) * step;
    const auto at = [&](double value) { return y + height * (1.0 - value / high); };
    for (const Transition& t : planned_.programme.transitions)
      drawing_.rectangle({x(t.from_mm * per_mm_), y}, x(std::min(length_, t.to_mm * per_mm_)) - x(t.from_mm * per_mm_), height, Colour::faint);
    for (double value = 0.0; value <= high * (1.0 + 1e-9); value += step) {
      drawing_.line({left, at(value)}, {page_width - right, at(value)}, {.colour = Colour::quiet, .width_mm = 0.1});
      drawing_.text({left - 1.5, at(value) + 1.0}, tick_text(value, step), {.size_mm = 2.8, .at = Across::right});
    }
    const auto& segments = planned_.part.centreline().segments();
    for (std::size_t i = 1; i < segments.size(); ++i)
      drawing_.line({x(segments[i].from_mm * per_mm_), y}, {x(segments[i].from_mm * per_mm_), y + height},
                    {.colour = Colour::quiet, .width_mm = 0.25, .dashes_mm = {0.4, 1.0}});
    for (std::size_t pass = 0; pass < planned_.programme.passes.size(); ++pass) {
      std::vector<PagePoint> points;
      for (const ProgrammeStep& s : planned_.programme.passes[pass]) {
        const auto from = panel.from(s), to = panel.to(s);
        if (!from || !to) continue;
        points.push_back({x(s.fed_from_mm * per_mm_), at(*from)});
        points.push_back({x(s.fed_to_mm * per_mm_), at(*to)});
      }
      const bool last = pass + 1 == planned_.programme.passes.size();
      if (points.size() >= 2)
        drawing_.polyline(points, {.colour = Colour::accent, .width_mm = last ? 0.6 : 0.35,
                                   .dashes_mm = last ? std::vector<double>{} : std::vector<double>{2.0, 1.2}});
    }
    if (panel.of_reached > 0.0 && planned_.reached.size() >= 2) {
      std::vector<PagePoint> points;
      for (const ReachedCurvature& r : planned_.reached)
        points.push_back({x(std::min(length_, r.fed_mm * per_mm_)), at(panel.of_reached * r.curvature)});
      drawing_.polyline(points, {.colour = Colour::bad, .width_mm = 0.35});
    }
    drawing_.frame({left, y}, page_width - left - right, height, {.width_mm = 0.3});
    drawing_.text({left, y - 1.8}, panel.name, {.size_mm = 3.2, .weight = Weight::bold});
  }

  const PlannedProgramme& planned_;
  Drawing drawing_;
  std::string unit_;
  double per_mm_, length_ = 1.0;
};

}  // namespace

std::string programme_drawing(const PlannedProgramme& planned, const std::string& title, DrawingFormat format, Show show) {
  return Plot(planned, format, title, show).draw(title);
}

}  // namespace coilwright
