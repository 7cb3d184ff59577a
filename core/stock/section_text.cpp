#include <algorithm>
#include <coilwright/quantity/characters.hpp>
#include <cmath>
#include <coilwright/stock/section_shape.hpp>
#include <coilwright/stock/section_text.hpp>
#include <coilwright/stock/size_tables.hpp>
#include <coilwright/stock/writing.hpp>

namespace coilwright {
namespace {

struct Stretch {
  std::size_t from, to;
  [[nodiscard]] bool empty() const { return from >= to; }
};

// What a text must look like, for sentences.
const char* example_of(SectionWord word) {
  switch (word) {
    case SectionWord::square: return "Write a square tube as 50x50x3 mm, side x side x wall.";
    case SectionWord::rectangle: return "Write a rectangular tube as 60x40x3 mm hard way, or easy way.";
    case SectionWord::flat: return "Write a flat bar as 50x10 mm easy way, or hard way (like a washer).";
    case SectionWord::angle: return "Write an angle as 50x50x5 mm leg in (or leg out), an unequal one as 75x50x6 mm, 75 mm leg in.";
    case SectionWord::channel:
      return "Write a channel as UPE 80 flanges in (or flanges out, or hard way), or by height x flange width x web x flange, "
             "80x50x4x7 mm flanges in.";
    case SectionWord::tee: return "Write a tee as 50x50x6 mm stem in (or stem out), height x flange width x thickness.";
    case SectionWord::beam: break;
  }
  return "Write an I-beam as 80x46x3.8x5.2 mm hard way (or easy way), height x flange width x web x flange.";
}

class Reader {
 public:
  Reader(SectionWord word, std::string_view text, std::string_view about, std::optional<LengthUnit> bare,
         const std::optional<CornerRule>& corners)
      : word_(word), text_(text), about_(about), bare_(bare), corners_(corners), writing_(text) {}

  Result<StockText> read() {
    if (!writing_.readable()) return no(plain().size(), "this is not UTF-8 text");
    Stretch all = trimmed({0, plain().size()});
    if (all.empty()) return no(0, "there is nothing");
    designation_ = std::string(writing_.written(all.from, all.to));
    const Stretch lies = orientation(all);
    const Stretch size = trimmed({all.from, lies.from});
    switch (word_) {
      case SectionWord::square:
      case SectionWord::rectangle: return hollow(size, lies);
      case SectionWord::flat: return flat(size, lies);
      case SectionWord::angle: return angle(size, lies);
      case SectionWord::channel: return channel(size, lies);
      case SectionWord::tee: return tee(size, lies);
      case SectionWord::beam: break;
    }
    return beam(size, lies);
  }

 private:
  [[nodiscard]] const std::string& plain() const { return writing_.plain(); }
  [[nodiscard]] std::string plain(Stretch s) const { return s.empty() ? "" : plain().substr(s.from, s.to - s.from); }
  [[nodiscard]] Stretch trimmed(Stretch s) const {
    const auto gap = [&](std::size_t at) { return plain()[at] == ' ' || plain()[at] == ','; };
    while (s.from < s.to && gap(s.from)) ++s.from;
    while (s.from < s.to && gap(s.to - 1)) --s.to;
    return s;
  }
  bool take(Stretch& s, std::string_view word) const {
    if (!plain(s).starts_with(word)) return false;
    s = trimmed({s.from + word.size(), s.to});
    return true;
  }
  [[nodiscard]] tl::unexpected<Findings> no(std::size_t at, const std::string& reason) const {
    const int column = static_cast<int>(at) + 1;
    return refuse(Findings{{Level::fault, about_,
                            quoted(text_) + " cannot be read, character " + std::to_string(column) + ": " + reason + ". " + example_of(word_),
                            Place{"", 0, column}}});
  }

  // Where the words about how it lies begin: at a comma before them, or at the first of them.
  [[nodiscard]] Stretch orientation(Stretch all) const {
    std::size_t first = all.to;
    for (const std::string_view word : {"leg", "long leg", "short leg", "flange", "stem", "hard", "easy", "web", "toes"})
      if (const std::size_t at = plain().find(word, all.from); at < first) first = at;
    const std::size_t comma = plain().rfind(',', first);
    if (comma != std::string::npos && first < all.to) first = comma;
    return trimmed({first, all.to});
  }

  // Lengths with x between them; a unit behind the last serves those without one.
  [[nodiscard]] Result<std::vector<Length>> measures(Stretch s, std::size_t least, std::size_t most, std::optional<LengthUnit> bare) const {
    std::vector<Stretch> pieces;
    for (std::size_t from = s.from; from <= s.to;) {
      const std::size_t cross = std::min(plain().find('x', from), s.to);
      pieces.push_back(trimmed({from, cross}));
      if (pieces.back().empty()) return no(from, "a measure is missing");
      from = cross + 1;
    }
    if (pieces.size() < least || pieces.size() > most)
      return no(s.from, std::to_string(pieces.size()) + (pieces.size() == 1 ? " measure is" : " measures are") + " given, it takes " +
                            std::to_string(least) + (most > least ? " or " + std::to_string(most) : ""));
    const std::string last_unit = unit_of(pieces.back());
    std::vector<Length> lengths;
    Findings faults;
    for (const Stretch& piece : pieces) {
      const std::string unit = unit_of(piece).empty() ? last_unit : "";
      Result<Length> read = read_length(std::string(writing_.written(piece.from, piece.to)) + unit, about_, bare);
      if (read) {
        lengths.push_back(*read);
        continue;
      }
      for (Finding f : read.error()) {
        f.text = "In " + quoted(text_) + ": " + f.text;
        if (f.place) f.place->column = std::min(f.place->column + static_cast<int>(piece.from), static_cast<int>(plain().size()) + 1);
        faults.push_back(std::move(f));
      }
      if (last_unit.empty() && !bare) break;  // the one fault: no unit
    }
    if (!faults.empty()) return refuse(std::move(faults));
    return lengths;
  }
  [[nodiscard]] std::string unit_of(Stretch s) const {
    std::size_t from = s.to;
    const auto number = [&](char c) { return (c >= '0' && c <= '9') || c == '.' || c == Writing::fraction; };
    while (from > s.from && !number(plain()[from - 1])) --from;
    const Stretch unit = trimmed({from, s.to});
    return unit.empty() ? "" : " " + std::string(writing_.written(unit.from, unit.to));
  }

  [[nodiscard]] Result<StockText> made(const Section::Kind& kind, std::string_view source) const {
    Result<Section> section = Section::from(kind);
    if (section) return StockText{std::move(*section), designation_, std::string(source), {}};
    Findings faults = std::move(section.error());
    for (Finding& f : faults) f.about = about_, f.text = "In " + quoted(text_) + ": " + f.text;
    return refuse(std::move(faults));
  }

  [[nodiscard]] Result<Way> way(Stretch lies) const {
    const std::string words = plain(lies);
    if (words == "hard way" || words == "hardway" || words == "hard") return Way::hard;
    if (words == "easy way" || words == "easyway" || words == "easy") return Way::easy;
    return no(lies.from, "it does not say which way it is bent, the easy way (like a belt) or the hard way (like a washer)");
  }
  // "leg in", "stem out", "flanges in"
  [[nodiscard]] std::optional<Points> in_or_out(std::string words, std::string_view noun) const {
    if (!words.starts_with(noun)) return std::nullopt;
    words.erase(0, noun.size());
    if (words == " in") return Points::to_the_centre;
    if (words == " out") return Points::to_the_outside;
    return std::nullopt;
  }

  Result<StockText> hollow(Stretch size, Stretch lies) {
    CornerRule rule = corners_.value_or(CornerRule{});
    std::optional<LengthUnit> bare = bare_;
    std::string source;
    for (const std::string_view word : {"shs", "rhs"})
      if (take(size, word)) bare = LengthUnit::mm;
    if (take(size, "hss")) {
      bare = LengthUnit::inch;
      source = "AISC name, nominal wall";
    } else if (take(size, "en")) {
      bare = LengthUnit::mm;
      const bool cold = take(size, "10219"), hot = !cold && take(size, "10210");
      if (!cold && !hot) return no(size.from, "of the standards EN 10219 (cold formed) and EN 10210 (hot finished) are known here");
      if (take(size, "-")) take(size, "2");
      if (!corners_) rule.corners = cold ? Corners::cold_formed : Corners::hot_finished;
      source = cold ? "EN 10219-2, its rule for corners" : "EN 10210-2, its rule for corners";
    }
    const bool square = word_ == SectionWord::square;
    const Result<std::vector<Length>> m = measures(size, square ? 2 : 3, 3, bare);
    if (!m) return refuse(m.error());
    const Length a = (*m)[0], b = m->size() == 3 ? (*m)[1] : a, wall = m->back();
    if (square) {
      if (a != b) return no(size.from, "the sides differ: that is a rectangle, which takes the way it is bent");
      if (!lies.empty()) return no(lies.from, "a square tube has no easy or hard way");
      return made(RectangularTube{a, a, wall, rule.corners, rule.outside}, source);
    }
    if (a == b) return no(size.from, "the sides are equal: give it as square");
    const Result<Way> lie = way(lies);
    if (!lie) return refuse(lie.error());
    const Length depth = *lie == Way::hard ? std::max(a, b) : std::min(a, b);
    return made(RectangularTube{depth, a + b - depth, wall, rule.corners, rule.outside}, source);
  }

  Result<StockText> flat(Stretch size, Stretch lies) {
    const Result<std::vector<Length>> m = measures(size, 2, 2, bare_);
    const Result<Way> lie = way(lies);
    if (!m) return refuse(m.error());
    if (!lie) return refuse(lie.error());
    return made(FlatBar{std::max((*m)[0], (*m)[1]), std::min((*m)[0], (*m)[1]), *lie}, "");
  }

  Result<StockText> angle(Stretch size, Stretch lies) {
    std::optional<LengthUnit> bare = bare_;
    if (take(size, "en")) {
      if (!take(size, "10056")) return no(size.from, "of angles the standard EN 10056 is known here");
      bare = LengthUnit::mm;
    } else if (take(size, "l")) {
      bare = bare ? bare : LengthUnit::mm;
    }
    const Result<std::vector<Length>> m = measures(size, 3, 3, bare);
    if (!m) return refuse(m.error());
    const Length a = (*m)[0], b = (*m)[1], t = (*m)[2];
    // "75 mm leg in", "long leg in", "leg in"
    const std::string words = plain(lies);
    const std::size_t at = words.find("leg");
    const auto points = at == std::string::npos ? std::nullopt : in_or_out(words.substr(at), "leg");
    if (!points) return no(lies.from, "it does not say whether a leg points in or out");
    const Stretch which = trimmed({lies.from, lies.from + at});
    Length leg = a;
    if (which.empty()) {
      if (a != b) return no(lies.from, "the legs differ: say which one points in or out");
    } else if (plain(which) == "long") {
      leg = std::max(a, b);
    } else if (plain(which) == "short") {
      leg = std::min(a, b);
    } else {
      const std::string unit = unit_of(which).empty() ? unit_of(size) : "";
      const Result<Length> read = read_length(std::string(writing_.written(which.from, which.to)) + unit, about_, bare);
      constexpr double same_mm = 0.05;
      if (read && std::abs((*read - a).mm()) < same_mm) leg = a;
      else if (read && std::abs((*read - b).mm()) < same_mm) leg = b;
      else return no(which.from, "this is neither of the legs");
    }
    AngleBar bar{leg, a + b - leg, t, *points};
    if (leg == a) bar.shaft_leg = b;
    for (const AngleSize& known : known_angles())
      if (known.long_leg == std::max(a, b) && known.short_leg == std::min(a, b) && known.thickness == t) {
        bar.root_radius = known.root_radius, bar.toe_radius = known.root_radius / 2.0;
        return made(bar, known.source);
      }
    return made(bar, "");
  }

  Result<StockText> channel(Stretch size, Stretch lies) {
    const std::string words = plain(lies);
    std::optional<ChannelWay> lie;
    for (const std::string_view noun : {"flanges", "flange", "toes"})
      if (const auto points = in_or_out(words, noun))
        lie = *points == Points::to_the_centre ? ChannelWay::flanges_in : ChannelWay::flanges_out;
    for (const std::string_view hard : {"hard way", "hardway", "hard", "web", "web the hard way"})
      if (words == hard) lie = ChannelWay::hard_way;
    if (!lie) return no(lies.from, "it does not say how it lies: flanges in, flanges out, or hard way");
    std::string name = plain(size);
    name.erase(std::remove(name.begin(), name.end(), ' '), name.end());
    if (name.starts_with("up") || name.starts_with("u") || name.starts_with("c")) {
      std::string known;
      for (const ChannelSize& c : known_channels()) {
        std::string plain_name;
        for (const char letter : c.name)
          if (letter != ' ') plain_name += letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
        if (plain_name == name)
          return made(ChannelBar{c.height, c.flange_width, c.web, c.flange, *lie, c.root_radius, c.toe_radius, c.taper}, c.source);
        known += (known.empty() ? "" : ", ") + std::string(c.name);
      }
      return no(size.from, "this channel is not tabulated here (known: " + known + ")");
    }
    const Result<std::vector<Length>> m = measures(size, 4, 4, bare_);
    if (!m) return refuse(m.error());
    return made(ChannelBar{(*m)[0], (*m)[1], (*m)[2], (*m)[3], *lie}, "");
  }

  Result<StockText> tee(Stretch size, Stretch lies) {
    const Result<std::vector<Length>> m = measures(size, 3, 4, bare_);
    const std::optional<Points> points = in_or_out(plain(lies), "stem");
    if (!m) return refuse(m.error());
    if (!points) return no(lies.from, "it does not say whether the stem points in or out");
    return made(TeeBar{(*m)[0], (*m)[1], (*m)[2], m->back(), *points}, "");
  }

  Result<StockText> beam(Stretch size, Stretch lies) {
    const Result<std::vector<Length>> m = measures(size, 4, 4, bare_);
    const Result<Way> lie = way(lies);
    if (!m) return refuse(m.error());
    if (!lie) return refuse(lie.error());
    return made(IBeam{(*m)[0], (*m)[1], (*m)[2], (*m)[3], *lie}, "");
  }

  SectionWord word_;
  std::string_view text_;
  std::string about_;
  std::optional<LengthUnit> bare_;
  std::optional<CornerRule> corners_;
  Writing writing_;
  std::string designation_;
};

}  // namespace

Result<CornerRule> read_corner_rule(std::string_view text, std::string_view about, std::optional<LengthUnit> bare) {
  if (text == "cold-formed") return CornerRule{Corners::cold_formed, {}};
  if (text == "hot-finished") return CornerRule{Corners::hot_finished, {}};
  const Result<Length> radius = read_length(text, about, bare);
  if (radius && radius->mm() >= 0.0) return CornerRule{Corners::given, *radius};
  return refuse(std::string(about), quoted(text) + " is no corner radius. Give cold-formed (outside 2 t), hot-finished (1.5 t), or the outside "
                                                   "radius as a length, \"6 mm\".");
}

Result<StockText> read_section(SectionWord word, std::string_view text, std::string_view about, std::optional<LengthUnit> bare,
                               const std::optional<CornerRule>& corners) {
  return Reader(word, text, about, bare, corners).read();
}

}  // namespace coilwright
