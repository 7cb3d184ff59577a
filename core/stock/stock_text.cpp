#include <algorithm>
#include <cmath>
#include <coilwright/quantity/characters.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/stock/size_tables.hpp>
#include <coilwright/stock/stock_text.hpp>
#include <coilwright/stock/writing.hpp>
#include <vector>

namespace coilwright {
namespace {

constexpr std::string_view tube_instead =
    "Write a tube as 42.4x2.6 mm, 1.66 x 0.140 in, 1-1/4 in x 14 BWG, NPS 1-1/4 Sch 40 or EN 10219 42.4x2.5.";

// A stretch of the plain letters.
struct Stretch {
  std::size_t from, to;
  [[nodiscard]] bool empty() const { return from == to; }
};

bool ends_a_number(char c) {
  return (c >= '0' && c <= '9') || c == '.' || c == Writing::fraction;
}

class Reader {
 public:
  Reader(std::string_view text, std::string_view about, std::optional<LengthUnit> bare)
      : text_(text),
        about_(about),
        bare_(bare),
        writing_(text),
        all_(trimmed({0, writing_.plain().size()})) {}

  Result<RoundStockText> tube();
  Result<RoundStockText> bar();

 private:
  [[nodiscard]] const std::string& plain() const { return writing_.plain(); }
  [[nodiscard]] std::string plain(Stretch s) const { return plain().substr(s.from, s.to - s.from); }
  [[nodiscard]] std::string written(Stretch s) const { return std::string(writing_.written(s.from, s.to)); }
  [[nodiscard]] Stretch trimmed(Stretch s) const {
    while (s.from < s.to && plain()[s.from] == ' ') ++s.from;
    while (s.from < s.to && plain()[s.to - 1] == ' ') --s.to;
    return s;
  }
  // Takes a word off the front of a stretch, and the spaces behind it, if it stands there.
  bool take(Stretch& s, std::string_view word) const {
    if (!plain(s).starts_with(word)) return false;
    s = trimmed({s.from + word.size(), s.to});
    return true;
  }
  bool take_number(Stretch& s, int& number) const {
    std::size_t end = s.from;
    int value = 0;
    while (end < s.to && plain()[end] >= '0' && plain()[end] <= '9' && end - s.from < 6)
      value = 10 * value + (plain()[end++] - '0');
    if (end == s.from) return false;
    number = value;
    s = trimmed({end, s.to});
    return true;
  }

  [[nodiscard]] tl::unexpected<Findings> no(std::size_t at, const std::string& reason,
                                            std::string_view instead) const {
    const int column = static_cast<int>(at) + 1;
    return refuse(Findings{{Level::fault, about_,
                            quoted(text_) + " cannot be read as round stock, character " +
                                std::to_string(column) + ": " + reason + ". " + std::string(instead),
                            Place{"", 0, column}}});
  }
  [[nodiscard]] Result<Length> length(Stretch s, std::string_view name, const std::string& unit,
                                      std::optional<LengthUnit> bare) const;
  struct OuterAndWall {
    Length outside_diameter, wall;
    bool wall_from_gauge = false;
  };
  [[nodiscard]] Result<OuterAndWall> measures(Stretch s, std::optional<LengthUnit> bare) const;
  [[nodiscard]] std::string own_unit(Stretch s) const;
  [[nodiscard]] Result<Length> gauge(Stretch s) const;
  [[nodiscard]] bool is_gauge(Stretch s) const;
  [[nodiscard]] Result<RoundStockText> pipe(Stretch s, bool by_dn) const;
  [[nodiscard]] Result<RoundStockText> tabulated(Stretch s, const std::string& standard,
                                                 std::optional<LengthUnit> bare) const;
  [[nodiscard]] Result<RoundStockText> made(Result<Section> section, std::string source) const;
  [[nodiscard]] Findings doubts(const OuterAndWall& m) const;

  std::string_view text_;
  std::string about_;
  std::optional<LengthUnit> bare_;
  Writing writing_;
  Stretch all_;
};

std::string listed(const std::vector<std::string>& items) {
  std::string text;
  for (const std::string& item : items) text += (text.empty() ? "" : ", ") + item;
  return text;
}

// Without trailing zeros.
std::string short_number(double value, int decimals) {
  std::string text = number_text(value, decimals);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

Result<Length> Reader::length(Stretch s, std::string_view name, const std::string& unit,
                              std::optional<LengthUnit> bare) const {
  Result<Length> read = read_length(written(s) + unit, about_, bare);
  if (read) return read;
  Findings findings = std::move(read.error());
  for (Finding& f : findings) {
    f.text = "In " + quoted(text_) + ", the " + std::string(name) + ": " + f.text;
    if (f.place)
      f.place->column =
          std::min(f.place->column + static_cast<int>(s.from), static_cast<int>(plain().size()) + 1);
  }
  return refuse(std::move(findings));
}

// The unit a measure ends with, with a space in front; empty for a bare number.
std::string Reader::own_unit(Stretch s) const {
  std::size_t from = s.to;
  while (from > s.from && !ends_a_number(plain()[from - 1])) --from;
  const Stretch unit = trimmed({from, s.to});
  return unit.empty() ? std::string() : std::string(" ").append(writing_.written(unit.from, unit.to));
}

bool Reader::is_gauge(Stretch s) const {
  const std::string words = plain(s);
  for (const std::string_view mark : {"bwg", "swg", "awg", "ga"})
    if (words.find(mark) != std::string::npos) return true;
  return false;
}

Result<Length> Reader::gauge(Stretch s) const {
  Stretch rest = s;
  int number = 0;
  bool birmingham = take(rest, "bwg");
  const bool numbered = take_number(rest, number);
  birmingham = birmingham || take(rest, "bwg");
  if (!birmingham || !numbered || !rest.empty())
    return no(s.from, "a gauge number alone names different walls in different tables",
              "Say 14 BWG for the Birmingham gauge of tube walls, or give the wall as a length.");
  std::vector<std::string> known;
  for (const TubeGauge& g : known_tube_gauges()) {
    if (g.number == number) return g.wall;
    known.push_back(std::to_string(g.number));
  }
  return no(s.from, std::to_string(number) + " BWG is not tabulated here",
            "Known gauges: " + listed(known) + "; or give the wall as a length.");
}

Result<Reader::OuterAndWall> Reader::measures(Stretch s, std::optional<LengthUnit> bare) const {
  const std::size_t cross = plain().find('x', s.from);
  if (cross >= s.to) return no(s.to, "the wall is missing", tube_instead);
  const Stretch outer = trimmed({s.from, cross}), wall = trimmed({cross + 1, s.to});
  if (const std::size_t second = plain().find('x', cross + 1); second < s.to)
    return no(second, "a round tube has two measures, outside diameter and wall", tube_instead);
  if (outer.empty()) return no(cross, "the outside diameter is missing", tube_instead);
  if (wall.empty()) return no(s.to, "the wall is missing", tube_instead);

  const std::string outer_unit = own_unit(outer);
  if (is_gauge(wall)) {
    const Result<Length> thickness = gauge(wall);
    const Result<Length> diameter = length(outer, "outside diameter", "", bare);
    Findings findings;
    if (!diameter) append(findings, diameter.error());
    if (!thickness) append(findings, thickness.error());
    if (!findings.empty()) return refuse(std::move(findings));
    return OuterAndWall{*diameter, *thickness, true};
  }
  const std::string wall_unit = own_unit(wall);
  if (outer_unit.empty() && wall_unit.empty() && !bare)
    return no(s.to, "the unit is missing", "Write mm or in behind the wall, as in 42.4x2.6 mm.");
  const Result<Length> thickness = length(wall, "wall", wall_unit.empty() ? outer_unit : "", bare);
  if (!thickness && outer_unit.empty()) return refuse(thickness.error());  // its unit may be what is wrong
  const Result<Length> diameter =
      length(outer, "outside diameter", outer_unit.empty() ? wall_unit : "", bare);
  Findings findings;
  if (!diameter) append(findings, diameter.error());
  if (!thickness) append(findings, thickness.error());
  if (!findings.empty()) return refuse(std::move(findings));
  return OuterAndWall{*diameter, *thickness};
}

Result<RoundStockText> Reader::made(Result<Section> section, std::string source) const {
  if (section) return RoundStockText{std::move(*section), written(all_), std::move(source), {}};
  Findings findings = std::move(section.error());
  for (Finding& f : findings) {
    f.about = about_;
    f.text = "In " + quoted(text_) + ": " + f.text;
  }
  return refuse(std::move(findings));
}

// "sch 40s", "schedule 40", "std": the column "40S", "40", "STD".
std::string schedule_name(std::string words) {
  for (const std::string_view word : {"schedule", "sched", "sch"})
    if (words.starts_with(word)) {
      words.erase(0, word.size());
      break;
    }
  std::string name;
  for (const char c : words)
    if (c != ' ' && c != '.' && c != '-') name += c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
  return name;
}

std::string nearest_schedule(const std::string& asked, const Pipe& pipe) {
  std::vector<std::string> names;
  for (const PipeSchedule& s : pipe.schedules) names.emplace_back(s.name);
  if (std::string near = nearest_word(asked, names); !near.empty()) return near;
  const auto number = read_number(asked, "schedule");
  if (!number) return {};
  std::string best;
  double least = 0.0;
  for (const std::string& name : names) {
    const auto of_name = read_number(name, "schedule");
    if (!of_name) continue;
    const double away = std::abs(*of_name - *number);
    if (best.empty() || away < least) {
      best = name;
      least = away;
    }
  }
  return best;
}

// The pipe sizes next below and above, as a sentence.
std::string neighbours(double nominal, bool by_dn) {
  const auto size = [by_dn](const Pipe& p) { return by_dn ? static_cast<double>(p.dn) : p.nominal_inches; };
  const auto name = [by_dn](const Pipe& p) {
    return by_dn ? "DN " + std::to_string(p.dn) : "NPS " + std::string(p.nps);
  };
  const Pipe *below = nullptr, *above = nullptr;
  for (const Pipe& p : known_pipes()) {
    if (size(p) < nominal) below = &p;
    if (size(p) > nominal && above == nullptr) above = &p;
  }
  if (below == nullptr) return "The smallest tabulated here is " + name(*above) + ".";
  if (above == nullptr) return "The largest tabulated here is " + name(*below) + ".";
  return "The nearest tabulated here are " + name(*below) + " and " + name(*above) + ".";
}

Result<RoundStockText> Reader::pipe(Stretch s, bool by_dn) const {
  std::size_t split = plain().find("sch", s.from);
  for (const std::string_view word : {"std", "xxs", "xs"})
    split = std::min(split, plain().find(word, s.from));
  split = std::min(split, s.to);
  const Stretch size = trimmed({s.from, split}), schedule = trimmed({split, s.to});
  if (size.empty())
    return no(split, "the nominal size is missing", "Write NPS 1-1/4 Sch 40 or DN 32 Sch 40.");

  double nominal = 0.0;
  if (by_dn) {
    int dn = 0;
    Stretch rest = size;
    if (!take_number(rest, dn) || !rest.empty())
      return no(rest.from, "DN stands before a whole number", "Write DN 32 Sch 40.");
    nominal = dn;
  } else {
    const Result<Length> inches = length(size, "nominal size", "", LengthUnit::inch);
    if (!inches) return refuse(inches.error());
    nominal = inches->inches();
  }
  const auto known = known_pipes();
  const auto found = std::find_if(known.begin(), known.end(), [&](const Pipe& p) {
    return by_dn ? p.dn == static_cast<int>(nominal) : std::abs(p.nominal_inches - nominal) < 1e-9 * nominal;
  });
  if (found == known.end()) {
    std::string instead = neighbours(nominal, by_dn);
    for (const Pipe& p : known)
      if (std::abs(p.outside_diameter.mm() - nominal * (by_dn ? 1.0 : 25.4)) < 0.5)
        instead += " An outside diameter of " + short_number(p.outside_diameter.mm(), 1) +
                   " mm is that of NPS " + std::string(p.nps) + ", DN " + std::to_string(p.dn) + ".";
    return no(size.from, "this nominal size is not tabulated", instead);
  }

  std::vector<std::string> names;
  for (const PipeSchedule& each : found->schedules) names.emplace_back(each.name);
  const std::string size_name = by_dn ? "DN " + std::to_string(found->dn) : "NPS " + std::string(found->nps);
  if (schedule.empty())
    return no(s.to, "the schedule is missing",
              "Write " + size_name + " Sch 40; known for this size: " + listed(names) + ".");
  const std::string asked = schedule_name(plain(schedule));
  for (const PipeSchedule& each : found->schedules)
    if (each.name == asked)
      return made(Section::round_tube(found->outside_diameter, each.wall), std::string(each.source));
  const std::string near = nearest_schedule(asked, *found);
  return no(
      schedule.from, "schedule " + quoted(asked) + " is not tabulated for " + size_name,
      (near.empty() ? std::string() : "The nearest is " + near + ". ") + "Known: " + listed(names) + ".");
}

Result<RoundStockText> Reader::tabulated(Stretch s, const std::string& standard,
                                         std::optional<LengthUnit> bare) const {
  const Result<OuterAndWall> asked = measures(s, bare);
  if (!asked) return refuse(asked.error());
  constexpr double same_mm = 0.005;  // half the last digit of any tabulated measure
  std::vector<std::string> walls;
  const RoundSize* nearest = nullptr;
  for (const RoundSize& size : known_round_sizes()) {
    if (!size.name.starts_with(standard)) continue;
    const double off_mm = std::abs((size.outside_diameter - asked->outside_diameter).mm());
    if (off_mm < same_mm && std::abs((size.wall - asked->wall).mm()) < same_mm)
      return made(Section::round_tube(size.outside_diameter, size.wall), size.source);
    if (off_mm < same_mm) walls.push_back(size.name);
    if (nearest == nullptr || off_mm < std::abs((nearest->outside_diameter - asked->outside_diameter).mm()))
      nearest = &size;
  }
  return no(s.from, "this size of " + standard + " is not tabulated here",
            (walls.empty() ? "The nearest outside diameter is that of " + nearest->name
                           : "With this outside diameter: " + listed(walls)) +
                ". To use the measures as they are, leave the standard out.");
}

// Measures that are a pipe's nominal size and one of its two common walls, which few tubes have.
Findings Reader::doubts(const OuterAndWall& m) const {
  for (const Pipe& p : known_pipes()) {
    if (std::abs(m.outside_diameter.inches() - p.nominal_inches) > 1e-9) continue;
    for (const PipeSchedule& s : p.schedules)
      if ((s.name == "40" || s.name == "80") && std::abs((m.wall - s.wall).mm()) < 0.02)
        return {{Level::question, about_,
                 "Is the tube " + short_number(m.outside_diameter.inches(), 3) +
                     " in in outside diameter, or is it pipe NPS " + std::string(p.nps) + " Sch " +
                     std::string(s.name) + ", which measures " + number_text(p.outside_diameter.inches(), 2) +
                     " in (" + short_number(p.outside_diameter.mm(), 1) + " mm) over its outside?",
                 std::nullopt}};
  }
  return {};
}

Result<RoundStockText> Reader::tube() {
  if (!writing_.readable()) return no(plain().size(), "this is not UTF-8 text", "Save or type it as UTF-8.");
  if (all_.empty()) return no(0, "there is nothing", tube_instead);
  Stretch rest = all_;
  if (take(rest, "nps") || take(rest, "pipe")) return pipe(rest, false);
  if (take(rest, "dn")) return pipe(rest, true);
  if (take(rest, "hss")) return tabulated(rest, "HSS", LengthUnit::inch);
  if (take(rest, "en") || take(rest, "din")) {
    const std::size_t at = rest.from;
    int number = 0, part = 0;
    if (!take_number(rest, number)) return no(at, "the number of the standard is missing", tube_instead);
    if (take(rest, "-")) take_number(rest, part);
    if (number == 2448) number = 10220;
    const std::string standard = "EN " + std::to_string(number);
    for (const RoundSize& size : known_round_sizes())
      if (size.name.starts_with(standard + " ")) return tabulated(rest, standard, LengthUnit::mm);
    return no(
        at, "no sizes of this standard are tabulated here",
        "Known: EN 10219, EN 10210, EN 10220 (DIN 2448); or leave the standard out and give the measures.");
  }
  const std::size_t schedule = plain().find("sch", rest.from);
  if (schedule < rest.to)
    return no(schedule, "a schedule goes with a nominal pipe size, which is not an outside diameter",
              "Write NPS 1-1/4 Sch 40, or DN 32 Sch 40.");
  const bool circular_hollow_section = take(rest, "chs");  // the European word, always in mm
  if (!rest.empty() && plain()[rest.from] == Writing::diameter_sign) rest = trimmed({rest.from + 1, rest.to});

  const Result<OuterAndWall> m = measures(rest, circular_hollow_section ? LengthUnit::mm : bare_);
  if (!m) return refuse(m.error());
  Result<RoundStockText> tube = made(Section::round_tube(m->outside_diameter, m->wall),
                                     m->wall_from_gauge ? std::string(tube_gauge_source) : std::string());
  if (tube && !m->wall_from_gauge) tube->doubts = doubts(*m);
  return tube;
}

Result<RoundStockText> Reader::bar() {
  if (!writing_.readable()) return no(plain().size(), "this is not UTF-8 text", "Save or type it as UTF-8.");
  constexpr std::string_view instead = "Write a round bar by its diameter: 25 mm, 1 in.";
  Stretch rest = all_;
  if (!rest.empty() && plain()[rest.from] == Writing::diameter_sign) rest = trimmed({rest.from + 1, rest.to});
  if (rest.empty()) return no(0, "there is nothing", instead);
  if (const std::size_t cross = plain().find('x', rest.from); cross < rest.to)
    return no(cross, "a round bar has one measure; with a wall it is a tube", instead);
  const Result<Length> diameter = length(rest, "diameter", "", bare_);
  if (!diameter) return refuse(diameter.error());
  return made(Section::round_bar(*diameter), {});
}

}  // namespace

Result<RoundStockText> read_tube(std::string_view text, std::string_view about,
                                 std::optional<LengthUnit> bare) {
  return Reader(text, about, bare).tube();
}

Result<RoundStockText> read_bar(std::string_view text, std::string_view about,
                                std::optional<LengthUnit> bare) {
  return Reader(text, about, bare).bar();
}

}  // namespace coilwright
