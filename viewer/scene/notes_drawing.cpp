#include <algorithm>
#include <cmath>
#include <viewer/scene/label_layout.hpp>
#include <viewer/scene/notes.hpp>
#include <viewer/scene/panel.hpp>

namespace coilwright::view {
namespace {

// A line that stays readable on any ground: a light one below it, wider.
void haloed(Canvas& canvas, const Pixel& a, const Pixel& b, Rgb colour, double width) {
  canvas.line(a, b, panel, width + 2.4);
  canvas.line(a, b, colour, width);
}

void draw_dimension(Canvas& canvas, const Dimension& d, const Projector& to_pixel, double scale) {
  for (const auto& [from, to] : d.extensions) canvas.line(to_pixel(from), to_pixel(to), soft_ink, 1.0);
  const Pixel a = to_pixel(d.from), b = to_pixel(d.to);
  const Pixel run = b - a;
  const double head = 13.0 * scale, length = run.norm();
  if (length < 1.0) return;
  const Pixel dir = run / length;
  const bool both = d.ends == Dimension::Ends::both;
  if (both && length < 3.0 * head) {
    // Too short for heads inside: they point at it from outside.
    haloed(canvas, a - 2.2 * head * dir, b + 2.2 * head * dir, ink, 1.3 * scale);
    canvas.arrow_head(a, dir, head, ink);
    canvas.arrow_head(b, -dir, head, ink);
    return;
  }
  haloed(canvas, a, b, ink, 1.3 * scale);
  canvas.arrow_head(b, dir, head, ink);
  if (both) canvas.arrow_head(a, -dir, head, ink);
  else canvas.disc(a, 3.0 * scale, ink);
}

void draw_direction(Canvas& canvas, const Direction& d, const Projector& to_pixel, double scale) {
  const Pixel a = to_pixel(d.from), b = to_pixel(d.to), run = b - a;
  const double length = run.norm(), head = 22.0 * scale, w = 5.0 * scale;
  if (length < 1.2 * head) return;
  const Pixel dir = run / length, n(-dir.y(), dir.x());
  const auto arrow = [&](double grow, Rgb colour) {
    const Pixel tail = a - grow * dir, neck = b - head * dir, tip = b + 1.8 * grow * dir;
    canvas.patch({tail - (w + grow) * n, neck - (w + grow) * n, neck + (w + grow) * n, tail + (w + grow) * n}, colour);
    canvas.patch({tip, neck - grow * dir + (2.4 * w + 1.6 * grow) * n, neck - grow * dir - (2.4 * w + 1.6 * grow) * n}, colour);
  };
  arrow(2.0, panel);
  arrow(0.0, ink);
}

struct Wish {
  LabelRequest request;
  std::string label;
  Lettering lettering;
  Callout::Kind kind;
  double pad;
};

}  // namespace

std::vector<std::string> draw_notes(Canvas& canvas, const Notes& notes, const Subject& subject,
                                    const Projector& to_pixel, const PixelBox& area,
                                    const std::vector<PixelBox>& taken, const std::vector<Pixel>& busy,
                                    double scale) {
  const auto inside = [&](const Pixel& p) { return area.contains(p); };
  if (notes.axis.size() == 2) {
    const Pixel a = to_pixel(notes.axis[0]), b = to_pixel(notes.axis[1]);
    if ((b - a).norm() > 8.0) canvas.dashed(a, b, soft_ink, 1.1 * scale, 13.0 * scale);
    else canvas.ring(a, 5.0 * scale, soft_ink, 1.1 * scale);
  }
  for (const Dimension& d : notes.dimensions) draw_dimension(canvas, d, to_pixel, scale);

  std::vector<Wish> wishes;
  const auto wish = [&](const std::string& label, std::vector<Pixel> anchors, Callout::Kind kind, double size,
                        Weight weight, LabelRequest::Seat seat) {
    Wish w{{std::move(anchors), {}, seat}, label, {letter_size(size, scale), ink, weight}, kind, std::round(5.0 * scale)};
    if (kind == Callout::Kind::hit) w.lettering.colour = panel;
    w.request.size = canvas.text_size(label, w.lettering) + Pixel(2.6 * w.pad, 2.0 * w.pad);
    wishes.push_back(w);
  };
  const auto callout = [&](const Callout& c) {
    std::vector<Pixel> anchors;
    for (const auto& p : c.anchors) anchors.push_back(to_pixel(p));
    const bool loud = c.kind == Callout::Kind::hit || c.kind == Callout::Kind::nearest;
    wish(c.label, anchors, c.kind, loud ? 15 : 13, loud ? Weight::bold : Weight::regular, LabelRequest::Seat::beside);
  };
  for (const Callout& c : notes.callouts)
    if (c.kind == Callout::Kind::hit || c.kind == Callout::Kind::nearest) callout(c);
  for (const Dimension& d : notes.dimensions) {
    std::vector<Pixel> anchors;
    for (const double x : {0.5, 0.4, 0.6, 0.3, 0.7})
      anchors.push_back(to_pixel(d.from + x * (d.to - d.from)));
    const bool lies_on = (anchors[0] - to_pixel(d.to)).norm() > 45.0 * scale;
    wish(d.label, anchors, Callout::Kind::plain, 14, Weight::regular, lies_on ? LabelRequest::Seat::on_anchor : LabelRequest::Seat::beside);
  }
  for (const Direction& d : notes.directions)
    wish(d.word, {to_pixel(0.3 * d.to + 0.7 * d.from)}, Callout::Kind::plain, 14, Weight::bold, LabelRequest::Seat::beside);
  for (const Callout& c : notes.callouts)
    if (c.kind != Callout::Kind::hit && c.kind != Callout::Kind::nearest) callout(c);

  // The marks at the closest places and the arrows must stay visible too.
  LabelGround ground{area.grown(-8.0 * scale), taken, busy, 6.0 * scale, scale};
  for (const Callout& c : notes.callouts) {
    if (c.kind != Callout::Kind::hit && c.kind != Callout::Kind::nearest) continue;
    const Pixel at = to_pixel(c.anchors.front());
    const double r = (c.kind == Callout::Kind::hit ? 30.0 : 14.0) * scale;
    if (inside(at)) ground.taken.push_back({at - Pixel::Constant(r), at + Pixel::Constant(r)});
  }
  for (const Direction& d : notes.directions) {
    draw_direction(canvas, d, to_pixel, scale);
    const Pixel a = to_pixel(d.from), b = to_pixel(d.to);
    for (int i = 0; i <= 10; ++i) ground.busy.push_back(a + 0.1 * i * (b - a));
  }
  for (const Dimension& d : notes.dimensions)
    for (int i = 0; i <= 10; ++i) ground.busy.push_back(to_pixel(d.from + 0.1 * i * (d.to - d.from)));

  if (subject.nearest) {
    const Pixel a = to_pixel(placed(subject, subject.nearest->on_part)), b = to_pixel(placed(subject, subject.nearest->on_other));
    const bool told = !notes.callouts.empty() && (notes.callouts.front().kind == Callout::Kind::nearest || notes.callouts.front().kind == Callout::Kind::hit);
    if (told && subject.nearest->distance_mm > 0.0) {
      haloed(canvas, a, b, ink, 2.2 * scale);
      for (const Pixel& p : {a, b}) {
        canvas.disc(p, 5.5 * scale, panel);
        canvas.disc(p, 4.0 * scale, ink);
      }
    }
  }
  for (const Callout& c : notes.callouts)
    if (c.kind == Callout::Kind::hit) {
      const Pixel at = to_pixel(c.anchors.front());
      const double r = 24.0 * scale;
      canvas.ring(at, r, panel, 9.0 * scale);
      canvas.ring(at, r, collision, 5.0 * scale);
      for (const Pixel& d : {Pixel(1, 0), Pixel(-1, 0), Pixel(0, 1), Pixel(0, -1)}) {
        canvas.line(at + (r - 10 * scale) * d, at + (r + 10 * scale) * d, panel, 8.0 * scale);
        canvas.line(at + (r - 9 * scale) * d, at + (r + 9 * scale) * d, collision, 4.0 * scale);
      }
    }

  std::vector<LabelRequest> requests;
  for (const Wish& w : wishes) requests.push_back(w.request);
  const auto places = place_labels(requests, ground);
  std::vector<std::string> left_out;
  for (std::size_t i = 0; i < wishes.size(); ++i) {
    if (!places[i]) {
      left_out.push_back(wishes[i].label);
      continue;
    }
    const LabelPlace& at = *places[i];
    const bool hit = wishes[i].kind == Callout::Kind::hit;
    const Rgb colour = hit ? collision : wishes[i].kind == Callout::Kind::keep_out ? caution : ink;
    if (at.leader_end != at.anchor) {
      haloed(canvas, at.anchor, at.leader_end, colour, (hit ? 2.4 : 1.1) * scale);
      if (!hit) canvas.disc(at.anchor, 2.8 * scale, colour);
    }
    canvas.box(at.box, hit ? collision : panel);
    if (!hit) canvas.frame(at.box, wishes[i].kind == Callout::Kind::plain ? hairline : colour, wishes[i].kind == Callout::Kind::nearest ? 2.0 : 1.0);
    canvas.text(at.box.low + Pixel(1.3 * wishes[i].pad, wishes[i].pad), wishes[i].label, wishes[i].lettering);
  }
  return left_out;
}

PixelBox draw_compass(Canvas& canvas, const Subject& subject, const Eigen::Matrix3d& camera_from_M,
                      const PixelBox& area, double scale) {
  const double reach = 58.0 * scale, head = 13.0 * scale;
  const Lettering letters{letter_size(13, scale), ink, Weight::bold};
  const PixelBox room{area.low + Pixel::Constant(10.0 * scale), area.low + Pixel(176.0, 150.0) * scale};
  const Pixel origin = room.centre() - Pixel(8.0, 14.0) * scale;
  canvas.disc(origin, 2.5 * scale, ink);
  const Eigen::Vector3d feed = placed(subject, Eigen::Vector3d::UnitX());
  for (const auto& [direction, word] : {std::pair(Eigen::Vector3d(Eigen::Vector3d::UnitZ()), "up"), std::pair(feed, "feed")}) {
    const Eigen::Vector3d d = camera_from_M * direction;
    const Pixel run = d.head<2>() * reach;
    std::string label = word;
    Pixel at = origin + run;
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
      canvas.text(origin - Pixel(0.5 * size.x(), 16.0 * scale + size.y()), label, letters);
      continue;
    }
    const Pixel dir = run.normalized();
    canvas.line(origin, at - 0.7 * head * dir, ink, 2.2 * scale);
    canvas.arrow_head(at, dir, head, ink);
    const Pixel size = canvas.text_size(label, letters);
    at += 6.0 * scale * dir + 0.5 * size.cwiseProduct(dir) - 0.5 * size;
    canvas.text(at, label, letters);
  }
  return room;
}

}  // namespace coilwright::view
