#include <algorithm>
#include <coilwright/plan/job_stock.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/stock/stock_text.hpp>

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

// What stands under tube or bar, read as people write round stock.
std::optional<RoundStockText> taken(ValueReader& in, const char* key, Result<RoundStockText> read) {
  if (read) return *std::move(read);
  in.adopt(key, read.error());
  return std::nullopt;
}

std::optional<RoundStockText> read_bar_of_job(ValueReader& in) {
  const GivenValue& given = *in.values().find("stock.bar");
  if (const auto* text = std::get_if<std::string>(&given.value.value); text != nullptr && given.unit.empty())
    return taken(in, "stock.bar", read_bar(*text, "stock.bar", in.bare()));
  const std::optional<Length> diameter = in.length("stock.bar", Allowed::positive);
  if (!diameter) return std::nullopt;
  const Result<Section> section = Section::round_bar(*diameter);
  if (section) return RoundStockText{*section, mm_text(*diameter), "", {}};
  in.adopt("stock.bar", section.error());
  return std::nullopt;
}

std::optional<RoundStockText> read_section(ValueReader& in) {
  const bool tube = in.values().has("stock.tube"), bar = in.values().has("stock.bar");
  if (tube && bar) {
    in.fault("stock.bar", "The stock is given as a tube and as a bar. Keep the one that is meant.");
    return std::nullopt;
  }
  if (bar) return read_bar_of_job(in);
  if (tube) {
    const std::optional<std::string> text = in.words("stock.tube");
    return text ? taken(in, "stock.tube", read_tube(*text, "stock.tube", in.bare())) : std::nullopt;
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

std::optional<JobStock> read_job_stock(ValueReader& in) {
  refuse_other_sections(in);
  std::optional<RoundStockText> round = read_section(in);
  std::optional<Material> material = read_material(in);
  std::vector<Length> stock_lengths = in.lengths("stock.stock_length", Allowed::positive);
  if (!round || !material) return std::nullopt;
  std::sort(stock_lengths.begin(), stock_lengths.end());
  return JobStock{Stock{round->section, *std::move(material), std::move(round->designation),
                        std::move(round->size_source), std::move(stock_lengths)},
                  std::move(round->doubts)};
}

}  // namespace coilwright
