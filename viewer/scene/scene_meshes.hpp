// Everything the scene draws in three dimensions; for its own sources only.
#pragma once

#include <memory>
#include <vector>
#include <viewer/scene/layers.hpp>
#include <viewer/scene/scene.hpp>

namespace coilwright::view {

struct Scene::Meshes {
  using Renderers = std::vector<vtkRenderer*>;
  std::vector<std::unique_ptr<Layer>> machine;
  Layer floor, machine_shadow, part_shadow, grid, keep_out, ceiling;
  Layer stock, spans, usable, start_up, front_end, ghost, stripes;
  Ink ink, closer_ink;
  Meshes(vtkRenderer* r, vtkRenderer* closer, const Subject& subject)
      : floor({r, closer}), machine_shadow({r}), part_shadow({r}), grid({r}), keep_out({r}), ceiling({r}), stock({r, closer}),
        spans({r, closer}), usable({r, closer}), start_up({r, closer}), front_end({r, closer}), ghost({r, closer}),
        stripes({r, closer}), ink(r, subject), closer_ink(closer, subject) {}
};

}  // namespace coilwright::view
