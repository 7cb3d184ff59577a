#include <algorithm>
#include <cmath>
#include <numbers>
#include <viewer/scene/canvas.hpp>
#include <vtkActor.h>
#include <vtkCamera.h>
#include <vtkCellArray.h>
#include <vtkCellData.h>
#include <vtkCoordinate.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>
#include <vtkPolyDataMapper.h>
#include <vtkProperty.h>
#include <vtkRenderer.h>
#include <vtkTextActor.h>
#include <vtkTextProperty.h>
#include <vtkTextRenderer.h>
#include <vtkUnsignedCharArray.h>

namespace coilwright::view {
namespace {

void set_lettering(vtkTextProperty* property, const Lettering& lettering) {
  property->SetFontFamilyToArial();
  property->SetFontSize(lettering.size);
  property->SetBold(lettering.weight == Weight::bold ? 1 : 0);
  property->SetColor(lettering.colour.r / 255.0, lettering.colour.g / 255.0, lettering.colour.b / 255.0);
  property->SetJustificationToLeft();
  property->SetVerticalJustificationToBottom();
}

}  // namespace

Canvas::Canvas(vtkRenderer* renderer) : renderer_(renderer), shapes_(vtkSmartPointer<vtkActor>::New()) {
  shapes_->GetProperty()->LightingOff();
  renderer_->AddActor(shapes_);
  renderer_->GetActiveCamera()->ParallelProjectionOn();
  clear(1, 1);
}

void Canvas::clear(int width, int height) {
  width_ = width;
  height_ = height;
  patches_ = 0;
  points_ = vtkSmartPointer<vtkPoints>::New();
  faces_ = vtkSmartPointer<vtkCellArray>::New();
  colours_ = vtkSmartPointer<vtkUnsignedCharArray>::New();
  colours_->SetNumberOfComponents(3);
  written_.clear();
}

void Canvas::patch(const std::vector<Pixel>& convex, Rgb colour) {
  // Later patches stand a little nearer to the eye.
  const double nearer = ++patches_;
  faces_->InsertNextCell(static_cast<int>(convex.size()));
  for (const Pixel& p : convex) faces_->InsertCellPoint(points_->InsertNextPoint(p.x(), p.y(), nearer));
  colours_->InsertNextTuple3(colour.r, colour.g, colour.b);
}

void Canvas::box(const PixelBox& b, Rgb colour) {
  patch({b.low, {b.high.x(), b.low.y()}, b.high, {b.low.x(), b.high.y()}}, colour);
}

void Canvas::frame(const PixelBox& b, Rgb colour, double width) {
  const double w = width;
  box({b.low, {b.high.x(), b.low.y() + w}}, colour);
  box({{b.low.x(), b.high.y() - w}, b.high}, colour);
  box({{b.low.x(), b.low.y() + w}, {b.low.x() + w, b.high.y() - w}}, colour);
  box({{b.high.x() - w, b.low.y() + w}, {b.high.x(), b.high.y() - w}}, colour);
}

void Canvas::line(const Pixel& a, const Pixel& b, Rgb colour, double width) {
  const Pixel d = b - a;
  if (d.norm() < 1e-6) return;
  const Pixel n = Pixel(-d.y(), d.x()).normalized() * (0.5 * width);
  patch({a - n, b - n, b + n, a + n}, colour);
}

void Canvas::dashed(const Pixel& a, const Pixel& b, Rgb colour, double width, double dash) {
  const double length = (b - a).norm();
  const Pixel d = length > 0.0 ? Pixel((b - a) / length) : Pixel(0.0, 0.0);
  for (double x = 0.0; x < length; x += 1.6 * dash) line(a + x * d, a + std::min(length, x + dash) * d, colour, width);
}

void Canvas::arrow_head(const Pixel& tip, const Pixel& direction, double length, Rgb colour) {
  if (direction.norm() < 1e-9) return;
  const Pixel d = direction.normalized(), n(-d.y(), d.x());
  patch({tip, tip - length * d + 0.32 * length * n, tip - length * d - 0.32 * length * n}, colour);
}

void Canvas::ring(const Pixel& centre, double radius, Rgb colour, double width) {
  constexpr int parts = 40;
  for (int k = 0; k < parts; ++k) {
    const double a = 2.0 * std::numbers::pi * k / parts, b = 2.0 * std::numbers::pi * (k + 1) / parts;
    const Pixel u(std::cos(a), std::sin(a)), v(std::cos(b), std::sin(b));
    const double in = radius - 0.5 * width, out = radius + 0.5 * width;
    patch({centre + in * u, centre + out * u, centre + out * v, centre + in * v}, colour);
  }
}

void Canvas::disc(const Pixel& centre, double radius, Rgb colour) {
  std::vector<Pixel> rim;
  for (int k = 0; k < 32; ++k) {
    const double a = 2.0 * std::numbers::pi * k / 32;
    rim.push_back(centre + radius * Pixel(std::cos(a), std::sin(a)));
  }
  patch(rim, colour);
}

void Canvas::hatch(const PixelBox& b, Rgb stripe, double pitch) {
  // Stripes at 45 degrees: y - x = const, clipped to the box.
  const double w = b.size().x(), h = b.size().y();
  for (double c = -w; c < h; c += pitch) {
    std::vector<Pixel> shape;
    const auto add_edge = [&](double offset, bool forward) {
      // The segment of y = x + offset within the box.
      const double x0 = std::max(0.0, -offset), x1 = std::min(w, h - offset);
      if (x1 < x0) return;
      const Pixel p = b.low + Pixel(x0, x0 + offset), q = b.low + Pixel(x1, x1 + offset);
      shape.push_back(forward ? p : q);
      shape.push_back(forward ? q : p);
    };
    add_edge(c, true);
    add_edge(c + 0.5 * pitch, false);
    if (shape.size() == 4) patch(shape, stripe);
  }
}

Pixel Canvas::text_size(const std::string& text, const Lettering& lettering) {
  const auto property = vtkSmartPointer<vtkTextProperty>::New();
  set_lettering(property, lettering);
  int bounds[4] = {0, 0, 0, 0};
  vtkTextRenderer::GetInstance()->GetBoundingBox(property, text, bounds, 72);
  return {bounds[1] - bounds[0] + 1.0, bounds[3] - bounds[2] + 1.0};
}

void Canvas::text(const Pixel& at, const std::string& text, const Lettering& lettering) {
  const std::size_t i = written_.size();
  if (i == pool_.size()) {
    pool_.push_back(vtkSmartPointer<vtkTextActor>::New());
    pool_.back()->SetTextScaleModeToNone();
    pool_.back()->GetPositionCoordinate()->SetCoordinateSystemToDisplay();
    pool_.back()->SetLayerNumber(1);
    renderer_->AddActor2D(pool_.back());
  }
  vtkTextActor* actor = pool_[i];
  set_lettering(actor->GetTextProperty(), lettering);
  actor->SetInput(text.c_str());
  const Pixel corner(std::round(at.x()), std::round(at.y()));
  actor->SetDisplayPosition(static_cast<int>(corner.x()), static_cast<int>(corner.y()));
  written_.push_back({text, {corner, corner + text_size(text, lettering)}, false});
}

void Canvas::cover(const PixelBox& b, Rgb colour) {
  for (WrittenText& written : written_) written.covered = written.covered || written.box.overlaps(b);
  box(b, colour);
}

void Canvas::commit() {
  const auto mesh = vtkSmartPointer<vtkPolyData>::New();
  mesh->SetPoints(points_);
  mesh->SetPolys(faces_);
  mesh->GetCellData()->SetScalars(colours_);
  const auto mapper = vtkSmartPointer<vtkPolyDataMapper>::New();
  mapper->SetInputData(mesh);
  mapper->SetScalarModeToUseCellData();
  shapes_->SetMapper(mapper);
  // A pixel is a unit, and every patch lies between the planes.
  vtkCamera* camera = renderer_->GetActiveCamera();
  camera->SetFocalPoint(0.5 * width_, 0.5 * height_, 0.0);
  camera->SetPosition(0.5 * width_, 0.5 * height_, patches_ + 2.0);
  camera->SetViewUp(0.0, 1.0, 0.0);
  camera->SetParallelScale(0.5 * height_);
  camera->SetClippingRange(0.5, patches_ + 2.5);
  for (std::size_t i = 0; i < pool_.size(); ++i) pool_[i]->SetVisibility(i < written_.size() && !written_[i].covered ? 1 : 0);
}

}  // namespace coilwright::view
