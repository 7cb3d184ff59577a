// Everything the scene draws in three dimensions; for its own sources only.
#pragma once

#include <memory>
#include <vector>
#include <viewer/scene/layers.hpp>
#include <viewer/scene/scene.hpp>

namespace coilwright::view {

// The part as tubes, in one renderer.
struct PartLayers {
  Layer stock, spans, usable, start_up, front_end, stripes;
  explicit PartLayers(vtkRenderer* r) : stock({r}), spans({r}), usable({r}), start_up({r}), front_end({r}), stripes({r}) {}
  void dress(const Subject& subject, const Ramp& ramp);
  // Returns how many bands mark what touches.
  int show(const Subject& subject, const PartRings& rings);
};

struct Scene::Meshes {
  using Renderers = std::vector<vtkRenderer*>;
  std::vector<std::unique_ptr<Layer>> machine;
  Layer floor, machine_shadow, part_shadow, grid, keep_out, ceiling, ghost;
  PartLayers part, closer_part;
  Ink ink, closer_ink;
  Meshes(vtkRenderer* r, vtkRenderer* closer, const Subject& subject)
      : floor({r, closer}), machine_shadow({r}), part_shadow({r}), grid({r}), keep_out({r}), ceiling({r, closer}), ghost({r}),
        part(r), closer_part(closer), ink(r, subject), closer_ink(closer, subject) {}
};

}  // namespace coilwright::view
