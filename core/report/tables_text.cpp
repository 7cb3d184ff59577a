#include <coilwright/machine/example_machine.hpp>
#include <coilwright/machine/machine.hpp>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/report/tables_text.hpp>
#include <coilwright/report/text_page.hpp>
#include <coilwright/stock/material.hpp>
#include <coilwright/stock/size_tables.hpp>
#include <map>
#include <nlohmann/json.hpp>

namespace coilwright {
namespace {

using Json = nlohmann::ordered_json;

std::string or_dash(const std::optional<Stress>& stress) { return stress ? number_text(stress->mpa(), 0) : "-"; }

void materials(TextPage& page) {
  page.heading("Materials");
  std::vector<std::vector<std::string>> rows{
      {"name", "yield MPa", "tensile MPa", "E MPa", "nu", "hardening MPa", "density kg/m3"}};
  std::map<std::string, std::string> sources;
  for (const Material& m : known_materials())
    rows.push_back({m.name, number_text(m.yield.mpa(), 0), or_dash(m.tensile), number_text(m.modulus.mpa(), 0),
                    number_text(m.poisson, 2), number_text(m.hardening.mpa(), 0), number_text(m.density_kg_m3, 0)});
  page.table(rows);
  page.gap();
  for (const Material& m : known_materials())
    page.line(m.name + ": yield " + m.source.yield +
              (m.typical_yield ? "; typical " + number_text(m.typical_yield->mpa(), 0) + " MPa, " + m.source.typical_yield : "") + "; E " +
              m.source.modulus + ".");
  page.line("A certificate's minimum yield understates springback: the stock is mostly stronger. Give a measured yield where "
            "there is one, or your own materials in a file (stock.materials_file, [[material]] tables).");
}

void pipes(TextPage& page) {
  page.heading("Pipe, as 'NPS 1-1/4 Sch 40' or 'DN 32 Sch 40'");
  for (const Pipe& pipe : known_pipes()) {
    std::string walls;
    for (const PipeSchedule& schedule : pipe.schedules)
      walls += (walls.empty() ? "" : ", ") + std::string(schedule.name) + " " + number_text(schedule.wall.mm(), 2);
    page.line("NPS " + std::string(pipe.nps) + " (DN " + std::to_string(pipe.dn) + "), outside " +
              number_text(pipe.outside_diameter.mm(), 1) + " mm; wall in mm by schedule: " + walls);
  }
  page.line("ASME B36.10M-2004 and B36.19M-2004, as tabulated in published tables.");
}

void tubes(TextPage& page) {
  page.heading("Round tube by standard sizes");
  std::vector<std::pair<std::string, std::string>> by_source;  // in the order of the table
  for (const RoundSize& size : known_round_sizes()) {
    if (size.name.starts_with("NPS")) continue;  // told above
    if (by_source.empty() || by_source.back().first != size.source) by_source.emplace_back(std::string(size.source), "");
    std::string& list = by_source.back().second;
    list += (list.empty() ? "" : ", ") + std::string(size.name);
  }
  for (const auto& [source, list] : by_source) page.line(source + ": " + list);
  page.heading("Gauge of tube walls, as '1-1/4 in x 14 BWG'");
  std::string list;
  for (const TubeGauge& gauge : known_tube_gauges())
    list += (list.empty() ? "" : ", ") + std::to_string(gauge.number) + " " + number_text(gauge.wall.mm(), 2) + " mm";
  page.line(list);
  page.line(std::string(tube_gauge_source));
}

void sections(TextPage& page) {
  page.heading("Other sections, by measures or by name");
  page.line("square '50x50x3 mm', 'EN 10219 50x50x3' (cold-formed corners, outside 2 t to 6 mm of wall, 2.5 t to 10 mm, 3 t above), "
            "'EN 10210 50x50x3' (hot-finished, 1.5 t), 'HSS2X2X1/8'; rectangle '60x40x3 mm hard way'; flat '50x10 mm easy way'; "
            "tee '50x50x6 mm stem in'; beam '80x46x3.8x5.2 mm hard way'; outline in a job file.");
  std::string list;
  for (const ChannelSize& c : known_channels()) list += (list.empty() ? "" : ", ") + std::string(c.name);
  page.line("channel, as 'UPE 80 flanges in': " + list);
  list.clear();
  for (const AngleSize& a : known_angles()) list += (list.empty() ? "" : ", ") + std::string(a.name);
  page.line("angle, as 'L50x50x5 leg in': " + list + " (" + std::string(known_angles().front().source) + ")");
}

}  // namespace

std::string tables_text() {
  TextPage page(TextPage::Ink::plain);
  materials(page);
  pipes(page);
  tubes(page);
  sections(page);
  page.heading("Machines");
  page.line("\"" + std::string(example_machine_name) + "\": " + example_machine().name +
            ", used where a job names none. `coilwright tables --machine " + std::string(example_machine_name) +
            "` prints its whole file to start your own from.");
  return page.text();
}

std::string tables_json() {
  Json document = Json::object();
  document["schema"] = 1;
  document["materials"] = Json::array();
  for (const Material& m : known_materials()) {
    Json row{{"name", m.name},
             {"yield_mpa", m.yield.mpa()},
             {"tensile_mpa", m.tensile ? Json(m.tensile->mpa()) : Json()},
             {"elongation_percent", m.elongation_percent ? Json(*m.elongation_percent) : Json()},
             {"modulus_mpa", m.modulus.mpa()},
             {"poisson", m.poisson},
             {"hardening_mpa", m.hardening.mpa()},
             {"density_kg_m3", m.density_kg_m3},
             {"yield_source", m.source.yield},
             {"typical_yield_mpa", m.typical_yield ? Json(m.typical_yield->mpa()) : Json()},
             {"typical_yield_source", m.source.typical_yield}};
    document["materials"].push_back(std::move(row));
  }
  document["pipes"] = Json::array();
  for (const Pipe& pipe : known_pipes()) {
    Json schedules = Json::array();
    for (const PipeSchedule& s : pipe.schedules)
      schedules.push_back({{"name", s.name}, {"wall_mm", s.wall.mm()}, {"source", s.source}});
    document["pipes"].push_back(
        {{"nps", pipe.nps}, {"dn", pipe.dn}, {"outside_diameter_mm", pipe.outside_diameter.mm()}, {"schedules", schedules}});
  }
  document["round_sizes"] = Json::array();
  for (const RoundSize& size : known_round_sizes())
    document["round_sizes"].push_back({{"name", size.name},
                                       {"outside_diameter_mm", size.outside_diameter.mm()},
                                       {"wall_mm", size.wall.mm()},
                                       {"source", size.source}});
  document["channels"] = Json::array();
  for (const ChannelSize& c : known_channels())
    document["channels"].push_back({{"name", c.name}, {"height_mm", c.height.mm()}, {"flange_width_mm", c.flange_width.mm()},
                                    {"web_mm", c.web.mm()}, {"flange_mm", c.flange.mm()}, {"source", c.source}});
  document["angles"] = Json::array();
  for (const AngleSize& a : known_angles())
    document["angles"].push_back({{"name", a.name}, {"long_leg_mm", a.long_leg.mm()}, {"short_leg_mm", a.short_leg.mm()},
                                  {"thickness_mm", a.thickness.mm()}, {"source", a.source}});
  document["machines"] = Json::array({{{"name", example_machine_name}}});
  return document.dump(2) + "\n";
}

}  // namespace coilwright
