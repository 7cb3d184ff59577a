#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <viewer/scene/label_layout.hpp>

namespace coilwright::view {
namespace {

struct Leader {
  Pixel from, to;
};

Pixel nearest_on(const PixelBox& box, const Pixel& p) { return p.cwiseMax(box.low).cwiseMin(box.high); }

double cross(const Pixel& a, const Pixel& b) { return a.x() * b.y() - a.y() * b.x(); }

bool segments_cross(const Leader& s, const Leader& t) {
  const Pixel a = s.to - s.from, b = t.to - t.from;
  const auto splits = [](const Pixel& d, const Pixel& p, const Pixel& q) { return cross(d, p) * cross(d, q) < 0.0; };
  return splits(a, t.from - s.from, t.to - s.from) && splits(b, s.from - t.from, s.to - t.from);
}

class Layout {
 public:
  explicit Layout(const LabelGround& ground) : ground_(ground) {}

  std::optional<LabelPlace> place(const LabelRequest& request, std::size_t number) {
    number_ = number;
    best_.reset();
    best_cost_ = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < request.anchors.size(); ++i) {
      const Pixel& anchor = request.anchors[i];
      if (!ground_.area.grown(1.0).contains(anchor)) continue;
      const double later = 12.0 * static_cast<double>(i);
      if (request.seat == LabelRequest::Seat::on_anchor) consider(request, anchor, anchor, later);
      for (const double r : {14.0, 30.0, 52.0, 80.0, 115.0, 160.0, 215.0, 280.0, 360.0})
        for (int k = 0; k < 24; ++k) {
          const double angle = 2.0 * std::numbers::pi * k / 24.0;
          const Pixel d(std::cos(angle), std::sin(angle));
          // So far out that the box just clears a circle of radius r around the anchor.
          const Pixel centre = anchor + r * ground_.unit * d + 0.5 * request.size.cwiseProduct(d);
          consider(request, centre, anchor, later);
        }
    }
    if (!best_) scan(request);
    if (best_) {
      boxes_.push_back(best_->box);
      if (best_->leader_end != best_->anchor) leaders_.push_back({best_->anchor, best_->leader_end});
    }
    return best_;
  }

 private:
  void scan(const LabelRequest& request) {
    const double step = 12.0 * ground_.unit;
    for (const Pixel& anchor : request.anchors) {
      if (!ground_.area.contains(anchor)) continue;
      for (double x = ground_.area.low.x(); x < ground_.area.high.x(); x += step)
        for (double y = ground_.area.low.y(); y < ground_.area.high.y(); y += step)
          consider(request, Pixel(x, y) + 0.5 * request.size, anchor, 0.0);
    }
  }

  void consider(const LabelRequest& request, const Pixel& centre, const Pixel& anchor, double extra) {
    const PixelBox box{centre - 0.5 * request.size, centre + 0.5 * request.size};
    if (!ground_.area.contains(box)) return;
    const bool covers = box.grown(2.0).contains(anchor);
    if (covers && request.seat == LabelRequest::Seat::beside) return;
    const PixelBox wide = box.grown(ground_.spacing);
    for (const PixelBox& other : ground_.taken)
      if (wide.overlaps(other)) return;
    for (const PixelBox& other : boxes_)
      if (wide.overlaps(other)) return;
    for (const Leader& leader : leaders_)
      if (crosses(box, leader.from, leader.to)) return;

    double cost = extra;
    Pixel end = anchor;
    if (!covers) {
      end = nearest_on(box, anchor);
      for (const PixelBox& other : boxes_)
        if (crosses(other, anchor, end)) return;
      for (const PixelBox& other : ground_.taken)
        if (!other.contains(anchor) && crosses(other, anchor, end)) return;
      for (const Leader& leader : leaders_)
        if (segments_cross({anchor, end}, leader)) cost += 400.0;
      cost += (end - anchor).norm() / ground_.unit;
    }
    for (const BusyPixel& p : ground_.busy)
      if (p.owner != number_ && wide.contains(p.at)) cost += 9.0;
    if (cost < best_cost_) {
      best_cost_ = cost;
      best_ = LabelPlace{box, anchor, end};
    }
  }

  const LabelGround& ground_;
  std::vector<PixelBox> boxes_;
  std::vector<Leader> leaders_;
  std::optional<LabelPlace> best_;
  double best_cost_ = 0.0;
  std::size_t number_ = 0;
};

}  // namespace

bool crosses(const PixelBox& box, const Pixel& a, const Pixel& b) {
  // Clip the segment against the four sides (Liang and Barsky, 1984).
  double from = 0.0, to = 1.0;
  const Pixel d = b - a;
  for (int axis = 0; axis < 2; ++axis) {
    if (d[axis] == 0.0) {
      if (a[axis] < box.low[axis] || a[axis] > box.high[axis]) return false;
      continue;
    }
    const double x = (box.low[axis] - a[axis]) / d[axis], y = (box.high[axis] - a[axis]) / d[axis];
    from = std::max(from, std::min(x, y));
    to = std::min(to, std::max(x, y));
  }
  return from <= to;
}

std::vector<std::optional<LabelPlace>> place_labels(const std::vector<LabelRequest>& requests,
                                                    const LabelGround& ground) {
  Layout layout(ground);
  std::vector<std::optional<LabelPlace>> out;
  for (const LabelRequest& request : requests) out.push_back(layout.place(request, out.size()));
  return out;
}

}  // namespace coilwright::view
