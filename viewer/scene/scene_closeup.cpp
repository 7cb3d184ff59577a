#include <algorithm>
#include <array>
#include <cmath>
#include <coilwright/quantity/number_text.hpp>
#include <viewer/scene/panel.hpp>
#include <viewer/scene/scene.hpp>
#include <viewer/scene/scene_meshes.hpp>
#include <vtkCamera.h>

namespace coilwright::view {

// In the emptiest corner, where there is room for it and where it shows more than the scene does.
void Scene::place_closeup(const PixelBox& banner, const PixelBox& compass) {
  constexpr double least_gain = 2.5;  // times larger than in the scene
  constexpr double least_pixels = 170.0;
  closeup_box_.reset();
  closer_->DrawOff();
  const bool told = subject_.nearest && fed_mm_ >= subject_.nearest->fed_length_mm - 1e-9;
  if (labels_ == Shown::no || machine_ == Shown::no || !closeup_ || !told) return;
  if (subject_.nearest->other_elsewhere) return;  // it would show the gap to something that is not there
  const Pixel room = area_.size();
  const double side = std::round(0.30 * std::min(room.x(), room.y()));
  if (side < least_pixels || 0.5 * side / closeup_->half_height_mm < least_gain * pixels_per_mm()) return;

  const double gap = std::round(16.0 * scale_);
  const double left = area_.low.x() + gap, right = area_.high.x() - gap - side;
  const double top = area_.high.y() - gap - side, bottom = area_.low.y() + gap, middle = area_.centre().y() - 0.5 * side;
  const std::vector<Pixel> busy = busy_pixels();
  std::ptrdiff_t least = 3;  // a few points of the part may be lost behind it, not more
  for (const Pixel& low : {Pixel(left, top), Pixel(right, top), Pixel(right, bottom), Pixel(left, middle), Pixel(right, middle)}) {
    const PixelBox box{low, low + Pixel::Constant(side)};
    if (box.grown(gap).overlaps(banner) || box.grown(gap).overlaps(compass)) continue;
    const auto hidden = std::count_if(busy.begin(), busy.end(), [&box](const Pixel& p) { return box.contains(p); });
    if (hidden >= least) continue;
    least = hidden;
    closeup_box_ = box;
  }
  if (!closeup_box_) return;

  const PixelBox& box = *closeup_box_;
  closer_->SetViewport(box.low.x() / width_, box.low.y() / height_, box.high.x() / width_, box.high.y() / height_);
  closer_->DrawOn();
  aim(closer_->GetActiveCamera(), *closeup_);
  closer_->ResetCameraClippingRange();
  const double pixel_mm = scale_ * 2.0 * closeup_->half_height_mm / side;
  if (std::abs(pixel_mm - meshes_->closer_ink.pixel_mm()) > 0.15 * meshes_->closer_ink.pixel_mm())
    meshes_->closer_ink.draw(whole_part(closeup_->fed_mm ? part_->at_fed_length(*closeup_->fed_mm) : rings_), pixel_mm);
}

// Its frame, its name, the line between the two points with the measure beside it, and where it belongs.
void Scene::draw_closeup() {
  const PixelBox& box = *closeup_box_;
  const Nearest& nearest = *subject_.nearest;
  const bool hit = nearest.distance_mm <= 0.0;
  const Rgb colour = hit ? collision : ink;
  const Pixel there = to_pixel(closeup_->centre);
  const Pixel edge = there.cwiseMax(box.low).cwiseMin(box.high);
  canvas_.line(edge, there, panel, 3.0 * scale_);
  canvas_.dashed(edge, there, colour, 1.1 * scale_, 6.0 * scale_);
  canvas_.frame(box, colour, std::max(1.0, 1.6 * scale_));

  const double k = 0.5 * box.size().y() / closeup_->half_height_mm;
  const Eigen::Vector3d right = closeup_->up.cross(closeup_->back);
  const auto inside = [&](const Eigen::Vector3d& p_F) {
    const Eigen::Vector3d d = placed(subject_, p_F) - closeup_->centre;
    return Pixel(box.centre() + k * Pixel(d.dot(right), d.dot(closeup_->up)));
  };
  const Lettering letters{letter_size(14, scale_), ink, Weight::bold}, quiet{letter_size(12, scale_), soft_ink};
  const auto sticker = [&](const Pixel& low, const std::string& text, const Lettering& lettering) {
    const Pixel size = canvas_.text_size(text, lettering), pad = Pixel(5.0, 4.0) * scale_;
    canvas_.box({low, low + size + 2.0 * pad}, panel);
    canvas_.text(low + pad, text, lettering);
  };
  if (hit) {
    draw_sight(canvas_, box.centre(), scale_);
  } else {
    const Pixel a = inside(nearest.on_part), b = inside(nearest.on_other);
    draw_gap(canvas_, a, b, scale_);
    const Pixel size = canvas_.text_size(nearest.measure, letters) + Pixel(10.0, 8.0) * scale_;
    // Off the line, on the side that is higher.
    const Pixel run = b - a;
    Pixel off = run.norm() > 0.0 ? Pixel(Pixel(-run.y(), run.x()) / run.norm()) : Pixel(0.0, 1.0);
    if (off.y() < 0.0) off = -off;
    const Pixel centre = 0.5 * (a + b) + 12.0 * scale_ * off + 0.5 * size.cwiseAbs().cwiseProduct(off);
    const double edge_gap = 4.0 * scale_;
    const Pixel low = (centre - 0.5 * size).cwiseMin(box.high - size - Pixel::Constant(edge_gap)).cwiseMax(box.low + Pixel::Constant(edge_gap));
    sticker(low, nearest.measure, letters);
  }
  const double frame = std::max(1.0, 1.6 * scale_);
  std::string name = "closer look";
  if (closeup_->fed_mm) {
    const std::string at = "at fed length " + number_text(*closeup_->fed_mm, 0) + " mm";
    const bool fits = canvas_.text_size(name + ", " + at, quiet).x() + 10.0 * scale_ + 2.0 * frame <= box.size().x();
    name = fits ? name + ", " + at : at;
  }
  const double name_height = canvas_.text_size(name, quiet).y() + 8.0 * scale_;
  sticker({box.low.x() + frame, box.high.y() - frame - name_height}, name, quiet);
}

}  // namespace coilwright::view
