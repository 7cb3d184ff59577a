// A closer look at the two nearest points: from where they are seen side by side and nothing stands before
// them.
#pragma once

#include <Eigen/Core>
#include <optional>
#include <viewer/scene/part.hpp>
#include <viewer/scene/subject.hpp>

class vtkCamera;

namespace coilwright::view {

struct Closeup {
  std::optional<double> fed_mm;      // the moment it shows; none: the part as it is in the scene
  Eigen::Vector3d centre, back, up;  // machine frame; back points to the eye
  double half_height_mm;             // what the picture shows above and below the centre
};

// None without a nearest pair. `back` is where the scene is seen from: preferred where it is as good.
std::optional<Closeup> closeup_of(const Subject& subject, const GrowingPart& part, const Eigen::Vector3d& back);

void aim(vtkCamera* camera, const Closeup& closeup);

}  // namespace coilwright::view
