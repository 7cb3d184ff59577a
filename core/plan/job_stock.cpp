#include <algorithm>
#include <array>
#include <coilwright/plan/job_stock.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/stock/material_file.hpp>
#include <coilwright/stock/section_shape.hpp>
#include <coilwright/stock/section_text.hpp>
#include <filesystem>

namespace coilwright {
namespace {

const std::vector<std::pair<std::string, SectionWord>> with_corners_and_ways{
    {"stock.square", SectionWord::square}, {"stock.rectangle", SectionWord::rectangle}, {"stock.flat", SectionWord::flat},
    {"stock.angle", SectionWord::angle},   {"stock.channel", SectionWord::channel},     {"stock.tee", SectionWord::tee},
    {"stock.beam", SectionWord::beam}};

// What stands under tube or bar, read as people write it.
std::optional<StockText> taken(ValueReader& in, const char* key, Result<StockText> read) {
  if (read) return *std::move(read);
  in.adopt(key, read.error());
  return std::nullopt;
}

std::optional<StockText> read_bar_of_job(ValueReader& in) {
  const GivenValue& given = *in.values().find("stock.bar");
  if (const auto* text = std::get_if<std::string>(&given.value.value); text != nullptr && given.unit.empty())
    return taken(in, "stock.bar", read_bar(*text, "stock.bar", in.bare()));
  const std::optional<Length> diameter = in.length("stock.bar", Allowed::positive);
  if (!diameter) return std::nullopt;
  const Result<Section> section = Section::round_bar(*diameter);
  if (section) return StockText{*section, mm_text(*diameter), "", {}};
  in.adopt("stock.bar", section.error());
  return std::nullopt;
}

// [x, y] or [x, y, bulge], in mm (in inches where bare numbers are said to be that).
std::optional<OutlinePoint> outline_point(const DocumentValue& value, double unit_mm) {
  const auto* numbers = std::get_if<DocumentArray>(&value.value);
  if (numbers == nullptr || numbers->size() < 2 || numbers->size() > 3) return std::nullopt;
  std::array<double, 3> read{};
  for (std::size_t i = 0; i < numbers->size(); ++i) {
    const auto* number = std::get_if<double>(&(*numbers)[i].value);
    if (number == nullptr) return std::nullopt;
    read[i] = *number;
  }
  return OutlinePoint{read[0] * unit_mm, read[1] * unit_mm, read[2]};
}

// One loop as a list of points, or a list of loops.
std::optional<StockText> read_outline_of_job(ValueReader& in) {
  const char* key = "stock.outline";
  const double unit_mm = in.bare() == LengthUnit::inch ? 25.4 : 1.0;
  const auto* all = std::get_if<DocumentArray>(&in.values().find(key)->value.value);
  const auto unreadable = [&] {
    in.fault(key,
             "An outline is a list of points [x, y] in mm (x along the shafts, y toward the centre), each with a third "
             "number if an arc follows (the tangent of a quarter of its turn, positive to the left); or a list of such "
             "lists, the outside first, then the holes.");
    return std::nullopt;
  };
  if (all == nullptr || all->empty()) return unreadable();
  const auto* first = std::get_if<DocumentArray>(&all->front().value);
  const bool one_loop = first != nullptr && !first->empty() && std::holds_alternative<double>(first->front().value);
  std::vector<OutlineLoop> loops;
  const auto add = [&](const DocumentArray& points) {
    OutlineLoop& loop = loops.emplace_back();
    for (const DocumentValue& value : points) {
      const std::optional<OutlinePoint> point = outline_point(value, unit_mm);
      if (!point) return false;
      loop.push_back(*point);
    }
    return true;
  };
  if (one_loop) {
    if (!add(*all)) return unreadable();
  } else {
    for (const DocumentValue& value : *all) {
      const auto* points = std::get_if<DocumentArray>(&value.value);
      if (points == nullptr || !add(*points)) return unreadable();
    }
  }
  Result<Outline> outline = Outline::from(std::move(loops), key);
  if (!outline) return in.adopt(key, outline.error()), std::nullopt;
  Result<Section> section = Section::from(FreeOutline{*std::move(outline)});
  if (!section) return in.adopt(key, section.error()), std::nullopt;
  return StockText{*std::move(section), "outline", "", {}};
}

std::optional<StockText> read_section_of_job(ValueReader& in) {
  const KeyedValues& values = in.values();
  std::vector<std::string> given;
  for (const char* key : {"stock.tube", "stock.bar", "stock.outline"})
    if (values.has(key)) given.emplace_back(key);
  const std::pair<std::string, SectionWord>* shaped = nullptr;
  for (const auto& each : with_corners_and_ways)
    if (values.has(each.first)) given.push_back(each.first), shaped = &each;

  std::optional<CornerRule> corners;
  if (values.has("stock.corner_radius")) {
    if (!values.has("stock.square") && !values.has("stock.rectangle"))
      in.fault("stock.corner_radius", "A corner radius belongs to a square or rectangular tube, which the job does not give.");
    else if (const auto text = in.words("stock.corner_radius")) {
      Result<CornerRule> rule = read_corner_rule(*text, "stock.corner_radius", in.bare());
      if (!rule) return in.adopt("stock.corner_radius", rule.error()), std::nullopt;
      corners = *rule;
    }
  }
  if (given.empty()) {
    in.missing("stock.tube",
               "The job does not say what is bent: give tube = \"42.4x2.6 mm\" (outside diameter x wall), bar = \"25 mm\", "
               "or square, rectangle, flat, angle, channel, tee, beam or outline.");
    return std::nullopt;
  }
  if (given.size() > 1) {
    const auto bare_name = [](const std::string& key) { return key.substr(key.find('.') + 1); };
    in.fault(given.back(), "The stock is given as " + bare_name(given.front()) + " and as " + bare_name(given.back()) +
                               ". Keep the one that is meant.");
    return std::nullopt;
  }
  if (given.front() == "stock.bar") return read_bar_of_job(in);
  if (given.front() == "stock.outline") return read_outline_of_job(in);
  const std::optional<std::string> text = in.words(given.front());
  if (!text) return std::nullopt;
  if (shaped == nullptr) return taken(in, "stock.tube", read_tube(*text, "stock.tube", in.bare()));
  const std::string& key = shaped->first;
  return taken(in, key.c_str(), read_section(shaped->second, *text, key, in.bare(), corners));
}

// A path in a job file is meant from that file's folder.
std::vector<Material> own_materials(ValueReader& in) {
  const std::optional<std::string> path = in.words("stock.materials_file");
  if (!path) return {};
  std::filesystem::path full(*path);
  const Place& place = in.values().find("stock.materials_file")->value.place;
  if (full.is_relative() && place.line > 0) full = std::filesystem::path(place.file).parent_path() / full;
  Result<std::vector<Material>> read = read_materials_file(full.string());
  if (read) return *std::move(read);
  for (const Finding& f : read.error()) {
    const std::string where = f.place && f.place->line > 0 ? ", line " + std::to_string(f.place->line) : "";
    in.fault("stock.materials_file", full.filename().string() + where + ": " + f.text);
  }
  return {};
}

std::optional<Material> read_material(ValueReader& in, Findings& doubts) {
  const auto yield = in.stress("stock.yield", Allowed::positive);
  const auto hardening = in.stress("stock.hardening", Allowed::not_negative);
  const auto strength = in.stress("stock.power_law_strength", Allowed::positive);
  const auto exponent = in.number("stock.power_law_exponent", Allowed::positive);
  const auto tensile = in.stress("stock.tensile", Allowed::positive);
  const auto modulus = in.stress("stock.modulus", Allowed::positive);
  const auto poisson = in.number("stock.poisson", Allowed::not_negative);
  const std::size_t faults = in.fault_count();
  const std::vector<Material> own = own_materials(in);
  if (in.fault_count() > faults) return std::nullopt;
  const std::optional<std::string> name = in.words("stock.material");
  if (!name) {
    if (!in.values().has("stock.material"))
      in.missing(
          "stock.material",
          "The job does not say of what the stock is: give material = \"S235\" or another of the tables.");
    return std::nullopt;
  }
  Result<Material> found = find_material(*name, own);
  if (!found) return in.adopt("stock.material", found.error()), std::nullopt;
  Material material = *std::move(found);
  if (yield) material.yield = *yield, material.source.yield = "given";
  if (hardening) material.hardening = *hardening, material.source.hardening = "given", material.power_law.reset();
  if (modulus) material.modulus = *modulus, material.source.modulus = "given";
  if (poisson) material.poisson = *poisson, material.source.poisson = "given";
  if (tensile) material.tensile = *tensile, material.source.tensile = "given";
  if (strength.has_value() != exponent.has_value()) {
    in.fault(strength ? "stock.power_law_strength" : "stock.power_law_exponent",
             "A power law takes both power_law_strength and power_law_exponent.");
    return std::nullopt;
  }
  if (strength) material.power_law = PowerLaw{*strength, *exponent}, material.source.hardening = "given";
  if (yield && !tensile && material.tensile && *yield > *material.tensile) {
    // The table's tensile strength is a minimum: the stock has more of both, or is another grade.
    doubts.push_back({Level::question, "stock.yield",
                      "The yield given, " + number_text(yield->mpa(), 0) + " MPa, is above the least tensile strength of " +
                          material.name + ", " + number_text(material.tensile->mpa(), 0) +
                          " MPa. Is it this grade, and what is its measured tensile strength?",
                      std::nullopt});
    material.tensile.reset();
    material.source.tensile.clear();
  }
  const Findings wrong = check_material(material);
  for (const Finding& f : wrong) in.fault(f.about, f.text);
  if (!wrong.empty()) return std::nullopt;
  return material;
}

}  // namespace

std::optional<JobStock> read_job_stock(ValueReader& in) {
  std::optional<StockText> section = read_section_of_job(in);
  Findings doubts;
  std::optional<Material> material = read_material(in, doubts);
  std::vector<Length> stock_lengths = in.lengths("stock.stock_length", Allowed::positive);
  if (!section || !material) return std::nullopt;
  append(doubts, section->doubts);
  const SideTendency tendency = side_tendency(section->section);
  if (std::string text = tendency.text(); !text.empty())
    doubts.push_back({Level::caution, section_key(section->section.kind()), std::move(text), std::nullopt});
  std::sort(stock_lengths.begin(), stock_lengths.end());
  return JobStock{Stock{section->section, *std::move(material), std::move(section->designation),
                        std::move(section->size_source), std::move(stock_lengths)},
                  std::move(doubts)};
}

}  // namespace coilwright
