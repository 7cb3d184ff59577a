// Actors with their meshes, as the scene stacks them.
#pragma once

#include <memory>
#include <vector>
#include <viewer/scene/palette.hpp>
#include <viewer/scene/subject.hpp>
#include <viewer/scene/sweep.hpp>
#include <vtkSmartPointer.h>

class vtkActor;
class vtkLookupTable;
class vtkPolyData;
class vtkPolyDataMapper;
class vtkRenderer;

namespace coilwright::view {

// One actor and its mesh; without a mesh nothing is drawn.
struct Layer {
  vtkSmartPointer<vtkActor> actor;
  vtkSmartPointer<vtkPolyDataMapper> mapper;
  vtkSmartPointer<vtkPolyData> mesh;

  explicit Layer(const std::vector<vtkRenderer*>& renderers);
  void show(vtkPolyData* now);
  void paint(Rgb colour);
  void colour_by_clearance(vtkLookupTable* table);
  void one_colour();
  void make_solid(double shine);  // lit a little from everywhere, so that no side turns black
  void make_flat();               // not lit
};

Rgb colour_of(Role role);

// The ink of one renderer: edges and outlines, whose distance from the faces is a share of a pixel there.
class Ink {
 public:
  Ink(vtkRenderer* renderer, const Subject& subject);  // the subject must outlive it
  // `whole` are the rings of all that is drawn of the part.
  void draw(const std::vector<Ring>& whole, double pixel_mm);
  void redraw_part(const std::vector<Ring>& whole);
  void show_machine(bool shown);
  [[nodiscard]] double pixel_mm() const { return pixel_mm_; }

 private:
  const Subject& subject_;
  std::vector<std::unique_ptr<Layer>> edges_, shells_;  // by machine part; null for floor and ceiling
  Layer part_;
  double pixel_mm_ = 0.0;
};

}  // namespace coilwright::view
