#include "sample_subjects.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <viewer/scene/scene.hpp>
#include <vtkPolyData.h>

using namespace coilwright;
using namespace coilwright::view;
using Eigen::Vector3d;

namespace {

bool says(const Scene& scene, const std::string& part) {
  const auto& written = scene.canvas().written();
  return std::any_of(written.begin(), written.end(), [&](const WrittenText& w) { return w.text.find(part) != std::string::npos; });
}

}  // namespace

TEST_CASE("the coil drawn has the bounds of the analytic helix, one tube radius about it", "[oracle]") {
  for (const Hand hand : {Hand::right_screw, Hand::left_screw}) {
    const Scene scene(samples::handrail(hand));
    const Subject& subject = scene.subject();
    // The helix finely, from the exit contact to the end of the usable part.
    const double R = 800.0, c = 2700.0 / (2.0 * std::numbers::pi), rho = std::hypot(R, c);
    Vector3d low = Vector3d::Constant(INFINITY), high = -low;
    const double from = subject.part->span_out_mm(), to = subject.developed_mm;
    constexpr int steps = 20000;
    for (int i = 0; i <= steps; ++i) {
      const double theta = (from + (to - from) * i / steps) / rho;
      const Vector3d p = placed(subject, subject.part->X_FC() * Vector3d(R * std::sin(theta), R * (1.0 - std::cos(theta)), c * theta));
      low = low.cwiseMin(p);
      high = high.cwiseMax(p);
    }
    double bounds[6];
    scene.usable_mesh()->GetBounds(bounds);
    const double r = subject.tube_radius_mm;
    // Rings stand 5 degrees apart and have flat sides: both leave the true surface by less than this.
    const double chord = R * (1.0 - std::cos(2.5 * std::numbers::pi / 180.0));
    const double side = r * (1.0 - std::cos(std::numbers::pi / tube_sides));
    for (int axis = 0; axis < 3; ++axis) {
      CHECK(bounds[2 * axis] >= low[axis] - r - 1e-6);
      CHECK(bounds[2 * axis + 1] <= high[axis] + r + 1e-6);
      // At an inner extreme the tube reaches its full radius beyond the centreline; at an end less.
      CHECK(bounds[2 * axis] <= low[axis] + chord + side);
      CHECK(bounds[2 * axis + 1] >= high[axis] - chord - side);
    }
    CHECK(bounds[3] == Approx(high.y() + r).margin(chord + side));
    const auto rings = static_cast<vtkIdType>(scene.rings().usable.size());
    CHECK(scene.usable_mesh()->GetNumberOfCells() == (rings - 1) * tube_sides + 2);
  }
}

TEST_CASE("growing shows no more than was fed", "[property]") {
  Scene scene(samples::handrail());
  scene.set_fed_length(0.0);
  CHECK(scene.usable_mesh()->GetNumberOfCells() == 0);
  scene.set_fed_length(1000.0);
  CHECK(scene.front_end_mesh()->GetNumberOfCells() > 0);
  scene.set_fed_length(1e9);
  CHECK(scene.fed_length_mm() == scene.subject().rolled_mm);
  vtkIdType before = 0;
  for (double fed = 0.0; fed <= scene.subject().rolled_mm; fed += 500.0) {
    scene.set_fed_length(fed);
    const vtkIdType cells = scene.usable_mesh()->GetNumberOfCells();
    CHECK(cells >= before);
    before = cells;
  }
  CHECK(before > 0);
}

TEST_CASE("what must be said is said", "[property]") {
  Scene clear(samples::handrail());
  clear.lay_out();
  for (const char* words : {"Common spiral handrail", "Clears", "least ", "Clearance, mm", "plan radius 800.0 mm", "pitch 2700.0 mm",
                            "overall height", "nobody inside this line", "feed", "up", "counter-clockwise"}) {
      INFO(words);
      CHECK(says(clear, words));
    }
  CHECK_FALSE(says(clear, "COLLISION"));

  Scene hit(samples::colliding_handrail());
  hit.lay_out();
  CHECK(says(hit, "COLLISION"));
  CHECK(says(hit, "gallery column"));
  CHECK(hit.stripe_count() > 0);
  CHECK(clear.stripe_count() == 0);
}

TEST_CASE("a past collision of the front end stays visible, and is told when it is reached", "[property]") {
  Scene scene(samples::front_end_only());
  scene.lay_out();
  CHECK(says(scene, "stop post"));
  CHECK(scene.ghost_band_count() > 0);
  CHECK(GrowingPart::colliding(scene.rings()) == 0);
  scene.set_fed_length(0.5 * scene.subject().nearest->fed_length_mm);
  scene.lay_out();
  CHECK(scene.ghost_band_count() == 0);
}

TEST_CASE("no label lies on another or leaves the picture, in any view, size and sample", "[property]") {
  for (auto make : {+[] { return samples::handrail(); }, +[] { return samples::handrail(Hand::left_screw); },
                    +[] { return samples::colliding_handrail(); }, +[] { return samples::tight_coil(); },
                    +[] { return samples::front_end_only(); }, +[] { return samples::ring(); }}) {
    Scene scene(make());
    for (const View view : {View::iso, View::top, View::front, View::side})
      for (const auto& [width, height] : {std::pair(1600, 1000), std::pair(640, 400), std::pair(500, 900), std::pair(3840, 2160)})
        for (const double share : {1.0, 0.4}) {
          scene.set_size(width, height);
          scene.set_view(view);
          scene.set_fed_length(share * scene.subject().rolled_mm);
          scene.lay_out();
          INFO(scene.subject().title << " " << view_text(view) << " " << width << "x" << height << " fed " << share);
          const PixelBox picture{{0, 0}, {width, height}};
          const auto& written = scene.canvas().written();
          for (std::size_t i = 0; i < written.size(); ++i) {
            INFO(written[i].text);
            REQUIRE(picture.contains(written[i].box));
            for (std::size_t k = 0; k < i; ++k) {
              INFO("on " << written[k].text);
              REQUIRE_FALSE(written[i].box.grown(-1.0).overlaps(written[k].box.grown(-1.0)));
            }
          }
          // The number that matters is never left out.
          if (scene.subject().nearest && share == 1.0) CHECK((says(scene, "least ") || says(scene, "COLLISION")));
        }
  }
}

TEST_CASE("labels and machine can be put away", "[property]") {
  Scene scene(samples::handrail());
  scene.lay_out();
  const std::size_t all = scene.canvas().written().size();
  scene.show_labels(Shown::no);
  scene.lay_out();
  CHECK(scene.canvas().written().size() < all);
  CHECK(says(scene, "Clears"));  // the answer stays
  CHECK_FALSE(says(scene, "overall height"));
}
