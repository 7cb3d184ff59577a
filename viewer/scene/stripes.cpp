#include <algorithm>
#include <optional>
#include <viewer/scene/stripes.hpp>
#include <vtkAppendPolyData.h>
#include <vtkPolyData.h>

namespace coilwright::view {
namespace {

Ring ring_on(const std::vector<Ring>& rings, double lag_mm) {
  auto after = std::upper_bound(rings.begin() + 1, rings.end() - 1, lag_mm,
                                [](double lag, const Ring& r) { return lag < r.lag_mm; });
  return ring_between(*(after - 1), *after, lag_mm);
}

void add_run(std::vector<Band>& bands, const std::vector<Ring>& rings, double from, double to, double radius) {
  const double step = 2.4 * radius, wide = radius;
  const double length = to - from;
  const int count = std::max(1, static_cast<int>(length / step));
  for (int i = 0; i < count; ++i) {
    const double mid = from + (i + 0.5) * length / count;
    bands.push_back({ring_on(rings, std::max(rings.front().lag_mm, mid - 0.5 * wide)),
                     ring_on(rings, std::min(rings.back().lag_mm, mid + 0.5 * wide))});
  }
}

}  // namespace

Ring ring_between(const Ring& a, const Ring& b, double lag_mm) {
  const double h = b.lag_mm - a.lag_mm;
  const double x = h > 0.0 ? std::clamp((lag_mm - a.lag_mm) / h, 0.0, 1.0) : 0.0, x2 = x * x, x3 = x2 * x;
  Ring out;
  out.centre = (2 * x3 - 3 * x2 + 1) * a.centre + (x3 - 2 * x2 + x) * h * a.tangent + (3 * x2 - 2 * x3) * b.centre +
               (x3 - x2) * h * b.tangent;
  out.tangent = ((1 - x) * a.tangent + x * b.tangent).normalized();
  out.clearance_mm = (1 - x) * a.clearance_mm + x * b.clearance_mm;
  out.lag_mm = lag_mm;
  if (a.section && b.section)
    out.section = SectionDirections{((1 - x) * a.section->inward + x * b.section->inward).normalized(),
                                    ((1 - x) * a.section->shafts + x * b.section->shafts).normalized()};
  return out;
}

void add_collision_bands(std::vector<Band>& bands, const std::vector<Ring>& rings, double tube_radius_mm) {
  std::optional<double> from;
  for (std::size_t i = 0; i < rings.size(); ++i) {
    const bool touches = rings[i].clearance_mm <= 0.0;
    // Where the clearance passes zero between two rings.
    const auto crossing = [&](std::size_t k) {
      const Ring &a = rings[k - 1], &b = rings[k];
      const double x = std::clamp(a.clearance_mm / (a.clearance_mm - b.clearance_mm), 0.0, 1.0);
      return a.lag_mm + x * (b.lag_mm - a.lag_mm);
    };
    if (touches && !from) from = i == 0 ? rings[0].lag_mm : crossing(i);
    if (!touches && from) {
      add_run(bands, rings, *from, crossing(i), tube_radius_mm);
      from.reset();
    }
  }
  if (from) add_run(bands, rings, *from, rings.back().lag_mm, tube_radius_mm);
}

void add_bands(std::vector<Band>& bands, const std::vector<Ring>& rings, double tube_radius_mm) {
  if (rings.size() >= 2) add_run(bands, rings, rings.front().lag_mm, rings.back().lag_mm, tube_radius_mm);
}

vtkSmartPointer<vtkPolyData> band_mesh(const std::vector<Band>& bands, const SectionLoops& section, double tube_radius_mm, double off_mm) {
  if (bands.empty()) return nullptr;
  const auto all = vtkSmartPointer<vtkAppendPolyData>::New();
  for (const Band& band : bands)
    all->AddInputData(swept_stock({band.from, ring_between(band.from, band.to, 0.5 * (band.from.lag_mm + band.to.lag_mm)), band.to}, section,
                                  tube_radius_mm, off_mm));
  all->Update();
  return all->GetOutput();
}

}  // namespace coilwright::view
