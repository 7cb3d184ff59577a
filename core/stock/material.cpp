#include <cctype>
#include <coilwright/quantity/characters.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/stock/material.hpp>
#include <vector>

namespace coilwright {
namespace {

constexpr const char* quoted_sheet = ", as quoted in a published data sheet";
constexpr const char* practice_hardening = "E/100, common practice, no source";

Material::Sources structural_sources(const std::string& strength) {
  return {.modulus = "EN 1993-1-1, as quoted in a published data sheet",
          .poisson = "from E and G of Steel Buildings in Europe, part 10, section 3.1",
          .yield = "minimum, " + strength + quoted_sheet,
          .hardening = practice_hardening,
          .density = "EN 1993-1-1, as quoted in a published data sheet",
          .tensile = "minimum, " + strength + quoted_sheet,
          .elongation = "minimum, " + strength + quoted_sheet};
}

Material european_steel(const std::string& name, double yield_mpa, double tensile_mpa,
                        std::optional<double> elongation, const std::string& standard) {
  Material m{.name = name,
             .modulus = Stress::mpa(210000),
             .poisson = 0.3,
             .yield = Stress::mpa(yield_mpa),
             .hardening = Stress::mpa(2100),
             .density_kg_m3 = 7850,
             .tensile = Stress::mpa(tensile_mpa),
             .elongation_percent = elongation,
             .source = structural_sources(standard)};
  if (!elongation) m.source.elongation.clear();
  return m;
}

Material american_steel(const std::string& name, double yield_ksi, double tensile_ksi,
                        std::optional<double> elongation, const std::string& standard) {
  Material m{.name = name,
             .modulus = Stress::ksi(29000),
             .poisson = 0.3,
             .yield = Stress::ksi(yield_ksi),
             .hardening = Stress::ksi(290),
             .density_kg_m3 = 7850,
             .tensile = Stress::ksi(tensile_ksi),
             .elongation_percent = elongation,
             .source = structural_sources(standard)};
  m.source.modulus = m.source.density = "as quoted in a published data sheet (29000 ksi, 490 lb/ft3)";
  m.source.poisson = "from memory";
  if (!elongation) m.source.elongation.clear();
  return m;
}

struct Stainless {
  std::string name, standard;
  Stress modulus, yield, tensile;
  std::optional<double> elongation;
  double density_kg_m3;
  std::string modulus_source, strength_status, density_source;
};

Material stainless(const Stainless& s) {
  return {.name = s.name,
          .modulus = s.modulus,
          .poisson = 0.3,
          .yield = s.yield,
          .hardening = s.modulus / 100.0,
          .density_kg_m3 = s.density_kg_m3,
          .tensile = s.tensile,
          .elongation_percent = s.elongation,
          .source = {.modulus = s.modulus_source,
                     .poisson = "from memory",
                     .yield = "minimum, " + s.standard + s.strength_status,
                     .hardening = practice_hardening,
                     .density = s.density_source,
                     .tensile = "minimum, " + s.standard + s.strength_status,
                     .elongation = s.elongation ? "minimum, " + s.standard + s.strength_status : ""}};
}

Material aluminium(const std::string& name, double yield_ksi, double tensile_ksi, const std::string& limits) {
  const std::string strength =
      "minimum, ASTM B221 extruded" + limits + ", as quoted in a published alloy table";
  return {.name = name,
          .modulus = Stress::ksi(10000),
          .poisson = 0.33,
          .yield = Stress::ksi(yield_ksi),
          .hardening = Stress::ksi(100),
          .density_kg_m3 = 2700,
          .tensile = Stress::ksi(tensile_ksi),
          .elongation_percent = 8,
          .source = {.modulus = "from memory",
                     .poisson = "from memory",
                     .yield = strength,
                     .hardening = practice_hardening,
                     .density = "from memory",
                     .tensile = strength,
                     .elongation = strength}};
}

Material copper(const std::string& name, double yield_mpa, double tensile_mpa,
                const std::string& yield_source, const std::string& temper) {
  return {.name = name,
          .modulus = Stress::ksi(17000),
          .poisson = 0.33,
          .yield = Stress::mpa(yield_mpa),
          .hardening = Stress::ksi(170),
          .density_kg_m3 = 8940,
          .tensile = Stress::mpa(tensile_mpa),
          .elongation_percent = std::nullopt,
          .source = {.modulus = "C10200 in its place, as quoted in a published data sheet",
                     .poisson = "from memory",
                     .yield = yield_source,
                     .hardening = practice_hardening,
                     .density = "C12200, as quoted in a published data sheet",
                     .tensile = "minimum, EN 1057 temper " + temper + ", as quoted in a published page",
                     .elongation = ""}};
}

Material brass(const std::string& name, double yield_ksi, double tensile_mpa) {
  const std::string nominal = "nominal, C26000, as quoted in a published data sheet";
  return {.name = name,
          .modulus = Stress::ksi(16000),
          .poisson = 0.33,
          .yield = Stress::ksi(yield_ksi),
          .hardening = Stress::ksi(160),
          .density_kg_m3 = 8530,
          .tensile = Stress::mpa(tensile_mpa),
          .elongation_percent = std::nullopt,
          .source = {.modulus = nominal,
                     .poisson = "from memory",
                     .yield = nominal,
                     .hardening = practice_hardening,
                     .density = nominal,
                     .tensile = nominal,
                     .elongation = ""}};
}

Material typically(Material m, double yield_mpa) {
  m.typical_yield = Stress::mpa(yield_mpa);
  m.source.typical_yield = "mean of what mills deliver, from memory";
  return m;
}

Material brass_c23000() {
  Material m = brass("Brass C23000 annealed", 0, 280);
  const std::string typical = "typical, C23000 OS050, as quoted in a published data sheet";
  m.modulus = Stress::mpa(110000), m.yield = Stress::mpa(83), m.hardening = Stress::mpa(1100), m.density_kg_m3 = 8600;
  m.poisson = 110.0 / (2.0 * 42.0) - 1.0;
  m.source = {.modulus = typical, .poisson = "from E 110 GPa and G 42 GPa, " + typical, .yield = typical, .hardening = practice_hardening,
              .density = typical, .tensile = typical, .elongation = "", .typical_yield = ""};
  return m;
}

std::vector<Material> make_materials() {
  const std::string from_a312_304 = "7.93 g/cm3, computed from published ASTM A312 pipe masses of 304";
  const std::string from_a312_316 = "7.98 g/cm3, computed from published ASTM A312 pipe masses of 316";
  std::vector<Material> all;
  const std::string en10025 = "EN 10025-2 (up to 40 mm, EN 1993-1-1 table 3.1)";
  all.push_back(typically(european_steel("S235", 235, 360, std::nullopt, en10025), 290));
  all.push_back(typically(european_steel("S355", 355, 490, std::nullopt, en10025), 400));
  all.push_back(european_steel("S235JRH", 235, 360, 26, "EN 10210-1 (wall up to 16 mm)"));
  all.push_back(european_steel("S355J2H", 355, 470, 22, "EN 10210-1 (wall up to 16 mm)"));
  all.push_back(american_steel("A500 Gr B", 42, 58, 23, "ASTM A500 round tube"));
  all.push_back(american_steel("A500 Gr C", 46, 62, 21, "ASTM A500 round tube"));
  all.push_back(american_steel("A500 Gr B shaped", 46, 58, std::nullopt, "ASTM A500 square and rectangular tube"));
  all.push_back(american_steel("A500 Gr C shaped", 50, 62, std::nullopt, "ASTM A500 square and rectangular tube"));
  all.push_back(american_steel("A53 Gr B", 35, 60, std::nullopt, "ASTM A53"));
  all.push_back(american_steel("A36", 36, 58, 20, "ASTM A36"));
  const std::string a554 = "ASTM A554 and A789";
  const Stress american_modulus = Stress::mpa(193000), european_modulus = Stress::mpa(200000);
  all.push_back(stainless({"304", a554, american_modulus, Stress::ksi(30), Stress::ksi(75), 35, 7930,
                           "from memory", quoted_sheet, from_a312_304}));
  all.push_back(stainless({"304L", a554, american_modulus, Stress::ksi(25), Stress::ksi(70), 35, 7930,
                           "from memory", quoted_sheet, from_a312_304}));
  all.push_back(stainless({"316L", a554, american_modulus, Stress::ksi(25), Stress::ksi(70), 35, 7980,
                           "from memory", quoted_sheet, from_a312_316}));
  all.push_back(stainless({"EN 1.4301", "EN 1993-1-4", european_modulus, Stress::mpa(210), Stress::mpa(520),
                           std::nullopt, 7900, "from memory", ", from memory", "from memory"}));
  all.push_back(stainless({"EN 1.4404", "EN 1993-1-4", european_modulus, Stress::mpa(220), Stress::mpa(520),
                           std::nullopt, 7980, "from memory", ", from memory", from_a312_316}));
  all.push_back(aluminium("6061-T6", 35, 38, " (up to 0.249 in)"));
  all.push_back(aluminium("6063-T5", 16, 22, " (up to 0.500 in)"));
  all.push_back(aluminium("6063-T6", 25, 30, ""));
  all.push_back(copper(
      "Cu-DHP annealed", 75, 220,
      "typical of annealed tube (C10800 OS050 in its place), as quoted in a published data sheet", "R220"));
  all.push_back(copper("Cu-DHP half-hard", 150, 250, "from memory (EN 12449 temper R250)", "R250"));
  all.push_back(brass("Brass C26000 annealed", 21, 310));
  all.push_back(brass("Brass C26000 half-hard", 51, 395));
  all.push_back(brass_c23000());
  return all;
}

// Another usual way to write a known name.
struct Alias {
  std::string_view alias, name;
};
constexpr Alias aliases[] = {
    {"S235JR", "S235"},
    {"S235J0", "S235"},
    {"S235J2", "S235"},
    {"St37", "S235"},
    {"1.0038", "S235"},
    {"S355JR", "S355"},
    {"S355J0", "S355"},
    {"S355J2", "S355"},
    {"St52", "S355"},
    {"1.0039", "S235JRH"},
    {"1.0576", "S355J2H"},
    {"A500 Grade B", "A500 Gr B"},
    {"ASTM A500 Gr B", "A500 Gr B"},
    {"ASTM A500 Grade B", "A500 Gr B"},
    {"A500B", "A500 Gr B"},
    {"A500 Grade C", "A500 Gr C"},
    {"ASTM A500 Gr C", "A500 Gr C"},
    {"ASTM A500 Grade C", "A500 Gr C"},
    {"A500C", "A500 Gr C"},
    {"A53B", "A53 Gr B"},
    {"A53 Grade B", "A53 Gr B"},
    {"ASTM A53 Gr B", "A53 Gr B"},
    {"ASTM A53 Grade B", "A53 Gr B"},
    {"ASTM A36", "A36"},
    {"AISI 304", "304"},
    {"TP304", "304"},
    {"Type 304", "304"},
    {"S30400", "304"},
    {"AISI 304L", "304L"},
    {"TP304L", "304L"},
    {"Type 304L", "304L"},
    {"S30403", "304L"},
    {"AISI 316L", "316L"},
    {"TP316L", "316L"},
    {"Type 316L", "316L"},
    {"S31603", "316L"},
    {"1.4301", "EN 1.4301"},
    {"X5CrNi18-10", "EN 1.4301"},
    {"1.4404", "EN 1.4404"},
    {"X2CrNiMo17-12-2", "EN 1.4404"},
    {"6061T6", "6061-T6"},
    {"AA 6061-T6", "6061-T6"},
    {"AA 6063-T5", "6063-T5"},
    {"AA 6063-T6", "6063-T6"},
    {"Cu-DHP R220", "Cu-DHP annealed"},
    {"Cu-DHP soft", "Cu-DHP annealed"},
    {"C12200 annealed", "Cu-DHP annealed"},
    {"CW024A R220", "Cu-DHP annealed"},
    {"copper annealed", "Cu-DHP annealed"},
    {"annealed copper", "Cu-DHP annealed"},
    {"copper soft", "Cu-DHP annealed"},
    {"soft copper", "Cu-DHP annealed"},
    {"Cu-DHP R250", "Cu-DHP half-hard"},
    {"CW024A R250", "Cu-DHP half-hard"},
    {"C12200 half-hard", "Cu-DHP half-hard"},
    {"copper half-hard", "Cu-DHP half-hard"},
    {"half-hard copper", "Cu-DHP half-hard"},
    {"C26000 annealed", "Brass C26000 annealed"},
    {"brass annealed", "Brass C26000 annealed"},
    {"annealed brass", "Brass C26000 annealed"},
    {"C26000 half-hard", "Brass C26000 half-hard"},
    {"brass half-hard", "Brass C26000 half-hard"},
    {"half-hard brass", "Brass C26000 half-hard"},
};

// Words that stand for several grades whose yields differ: the choice is the user's.
struct Family {
  std::string_view word;
  std::string_view first_letters, or_first_letters;  // of the names meant
};
constexpr Family families[] = {
    {"copper", "Cu-DHP", ""},    {"Cu", "Cu-DHP", ""},         {"Cu-DHP", "Cu-DHP", ""},
    {"C12200", "Cu-DHP", ""},    {"CW024A", "Cu-DHP", ""},     {"brass", "Brass", ""},
    {"C26000", "Brass", ""},     {"aluminium", "606", ""},     {"aluminum", "606", ""},
    {"6063", "6063", ""},        {"6061", "6061", ""},         {"A500", "A500", ""},
    {"ASTM A500", "A500", ""},   {"A53", "A53", ""},           {"steel", "S", "A"},
    {"mild steel", "S", "A"},    {"stainless", "3", "EN 1.4"}, {"stainless steel", "3", "EN 1.4"},
    {"316", "316", "EN 1.4404"},
};

std::string plain(std::string_view text) {
  std::string letters;
  for (const char c : text)
    if (c != ' ' && c != '\t' && c != '-' && c != '_' && c != '.')
      letters += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return letters;
}

std::string listed(const std::vector<std::string>& names) {
  std::string text;
  for (const std::string& name : names) text += (text.empty() ? "\"" : ", \"") + name + "\"";
  return text;
}

std::vector<std::string> names_of(const Family& family) {
  std::vector<std::string> names;
  for (const Material& m : known_materials()) {
    const bool second = !family.or_first_letters.empty() && m.name.starts_with(family.or_first_letters);
    if (second || m.name.starts_with(family.first_letters)) names.push_back(m.name);
  }
  return names;
}

}  // namespace

std::span<const Material> known_materials() {
  static const std::vector<Material> all = make_materials();
  return all;
}

Findings check_material(const Material& m) {
  Findings faults;
  const auto say = [&](const char* key, std::string text) { faults.push_back({Level::fault, key, std::move(text), std::nullopt}); };
  const auto mpa = [](Stress s) { return number_text(s.mpa(), 0) + " MPa"; };
  if (!(m.modulus.mpa() > 0.0)) say("stock.modulus", "Young's modulus must be more than 0.");
  if (!(m.yield.mpa() > 0.0)) say("stock.yield", "The yield stress must be more than 0.");
  if (!(m.density_kg_m3 > 0.0)) say("stock.density", "The density must be more than 0.");
  if (m.poisson >= 0.5)
    say("stock.poisson", "Poisson's ratio " + number_text(m.poisson, 2) + " is not possible: it is less than 0.5, about 0.3 for metals.");
  if (m.hardening >= m.modulus)
    say("stock.hardening", "The tangent modulus after yield, " + mpa(m.hardening) + ", must be less than Young's modulus, " + mpa(m.modulus) + ".");
  if (m.yield >= m.modulus) say("stock.yield", "The yield stress must be far less than Young's modulus, " + mpa(m.modulus) + ".");
  if (m.tensile && m.yield > *m.tensile)
    say("stock.yield", "The yield stress, " + mpa(m.yield) + ", is above the tensile strength, " + mpa(*m.tensile) +
                           ": a metal yields before it breaks. Are the two swapped?");
  if (m.power_law && m.power_law->strength <= m.yield)
    say("stock.power_law_strength", "The strength of the power law, " + mpa(m.power_law->strength) + ", must be above the yield stress, " +
                                        mpa(m.yield) + ": the curve rises from there.");
  if (m.power_law && !(m.power_law->exponent > 0.0 && m.power_law->exponent < 1.0))
    say("stock.power_law_exponent", "The exponent of the power law, " + number_text(m.power_law->exponent, 3) +
                                        ", lies between 0 and 1, about 0.1 to 0.3 for soft metals.");
  return faults;
}

Result<Material> find_material(std::string_view name, const std::vector<Material>& own) {
  for (const Material& m : own)
    if (plain(m.name) == plain(name)) return m;
  Result<Material> found = find_material(name);
  if (found || own.empty()) return found;
  std::vector<std::string> names;
  for (const Material& m : own) names.push_back(m.name);
  return refuse("stock.material", found.error().front().text + " The materials file has: " + listed(names) + ".");
}

Result<Material> find_material(std::string_view name) {
  const std::string asked = plain(name);
  std::vector<std::string> spellings;    // all that can be written, without gaps and in lower case
  std::vector<std::string> spelt_names;  // the names they stand for
  for (const Material& m : known_materials()) {
    if (plain(m.name) == asked) return m;
    spellings.push_back(plain(m.name));
    spelt_names.push_back(m.name);
  }
  for (const Alias& a : aliases) {
    if (plain(a.alias) == asked) return find_material(a.name);
    spellings.push_back(plain(a.alias));
    spelt_names.emplace_back(a.name);
  }
  for (const Family& family : families)
    if (plain(family.word) == asked)
      return refuse("stock.material", quoted(name) + " stands for grades that differ in yield. Name one: " +
                                          listed(names_of(family)) + ".");

  const std::string near = nearest_word(asked, spellings);
  for (std::size_t i = 0; i < spellings.size(); ++i)
    if (!near.empty() && spellings[i] == near)
      return refuse("stock.material",
                    quoted(name) + " is not a material known here. Was \"" + spelt_names[i] + "\" meant?");
  std::vector<std::string> names;
  for (const Material& m : known_materials()) names.push_back(m.name);
  return refuse("stock.material", quoted(name) + " is not a material known here. Known: " + listed(names) +
                                      "; or take the nearest and give its yield_mpa, hardening_mpa and "
                                      "modulus_mpa.");
}

}  // namespace coilwright
