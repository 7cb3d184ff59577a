#include <algorithm>
#include <cmath>
#include <coilwright/quantity/number_text.hpp>
#include <viewer/scene/panel.hpp>

namespace coilwright::view {
namespace {

constexpr double smallest_letters = 11.0;

// A sign that says the answer without colour: a tick, a bar, a cross.
void draw_sign(Canvas& canvas, Answer answer, const Pixel& centre, double radius) {
  const double r = radius, w = 0.24 * radius;
  switch (answer) {
    case Answer::clears:
      canvas.disc(centre, r, Rgb{31, 66, 122});
      canvas.line(centre + Pixel(-0.48 * r, 0.0), centre + Pixel(-0.10 * r, -0.40 * r), panel, w);
      canvas.line(centre + Pixel(-0.16 * r, -0.42 * r), centre + Pixel(0.52 * r, 0.42 * r), panel, w);
      break;
    case Answer::too_close_to_say:
      canvas.patch({centre + Pixel(0, 1.05 * r), centre + Pixel(-1.05 * r, -0.85 * r), centre + Pixel(1.05 * r, -0.85 * r)},
                   caution);
      canvas.line(centre + Pixel(0, 0.5 * r), centre + Pixel(0, -0.25 * r), panel, w);
      canvas.disc(centre + Pixel(0, -0.55 * r), 0.15 * r, panel);
      break;
    case Answer::collides:
      canvas.box({centre - Pixel(r, r), centre + Pixel(r, r)}, collision);
      canvas.line(centre + Pixel(-0.55 * r, -0.55 * r), centre + Pixel(0.55 * r, 0.55 * r), panel, w);
      canvas.line(centre + Pixel(-0.55 * r, 0.55 * r), centre + Pixel(0.55 * r, -0.55 * r), panel, w);
      break;
    case Answer::not_checked:
      canvas.ring(centre, 0.9 * r, soft_ink, w);
      canvas.line(centre + Pixel(-0.4 * r, 0), centre + Pixel(0.4 * r, 0), soft_ink, w);
      break;
  }
}

struct Line {
  std::string text;
  Lettering lettering;
};

double line_step(const Lettering& lettering) { return std::round(1.38 * lettering.size); }

double stack_height(const std::vector<Line>& lines) {
  double height = 0.0;
  for (const Line& line : lines) height += line_step(line.lettering);
  return height;
}

void draw_stack(Canvas& canvas, const std::vector<Line>& lines, double x, double top) {
  double y = top;
  for (const Line& line : lines) {
    y -= line_step(line.lettering);
    // Letters sit on a common baseline: the box of a line without descenders is shorter.
    const double descender = canvas.text_size("pg", line.lettering).y() - canvas.text_size("ne", line.lettering).y();
    const bool hangs = line.text.find_first_of("gjpqy,;()Q") != std::string::npos;
    canvas.text({x, y + (hangs ? 0.0 : descender) + 0.12 * line.lettering.size}, line.text, line.lettering);
  }
}

void add_wrapped(Canvas& canvas, std::vector<Line>& lines, const std::string& text, const Lettering& lettering,
                 double width, int most) {
  if (text.empty()) return;
  for (const std::string& part : wrapped(canvas, text, lettering, width, most)) lines.push_back({part, lettering});
}

// The ramp as a bar with its steps written beside it.
void draw_legend(Canvas& canvas, const Ramp& ramp, const PixelBox& room, double scale) {
  const Lettering small{letter_size(12, scale)}, head{letter_size(13, scale), ink, Weight::bold};
  const double bar = std::round(16 * scale), x0 = room.low.x(), width = room.size().x();
  const double title_y = room.high.y() - line_step(head) + 0.12 * head.size;
  canvas.text({x0, title_y}, "Clearance, mm", head);
  const double top = room.high.y() - line_step(head) - std::round(4 * scale), low = top - bar;
  const auto wide = [&](const std::string& text) { return canvas.text_size(text, small).x(); };
  // Three fields: touches, inside the margin, beyond it. Widths are for reading, not to one scale.
  const double w0 = std::max(0.16 * width, wide("touches") + 0.5 * wide("0") + 6 * scale);
  const double w1 = 0.36 * (width - w0), w2 = width - w0 - w1;
  const PixelBox touch{{x0, low}, {x0 + w0, top}};
  canvas.box(touch, collision);
  canvas.hatch(touch, panel, std::round(10 * scale));
  constexpr int steps = 48;
  const auto field = [&](double from_x, double w, double from_mm, double to_mm) {
    for (int i = 0; i < steps; ++i) {
      const double a = from_x + w * i / steps, b = from_x + w * (i + 1) / steps;
      canvas.box({{a, low}, {b, top}}, ramp.colour(from_mm + (to_mm - from_mm) * (i + 0.5) / steps));
    }
  };
  field(x0 + w0, w1, 0.0, ramp.margin_mm());
  field(x0 + w0 + w1, w2, ramp.margin_mm(), ramp.far_mm());
  canvas.frame({{x0, low}, {x0 + width, top}}, soft_ink, 1.0);
  const auto tick = [&](double x, const std::string& text, double seat) {
    canvas.box({{x - 0.5, low - std::round(4 * scale)}, {x + 0.5, top}}, ink);
    const Pixel size = canvas.text_size(text, small);
    canvas.text({std::clamp(x - seat * size.x(), x0, x0 + width - size.x()), low - 5 * scale - small.size}, text, small);
  };
  canvas.text({x0, low - 5 * scale - small.size}, "touches", small);
  tick(x0 + w0, "0", 0.5);
  const double margin = ramp.margin_mm();
  const std::string middle = number_text(margin, margin == std::floor(margin) ? 0 : 1);
  const std::string end = number_text(ramp.far_mm(), 0);
  const bool roomy = w2 > 0.5 * wide("margin " + middle) + wide(end + " and more") + 10 * scale;
  tick(x0 + w0 + w1, roomy ? "margin " + middle : middle, 0.5);
  tick(x0 + width - 0.5, roomy ? end + " and more" : end + "+", 1.0);
}

enum class Arrangement { side_by_side, stacked };

// How much the strip says: everything, to the last word or cut short, what a small picture has room for, or the answer alone.
enum class Detail { unabridged, full, brief, least };

struct Columns {
  std::vector<Line> title, verdict;
  double title_width, verdict_width, legend_width;
};

Columns columns_of(Canvas& canvas, const Subject& subject, const PanelState& state, Detail detail, double inner, double gap,
                   double sign_width, Arrangement arrangement) {
  const double s = state.scale;
  const bool narrow = arrangement == Arrangement::stacked;
  Columns out{{}, {}, narrow ? inner : 0.45 * inner - gap, narrow ? 0.56 * inner - gap : 0.27 * inner - gap,
              narrow ? 0.44 * inner : 0.28 * inner};
  // Without a legend the reason may have its room.
  if (subject.standing == Standing::alone) out.verdict_width += out.legend_width;
  const Lettering big{letter_size(23, s), ink, Weight::bold}, plain{letter_size(14, s)},
      quiet{letter_size(13, s), soft_ink}, loud{letter_size(19, s), ink, Weight::bold},
      warning{letter_size(14, s), mixed(caution, ink, 0.35)};
  const bool unabridged = detail == Detail::unabridged, full = unabridged || detail == Detail::full;
  add_wrapped(canvas, out.title, subject.title, big, out.title_width, 1);
  if (detail != Detail::least)
    add_wrapped(canvas, out.title, full ? subject.stock + "; " + subject.measures : subject.measures, plain, out.title_width, unabridged ? 4 : full ? 2 : 1);
  add_wrapped(canvas, out.title, subject.direction, plain, out.title_width, full ? 2 : 1);
  if (full) add_wrapped(canvas, out.title, state.footing, quiet, out.title_width, unabridged ? 2 : 1);
  const double verdict = out.verdict_width - sign_width;
  add_wrapped(canvas, out.verdict, subject.verdict, loud, verdict, 2);
  if (detail != Detail::least) add_wrapped(canvas, out.verdict, subject.verdict_detail, plain, verdict, unabridged ? 12 : full ? 4 : 2);
  if (full) add_wrapped(canvas, out.verdict, subject.keep_out, warning, verdict, 3);
  return out;
}

}  // namespace

int letter_size(double size, double scale) {
  return static_cast<int>(std::lround(std::max(smallest_letters, size * scale)));
}

std::vector<std::string> wrapped(Canvas& canvas, const std::string& text, const Lettering& lettering, double width,
                                 int most) {
  std::vector<std::string> out;
  std::string line;
  std::size_t from = 0;
  const auto fits = [&](const std::string& s) { return canvas.text_size(s, lettering).x() <= width; };
  // Feet, inches and their fraction stay on one line: no break before "9/16".
  const auto word_end = [&text](std::size_t start) {
    std::size_t end = std::min(text.find(' ', start), text.size());
    while (end < text.size()) {
      const std::size_t next = std::min(text.find(' ', end + 1), text.size());
      const std::string_view word(text.data() + end + 1, next - end - 1);
      if (word.empty() || word.front() < '0' || word.front() > '9' || word.find('/') == std::string_view::npos) break;
      end = next;
    }
    return end;
  };
  while (from < text.size()) {
    const std::size_t space = word_end(from);
    const std::string word = text.substr(from, space - from);
    const std::string longer = line.empty() ? word : line + " " + word;
    if (line.empty() || fits(longer)) {
      line = longer;
      from = space + 1;
      continue;
    }
    if (static_cast<int>(out.size()) + 1 == most) {
      while (!line.empty() && !fits(line + " ...")) line.resize(line.find_last_of(' ') == std::string::npos ? 0 : line.find_last_of(' '));
      out.push_back(line + " ...");
      return out;
    }
    out.push_back(line);
    line.clear();
  }
  if (!line.empty()) out.push_back(line);
  return out;
}

double draw_panel(Canvas& canvas, const Subject& subject, const Ramp& ramp, const PanelState& state) {
  const double s = state.scale, w = state.width, edge = std::round(22 * s), gap = std::round(30 * s);
  const double inner = w - 2 * edge, pad = std::round(14 * s);
  // Wide: three columns. Narrow: title over the full width, verdict and legend below it.
  const Arrangement arrangement = w < 1000 * std::max(1.0, s * 0.8) ? Arrangement::stacked : Arrangement::side_by_side;
  const bool narrow = arrangement == Arrangement::stacked;
  const double sign = std::round(15 * s), sign_width = 2 * sign + std::round(12 * s);
  const double legend_height = line_step({letter_size(13, s)}) + std::round(20 * s) + 5 * s + letter_size(12, s);

  Columns columns;
  double height = 0.0, title_height = 0.0;
  for (const Detail detail : {Detail::unabridged, Detail::full, Detail::brief, Detail::least}) {
    columns = columns_of(canvas, subject, state, detail, inner, gap, sign_width, arrangement);
    title_height = stack_height(columns.title);
    const double verdict_height = stack_height(columns.verdict), below = std::max(verdict_height, legend_height);
    height = narrow ? title_height + below + 3 * pad : std::max(title_height, below) + 2 * pad;
    if (height <= 0.34 * state.height) break;
  }

  canvas.box({{0, 0}, {w, height}}, panel);
  canvas.box({{0, height - std::max(1.0, std::round(1.5 * s))}, {w, height}}, ink);
  const double top = height - pad;
  draw_stack(canvas, columns.title, edge, top);
  const double verdict_x = narrow ? edge : edge + columns.title_width + gap;
  const double verdict_top = narrow ? top - title_height - pad : top;
  draw_sign(canvas, subject.answer, {verdict_x + sign, verdict_top - 0.62 * line_step({letter_size(19, s)})}, sign);
  draw_stack(canvas, columns.verdict, verdict_x + sign_width, verdict_top);
  const double legend_x = w - edge - columns.legend_width;
  if (!narrow)
    for (const double x : {verdict_x - 0.5 * gap, legend_x - 0.5 * gap})
      if (x < legend_x - gap || subject.standing == Standing::in_machine) canvas.box({{x, pad}, {x + 1, height - pad}}, hairline);
  if (subject.standing == Standing::in_machine && subject.part) draw_legend(canvas, ramp, {{legend_x, pad}, {w - edge, verdict_top}}, s);
  return height;
}

PixelBox draw_banner(Canvas& canvas, const Subject& subject, const PixelBox& area, double scale) {
  if (subject.answer != Answer::collides) return {area.high, area.high};
  const Lettering letters{letter_size(32, scale), panel, Weight::bold};
  const Pixel size = canvas.text_size("COLLISION", letters);
  const double pad = std::round(12 * scale), flank = std::round(64 * scale);
  const double w = size.x() + 2 * pad + 2 * flank, h = size.y() + 2 * pad;
  const Pixel low(std::round(area.centre().x() - 0.5 * w), std::round(area.high.y() - h - 14 * scale));
  const PixelBox whole{low, low + Pixel(w, h)};
  canvas.box(whole, collision);
  for (const double x : {low.x(), low.x() + w - flank})
    canvas.hatch({{x + 4 * scale, low.y() + 4 * scale}, {x + flank - 4 * scale, low.y() + h - 4 * scale}}, panel, std::round(18 * scale));
  canvas.text(low + Pixel(flank + pad, pad), "COLLISION", letters);
  return whole;
}

}  // namespace coilwright::view
