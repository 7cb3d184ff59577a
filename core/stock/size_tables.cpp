#include <array>
#include <coilwright/quantity/number_text.hpp>
#include <coilwright/stock/size_tables.hpp>
#include <optional>

namespace coilwright {
namespace {

constexpr std::string_view b36_10 = "ASME B36.10M-2004, as tabulated in a published table";
constexpr std::string_view b36_19 = "ASME B36.19M-2004, as tabulated in a published table";

struct PipeRow {
  std::string_view nps;
  double nominal_inches;
  int dn;
  double outside_mm;
  // Up to NPS 6 the schedules of one column have one wall: 5 = 5S, 10 = 10S, 40 = 40S = STD, 80 = 80S = XS.
  std::optional<double> wall_5_mm, wall_10_mm, wall_40_mm, wall_80_mm, wall_160_mm, wall_xxs_mm;
};
constexpr PipeRow pipe_rows[] = {
    {"1/2", 0.5, 15, 21.3, 1.65, 2.11, 2.77, 3.73, 4.78, 7.47},
    {"3/4", 0.75, 20, 26.7, 1.65, 2.11, 2.87, 3.91, 5.56, 7.82},
    {"1", 1.0, 25, 33.4, 1.65, 2.77, 3.38, 4.55, 6.35, 9.09},
    {"1-1/4", 1.25, 32, 42.2, 1.65, 2.77, 3.56, 4.85, 6.35, 9.70},
    {"1-1/2", 1.5, 40, 48.3, 1.65, 2.77, 3.68, 5.08, 7.14, 10.15},
    {"2", 2.0, 50, 60.3, 1.65, 2.77, 3.91, 5.54, 8.74, 11.07},
    {"2-1/2", 2.5, 65, 73.0, 2.11, 3.05, 5.16, 7.01, 9.53, 14.02},
    {"3", 3.0, 80, 88.9, 2.11, 3.05, 5.49, 7.62, 11.13, 15.24},
    {"3-1/2", 3.5, 90, 101.6, 2.11, 3.05, 5.74, 8.08, std::nullopt, std::nullopt},
    {"4", 4.0, 100, 114.3, 2.11, 3.05, 6.02, 8.56, 13.49, 17.12},
    {"5", 5.0, 125, 141.3, 2.77, 3.40, 6.55, 9.53, 15.88, 19.05},
    {"6", 6.0, 150, 168.3, 2.77, 3.40, 7.11, 10.97, 18.26, 21.95},
};

struct Series {
  std::string_view standard;  // as written before the size
  std::string_view source;
  std::string_view sizes;  // outside diameter: walls; ... in mm
};
constexpr Series series[] = {
    {"EN 10219", "EN 10219-2 (cold formed), as tabulated in a published table",
     "21.3: 2; 26.9: 2 2.5; 33.7: 2 2.5 3; 42.4: 2 2.5 3 4; 48.3: 2 2.5 3 4 5; 60.3: 2 3 5; 76.1: 3; "
     "88.9: 3 5"},
    {"EN 10210", "EN 10210-2:2006 (hot finished), as tabulated in a published table",
     "42.4: 2.6 3.2 4; 48.3: 2.6 3.2 4; 60.3: 2.9 3.2; 76.1: 3.2; 88.9: 3.2"},
    {"EN 10220", "DIN 2448:1981, now EN 10220, as tabulated in a published table",
     "21.3: 2 2.3 2.6 2.9 3.2; 26.9: 2 2.3 2.6 2.9 3.2; 33.7: 2.3 2.6 2.9 3.2 3.6 4; "
     "42.4: 2.6 2.9 3.2 3.6 4 4.5 5; 48.3: 2.6 2.9 3.2 3.6 4 4.5 5; 60.3: 2.9 3.2 3.6 4 4.5 5"},
};

// The name has the nominal wall in inches; the design wall of the same table (0.93 of it) is for strength.
constexpr std::string_view hss_source = "AISC Shapes Database v15.0, nominal wall";
struct HssRow {
  std::string_view name;
  double outside_inches, wall_inches;
};
constexpr HssRow hss_rows[] = {
    {"HSS1.660X0.140", 1.660, 0.140}, {"HSS1.900X0.120", 1.900, 0.120}, {"HSS1.900X0.145", 1.900, 0.145},
    {"HSS1.900X0.188", 1.900, 0.188}, {"HSS2.375X0.154", 2.375, 0.154}, {"HSS2.500X0.188", 2.500, 0.188},
    {"HSS3.000X0.216", 3.000, 0.216},
};

std::vector<Pipe> make_pipes() {
  std::vector<Pipe> pipes;
  for (const PipeRow& row : pipe_rows) {
    Pipe pipe{row.nps, row.nominal_inches, row.dn, Length::mm(row.outside_mm), {}};
    const auto add = [&](const std::optional<double>& wall_mm, std::string_view name,
                         std::string_view source) {
      if (wall_mm) pipe.schedules.push_back({name, Length::mm(*wall_mm), source});
    };
    add(row.wall_5_mm, "5", b36_10);
    add(row.wall_5_mm, "5S", b36_19);
    add(row.wall_10_mm, "10", b36_10);
    add(row.wall_10_mm, "10S", b36_19);
    add(row.wall_40_mm, "40", b36_10);
    add(row.wall_40_mm, "40S", b36_19);
    add(row.wall_40_mm, "STD", b36_10);
    add(row.wall_80_mm, "80", b36_10);
    add(row.wall_80_mm, "80S", b36_19);
    add(row.wall_80_mm, "XS", b36_10);
    add(row.wall_160_mm, "160", b36_10);
    add(row.wall_xxs_mm, "XXS", b36_10);
    pipes.push_back(std::move(pipe));
  }
  return pipes;
}

// The next piece of `text` up to `end`, without the spaces around it; taken off the text.
std::string_view take_to(std::string_view& text, char end) {
  const std::size_t at = text.find(end);
  std::string_view piece = text.substr(0, at);
  text = at == std::string_view::npos ? std::string_view() : text.substr(at + 1);
  while (piece.starts_with(' ')) piece.remove_prefix(1);
  while (piece.ends_with(' ')) piece.remove_suffix(1);
  return piece;
}

std::vector<RoundSize> make_sizes() {
  std::vector<RoundSize> sizes;
  for (const Pipe& pipe : known_pipes())
    for (const PipeSchedule& schedule : pipe.schedules)
      sizes.push_back({"NPS " + std::string(pipe.nps) + " Sch " + std::string(schedule.name),
                       pipe.outside_diameter, schedule.wall, std::string(schedule.source)});
  for (const Series& s : series)
    for (std::string_view rest = s.sizes; !rest.empty();) {
      std::string_view walls = take_to(rest, ';');
      const std::string outside(take_to(walls, ':'));
      while (walls.starts_with(' ')) walls.remove_prefix(1);
      while (!walls.empty()) {
        const std::string wall(take_to(walls, ' '));
        sizes.push_back({std::string(s.standard) + " " + outside + "x" + wall,
                         Length::mm(read_number(outside, "outside diameter").value()),
                         Length::mm(read_number(wall, "wall").value()), std::string(s.source)});
      }
    }
  for (const HssRow& row : hss_rows)
    sizes.push_back({std::string(row.name), Length::inches(row.outside_inches),
                     Length::inches(row.wall_inches), std::string(hss_source)});
  return sizes;
}

constexpr std::array<TubeGauge, 10> gauges = {{{10, Length::inches(0.134)},
                                               {11, Length::inches(0.120)},
                                               {12, Length::inches(0.109)},
                                               {13, Length::inches(0.095)},
                                               {14, Length::inches(0.083)},
                                               {15, Length::inches(0.072)},
                                               {16, Length::inches(0.065)},
                                               {17, Length::inches(0.058)},
                                               {18, Length::inches(0.049)},
                                               {20, Length::inches(0.035)}}};

constexpr std::string_view upe = "EN 10365, as tabulated in published tables";
constexpr std::string_view upn = "DIN 1026 (flange slope 8 %), dimensions from memory";
constexpr Length mm(double v) { return Length::mm(v); }
constexpr std::string_view aisc_c =
    "AISC Shapes Database v15.0; inner slope 1 in 6, mean flange thickness taken over the free flange, fillets: from memory; "
    "tabulated areas and moduli are met to 1 %, the weak axis to 2 %";
// Thickness at half the flange width, from the mean of the flange beyond the web: half a web nearer to it.
constexpr Length at_half_width(double mean_in, double web_in) { return Length::inches(mean_in + web_in / 12.0); }
constexpr Length in(double v) { return Length::inches(v); }
constexpr std::array<ChannelSize, 14> channels = {{
    {"UPE 80", mm(80), mm(50), mm(4), mm(7), mm(10), mm(0), 0.0, upe},
    {"UPE 100", mm(100), mm(55), mm(4.5), mm(7.5), mm(10), mm(0), 0.0, upe},
    {"UPE 120", mm(120), mm(60), mm(5), mm(8), mm(12), mm(0), 0.0, upe},
    {"UPE 140", mm(140), mm(65), mm(5), mm(9), mm(12), mm(0), 0.0, upe},
    {"UPE 160", mm(160), mm(70), mm(5.5), mm(9.5), mm(12), mm(0), 0.0, upe},
    {"UPE 200", mm(200), mm(80), mm(6), mm(11), mm(13), mm(0), 0.0, upe},
    {"UPN 80", mm(80), mm(45), mm(6), mm(8), mm(8), mm(4), 0.08, upn},
    {"UPN 100", mm(100), mm(50), mm(6), mm(8.5), mm(8.5), mm(4.25), 0.08, upn},
    {"UPN 120", mm(120), mm(55), mm(7), mm(9), mm(9), mm(4.5), 0.08, upn},
    {"C3x4.1", in(3), in(1.41), in(0.17), at_half_width(0.273, 0.17), in(0.273), in(0.1365), 1.0 / 6.0, aisc_c},
    {"C3x5", in(3), in(1.5), in(0.258), at_half_width(0.273, 0.258), in(0.273), in(0.1365), 1.0 / 6.0, aisc_c},
    {"C4x5.4", in(4), in(1.58), in(0.184), at_half_width(0.296, 0.184), in(0.296), in(0.148), 1.0 / 6.0, aisc_c},
    {"C5x6.7", in(5), in(1.75), in(0.19), at_half_width(0.32, 0.19), in(0.32), in(0.16), 1.0 / 6.0, aisc_c},
    {"C6x8.2", in(6), in(1.92), in(0.2), at_half_width(0.343, 0.2), in(0.343), in(0.1715), 1.0 / 6.0, aisc_c},
}};

constexpr std::string_view angle_source =
    "EN 10056-1:2017, as tabulated in a published data set; root radius from memory, checked by the tabulated area";
constexpr std::array<AngleSize, 8> angles = {{
    {"L25x25x3", mm(25), mm(25), mm(3), mm(3.5), angle_source},
    {"L30x30x3", mm(30), mm(30), mm(3), mm(5), angle_source},
    {"L40x40x4", mm(40), mm(40), mm(4), mm(6), angle_source},
    {"L50x50x5", mm(50), mm(50), mm(5), mm(7), "EN 10056-1:2017, as tabulated in a published data set"},
    {"L50x50x6", mm(50), mm(50), mm(6), mm(7), angle_source},
    {"L60x60x6", mm(60), mm(60), mm(6), mm(8), angle_source},
    {"L70x70x7", mm(70), mm(70), mm(7), mm(9), angle_source},
    {"L100x100x10", mm(100), mm(100), mm(10), mm(12), angle_source},
}};

}  // namespace

std::span<const ChannelSize> known_channels() { return channels; }
std::span<const AngleSize> known_angles() { return angles; }

std::span<const Pipe> known_pipes() {
  static const std::vector<Pipe> all = make_pipes();
  return all;
}

std::span<const RoundSize> known_round_sizes() {
  static const std::vector<RoundSize> all = make_sizes();
  return all;
}

std::span<const TubeGauge> known_tube_gauges() {
  return gauges;
}

}  // namespace coilwright
