#include <algorithm>
#include <cmath>
#include <limits>
#include <viewer/scene/label_layout.hpp>
#include <viewer/scene/notes_drawing.hpp>
#include <viewer/scene/panel.hpp>

namespace coilwright::view {
namespace {

using Kind = Callout::Kind;

// A line that stays readable on any ground: a light one below it, wider.
void haloed(Canvas& canvas, const Pixel& a, const Pixel& b, Rgb colour, double width) {
  canvas.line(a, b, panel, width + 2.4);
  canvas.line(a, b, colour, width);
}

double distance_to_segment(const Pixel& p, const Pixel& a, const Pixel& b) {
  const Pixel d = b - a;
  const double x = d.squaredNorm() > 0.0 ? std::clamp((p - a).dot(d) / d.squaredNorm(), 0.0, 1.0) : 0.0;
  return (p - a - x * d).norm();
}

struct Seen {
  const Dimension* dimension;
  Pixel from, to;
};

// The place of a dimension that reads best: not along the line of sight, off the part, near its ends.
std::optional<Seen> best_seen(const std::vector<Dimension>& places, const Sheet& sheet, const std::vector<Seen>& before) {
  std::optional<Seen> best;
  double least = std::numeric_limits<double>::infinity(), order = 0.0;
  for (const Dimension& d : places) {
    const Pixel a = sheet.to_pixel(d.from), b = sheet.to_pixel(d.to);
    order += 3.0;
    // Shortened by the view to less than this share of its length it would mislead.
    if ((b - a).norm() < 0.6 * sheet.pixels_per_mm * (d.to - d.from).norm()) continue;
    if (!sheet.area.contains(a) || !sheet.area.contains(b)) continue;
    double cost = order;
    const bool far = d.ends == Dimension::Ends::far;
    const Pixel end = far ? Pixel(a + 0.8 * (b - a)) : b;  // a radius ends on the tube by nature
    for (const Pixel& p : sheet.busy)
      if (distance_to_segment(p, a, end) < 12.0 * sheet.scale) cost += far ? 4.0 : 10.0;
    for (const auto& [from, to] : d.extensions) cost += 0.07 * (sheet.to_pixel(to) - sheet.to_pixel(from)).norm() / sheet.scale;
    for (const Seen& other : before)
      for (int i = 0; i <= 10; ++i)
        if (distance_to_segment(a + 0.1 * i * (b - a), other.from, other.to) < 40.0 * sheet.scale) cost += 12.0;
    if (cost < least) {
      least = cost;
      best = Seen{&d, a, b};
    }
  }
  return best;
}

void draw_dimension(Canvas& canvas, const Seen& seen, const Sheet& sheet) {
  const double s = sheet.scale, head = 13.0 * s;
  for (const auto& [from, to] : seen.dimension->extensions)
    canvas.line(sheet.to_pixel(from), sheet.to_pixel(to), soft_ink, std::max(1.0, 0.9 * s));
  const Pixel a = seen.from, b = seen.to, run = b - a;
  const double length = run.norm();
  if (length < 1.0) return;
  const Pixel dir = run / length;
  const bool both = seen.dimension->ends == Dimension::Ends::both;
  if (both && length < 3.0 * head) {
    // Too short for heads inside: they point at it from outside.
    haloed(canvas, a - 2.2 * head * dir, b + 2.2 * head * dir, ink, 1.3 * s);
    canvas.arrow_head(a, dir, head, ink);
    canvas.arrow_head(b, -dir, head, ink);
    return;
  }
  haloed(canvas, a, b, ink, 1.3 * s);
  canvas.arrow_head(b, dir, head, ink);
  if (both) canvas.arrow_head(a, -dir, head, ink);
  else canvas.disc(a, 3.0 * s, ink);
}

bool draw_direction(Canvas& canvas, const Direction& d, const Sheet& sheet) {
  const Pixel a = sheet.to_pixel(d.from), b = sheet.to_pixel(d.to), run = b - a;
  const double length = run.norm(), head = 22.0 * sheet.scale, w = 5.0 * sheet.scale;
  // Along the line of sight it says nothing; the compass does.
  if (length < 0.4 * sheet.pixels_per_mm * (d.to - d.from).norm() || length < 1.3 * head) return false;
  if (!sheet.area.contains(b)) return false;
  const Pixel dir = run / length, n(-dir.y(), dir.x());
  const auto arrow = [&](double grow, Rgb colour) {
    const Pixel tail = a - grow * dir, neck = b - head * dir, tip = b + 1.8 * grow * dir;
    canvas.patch({tail - (w + grow) * n, neck - (w + grow) * n, neck + (w + grow) * n, tail + (w + grow) * n}, colour);
    canvas.patch({tip, neck - grow * dir + (2.4 * w + 1.6 * grow) * n, neck - grow * dir - (2.4 * w + 1.6 * grow) * n}, colour);
  };
  arrow(2.0, panel);
  arrow(0.0, ink);
  return true;
}

struct Wish {
  LabelRequest request;
  std::string label;
  Lettering lettering;
  Kind kind = Kind::plain;
  double pad = 0.0;
  bool bare = false;  // no leader: it stands at what it names
};

class Notice {
 public:
  Notice(Canvas& canvas, const Sheet& sheet)
      : canvas_(canvas), sheet_(sheet), ground_{sheet.area.grown(-8.0 * sheet.scale), sheet.taken, {}, 6.0 * sheet.scale, sheet.scale} {
    for (const Pixel& p : sheet.busy) ground_.busy.push_back({p, std::nullopt});
  }

  Wish& wish(const std::string& label, std::vector<Pixel> anchors, Kind kind, double size, Weight weight) {
    const double pad = std::round(5.0 * sheet_.scale);
    Wish& w = wishes_.emplace_back();
    w.request.anchors = std::move(anchors);
    w.label = label;
    w.lettering = {letter_size(size, sheet_.scale), kind == Kind::hit ? panel : ink, weight};
    w.kind = kind;
    w.pad = pad;
    w.request.size = canvas_.text_size(label, w.lettering) + Pixel(2.6 * pad, 2.0 * pad);
    return w;
  }
  void keep_free(const Pixel& centre, double r) {
    if (sheet_.area.contains(centre)) ground_.taken.push_back({centre - Pixel::Constant(r), centre + Pixel::Constant(r)});
  }
  void avoid_line(const Pixel& a, const Pixel& b, std::optional<std::size_t> owner) {
    for (int i = 0; i <= 10; ++i) ground_.busy.push_back({a + 0.1 * i * (b - a), owner});
  }
  [[nodiscard]] std::size_t count() const { return wishes_.size(); }

  std::vector<std::string> draw() {
    std::vector<LabelRequest> requests;
    for (const Wish& w : wishes_) requests.push_back(w.request);
    const auto places = place_labels(requests, ground_);
    std::vector<std::string> left_out;
    for (std::size_t i = 0; i < wishes_.size(); ++i)
      if (places[i]) draw_one(wishes_[i], *places[i]);
      else left_out.push_back(wishes_[i].label);
    return left_out;
  }

 private:
  void draw_one(const Wish& w, const LabelPlace& at) {
    const bool hit = w.kind == Kind::hit;
    const Rgb colour = hit ? collision : w.kind == Kind::keep_out ? caution : ink;
    if (at.leader_end != at.anchor && !w.bare) {
      haloed(canvas_, at.anchor, at.leader_end, colour, (hit ? 2.4 : 1.1) * sheet_.scale);
      if (!hit) canvas_.disc(at.anchor, 2.8 * sheet_.scale, colour);
    }
    canvas_.box(at.box, hit ? collision : panel);
    if (!hit) canvas_.frame(at.box, w.kind == Kind::plain ? hairline : colour, w.kind == Kind::nearest ? 2.0 : 1.0);
    canvas_.text(at.box.low + Pixel(1.3 * w.pad, w.pad), w.label, w.lettering);
  }

  Canvas& canvas_;
  const Sheet& sheet_;
  LabelGround ground_;
  std::vector<Wish> wishes_;
};

// Hits that lie on one spot of the picture share one sight and one label.
struct Hit {
  Pixel at;
  std::string label;
};
std::vector<Hit> hits_of(const Notes& notes, const Sheet& sheet) {
  std::vector<Hit> out;
  for (const Callout& c : notes.callouts) {
    if (c.kind != Kind::hit) continue;
    const Pixel at = sheet.to_pixel(c.anchors.front());
    const auto same = std::find_if(out.begin(), out.end(), [&](const Hit& h) { return (h.at - at).norm() < 70.0 * sheet.scale; });
    if (same == out.end()) out.push_back({at, c.label});
    else same->label += ", " + c.short_label;
  }
  return out;
}

}  // namespace

void draw_sight(Canvas& canvas, const Pixel& at, double s) {
  const double r = 24.0 * s;
  canvas.ring(at, r, panel, 9.0 * s);
  canvas.ring(at, r, collision, 5.0 * s);
  for (const Pixel& d : {Pixel(1, 0), Pixel(-1, 0), Pixel(0, 1), Pixel(0, -1)}) {
    canvas.line(at + (r - 10 * s) * d, at + (r + 10 * s) * d, panel, 8.0 * s);
    canvas.line(at + (r - 9 * s) * d, at + (r + 9 * s) * d, collision, 4.0 * s);
  }
}

void draw_gap(Canvas& canvas, const Pixel& a, const Pixel& b, double s) {
  haloed(canvas, a, b, ink, 2.2 * s);
  for (const Pixel& p : {a, b}) {
    canvas.disc(p, 5.5 * s, panel);
    canvas.disc(p, 4.0 * s, ink);
  }
}

std::vector<std::string> draw_notes(Canvas& canvas, const Notes& notes, const Subject& subject, const Sheet& sheet) {
  const double s = sheet.scale;
  if (notes.axis.size() == 2) {
    const Pixel a = sheet.to_pixel(notes.axis[0]), b = sheet.to_pixel(notes.axis[1]);
    if ((b - a).norm() > 8.0) canvas.dashed(a, b, soft_ink, 1.1 * s, 13.0 * s);
    else canvas.ring(a, 5.0 * s, soft_ink, 1.1 * s);
  }
  std::vector<Seen> seen;
  for (const auto& places : notes.dimensions)
    if (const auto best = best_seen(places, sheet, seen)) seen.push_back(*best);
  for (const Seen& one : seen) draw_dimension(canvas, one, sheet);

  Notice notice(canvas, sheet);
  for (const Hit& hit : hits_of(notes, sheet)) {
    notice.wish(hit.label, {hit.at}, Kind::hit, 15, Weight::bold);
    notice.keep_free(hit.at, 36.0 * s);
    draw_sight(canvas, hit.at, s);
  }
  for (const Callout& c : notes.callouts) {
    if (c.kind != Kind::nearest) continue;
    notice.wish(c.label, {sheet.to_pixel(c.anchors.front())}, Kind::nearest, 15, Weight::bold);
    const Pixel a = sheet.to_pixel(placed(subject, subject.nearest->on_part));
    const Pixel b = sheet.to_pixel(placed(subject, subject.nearest->on_other));
    draw_gap(canvas, a, b, s);
    for (const Pixel& p : {a, b}) notice.keep_free(p, 8.0 * s);
  }
  for (const Seen& one : seen) {
    std::vector<Pixel> anchors;
    for (const double x : {0.5, 0.4, 0.6, 0.3, 0.7}) anchors.push_back(one.from + x * (one.to - one.from));
    notice.avoid_line(one.from, one.to, notice.count());
    notice.keep_free(one.to, 6.0 * s);
    if (one.dimension->ends == Dimension::Ends::both) notice.keep_free(one.from, 6.0 * s);
    Wish& w = notice.wish(one.dimension->label, anchors, Kind::plain, 14, Weight::regular);
    const Pixel run = (one.to - one.from).cwiseAbs();
    // On its line where enough of the line stays visible on both sides.
    if (run.x() > w.request.size.x() + 60.0 * s || run.y() > w.request.size.y() + 60.0 * s)
      w.request.seat = LabelRequest::Seat::on_anchor;
  }
  for (const Direction& d : notes.directions)
    if (draw_direction(canvas, d, sheet)) {
      notice.avoid_line(sheet.to_pixel(d.from), sheet.to_pixel(d.to), std::nullopt);
      notice.keep_free(sheet.to_pixel(d.to), 14.0 * s);
      notice.wish(d.word, {sheet.to_pixel(d.from)}, Kind::plain, 14, Weight::bold).bare = true;
    }
  const bool small = sheet.area.size().y() < 420.0;  // names would bury the part
  for (const Callout& c : notes.callouts) {
    if (c.kind == Kind::hit || c.kind == Kind::nearest || (small && c.kind == Kind::plain)) continue;
    std::vector<Pixel> anchors;
    for (const auto& p : c.anchors) anchors.push_back(sheet.to_pixel(p));
    notice.wish(c.label, anchors, c.kind, 13, Weight::regular);
  }
  return notice.draw();
}

PixelBox draw_compass(Canvas& canvas, const Subject& subject, const Eigen::Matrix3d& camera_from_M,
                      const PixelBox& area, double scale) {
  const double reach = 54.0 * scale, head = 13.0 * scale;
  const Lettering letters{letter_size(13, scale), ink, Weight::bold};
  const Pixel feed_size = canvas.text_size("feed", letters);
  const double half = reach + feed_size.x() + 16.0 * scale;
  const PixelBox room{area.low + Pixel(8.0, 8.0) * scale, area.low + Pixel(2.0 * half, reach + 5.2 * feed_size.y())};
  const Pixel origin(room.centre().x(), room.low.y() + 2.4 * feed_size.y());
  canvas.disc(origin, 2.5 * scale, ink);
  const Eigen::Vector3d feed = placed(subject, Eigen::Vector3d::UnitX());
  for (const auto& [direction, word] : {std::pair(Eigen::Vector3d(Eigen::Vector3d::UnitZ()), "up"), std::pair(feed, "feed")}) {
    if (subject.standing == Standing::alone && std::string_view(word) == "feed") continue;  // nothing is fed
    const Eigen::Vector3d d = camera_from_M * direction;
    const Pixel run = d.head<2>() * reach;
    std::string label = word;
    if (run.norm() < 0.15 * reach) {
      // Along the line of sight: a dot for toward the eye, a cross for away from it.
      canvas.ring(origin, 9.0 * scale, ink, 1.6 * scale);
      const double r = 6.0 * scale;
      if (d.z() > 0.0) {
        canvas.disc(origin, 4.0 * scale, ink);
      } else {
        canvas.line(origin - Pixel(r, r), origin + Pixel(r, r), ink, 1.6 * scale);
        canvas.line(origin - Pixel(r, -r), origin + Pixel(r, -r), ink, 1.6 * scale);
      }
      label += d.z() > 0.0 ? ": toward you" : ": away from you";
      const Pixel size = canvas.text_size(label, letters);
      canvas.text(origin - Pixel(0.5 * size.x(), 14.0 * scale + size.y()), label, letters);
      continue;
    }
    const Pixel dir = run.normalized(), tip = origin + run;
    canvas.line(origin, tip - 0.7 * head * dir, ink, 2.2 * scale);
    canvas.arrow_head(tip, dir, head, ink);
    const Pixel size = canvas.text_size(label, letters);
    canvas.text(tip + 6.0 * scale * dir + 0.5 * size.cwiseProduct(dir) - 0.5 * size, label, letters);
  }
  return room;
}

}  // namespace coilwright::view
