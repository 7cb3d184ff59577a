#include <viewer/scene/bodies.hpp>
#include <viewer/scene/layers.hpp>
#include <vtkActor.h>
#include <vtkLookupTable.h>
#include <vtkPolyData.h>
#include <vtkPolyDataMapper.h>
#include <vtkProperty.h>
#include <vtkRenderer.h>

namespace coilwright::view {
namespace {

constexpr double outline_pixels = 1.1;
constexpr Rgb part_outline{62, 72, 84};  // softer than ink: turns that lie close must not turn black

bool is_room(Role role) { return role == Role::floor || role == Role::ceiling; }

}  // namespace

Layer::Layer(const std::vector<vtkRenderer*>& renderers)
    : actor(vtkSmartPointer<vtkActor>::New()),
      mapper(vtkSmartPointer<vtkPolyDataMapper>::New()),
      mesh(vtkSmartPointer<vtkPolyData>::New()) {
  mapper->SetInputData(mesh);
  mapper->ScalarVisibilityOff();
  actor->SetMapper(mapper);
  for (vtkRenderer* renderer : renderers) renderer->AddActor(actor);
}

void Layer::show(vtkPolyData* now) {
  mesh = now ? vtkSmartPointer<vtkPolyData>(now) : vtkSmartPointer<vtkPolyData>::New();
  mapper->SetInputData(mesh);
}

void Layer::paint(Rgb colour) { actor->GetProperty()->SetColor(colour.r / 255.0, colour.g / 255.0, colour.b / 255.0); }

void Layer::colour_by_clearance(vtkLookupTable* table) {
  mapper->ScalarVisibilityOn();
  mapper->SetLookupTable(table);
  mapper->UseLookupTableScalarRangeOn();
  mapper->InterpolateScalarsBeforeMappingOn();
}

void Layer::one_colour() { mapper->ScalarVisibilityOff(); }

void Layer::make_solid(double shine) {
  vtkProperty* p = actor->GetProperty();
  p->SetAmbient(0.60);
  p->SetDiffuse(0.52);
  p->SetSpecular(shine);
  p->SetSpecularPower(28.0);
}

void Layer::make_flat() { actor->GetProperty()->LightingOff(); }

Rgb colour_of(Role role) {
  switch (role) {
    case Role::roll: return roll_colour;
    case Role::slide: return slide_colour;
    case Role::arm: return arm_colour;
    default: return frame_colour;
  }
}

Ink::Ink(vtkRenderer* renderer, const Subject& subject) : subject_(subject), part_({renderer}) {
  for (const MachinePart& solid : subject.machine) {
    auto& edges = edges_.emplace_back();
    auto& shells = shells_.emplace_back();
    if (is_room(solid.role)) continue;
    const Rgb colour = colour_of(solid.role);
    edges = std::make_unique<Layer>(std::vector{renderer});
    edges->make_flat();
    edges->paint(solid.hit_at ? collision : mixed(ink, colour, 0.35));
    edges->actor->GetProperty()->SetLineWidth(solid.hit_at ? 3.0F : 1.0F);
    shells = std::make_unique<Layer>(std::vector{renderer});
    shells->make_flat();
    shells->paint(solid.hit_at ? collision : mixed(ink, colour, 0.2));
    shells->actor->GetProperty()->FrontfaceCullingOn();
  }
  part_.make_flat();
  part_.paint(part_outline);
  part_.actor->GetProperty()->FrontfaceCullingOn();
}

// The same tube or flank a little thicker, of which only the far side is drawn: what looks out around the
// near one is its outline.
void Ink::draw(const std::vector<Ring>& whole, double pixel_mm) {
  pixel_mm_ = pixel_mm;
  const Mirror mirror = subject_.mirrored ? Mirror::in_x : Mirror::none;
  for (std::size_t i = 0; i < edges_.size(); ++i) {
    if (!edges_[i]) continue;
    const BodyInk lines = ink_of(subject_.machine[i].bodies, mirror, outline_pixels * pixel_mm);
    edges_[i]->show(lines.edges);
    shells_[i]->show(lines.shells);
  }
  redraw_part(whole);
}

void Ink::redraw_part(const std::vector<Ring>& whole) {
  if (whole.size() < 2) part_.show(nullptr);
  else part_.show(swept_stock(whole, subject_.section, subject_.tube_radius_mm, outline_pixels * pixel_mm_));
}

void Ink::show_machine(bool shown) {
  for (const auto* group : {&edges_, &shells_})
    for (const auto& layer : *group)
      if (layer) layer->actor->SetVisibility(shown ? 1 : 0);
}

}  // namespace coilwright::view
