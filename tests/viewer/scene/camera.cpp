#include <catch2/catch.hpp>
#include <viewer/scene/camera.hpp>
#include <vtkCamera.h>
#include <vtkMatrix4x4.h>
#include <vtkNew.h>

using namespace coilwright::view;
using Eigen::Vector3d;

namespace {

// Where a point falls in the picture, -1 … 1 both ways.
Eigen::Vector2d seen(vtkCamera* camera, const Vector3d& p, double aspect) {
  double in[4] = {p.x(), p.y(), p.z(), 1.0}, out[4];
  camera->GetCompositeProjectionTransformMatrix(aspect, -1, 1)->MultiplyPoint(in, out);
  return {out[0] / out[3], out[1] / out[3]};
}

}  // namespace

TEST_CASE("every view shows all points within its borders, and fills them one way", "[property]") {
  const std::vector<Vector3d> points{{-900, -300, -900}, {1800, 2400, 3100}, {2000, -2000, -900}, {-2500, 100, -900}, {300, 900, 1500}};
  for (const View view : {View::iso, View::top, View::front, View::side})
    for (const Projection projection : {Projection::perspective, Projection::orthographic})
      for (const double aspect : {0.6, 1.0, 1.9})
        for (const bool mirrored : {false, true}) {
          const vtkNew<vtkCamera> camera;
          const Borders borders{0.05, 0.1, 0.08, 0.15};
          aim(camera, view, projection, points, aspect, borders, mirrored);
          double left = 1, right = -1, bottom = 1, top = -1;
          for (const Vector3d& p : points) {
            const Eigen::Vector2d at = seen(camera, p, aspect);
            left = std::min(left, at.x());
            right = std::max(right, at.x());
            bottom = std::min(bottom, at.y());
            top = std::max(top, at.y());
          }
          const double l = -1 + 2 * borders.left, r = 1 - 2 * borders.right, b = -1 + 2 * borders.bottom, t = 1 - 2 * borders.top;
          INFO(view_text(view) << " " << aspect << " x " << left << " " << right << " y " << bottom << " " << top);
          CHECK(left >= l - 1e-6);
          CHECK(right <= r + 1e-6);
          CHECK(bottom >= b - 1e-6);
          CHECK(top <= t + 1e-6);
          const bool fills_x = std::abs(left - l) < 1e-4 && std::abs(right - r) < 1e-4;
          const bool fills_y = std::abs(bottom - b) < 1e-4 && std::abs(top - t) < 1e-4;
          CHECK((fills_x || fills_y));
        }
}

TEST_CASE("views look where their words say", "[property]") {
  const std::vector<Vector3d> points{{-1, -1, -1}, {1, 1, 1}};
  const auto direction = [&](View view, bool mirrored) {
    const vtkNew<vtkCamera> camera;
    aim(camera, view, Projection::orthographic, points, 1.0, {}, mirrored);
    Vector3d d;
    camera->GetDirectionOfProjection(d.data());
    return d;
  };
  CHECK(direction(View::top, false).z() == Approx(-1.0));
  CHECK(direction(View::front, false).y() == Approx(-1.0));  // facing the rolls from the centre-roll side
  CHECK(direction(View::side, false).x() == Approx(-1.0));   // the part comes out at +x
  CHECK(direction(View::side, true).x() == Approx(1.0));     // and at -x for the left hand
  CHECK(direction(View::iso, false).z() < -0.3);
  CHECK(view_named("top") == View::top);
  CHECK_FALSE(view_named("above"));
}
