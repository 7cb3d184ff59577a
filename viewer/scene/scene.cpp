#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <coilwright/quantity/length_text.hpp>
#include <coilwright/quantity/number_text.hpp>
#include <numbers>
#include <viewer/scene/bodies.hpp>
#include <viewer/scene/panel.hpp>
#include <viewer/scene/scene.hpp>
#include <viewer/scene/scene_meshes.hpp>
#include <viewer/scene/stage.hpp>
#include <viewer/scene/stripes.hpp>
#include <vtkActor.h>
#include <vtkCamera.h>
#include <vtkLight.h>
#include <vtkMatrix4x4.h>
#include <vtkPolyData.h>
#include <vtkPolyDataMapper.h>
#include <vtkRenderWindow.h>
#include <vtkRenderer.h>

namespace coilwright::view {

using Eigen::Vector2d;
using Eigen::Vector3d;

Scene::Scene(Subject subject)
    : subject_(std::move(subject)),
      ramp_(subject_.margin_mm),
      solids_(vtkSmartPointer<vtkRenderer>::New()),
      closer_(vtkSmartPointer<vtkRenderer>::New()),
      glass_(vtkSmartPointer<vtkRenderer>::New()),
      canvas_(glass_),
      meshes_(std::make_unique<Meshes>(solids_, closer_, subject_)) {
  glass_->SetLayer(1);
  glass_->InteractiveOff();
  for (vtkRenderer* renderer : {solids_.Get(), closer_.Get()}) {
    renderer->SetLayer(0);
    renderer->SetBackground(paper.r / 255.0, paper.g / 255.0, paper.b / 255.0);
    renderer->AutomaticLightCreationOff();
    // A key light over the left shoulder, a weaker one from the right: edges part, nothing glares.
    for (const auto& [x, y, z, strength] : {std::tuple(-0.6, 0.9, 1.0, 0.78), std::tuple(0.9, 0.25, 0.6, 0.30)}) {
      const auto light = vtkSmartPointer<vtkLight>::New();
      light->SetLightTypeToCameraLight();
      light->SetPosition(x, y, z);
      light->SetFocalPoint(0, 0, 0);
      light->SetIntensity(strength);
      renderer->AddLight(light);
    }
  }
  closer_->SetBackground(panel.r / 255.0, panel.g / 255.0, panel.b / 255.0);
  closer_->InteractiveOff();
  closer_->DrawOff();

  if (subject_.part) part_.emplace(subject_);
  build_machine();
  fed_mm_ = subject_.rolled_mm;
  build_part();
  build_room();
  set_view(View::iso);
}

Scene::~Scene() = default;

void Scene::build_machine() {
  const Mirror mirror = subject_.mirrored ? Mirror::in_x : Mirror::none;
  for (const MachinePart& solid : subject_.machine) {
    if (solid.role == Role::floor || solid.role == Role::ceiling) continue;
    const BodyMesh mesh = mesh_of(solid.bodies, mirror);
    machine_points_.insert(machine_points_.end(), mesh.outline.begin(), mesh.outline.end());
    auto& faces = *meshes_->machine.emplace_back(std::make_unique<Layer>(Meshes::Renderers{solids_, closer_}));
    faces.show(mesh.faces);
    faces.make_solid(solid.role == Role::roll ? 0.25 : 0.04);
    faces.paint(solid.hit_at ? mixed(colour_of(solid.role), collision, 0.22) : colour_of(solid.role));
  }
}

void Scene::build_room() {
  if (part_) {
    for (const auto* stretch : {&rings_.stock, &rings_.spans, &rings_.usable, &rings_.start_up, &rings_.front_end})
      for (const Ring& ring : *stretch) {
        if (stretch == &rings_.stock) continue;
        for (int axis = 0; axis < 3; ++axis)
          for (const double sign : {-1.0, 1.0}) {
            Vector3d p = ring.centre;
            p[axis] += sign * subject_.tube_radius_mm;
            part_points_.push_back(p);
          }
      }
  }
  everything_ = machine_points_;
  everything_.insert(everything_.end(), part_points_.begin(), part_points_.end());
  floor_mm_ = 0.0;
  std::optional<double> floor, ceiling;
  bool ceiling_hit = false;
  for (const MachinePart& solid : subject_.machine)
    for (const Shape& body : solid.bodies)
      if (const auto* plane = std::get_if<HalfSpace>(&body)) {
        if (solid.role == Role::floor) floor = plane->point.z();
        if (solid.role == Role::ceiling) ceiling = plane->point.z(), ceiling_hit = solid.hit_at.has_value();
      }
  if (floor) {
    floor_mm_ = *floor;
  } else {
    // No floor given: the lines lie below everything.
    for (const Vector3d& p : everything_) floor_mm_ = std::min(floor_mm_, p.z());
  }
  Disc disc{{0, 0}, 1000.0, floor_mm_};
  for (const Vector3d& p : everything_) disc.radius_mm = std::max(disc.radius_mm, p.head<2>().norm());
  if (subject_.swept_radius_mm) {
    disc.radius_mm = std::max(disc.radius_mm, *subject_.swept_radius_mm);
    for (int k = 0; k < 36; ++k) {
      const double a = k * std::numbers::pi / 18.0;
      everything_.emplace_back(*subject_.swept_radius_mm * std::cos(a), *subject_.swept_radius_mm * std::sin(a), floor_mm_);
    }
  }
  disc.radius_mm *= 1.12;

  Meshes& m = *meshes_;
  for (Layer* layer : {&m.floor, &m.machine_shadow, &m.part_shadow, &m.grid, &m.keep_out, &m.ceiling}) layer->make_flat();
  m.part_shadow.paint(shadow);
  m.floor.show(filled({disc.centre, disc.radius_mm, disc.z_mm - 8e-4 * disc.radius_mm}));
  m.floor.paint(mixed(paper, panel, 0.9));
  m.grid.show(grid_on({disc.centre, disc.radius_mm, disc.z_mm + 6e-4 * disc.radius_mm}, grid_mm));
  m.grid.paint(grid);
  const double step = 8e-4 * disc.radius_mm;  // layers of the floor, apart so that they never flicker
  if (floor) {
    std::vector<std::vector<Vector2d>> outlines;
    for (const MachinePart& solid : subject_.machine)
      for (const Shape& body : solid.bodies) {
        std::vector<Vector2d> plan;
        for (const Vector3d& p : spanning_points(body)) plan.push_back(placed(subject_, p).head<2>());
        if (plan.size() >= 3) outlines.push_back(plan_hull(plan));
      }
    m.machine_shadow.show(shadows_of(outlines, floor_mm_ + step));
    m.machine_shadow.paint(shadow);
  }
  if (subject_.swept_radius_mm) {
    m.keep_out.show(dashed_circle({{0, 0}, *subject_.swept_radius_mm, floor_mm_ + 3 * step}, 0.012 * *subject_.swept_radius_mm, 72));
    m.keep_out.paint(caution);
  }
  if (ceiling && !rings_.usable.empty()) {
    // Only above the part: a small round of grid.
    Vector2d low(INFINITY, INFINITY), high(-INFINITY, -INFINITY);
    for (const auto* stretch : {&rings_.usable, &rings_.start_up})
      for (const Ring& ring : *stretch) low = low.cwiseMin(ring.centre.head<2>()), high = high.cwiseMax(ring.centre.head<2>());
    const Disc above{0.5 * (low + high), 0.35 * (high - low).norm(), *ceiling};
    m.ceiling.show(grid_on(above, 0.25 * above.radius_mm));
    m.ceiling.paint(ceiling_hit ? collision : hairline);
    if (!ceiling_hit) setting_.ceiling_edge = Vector3d(above.centre.x(), above.centre.y() + above.radius_mm, *ceiling);
  }
  setting_.floor_z_mm = floor_mm_;
  setting_.stage_radius_mm = disc.radius_mm;

  m.part.dress(subject_, ramp_);
  m.closer_part.dress(subject_, ramp_);
  m.ghost.make_solid(0.18);
  m.ghost.paint(collision);
  build_part();
}

void Scene::build_part() {
  if (!part_) return;
  rings_ = part_->at_fed_length(fed_mm_);
  Meshes& m = *meshes_;
  stripe_count_ = m.part.show(subject_, rings_);

  // A collision of the swinging front end, or of the stock, that is past: where it was, as rings.
  std::vector<Band> past;
  if (subject_.nearest && subject_.nearest->distance_mm <= 0.0 && subject_.nearest->gone_later() &&
      fed_mm_ > subject_.nearest->fed_length_mm) {
    const PartRings then = part_->at_fed_length(subject_.nearest->fed_length_mm);
    add_bands(past, subject_.nearest->piece == Piece::stock ? then.stock : then.front_end, subject_.tube_radius_mm);
  }
  ghost_band_count_ = static_cast<int>(past.size());
  m.ghost.show(band_mesh(past, subject_.section, subject_.tube_radius_mm, 0.0));
  m.part_shadow.show(shadow_under({rings_.stock, rings_.spans, rings_.usable, rings_.start_up, rings_.front_end},
                                  subject_.section, subject_.tube_radius_mm, floor_mm_ + 4e-4 * setting_.stage_radius_mm));
  m.ink.redraw_part(whole_part(rings_));
  if (!closeup_ || !closeup_->fed_mm) show_in_closeup(rings_);
}

void Scene::show_in_closeup(const PartRings& rings) {
  meshes_->closer_part.show(subject_, rings);
  meshes_->closer_ink.redraw_part(whole_part(rings));
}

void Scene::add_to(vtkRenderWindow* window) {
  window->SetNumberOfLayers(2);
  for (vtkRenderer* renderer : {solids_.Get(), closer_.Get(), glass_.Get()}) window->AddRenderer(renderer);
}

void Scene::remove_from(vtkRenderWindow* window) {
  for (vtkRenderer* renderer : {glass_.Get(), closer_.Get(), solids_.Get()}) window->RemoveRenderer(renderer);
}

void Scene::set_size(int width, int height) {
  width_ = width;
  height_ = height;
  scale_ = std::min(width / 1600.0, height / 1000.0);
  scale_ = std::max(scale_, 0.7);
}

void Scene::set_fed_length(double fed_mm) {
  fed_mm_ = std::clamp(fed_mm, 0.0, subject_.rolled_mm);
  build_part();
}

void Scene::set_view(View view) {
  view_ = view;
  projection_ = usual_projection(view);
  fit_pending_ = true;
}

void Scene::set_projection(Projection projection) {
  projection_ = projection;
  solids_->GetActiveCamera()->SetParallelProjection(projection == Projection::orthographic ? 1 : 0);
}

void Scene::set_footer(Footer footer) { footer_ = std::move(footer); }

void Scene::set_cover(std::function<void(Canvas&, const PixelBox&, double)> cover) { cover_ = std::move(cover); }

void Scene::show_labels(Shown shown) { labels_ = shown; }

void Scene::show_machine(Shown shown) {
  machine_ = shown;
  for (const auto& layer : meshes_->machine) layer->actor->SetVisibility(shown == Shown::yes ? 1 : 0);
  for (Ink* lines : {&meshes_->ink, &meshes_->closer_ink}) lines->show_machine(shown == Shown::yes);
  meshes_->machine_shadow.actor->SetVisibility(shown == Shown::yes ? 1 : 0);
}

// What must be in the picture: part, machine and keep-out line, unless the part would be lost in it; then
// the part and what stands near it.
std::vector<Vector3d> Scene::fit_points() const {
  if (part_points_.empty()) return everything_.empty() ? std::vector<Vector3d>{{-500, -500, 0}, {500, 500, 500}} : everything_;
  const auto bounds = [](const std::vector<Vector3d>& points) {
    Eigen::AlignedBox3d box;
    for (const Vector3d& p : points) box.extend(p);
    return box;
  };
  const Eigen::AlignedBox3d part = bounds(part_points_), all = bounds(everything_);
  const double size = part.diagonal().norm();
  if (size > 0.42 * all.diagonal().norm()) return everything_;
  std::vector<Vector3d> out = part_points_;
  const Eigen::AlignedBox3d near(part.min().array() - 0.45 * size, part.max().array() + 0.45 * size);
  for (const Vector3d& p : machine_points_) out.push_back(p.cwiseMax(near.min()).cwiseMin(near.max()));
  return out;
}

void Scene::fit(double banner_height) {
  Borders borders;
  borders.top += banner_height / area_.size().y();
  aim(solids_->GetActiveCamera(), view_, projection_, fit_points(), area_.size().x() / area_.size().y(), borders, subject_.mirrored);
  fit_pending_ = false;
  Vector3d back;
  solids_->GetActiveCamera()->GetDirectionOfProjection(back.data());
  if (!part_) return;
  closeup_ = closeup_of(subject_, *part_, -back);
  if (closeup_ && closeup_->fed_mm) show_in_closeup(part_->at_fed_length(*closeup_->fed_mm));
}

double Scene::pixels_per_mm() const {
  vtkCamera* camera = solids_->GetActiveCamera();
  const double half_height = camera->GetParallelProjection()
                                 ? camera->GetParallelScale()
                                 : camera->GetDistance() * std::tan(0.5 * camera->GetViewAngle() * std::numbers::pi / 180.0);
  return 0.5 * area_.size().y() / half_height;
}

Pixel Scene::to_pixel(const Vector3d& p) const {
  const Pixel size = area_.size();
  vtkMatrix4x4* m = solids_->GetActiveCamera()->GetCompositeProjectionTransformMatrix(size.x() / size.y(), -1, 1);
  double in[4] = {p.x(), p.y(), p.z(), 1.0}, out[4];
  m->MultiplyPoint(in, out);
  if (out[3] <= 0.0) return {-1e6, -1e6};  // behind the camera
  return area_.low + Pixel(0.5 * (out[0] / out[3] + 1.0) * size.x(), 0.5 * (out[1] / out[3] + 1.0) * size.y());
}

std::vector<Pixel> Scene::busy_pixels() const {
  std::vector<Pixel> out;
  for (const auto* stretch : {&rings_.spans, &rings_.usable, &rings_.start_up, &rings_.front_end})
    for (const Ring& ring : *stretch) out.push_back(to_pixel(ring.centre));
  if (machine_ == Shown::yes)
    for (const Vector3d& p : machine_points_) out.push_back(to_pixel(p));
  return out;
}

void Scene::lay_out() {
  canvas_.clear(width_, height_);
  left_out_.clear();
  std::string footing = "Seen " + std::string(view_sentence(view_));
  if (subject_.standing == Standing::alone) footing = "The finished part by itself, upright. " + footing;
  else footing += "; fed length " + number_text(fed_mm_, 0) + " of " + number_text(subject_.rolled_mm, 0) + " mm";
  footing += "; floor grid " + number_text(grid_mm, 0) + " mm";
  if (subject_.machine_elsewhere(fed_mm_)) footing += "; machine as set at the end, not as it stood at this fed length";
  const double strip = draw_panel(canvas_, subject_, ramp_, {width_, height_, scale_, footing});
  const double foot = footer_.draw ? std::round(footer_.height * scale_) : 0.0;
  if (footer_.draw) footer_.draw(canvas_, {{0.0, strip}, {static_cast<double>(width_), strip + foot}}, scale_);
  area_ = {{0.0, std::min(strip + foot, 0.8 * height_)}, {static_cast<double>(width_), static_cast<double>(height_)}};
  solids_->SetViewport(0.0, area_.low.y() / height_, 1.0, 1.0);
  const PixelBox banner = draw_banner(canvas_, subject_, area_, scale_);
  if (fit_pending_) fit(area_.high.y() - banner.low.y());

  vtkCamera* camera = solids_->GetActiveCamera();
  const double pixel_mm = scale_ / pixels_per_mm();
  if (std::abs(pixel_mm - meshes_->ink.pixel_mm()) > 0.15 * meshes_->ink.pixel_mm()) meshes_->ink.draw(whole_part(rings_), pixel_mm);

  Eigen::Matrix3d camera_from_M;
  for (int row = 0; row < 3; ++row)
    for (int column = 0; column < 3; ++column)
      camera_from_M(row, column) = camera->GetModelViewTransformMatrix()->GetElement(row, column);
  // Seen steeply from above the ceiling would lie over everything.
  const bool below_ceiling = camera_from_M(2, 2) < 0.85;
  meshes_->ceiling.actor->SetVisibility(below_ceiling ? 1 : 0);
  // After all that decides what is visible, so that a second drawing of the scene gets the same range.
  solids_->ResetCameraClippingRange();
  Setting setting = setting_;
  if (!below_ceiling) setting.ceiling_edge.reset();
  const PixelBox compass = draw_compass(canvas_, subject_, camera_from_M, area_, scale_);
  setting.fed_mm = fed_mm_;
  place_closeup(banner, compass);
  std::vector<PixelBox> taken{banner, compass};
  if (closeup_box_) {
    taken.push_back(*closeup_box_);
    draw_closeup();
  }
  // Under a sheet that covers them labels would lose their words and keep their frames.
  if (labels_ == Shown::yes && !cover_)
    left_out_ = draw_notes(canvas_, notes_of(subject_, rings_, setting), subject_,
                           {[this](const Vector3d& p) { return to_pixel(p); }, pixels_per_mm(), area_, taken,
                            busy_pixels(), scale_});
  if (cover_) cover_(canvas_, area_, scale_);
  canvas_.commit();
}

vtkPolyData* Scene::usable_mesh() const { return meshes_->part.usable.mesh; }
vtkPolyData* Scene::start_up_mesh() const { return meshes_->part.start_up.mesh; }
vtkPolyData* Scene::front_end_mesh() const { return meshes_->part.front_end.mesh; }

}  // namespace coilwright::view
