#include <algorithm>
#include <coilwright/plan/job_stock.hpp>
#include <coilwright/quantity/number_text.hpp>

namespace coilwright {
namespace {

const std::vector<std::pair<std::string, std::string>> not_planned{
    {"square", "A square tube"},   {"rectangle", "A rectangular tube"},
    {"flat", "A flat bar"},        {"angle", "An angle"},
    {"channel", "A channel"},      {"tee", "A tee"},
    {"outline", "A free outline"}, {"corner_radius", "A tube with corners"}};

void refuse_other_sections(ValueReader& in) {
  for (const auto& [key, what] : not_planned)
    if (in.values().has("stock." + key))
      in.fault("stock." + key,
               what +
                   " is not planned yet. This version plans a single helix of round tube or round bar: "
                   "give tube = \"42.4x2.6 mm\" or bar = \"25 mm\".");
}

std::string trimmed(std::string_view text) {
  const auto first = text.find_first_not_of(' ');
  if (first == std::string_view::npos) return "";
  return std::string(text.substr(first, text.find_last_not_of(' ') - first + 1));
}

// "42.4x2.6 mm": the unit behind the wall counts for the diameter too, unless that has its own.
std::optional<Section> read_tube(ValueReader& in, const std::string& text, std::optional<LengthUnit> bare) {
  std::string plain = text;
  if (const auto cross = plain.find("\u00d7"); cross != std::string::npos) plain.replace(cross, 2, "x");
  const std::size_t by = plain.find_first_of("xX*");
  if (by == std::string::npos) {
    in.fault("stock.tube",
             "\"" + text +
                 "\" is not a tube: give outside diameter x wall with their unit, such as \"42.4x2.6 mm\".");
    return std::nullopt;
  }
  const std::string outside_text = trimmed(plain.substr(0, by)), wall_text = trimmed(plain.substr(by + 1));
  const Result<Length> wall = read_length(wall_text, "stock.tube", bare);
  if (!wall)
    return in.adopt_behind("stock.tube", static_cast<int>(plain.find_first_not_of(' ', by + 1)),
                           wall.error()),
           std::nullopt;
  Result<Length> outside = read_length(outside_text, "stock.tube", bare);
  if (const auto digit = wall_text.find_last_of("0123456789."); !outside && digit != std::string::npos)
    if (const Result<Length> with_unit =
            read_length(outside_text + wall_text.substr(digit + 1), "stock.tube", bare);
        with_unit)
      outside = with_unit;
  if (!outside) return in.adopt("stock.tube", outside.error()), std::nullopt;
  const Result<Section> section = Section::round_tube(*outside, *wall);
  if (!section) return in.adopt("stock.tube", section.error()), std::nullopt;
  return *section;
}

std::optional<Section> read_bar(ValueReader& in) {
  const std::optional<Length> diameter = in.length("stock.bar", Allowed::positive);
  if (!diameter) return std::nullopt;
  const Result<Section> section = Section::round_bar(*diameter);
  if (!section) return in.adopt("stock.bar", section.error()), std::nullopt;
  return *section;
}

std::optional<Section> read_section(ValueReader& in, std::string& designation) {
  const bool tube = in.values().has("stock.tube"), bar = in.values().has("stock.bar");
  if (tube && bar)
    return in.fault("stock.bar", "The stock is given as a tube and as a bar. Keep the one that is meant."),
           std::nullopt;
  if (tube) {
    const std::optional<std::string> text = in.words("stock.tube");
    if (!text) return std::nullopt;
    designation = *text;
    return read_tube(in, *text, in.bare());
  }
  if (bar) {
    designation = in.as_given("stock.bar");
    std::erase(designation, '"');
    return read_bar(in);
  }
  const bool told = std::any_of(not_planned.begin(), not_planned.end(),
                                [&](const auto& k) { return in.values().has("stock." + k.first); });
  if (!told)
    in.missing("stock.tube",
               "The job does not say what is bent: give tube = \"42.4x2.6 mm\" (outside diameter x wall) or "
               "bar = \"25 mm\".");
  return std::nullopt;
}

std::optional<Material> read_material(ValueReader& in) {
  const auto yield = in.stress("stock.yield", Allowed::positive);
  const auto hardening = in.stress("stock.hardening", Allowed::not_negative);
  const auto modulus = in.stress("stock.modulus", Allowed::positive);
  const auto poisson = in.number("stock.poisson", Allowed::not_negative);
  const std::optional<std::string> name = in.words("stock.material");
  if (!name) {
    if (!in.values().has("stock.material"))
      in.missing(
          "stock.material",
          "The job does not say of what the stock is: give material = \"S235\" or another of the tables.");
    return std::nullopt;
  }
  Result<Material> found = find_material(*name);
  if (!found) return in.adopt("stock.material", found.error()), std::nullopt;
  Material material = *std::move(found);
  if (yield) material.yield = *yield, material.source.yield = "given";
  if (hardening) material.hardening = *hardening, material.source.hardening = "given";
  if (modulus) material.modulus = *modulus, material.source.modulus = "given";
  if (poisson) material.poisson = *poisson, material.source.poisson = "given";
  if (material.poisson >= 0.5)
    return in.fault("stock.poisson", "Poisson's ratio " + number_text(material.poisson, 2) +
                                         " is not possible: it is less than 0.5, about 0.3 for metals."),
           std::nullopt;
  if (material.hardening >= material.modulus)
    return in.fault("stock.hardening", "The tangent modulus after yield, " +
                                           number_text(material.hardening.mpa(), 0) +
                                           " MPa, must be less than Young's modulus, " +
                                           number_text(material.modulus.mpa(), 0) + " MPa."),
           std::nullopt;
  if (material.yield >= material.modulus)
    return in.fault("stock.yield", "The yield stress must be far less than Young's modulus, " +
                                       number_text(material.modulus.mpa(), 0) + " MPa."),
           std::nullopt;
  return material;
}

}  // namespace

std::optional<Stock> read_job_stock(ValueReader& in) {
  refuse_other_sections(in);
  std::string designation;
  const std::optional<Section> section = read_section(in, designation);
  std::optional<Material> material = read_material(in);
  std::vector<Length> stock_lengths = in.lengths("stock.stock_length", Allowed::positive);
  if (!section || !material) return std::nullopt;
  std::sort(stock_lengths.begin(), stock_lengths.end());
  return Stock{*section, *std::move(material), designation, "", std::move(stock_lengths)};
}

}  // namespace coilwright
