// Bands around the stock: what touches is striped, so that it is seen without colour.
#pragma once

#include <vector>
#include <viewer/scene/sweep.hpp>
#include <vtkSmartPointer.h>

class vtkPolyData;

namespace coilwright::view {

struct Band {
  Ring from, to;
};

// Every 1.2 diameters a band of half a diameter, along the stretches where the clearance is not positive
// (at least one band for each), or along all of it.
void add_collision_bands(std::vector<Band>& bands, const std::vector<Ring>& rings, double tube_radius_mm);
void add_bands(std::vector<Band>& bands, const std::vector<Ring>& rings, double tube_radius_mm);

// Sleeves that stand so far off the stock (as swept_stock has it), null when there are none.
vtkSmartPointer<vtkPolyData> band_mesh(const std::vector<Band>& bands, const SectionLoops& section, double tube_radius_mm, double off_mm);

// The ring at a lag between two neighbours: meets both in point and tangent, and in how a section lies.
Ring ring_between(const Ring& a, const Ring& b, double lag_mm);

}  // namespace coilwright::view
