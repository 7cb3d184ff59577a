#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <cairo.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/report/drawing.hpp>
#include <coilwright/report/safe_text.hpp>
#include <numbers>
#include <stdexcept>

namespace coilwright {
namespace {

constexpr double mm_per_inch = 25.4, points_per_inch = 72.0;

struct Paint {
  double red, green, blue;
};

// Judgement: of clearly different lightness, so that they keep apart when printed in grey.
Paint paint_of(Colour colour) {
  switch (colour) {
    case Colour::paper: return {1.0, 1.0, 1.0};
    case Colour::ink: return {0.0, 0.0, 0.0};
    case Colour::faint: return {0.78, 0.78, 0.78};
    case Colour::quiet: return {0.33, 0.33, 0.33};
    case Colour::good: return {0.80, 0.93, 0.80};
    case Colour::doubtful: return {0.98, 0.83, 0.42};
    case Colour::bad: return {0.82, 0.36, 0.30};
    case Colour::blocked: return {0.50, 0.52, 0.58};
    case Colour::away: return {0.70, 0.79, 0.90};
    case Colour::accent: return {0.05, 0.25, 0.60};
  }
  throw InternalError("unknown colour");
}

cairo_status_t append_bytes(void* to, const unsigned char* data, unsigned int length) {
  try {
    static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), length);
  } catch (const std::bad_alloc&) {
    return CAIRO_STATUS_NO_MEMORY;  // no exception may pass through C
  }
  return CAIRO_STATUS_SUCCESS;
}

// SVG files of one process are numbered through (id="surface7"): that number would tell them apart.
void forget_surface_number(std::string& svg) {
  constexpr std::string_view mark = "id=\"surface";
  for (std::size_t at = svg.find(mark); at != std::string::npos; at = svg.find(mark, at)) {
    at += mark.size();
    const std::size_t end = std::min(svg.find_first_not_of("0123456789", at), svg.size());
    svg.erase(at, end - at);
  }
}

void require_finite(PagePoint p) { require(std::isfinite(p.x_mm) && std::isfinite(p.y_mm), "a point of a page is finite"); }

}  // namespace

std::optional<DrawingFormat> drawing_format(std::string_view file_name) {
  std::string ending(file_name.substr(file_name.size() - std::min<std::size_t>(4, file_name.size())));
  for (char& c : ending)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  if (ending == ".svg") return DrawingFormat::svg;
  if (ending == ".png") return DrawingFormat::png;
  if (ending == ".pdf") return DrawingFormat::pdf;
  return std::nullopt;
}

struct Drawing::Surface {
  DrawingFormat format;
  Page page;
  std::string bytes;
  cairo_surface_t* surface = nullptr;
  cairo_t* pen = nullptr;

  Surface(DrawingFormat format_, Page page_) : format(format_), page(page_) {
    const double width = page.width_mm / mm_per_inch, height = page.height_mm / mm_per_inch;
    double scale = points_per_inch / mm_per_inch;
    switch (format) {
      case DrawingFormat::svg:
        surface = cairo_svg_surface_create_for_stream(append_bytes, &bytes, width * points_per_inch, height * points_per_inch);
        break;
      case DrawingFormat::pdf:
        surface = cairo_pdf_surface_create_for_stream(append_bytes, &bytes, width * points_per_inch, height * points_per_inch);
        // A fixed date: the same page gives the same bytes on every day.
        cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, "2000-01-01T00:00:00Z");
        break;
      case DrawingFormat::png:
        scale = png_dots_per_inch / mm_per_inch;
        surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, static_cast<int>(std::lround(width * png_dots_per_inch)),
                                             static_cast<int>(std::lround(height * png_dots_per_inch)));
        break;
    }
    pen = cairo_create(surface);
    cairo_scale(pen, scale, scale);
    // Shapes of letters and their widths must not depend on the resolution.
    cairo_font_options_t* options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    cairo_set_font_options(pen, options);
    cairo_font_options_destroy(options);
    blank();
  }
  ~Surface() {
    cairo_destroy(pen);
    cairo_surface_destroy(surface);
  }
  Surface(const Surface&) = delete;
  Surface& operator=(const Surface&) = delete;

  void blank() {
    colour(Colour::paper);
    cairo_paint(pen);
  }
  void colour(Colour wanted) {
    const Paint paint = paint_of(wanted);
    cairo_set_source_rgb(pen, paint.red, paint.green, paint.blue);
  }
  void path(const std::vector<PagePoint>& points) {
    cairo_new_path(pen);
    for (const PagePoint& p : points) {
      require_finite(p);
      cairo_line_to(pen, p.x_mm, p.y_mm);
    }
  }
  void draw(const Stroke& stroke) {
    require(stroke.width_mm > 0.0, "a line has a width");
    colour(stroke.colour);
    cairo_set_line_width(pen, stroke.width_mm);
    cairo_set_dash(pen, stroke.dashes_mm.data(), static_cast<int>(stroke.dashes_mm.size()), 0.0);
    cairo_stroke(pen);
  }
  void fill(Colour with) {
    colour(with);
    cairo_fill(pen);
  }
  void round(PagePoint centre, double radius_mm) {
    require_finite(centre);
    require(radius_mm > 0.0, "a circle has a radius");
    cairo_new_path(pen);
    cairo_arc(pen, centre.x_mm, centre.y_mm, radius_mm, 0.0, 2.0 * std::numbers::pi);
    cairo_close_path(pen);
  }
  double width_of(const std::string& words, const Lettering& lettering) {
    cairo_select_font_face(pen, "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL,
                           lettering.weight == Weight::bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(pen, lettering.size_mm);
    cairo_text_extents_t extents;
    cairo_text_extents(pen, words.c_str(), &extents);
    return extents.x_advance;
  }
};

Drawing::Drawing(DrawingFormat format, Page page, std::string_view title) {
  require(page.width_mm >= 1.0 && page.width_mm <= 2000.0 && page.height_mm >= 1.0 && page.height_mm <= 2000.0,
          "a page is 1 to 2000 mm either way");
  surface_ = std::make_unique<Surface>(format, page);
  if (format == DrawingFormat::pdf)
    cairo_pdf_surface_set_metadata(surface_->surface, CAIRO_PDF_METADATA_TITLE, safe_text(title).c_str());
}

Drawing::~Drawing() = default;

Drawing::Page Drawing::page() const { return surface_->page; }

void Drawing::line(PagePoint from, PagePoint to, const Stroke& stroke) { polyline({from, to}, stroke); }

void Drawing::polyline(const std::vector<PagePoint>& points, const Stroke& stroke) {
  require(points.size() >= 2, "a line has two points at least");
  surface_->path(points);
  surface_->draw(stroke);
}

void Drawing::polygon(const std::vector<PagePoint>& points, Colour fill) {
  require(points.size() >= 3, "an area has three corners at least");
  surface_->path(points);
  cairo_close_path(surface_->pen);
  surface_->fill(fill);
}

void Drawing::rectangle(PagePoint corner, double width_mm, double height_mm, Colour fill) {
  polygon({corner,
           {corner.x_mm + width_mm, corner.y_mm},
           {corner.x_mm + width_mm, corner.y_mm + height_mm},
           {corner.x_mm, corner.y_mm + height_mm}},
          fill);
}

void Drawing::frame(PagePoint corner, double width_mm, double height_mm, const Stroke& stroke) {
  surface_->path({corner,
                  {corner.x_mm + width_mm, corner.y_mm},
                  {corner.x_mm + width_mm, corner.y_mm + height_mm},
                  {corner.x_mm, corner.y_mm + height_mm}});
  cairo_close_path(surface_->pen);
  surface_->draw(stroke);
}

void Drawing::circle(PagePoint centre, double radius_mm, const Stroke& stroke) {
  surface_->round(centre, radius_mm);
  surface_->draw(stroke);
}

void Drawing::disc(PagePoint centre, double radius_mm, Colour fill) {
  surface_->round(centre, radius_mm);
  surface_->fill(fill);
}

void Drawing::text(PagePoint at, std::string_view words, const Lettering& lettering) {
  require_finite(at);
  require(lettering.size_mm > 0.0, "letters have a size");
  const std::string safe = safe_text(words);
  const double width = surface_->width_of(safe, lettering);
  const double back = lettering.at == Across::left ? 0.0 : lettering.at == Across::middle ? 0.5 * width : width;
  cairo_t* pen = surface_->pen;
  cairo_save(pen);
  cairo_translate(pen, at.x_mm, at.y_mm);
  if (lettering.run == Run::up) cairo_rotate(pen, -0.5 * std::numbers::pi);
  surface_->colour(lettering.colour);
  cairo_move_to(pen, -back, 0.0);
  cairo_show_text(pen, safe.c_str());
  cairo_restore(pen);
  cairo_new_path(pen);
}

double Drawing::text_width_mm(std::string_view words, const Lettering& lettering) const {
  require(lettering.size_mm > 0.0, "letters have a size");
  return surface_->width_of(safe_text(words), lettering);
}

void Drawing::next_page() {
  require(surface_->format == DrawingFormat::pdf, "only a PDF holds further pages");
  cairo_show_page(surface_->pen);
  surface_->blank();
}

std::string Drawing::finish() {
  Surface& s = *surface_;
  if (s.format == DrawingFormat::png) {
    cairo_surface_flush(s.surface);
    if (cairo_status(s.pen) == CAIRO_STATUS_SUCCESS) cairo_surface_write_to_png_stream(s.surface, append_bytes, &s.bytes);
  }
  cairo_surface_finish(s.surface);
  for (const cairo_status_t status : {cairo_status(s.pen), cairo_surface_status(s.surface)})
    if (status != CAIRO_STATUS_SUCCESS && status != CAIRO_STATUS_SURFACE_FINISHED)
      throw std::runtime_error(std::string("the picture could not be drawn: ") + cairo_status_to_string(status));
  if (s.format == DrawingFormat::svg) forget_surface_number(s.bytes);
  return std::move(s.bytes);
}

}  // namespace coilwright
