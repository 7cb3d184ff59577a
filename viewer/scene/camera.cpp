#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <numbers>
#include <viewer/scene/camera.hpp>
#include <vtkCamera.h>

namespace coilwright::view {
namespace {

using Eigen::Vector3d;

constexpr double view_angle_deg = 22.0;  // a long lens: calm perspective

struct Axes {
  Vector3d right, up, back;  // back points from the scene to the camera
};

Axes axes_of(View view, bool mirrored) {
  const double out = mirrored ? -1.0 : 1.0;  // x of the side where the part comes out
  Vector3d back = Vector3d::UnitZ(), up = Vector3d::UnitZ();
  switch (view) {
    case View::iso: back = Vector3d(0.62 * out, -1.0, 0.62); break;
    case View::top: up = Vector3d::UnitY(); break;
    case View::front: back = Vector3d::UnitY(); break;
    case View::side: back = Vector3d(out, 0.0, 0.0); break;
  }
  back.normalize();
  const Vector3d right = up.cross(back).normalized();
  return {right, back.cross(right), back};
}

}  // namespace

std::optional<View> view_named(std::string_view name) {
  for (const View view : {View::iso, View::top, View::front, View::side})
    if (name == view_text(view)) return view;
  return std::nullopt;
}

std::string_view view_text(View view) {
  switch (view) {
    case View::iso: return "iso";
    case View::top: return "top";
    case View::front: return "front";
    case View::side: return "side";
  }
  throw InternalError("unknown view");
}

std::string_view view_sentence(View view) {
  switch (view) {
    case View::iso: return "from above, at an angle";
    case View::top: return "from above";
    case View::front: return "facing the rolls from the centre-roll side";
    case View::side: return "from the end where the part comes out";
  }
  throw InternalError("unknown view");
}

Projection usual_projection(View view) {
  return view == View::iso ? Projection::perspective : Projection::orthographic;
}

void aim(vtkCamera* camera, View view, Projection projection, const std::vector<Vector3d>& points,
         double width_to_height, const Borders& borders, bool mirrored) {
  require(!points.empty() && width_to_height > 0.0, "a camera needs something to look at");
  const Axes axes = axes_of(view, mirrored);
  const double half_up = std::tan(0.5 * view_angle_deg * std::numbers::pi / 180.0);
  const double half_right = half_up * width_to_height;
  // Slopes of the four planes that bound the free part of the picture.
  const double right = half_right * (1.0 - 2.0 * borders.right), left = half_right * (1.0 - 2.0 * borders.left);
  const double top = half_up * (1.0 - 2.0 * borders.top), bottom = half_up * (1.0 - 2.0 * borders.bottom);
  const double depth = projection == Projection::perspective ? 1.0 : 0.0;

  // In camera axes a point (x, y, z) is inside when x <= cx + right (D - z) and so on, D the camera's
  // distance; parallel rays leave out z. Each plane asks for D at least so much.
  double a = -INFINITY, b = -INFINITY, c = -INFINITY, d = -INFINITY, nearest = -INFINITY;
  for (const Vector3d& p : points) {
    const double x = axes.right.dot(p), y = axes.up.dot(p), z = axes.back.dot(p);
    a = std::max(a, x + depth * right * z);
    b = std::max(b, -x + depth * left * z);
    c = std::max(c, y + depth * top * z);
    d = std::max(d, -y + depth * bottom * z);
    nearest = std::max(nearest, z);
  }
  const double across = (a + b) / (right + left), over = (c + d) / (top + bottom);
  double distance = std::max({across, over, 1.0});
  // The direction that is not tight is centred.
  const double slack_x = distance * (right + left) - (a + b), slack_y = distance * (top + bottom) - (c + d);
  const double cx = a - right * distance + 0.5 * slack_x;
  const double cy = c - top * distance + 0.5 * slack_y;

  if (projection == Projection::orthographic) {
    camera->ParallelProjectionOn();
    camera->SetParallelScale(distance * half_up);
    distance += nearest;  // in front of everything
  } else {
    camera->ParallelProjectionOff();
    camera->SetViewAngle(view_angle_deg);
  }
  const Vector3d eye = cx * axes.right + cy * axes.up + distance * axes.back;
  // Turn about the middle of what is shown.
  double low = INFINITY, high = -INFINITY;
  for (const Vector3d& p : points) low = std::min(low, axes.back.dot(p)), high = std::max(high, axes.back.dot(p));
  const Vector3d focus = eye - (distance - 0.5 * (low + high)) * axes.back;
  camera->SetPosition(eye.data());
  camera->SetFocalPoint(focus.data());
  camera->SetViewUp(axes.up.data());
}

}  // namespace coilwright::view
