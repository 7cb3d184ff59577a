// Where the picture is taken from, and how it is fitted to what must be in it.
#pragma once

#include <Eigen/Core>
#include <optional>
#include <string_view>
#include <vector>

class vtkCamera;

namespace coilwright::view {

enum class View { iso, top, front, side };
std::optional<View> view_named(std::string_view name);
std::string_view view_text(View view);
// What a view looks along, said to people: "seen from above", …
std::string_view view_sentence(View view);

enum class Projection { perspective, orthographic };
Projection usual_projection(View view);  // perspective for iso, orthographic for the others

// Share of the picture kept free on each side, for labels.
struct Borders {
  double left = 0.06, right = 0.06, bottom = 0.06, top = 0.06;
};

// Points the camera so that all points are inside the borders, as large as possible. `width_to_height` of
// the area the scene is drawn in. Side: seen from the end where the part comes out, which `mirrored` says.
void aim(vtkCamera* camera, View view, Projection projection, const std::vector<Eigen::Vector3d>& points,
         double width_to_height, const Borders& borders, bool mirrored);

}  // namespace coilwright::view
