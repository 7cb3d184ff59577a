#include <catch2/catch.hpp>
#include <coilwright/stock/material_file.hpp>
#include <coilwright/stock/section_text.hpp>

using namespace coilwright;

namespace {

StockText good(SectionWord word, const char* text, std::optional<CornerRule> corners = std::nullopt) {
  const Result<StockText> read = read_section(word, text, "stock.x", std::nullopt, corners);
  if (!read) UNSCOPED_INFO(read.error().front().text);
  REQUIRE(read.has_value());
  return *read;
}
std::string refused(SectionWord word, const char* text) {
  const Result<StockText> read = read_section(word, text, "stock.x");
  REQUIRE_FALSE(read.has_value());
  CHECK(read.error().front().about == "stock.x");
  return read.error().front().text;
}

}  // namespace

TEST_CASE("sections are read as people write them", "[section_text]") {
  using enum SectionWord;
  const auto tube = std::get<RectangularTube>(good(square, "50x50x3 mm").section.kind());
  CHECK(tube.depth.mm() == 50);
  CHECK(tube.wall.mm() == 3);
  CHECK(tube.outside_radius().mm() == 6);
  CHECK(std::get<RectangularTube>(good(square, "EN 10210-2 50 x 50 x 4").section.kind()).outside_radius().mm() == 6);
  CHECK(std::get<RectangularTube>(good(square, "SHS 50x3").section.kind()).height.mm() == 50);
  CHECK(std::get<RectangularTube>(good(square, "HSS2-1/2X2-1/2X1/8").section.kind()).depth.inches() == Approx(2.5));
  CHECK(std::get<RectangularTube>(good(square, "HSS2X2X1/8").section.kind()).wall.inches() == Approx(0.125));
  const CornerRule ten{Corners::given, Length::mm(10)};
  CHECK(std::get<RectangularTube>(good(square, "50x50x3 mm", ten).section.kind()).inside_radius().mm() == 7);
  CHECK(std::get<RectangularTube>(good(rectangle, "60x40x3 mm hard way").section.kind()).depth.mm() == 60);
  CHECK(std::get<RectangularTube>(good(rectangle, "40x60x3 mm easy way").section.kind()).depth.mm() == 40);
  CHECK(std::get<FlatBar>(good(flat, "2 x 3/8 in hard way").section.kind()).way == Way::hard);
  CHECK(std::get<FlatBar>(good(flat, "2 x 3/8 in hard way").section.kind()).thickness.inches() == Approx(0.375));
  const StockText named = good(angle, "L50x50x5 leg out");
  CHECK(std::get<AngleBar>(named.section.kind()).root_radius.mm() == 7);
  CHECK(std::get<AngleBar>(named.section.kind()).points == Points::to_the_outside);
  CHECK(named.size_source.find("EN 10056-1") == 0);
  CHECK(std::get<AngleBar>(good(angle, "3x2x1/4 in, 3 in leg in").section.kind()).bend_plane_leg.inches() == Approx(3));
  CHECK(std::get<AngleBar>(good(angle, "3x2x1/4 in, 2 leg in").section.kind()).bend_plane_leg.inches() == Approx(2));
  CHECK(std::get<AngleBar>(good(angle, "75x50x6 mm short leg out").section.kind()).shaft_leg.mm() == 75);
  const auto upe = std::get<ChannelBar>(good(channel, "UPE 100 flanges out").section.kind());
  CHECK(upe.web.mm() == 4.5);
  CHECK(upe.way == ChannelWay::flanges_out);
  CHECK(std::get<ChannelBar>(good(channel, "80x50x4x7 mm hard way").section.kind()).way == ChannelWay::hard_way);
  CHECK(std::get<TeeBar>(good(tee, "50x50x6 mm stem in").section.kind()).stem.mm() == 6);
  CHECK(std::get<IBeam>(good(beam, "80x46x3.8x5.2 mm easy way").section.kind()).way == Way::easy);
}

TEST_CASE("a section that leaves a question open is refused with the choices", "[section_text][input]") {
  using enum SectionWord;
  CHECK(refused(rectangle, "60x40x3 mm").find("like a washer") != std::string::npos);
  CHECK(refused(rectangle, "50x50x3 mm hard way").find("give it as square") != std::string::npos);
  CHECK(refused(square, "60x40x3 mm").find("that is a rectangle") != std::string::npos);
  CHECK(refused(square, "50x50x3").find("unit") != std::string::npos);
  CHECK(refused(angle, "75x50x6 mm leg in").find("say which one") != std::string::npos);
  CHECK(refused(angle, "75x50x6 mm, 60 mm leg in").find("neither of the legs") != std::string::npos);
  CHECK(refused(angle, "50x50x5 mm").find("points in or out") != std::string::npos);
  CHECK(refused(channel, "UPE 90 flanges in").find("UPE 100") != std::string::npos);
  CHECK(refused(channel, "80x50x4 mm flanges in").find("3 measures are given, it takes 4") != std::string::npos);
  CHECK(refused(tee, "50x50x6 mm").find("stem points in or out") != std::string::npos);
  for (const char* text : {"", "x", "xx", "50xx3 mm", ",", "leg in", "hard way", "\xff", "50 x 10 mm hardly", "50x50x3 mm mm"})
    for (const SectionWord word : {square, rectangle, flat, angle, channel, tee, beam}) refused(word, text);
}

TEST_CASE("a materials file is read, and refused with lines", "[material][input]") {
  const auto good_file = read_materials(
      "[[material]]\nname = \"lot 14\"\nyield_mpa = 310\ntensile_mpa = 420\nmodulus_mpa = 205000\ndensity_kg_m3 = 7850\n"
      "strength_mpa = 700\nexponent = 0.18\nsource = \"certificate\"\n",
      "shop.toml");
  REQUIRE(good_file.has_value());
  const Material lot = good_file->front();
  CHECK(lot.yield.mpa() == 310);
  CHECK(lot.power_law->exponent == 0.18);
  CHECK(lot.hardening.mpa() == 2050);
  CHECK(lot.source.yield == "certificate");
  CHECK(lot.source.hardening == "certificate");
  CHECK(find_material("LOT 14", *good_file)->yield.mpa() == 310);
  CHECK(find_material("S235", *good_file)->yield.mpa() == 235);
  CHECK(find_material("lot 15", *good_file).error().front().text.find("lot 14") != std::string::npos);

  const auto bad = read_materials("[[material]]\nname = \"m\"\nyeild_mpa = 3\nyield_mpa = 500\ntensile_mpa = 400\nmodulus_mpa = -1\n", "shop.toml");
  REQUIRE_FALSE(bad.has_value());
  CHECK(bad.error().size() == 3);  // misspelt key, density missing, modulus below 0
  CHECK(bad.error().front().text.find("\"yield_mpa\" meant") != std::string::npos);
  CHECK(bad.error().front().place->line == 3);
  const auto swapped = read_materials("[[material]]\nname = \"m\"\nyield_mpa = 500\ntensile_mpa = 400\nmodulus_mpa = 2e5\ndensity_kg_m3 = 7850\n", "x");
  REQUIRE_FALSE(swapped.has_value());
  CHECK(swapped.error().front().text.find("above the tensile strength") != std::string::npos);
}

TEST_CASE("every known material can be a metal, and a minimum says so", "[material][property]") {
  for (const Material& m : known_materials()) {
    INFO(m.name);
    CHECK(check_material(m).empty());
    CHECK_FALSE(m.source.yield.empty());
    CHECK(m.typical_yield.has_value() == !m.source.typical_yield.empty());
    if (m.typical_yield) CHECK(*m.typical_yield > m.yield);
  }
}
