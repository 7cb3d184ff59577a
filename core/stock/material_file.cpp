#include <algorithm>
#include <coilwright/quantity/characters.hpp>
#include <coilwright/quantity/document.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/stock/material_file.hpp>

namespace coilwright {
namespace {

const std::vector<std::string> known_keys{"name",      "source",        "yield_mpa",     "typical_yield_mpa", "tensile_mpa",  "elongation_percent",
                                          "modulus_mpa", "poisson", "hardening_mpa", "strength_mpa",      "exponent", "density_kg_m3"};

class MaterialReader {
 public:
  MaterialReader(const DocumentValue& table, Findings& faults) : table_(table), faults_(faults) {}

  std::optional<Material> read() {
    const std::size_t before = faults_.size();
    for (const DocumentEntry& entry : std::get<DocumentTable>(table_.value))
      if (std::find(known_keys.begin(), known_keys.end(), entry.key) == known_keys.end()) {
        const std::string near = nearest_word(entry.key, known_keys);
        fault(entry.key, "\"" + entry.key + "\" is not a value of a material." + (near.empty() ? "" : " Was \"" + near + "\" meant?"),
              entry.value.key_place);
      }
    Material m;
    m.name = words("name");
    if (m.name.empty()) fault("name", "A material needs a name.", table_.place);
    const std::string given = words("source");
    const std::string source = given.empty() ? "given" : given;
    const auto yield = number("yield_mpa"), modulus = number("modulus_mpa"), density = number("density_kg_m3");
    for (const auto& [key, value] : {std::pair{"yield_mpa", &yield}, {"modulus_mpa", &modulus}, {"density_kg_m3", &density}})
      if (!*value && table_.find(key) == nullptr) fault(key, std::string("A material needs ") + key + ".", table_.place);
    const auto hardening = number("hardening_mpa"), poisson = number("poisson"), tensile = number("tensile_mpa");
    const auto elongation = number("elongation_percent"), typical = number("typical_yield_mpa");
    const auto strength = number("strength_mpa"), exponent = number("exponent");
    if (strength.has_value() != exponent.has_value())
      fault(strength ? "strength_mpa" : "exponent", "Swift's law takes both strength_mpa and exponent.", table_.place);
    if (faults_.size() > before) return std::nullopt;
    m.modulus = Stress::mpa(*modulus), m.yield = Stress::mpa(*yield), m.density_kg_m3 = *density;
    m.hardening = hardening ? Stress::mpa(*hardening) : m.modulus / 100.0;
    m.source = {.modulus = source, .poisson = poisson ? source : "0.3, common practice, no source", .yield = source,
                .hardening = hardening ? source : "E/100, common practice, no source", .density = source,
                .tensile = tensile ? source : "", .elongation = elongation ? source : ""};
    if (poisson) m.poisson = *poisson;
    if (tensile) m.tensile = Stress::mpa(*tensile);
    if (elongation) m.elongation_percent = *elongation;
    if (typical) m.typical_yield = Stress::mpa(*typical), m.source.typical_yield = source;
    if (strength) m.power_law = PowerLaw{Stress::mpa(*strength), *exponent}, m.source.hardening = source;
    for (Finding f : check_material(m)) {
      f.text = "Material " + quoted(m.name) + ": " + f.text;
      f.place = table_.place;
      faults_.push_back(std::move(f));
    }
    return m;
  }

 private:
  void fault(const std::string& key, std::string text, const Place& place) {
    faults_.push_back({Level::fault, "material." + key, std::move(text), place});
  }
  std::string words(const char* key) {
    const DocumentValue* value = table_.find(key);
    if (value == nullptr) return {};
    if (const auto* text = std::get_if<std::string>(&value->value)) return *text;
    fault(key, std::string(key) + " is a text.", value->place);
    return {};
  }
  std::optional<double> number(const char* key) {
    const DocumentValue* value = table_.find(key);
    if (value == nullptr) return std::nullopt;
    const auto* read = std::get_if<double>(&value->value);
    if (read != nullptr && *read >= 0.0 && *read <= 1e7) return *read;
    fault(key, std::string(key) + " is a number from 0 to 10 million.", value->place);
    return std::nullopt;
  }
  const DocumentValue& table_;
  Findings& faults_;
};

Result<std::vector<Material>> materials_of(const DocumentValue& document) {
  Findings faults;
  std::vector<Material> materials;
  for (const DocumentEntry& entry : std::get<DocumentTable>(document.value)) {
    const auto* list = std::get_if<DocumentArray>(&entry.value.value);
    if (entry.key != "material" || list == nullptr) {
      faults.push_back({Level::fault, entry.key, "A materials file holds [[material]] tables and nothing else.", entry.value.key_place});
      continue;
    }
    for (const DocumentValue& table : *list) {
      if (!std::holds_alternative<DocumentTable>(table.value)) {
        faults.push_back({Level::fault, "material", "Write each material as a [[material]] table.", table.place});
        continue;
      }
      if (std::optional<Material> m = MaterialReader(table, faults).read()) materials.push_back(*std::move(m));
    }
  }
  if (!faults.empty()) return refuse(std::move(faults));
  return materials;
}

}  // namespace

Result<std::vector<Material>> read_materials(std::string_view text, const std::string& name) {
  const Result<DocumentValue> document = read_document(text, name);
  if (!document) return refuse(document.error());
  return materials_of(*document);
}

Result<std::vector<Material>> read_materials_file(const std::string& path) {
  const Result<DocumentValue> document = read_document_file(path);
  if (!document) return refuse(document.error());
  return materials_of(*document);
}

}  // namespace coilwright
