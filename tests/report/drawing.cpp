#include <array>
#include <catch2/catch.hpp>
#include <coilwright/quantity/require.hpp>
#include <coilwright/report/drawing.hpp>
#include <regex>

using namespace coilwright;

namespace {

std::size_t count(const std::string& text, const std::string& what) {
  std::size_t found = 0;
  for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + what.size())) ++found;
  return found;
}

std::string drawn(DrawingFormat format) {
  Drawing page(format, {100.0, 50.0}, "A page");
  page.rectangle({10.0, 10.0}, 20.0, 10.0, Colour::good);
  page.frame({40.0, 10.0}, 20.0, 10.0);
  page.line({0.0, 40.0}, {100.0, 40.0}, {Colour::accent, 0.5, {2.0, 1.0}});
  page.polyline({{1.0, 1.0}, {2.0, 2.0}, {3.0, 1.0}});
  page.disc({80.0, 20.0}, 4.0, Colour::bad);
  page.circle({80.0, 20.0}, 5.0);
  page.text({50.0, 30.0}, "pitch, mm", {.at = Across::middle});
  return page.finish();
}

unsigned big_endian(const std::string& bytes, std::size_t at) {
  unsigned value = 0;
  for (std::size_t i = 0; i < 4; ++i) value = value * 256 + static_cast<unsigned char>(bytes[at + i]);
  return value;
}

}  // namespace

TEST_CASE("a drawing's format is told by the file's ending", "[input]") {
  CHECK(drawing_format("a.svg") == DrawingFormat::svg);
  CHECK(drawing_format("folder.x/A.PNG") == DrawingFormat::png);
  CHECK(drawing_format("a.b.Pdf") == DrawingFormat::pdf);
  CHECK_FALSE(drawing_format("a.csv"));
  CHECK_FALSE(drawing_format("svg"));
  CHECK_FALSE(drawing_format(""));
}

TEST_CASE("an SVG holds what was drawn, where it was drawn", "[property]") {
  const std::string svg = drawn(DrawingFormat::svg);
  CHECK(svg.starts_with("<?xml"));
  CHECK(count(svg, "</svg>") == 1);
  // 100 x 50 mm in points.
  std::smatch size;
  REQUIRE(std::regex_search(svg, size, std::regex("<svg[^>]* width=\"([0-9.]+)pt\" height=\"([0-9.]+)pt\"")));
  CHECK(std::stod(size[1]) == Approx(283.4646).margin(1e-3));
  CHECK(std::stod(size[2]) == Approx(141.7323).margin(1e-3));
  CHECK(count(svg, "fill:rgb(80%,93%,80%)") == 1);
  CHECK(count(svg, "fill:rgb(82%,36%,30%)") == 1);
  CHECK(count(svg, "stroke-dasharray:2,1;") == 1);
  CHECK(count(svg, "stroke:rgb(5%,25%,60%)") == 1);
  // The rectangle's corners, in points to 1/256 of one.
  std::smatch corners;
  REQUIRE(std::regex_search(svg, corners,
                            std::regex("fill:rgb\\(80%,93%,80%\\)[^>]* d=\"M ([0-9.]+) ([0-9.]+) L ([0-9.]+) ([0-9.]+) "
                                       "L ([0-9.]+) ([0-9.]+) L")));
  const double point = 25.4 / 72.0;
  const std::array<double, 6> expected{10.0, 10.0, 30.0, 10.0, 30.0, 20.0};
  for (std::size_t i = 0; i < 6; ++i)
    CHECK(std::stod(corners[i + 1]) * point == Approx(expected[i]).margin(point / 128.0));
  // One outline used for each letter; a space has none or an empty one.
  CHECK(count(svg, "<use ") >= 8);
}

TEST_CASE("a PNG has the size of its page", "[property]") {
  const std::string png = drawn(DrawingFormat::png);
  REQUIRE(png.size() > 100);
  CHECK(png.substr(0, 8) == "\x89PNG\r\n\x1a\n");
  CHECK(big_endian(png, 16) == 787);  // 100 mm / 25.4 x 200
  CHECK(big_endian(png, 20) == 394);
}

TEST_CASE("a PDF holds one page, or as many as were begun, and no date of today", "[property]") {
  const std::string pdf = drawn(DrawingFormat::pdf);
  CHECK(pdf.starts_with("%PDF-"));
  CHECK(count(pdf, "%%EOF") == 1);
  CHECK(count(pdf, "/Count 1") == 1);
  CHECK(count(pdf, "/CreationDate (20000101000000Z)") == 1);
  Drawing two(DrawingFormat::pdf, {100.0, 50.0}, "Two");
  two.line({0.0, 0.0}, {1.0, 1.0});
  two.next_page();
  two.line({0.0, 0.0}, {1.0, 1.0});
  CHECK(count(two.finish(), "/Count 2") == 1);
}

TEST_CASE("the same calls give the same bytes", "[property]") {
  for (const DrawingFormat format : {DrawingFormat::svg, DrawingFormat::png, DrawingFormat::pdf}) {
    const std::string first = drawn(format);
    CHECK((drawn(format) == first));
    CHECK((drawn(format) == first));
  }
}

TEST_CASE("words are measured as they are set", "[property]") {
  const Drawing page(DrawingFormat::svg, {100.0, 50.0}, "");
  const double small = page.text_width_mm("pitch", {.size_mm = 3.0});
  CHECK(small > 3.0);
  CHECK(small < 15.0);
  CHECK(page.text_width_mm("pitch", {.size_mm = 6.0}) == Approx(2.0 * small).epsilon(1e-3));
  CHECK(page.text_width_mm("", {}) == 0.0);
}

TEST_CASE("what a file called its machine does no harm to a drawing", "[input]") {
  for (const DrawingFormat format : {DrawingFormat::svg, DrawingFormat::png, DrawingFormat::pdf}) {
    Drawing page(format, {50.0, 50.0}, "<&\x1b]0;\xff\xfe>");
    page.text({1.0, 10.0}, "\xff\xfe\x1b[31m<script>&\x01");
    CHECK(page.finish().size() > 100);
  }
}

TEST_CASE("a page that cannot be is our own mistake", "[property]") {
  CHECK_THROWS_AS(Drawing(DrawingFormat::svg, {0.0, 50.0}, ""), InternalError);
  Drawing page(DrawingFormat::svg, {50.0, 50.0}, "");
  CHECK_THROWS_AS(page.polyline({{1.0, 1.0}}), InternalError);
  CHECK_THROWS_AS(page.next_page(), InternalError);
}
