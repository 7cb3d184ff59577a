#include <viewer/scene/scene.hpp>
#include <viewer/scene/scene_meshes.hpp>
#include <viewer/scene/stripes.hpp>
#include <vtkLookupTable.h>
#include <vtkPolyData.h>

namespace coilwright::view {
namespace {

vtkSmartPointer<vtkLookupTable> table_of(const Ramp& ramp, double paleness) {
  const auto table = vtkSmartPointer<vtkLookupTable>::New();
  constexpr int count = 4096;
  const double low = -0.1 * ramp.far_mm(), high = ramp.far_mm();
  table->SetNumberOfTableValues(count);
  table->SetTableRange(low, high);
  for (int i = 0; i < count; ++i) {
    const double mm = low + (high - low) * (i + 0.5) / count;
    const Rgb c = mm <= 0.0 ? ramp.colour(mm) : mixed(ramp.colour(mm), panel, paleness);
    table->SetTableValue(i, c.r / 255.0, c.g / 255.0, c.b / 255.0, 1.0);
  }
  return table;
}

}  // namespace

void PartLayers::dress(const Subject& subject, const Ramp& ramp) {
  for (Layer* layer : {&stock, &spans, &usable, &start_up, &front_end, &stripes}) layer->make_solid(0.18);
  for (Layer* layer : {&stock, &spans, &usable}) layer->paint(stock_colour);
  stripes.paint(panel);
  if (subject.standing != Standing::in_machine) return;
  const auto full = table_of(ramp, 0.0), pale = table_of(ramp, 0.5);
  usable.colour_by_clearance(full);
  start_up.colour_by_clearance(pale);
  front_end.colour_by_clearance(pale);
}

int PartLayers::show(const Subject& subject, const PartRings& rings) {
  const double radius = subject.tube_radius_mm;
  const auto tube = [&](Layer& layer, const std::vector<Ring>& stretch) {
    if (stretch.size() < 2) layer.show(nullptr);
    else layer.show(swept_stock(stretch, subject.section, radius));
  };
  tube(stock, rings.stock);
  tube(spans, subject.standing == Standing::in_machine ? rings.spans : std::vector<Ring>());
  tube(usable, rings.usable);
  tube(start_up, rings.start_up);
  tube(front_end, rings.front_end);
  std::vector<Band> bands;
  for (const auto* stretch : {&rings.usable, &rings.start_up, &rings.front_end}) add_collision_bands(bands, *stretch, radius);
  stripes.show(band_mesh(bands, subject.section, radius, 0.02 * radius));
  return static_cast<int>(bands.size());
}

}  // namespace coilwright::view
