// The scene: a subject as meshes in front of paper, with a sheet of glass for words and dimensions. Knows
// no window; whoever owns one adds the renderers to it, sets the size in pixels, and calls `lay_out` after
// every change of camera, size or content, before rendering.
//
// All meshes are in the machine frame M, mm.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <vector>
#include <viewer/scene/camera.hpp>
#include <viewer/scene/canvas.hpp>
#include <viewer/scene/closeup.hpp>
#include <viewer/scene/layers.hpp>
#include <viewer/scene/notes_drawing.hpp>
#include <viewer/scene/part.hpp>
#include <viewer/scene/subject.hpp>
#include <vtkRenderer.h>
#include <vtkSmartPointer.h>

class vtkActor;
class vtkPolyData;
class vtkRenderWindow;

namespace coilwright::view {

enum class Shown { yes, no };

// A strip between scene and panel that belongs to whoever owns the window, such as a slider.
struct Footer {
  double height = 0.0;  // before scaling
  std::function<void(Canvas&, const PixelBox&, double scale)> draw;
};

class Scene {
 public:
  explicit Scene(Subject subject);
  ~Scene();
  Scene(const Scene&) = delete;
  Scene& operator=(const Scene&) = delete;

  [[nodiscard]] vtkRenderer* solids() const { return solids_; }  // layer 0
  [[nodiscard]] vtkRenderer* closer() const { return closer_; }  // layer 0, over a corner of it
  [[nodiscard]] vtkRenderer* glass() const { return glass_; }    // layer 1, transparent ground
  void add_to(vtkRenderWindow* window);       // all three, in the right order
  void remove_from(vtkRenderWindow* window);

  void set_size(int width, int height);
  // How much of the part is through, 0 … subject().rolled_mm (clamped).
  void set_fed_length(double fed_mm);
  void set_view(View view);  // with its usual projection, fitted
  void set_projection(Projection projection);
  void show_labels(Shown shown);
  void show_machine(Shown shown);
  void set_footer(Footer footer);
  // Something on top of everything, such as a list of keys; null for nothing.
  void set_cover(std::function<void(Canvas&, const PixelBox&, double scale)> cover);
  void lay_out();

  [[nodiscard]] const Subject& subject() const { return subject_; }
  [[nodiscard]] double fed_length_mm() const { return fed_mm_; }
  [[nodiscard]] View view() const { return view_; }
  [[nodiscard]] Projection projection() const { return projection_; }
  [[nodiscard]] Shown labels() const { return labels_; }
  [[nodiscard]] Shown machine() const { return machine_; }
  [[nodiscard]] Canvas& canvas() { return canvas_; }
  [[nodiscard]] const Canvas& canvas() const { return canvas_; }
  [[nodiscard]] double scale() const { return scale_; }
  [[nodiscard]] PixelBox scene_area() const { return area_; }  // above the panel
  // Labels for which no free place was found in the last lay_out.
  [[nodiscard]] const std::vector<std::string>& left_out() const { return left_out_; }

  // For tests: what is drawn.
  [[nodiscard]] vtkPolyData* usable_mesh() const;
  [[nodiscard]] vtkPolyData* start_up_mesh() const;
  [[nodiscard]] vtkPolyData* front_end_mesh() const;
  [[nodiscard]] const std::optional<PixelBox>& closeup_box() const { return closeup_box_; }
  [[nodiscard]] const PartRings& rings() const { return rings_; }
  [[nodiscard]] int stripe_count() const { return stripe_count_; }      // bands on what touches
  [[nodiscard]] int ghost_band_count() const { return ghost_band_count_; }  // where the front end touched before

 private:
  struct Meshes;
  void build_machine();
  void build_room();
  void build_part();
  void place_closeup(const PixelBox& banner, const PixelBox& compass);
  void draw_closeup();
  void show_in_closeup(const PartRings& rings);
  void fit(double banner_height);
  [[nodiscard]] std::vector<Eigen::Vector3d> fit_points() const;
  [[nodiscard]] Pixel to_pixel(const Eigen::Vector3d& p) const;
  [[nodiscard]] double pixels_per_mm() const;  // where the scene stands
  [[nodiscard]] std::vector<Pixel> busy_pixels() const;

  Subject subject_;
  std::optional<GrowingPart> part_;
  PartRings rings_;
  Ramp ramp_;
  vtkSmartPointer<vtkRenderer> solids_, closer_, glass_;
  Canvas canvas_;
  std::unique_ptr<Meshes> meshes_;
  std::vector<Eigen::Vector3d> part_points_, machine_points_, everything_;
  Setting setting_;
  double fed_mm_ = 0.0, floor_mm_ = 0.0, scale_ = 1.0;
  std::optional<Closeup> closeup_;
  std::optional<PixelBox> closeup_box_;  // where it is shown now
  int width_ = 1600, height_ = 1000, stripe_count_ = 0, ghost_band_count_ = 0;
  View view_ = View::iso;
  Projection projection_ = Projection::perspective;
  Shown labels_ = Shown::yes, machine_ = Shown::yes;
  bool fit_pending_ = true;
  PixelBox area_{{0, 0}, {1600, 1000}};
  std::vector<std::string> left_out_;
  Footer footer_;
  std::function<void(Canvas&, const PixelBox&, double)> cover_;
};

}  // namespace coilwright::view
