// A page to draw on: lines, areas and words in millimetres, kept as SVG, PNG or PDF in memory.
//
// Page frame: origin at the top left corner, x to the right, y down, mm. The same calls give the same bytes (the
// PDF carries a fixed date). Words are set in DejaVu Sans where it is installed, otherwise in the sans serif that
// the system puts in its place; in SVG they are outlines, in PDF they can be searched. All text goes through
// safe_text.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coilwright {

enum class DrawingFormat { svg, png, pdf };

// By the ending of a file's name, in capitals or not; none: it ends in nothing that can be drawn.
std::optional<DrawingFormat> drawing_format(std::string_view file_name);

// Colours by what they are for; they keep apart in grey as well.
enum class Colour {
  paper,     // white
  ink,       // lines and words: black
  faint,     // guide lines, hatching
  quiet,     // second-rank words: dark grey
  good,      // clears
  doubtful,  // too close to say
  bad,       // collides
  blocked,   // cannot be bent
  away,      // cannot be reached
  accent     // what the page is about
};

struct PagePoint {
  double x_mm, y_mm;
};

struct Stroke {
  Colour colour = Colour::ink;
  double width_mm = 0.25;
  std::vector<double> dashes_mm = {};  // on, off, on, …; empty: a full line
};

enum class Across { left, middle, right };  // which part of the words stands at the point
enum class Weight { plain, bold };
enum class Run { across, up };  // to the right, or turned to read from below

struct Lettering {
  double size_mm = 3.2;  // of the em; capitals are 0.73 of it
  Colour colour = Colour::ink;
  Across at = Across::left;
  Weight weight = Weight::plain;
  Run run = Run::across;
};

class Drawing {
 public:
  struct Page {
    double width_mm, height_mm;  // 1 .. 2000
  };

  Drawing(DrawingFormat format, Page page, std::string_view title);
  ~Drawing();
  Drawing(const Drawing&) = delete;
  Drawing& operator=(const Drawing&) = delete;

  [[nodiscard]] Page page() const;

  void line(PagePoint from, PagePoint to, const Stroke& stroke = {});
  void polyline(const std::vector<PagePoint>& points, const Stroke& stroke = {});  // two points at least
  void polygon(const std::vector<PagePoint>& points, Colour fill);                 // three points at least
  void rectangle(PagePoint corner, double width_mm, double height_mm, Colour fill);
  void frame(PagePoint corner, double width_mm, double height_mm, const Stroke& stroke = {});
  void circle(PagePoint centre, double radius_mm, const Stroke& stroke = {});
  void disc(PagePoint centre, double radius_mm, Colour fill);
  // The point is on the base line.
  void text(PagePoint at, std::string_view words, const Lettering& lettering = {});
  [[nodiscard]] double text_width_mm(std::string_view words, const Lettering& lettering = {}) const;

  // A further page of the same size. PDF only: the other two hold one page.
  void next_page();

  // The finished file; nothing can be drawn after it. Throws std::runtime_error when the drawing library has failed
  // (out of memory).
  [[nodiscard]] std::string finish();

  // Dots per inch of a PNG: 1 mm is this / 25.4 pixels, page sizes are rounded to whole pixels.
  static constexpr double png_dots_per_inch = 200.0;

 private:
  struct Surface;
  std::unique_ptr<Surface> surface_;
};

}  // namespace coilwright
