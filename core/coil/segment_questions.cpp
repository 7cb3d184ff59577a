#include <coilwright/coil/coil_measures.hpp>
#include <coilwright/coil/segment_questions.hpp>
#include <numbers>

namespace coilwright {
namespace {

using enum SegmentMeasure;
constexpr double pi = std::numbers::pi;

bool has_radius(const SegmentNumbers& known) {
  return known.contains(radius) || known.contains(diameter) || known.contains(bend_radius);
}
bool has_turn(const SegmentNumbers& known) {
  return known.contains(angle) || known.contains(turns);
}

// "90 degrees makes 1256.6 mm, ..." for the radius that is known.
std::string usual_arcs(const SegmentNumbers& known) {
  std::vector<std::string> replies;
  for (const double degrees : {90.0, 180.0, 360.0}) {
    SegmentNumbers with = known;
    with[angle] = degrees * pi / 180.0;
    const auto shapes = solve_arc(with);
    if (shapes.fit.empty()) continue;
    const SegmentNumbers made = arc_measures(shapes.fit.front());
    replies.push_back(segment_value_text(angle, with[angle]) + " makes a length of " +
                      segment_value_text(length, made.at(length), 1));
  }
  return replies.empty() ? "" : " For instance " + joined(replies, ", ") + ".";
}

std::string usual_tapers(const SegmentNumbers& known) {
  if (!known.contains(start_radius) || !known.contains(end_radius)) return "";
  std::vector<std::string> replies;
  for (const double count : {2.0, 3.0, 4.0}) {
    SegmentNumbers with = known;
    with[turns] = count;
    const auto shapes = solve_taper(with);
    if (shapes.fit.empty()) continue;
    const TaperNumbers& t = shapes.fit.front();
    replies.push_back(segment_value_text(turns, count) + " make a length of " +
                      segment_value_text(length, taper_length_mm(t), 1) + " and turns " +
                      segment_value_text(length, std::abs(t.end_radius_mm - t.start_radius_mm) / count, 1) +
                      " apart");
  }
  return replies.empty() ? "" : " For instance " + joined(replies, ", ") + ".";
}

}  // namespace

Findings segment_questions(const SegmentSpec& spec, const SegmentNumbers& known, const std::string& about) {
  Findings questions;
  const auto ask = [&](SegmentMeasure measure, std::string text) {
    questions.push_back(
        {Level::question, about + segment_measure_key(measure), std::move(text), std::nullopt});
  };
  if (spec.kind == SegmentKind::straight) ask(length, "How long is the straight?");
  if (spec.kind == SegmentKind::arc) {
    const bool one_more = known.contains(length) || known.contains(chord) || known.contains(chord_rise);
    if (!has_radius(known) && !(has_turn(known) && one_more))
      ask(radius,
          "What is the radius of the arc, and is it to the centreline, the inside or the outside of the "
          "stock? Or "
          "its chord and the rise over it?");
    if (!has_turn(known) && !(has_radius(known) && one_more))
      ask(angle, "Through how many degrees does the arc turn, or how long is it?" +
                     (has_radius(known) ? usual_arcs(known) : std::string()));
  }
  if (spec.kind == SegmentKind::cone || spec.kind == SegmentKind::scroll) {
    if (!known.contains(start_radius))
      ask(start_radius,
          "What is the radius in plan where it begins as it is fed, and to which face of the stock?");
    if (!known.contains(end_radius)) ask(end_radius, "What is the radius in plan where it ends?");
    const bool climbs = known.contains(rise) || known.contains(pitch);
    if (spec.kind == SegmentKind::cone && !climbs)
      ask(rise, "How much does it rise from end to end, or in one turn?");
    if (!has_turn(known)) ask(turns, "How many turns does it make, or how long is it?" + usual_tapers(known));
  }

  std::vector<std::string> phrases, missing;
  for (const auto& [measure, value] : spec.given)
    phrases.push_back(std::string(segment_measure_name(measure)) + " " + segment_value_text(measure, value));
  for (const Finding& q : questions) {
    std::string key = q.about.substr(about.size());
    for (char& c : key)
      if (c == '_') c = ' ';
    missing.push_back("the " + key);
  }
  const std::string kind = std::string(segment_kind_name(spec.kind));
  std::string text = phrases.empty()
                         ? "Nothing is known of this " + kind + ". "
                         : "The " + kind + " is not settled by its " + joined(phrases, " and ") + ". ";
  text += "Needed: " + joined(missing, " and ") + ".";
  Findings findings{{Level::fault, questions.front().about, text, std::nullopt}};
  append(findings, questions);
  return findings;
}

}  // namespace coilwright
