// A sheet of glass in front of the scene: flat lines, arrows, patches and text in pixels, origin at the
// lower left, y up. What is drawn later lies on top; text lies on top of all shapes.
#pragma once

#include <Eigen/Core>
#include <string>
#include <vector>
#include <viewer/scene/palette.hpp>
#include <vtkSmartPointer.h>

class vtkActor;
class vtkCellArray;
class vtkPoints;
class vtkRenderer;
class vtkTextActor;
class vtkUnsignedCharArray;

namespace coilwright::view {

using Pixel = Eigen::Vector2d;

struct PixelBox {
  Pixel low, high;
  [[nodiscard]] Pixel size() const { return high - low; }
  [[nodiscard]] Pixel centre() const { return 0.5 * (low + high); }
  [[nodiscard]] PixelBox grown(double by) const {
    return {low - Pixel::Constant(by), high + Pixel::Constant(by)};
  }
  [[nodiscard]] bool overlaps(const PixelBox& other) const {
    return (low.array() < other.high.array()).all() && (other.low.array() < high.array()).all();
  }
  [[nodiscard]] bool contains(const PixelBox& other) const {
    return (low.array() <= other.low.array()).all() && (other.high.array() <= high.array()).all();
  }
  [[nodiscard]] bool contains(const Pixel& p) const {
    return (low.array() <= p.array()).all() && (p.array() <= high.array()).all();
  }
};

enum class Weight { regular, bold };

struct Lettering {
  int size = 14;  // pixels
  Rgb colour = ink;
  Weight weight = Weight::regular;
};

struct WrittenText {
  std::string text;
  PixelBox box;
  bool covered = false;  // by a sheet laid on it later
};

class Canvas {
 public:
  explicit Canvas(vtkRenderer* renderer);  // not owned; the layer to draw on

  void clear(int width, int height);  // pixels
  void patch(const std::vector<Pixel>& convex, Rgb colour);
  void box(const PixelBox& box, Rgb colour);
  void frame(const PixelBox& box, Rgb colour, double width);
  void line(const Pixel& a, const Pixel& b, Rgb colour, double width);
  void dashed(const Pixel& a, const Pixel& b, Rgb colour, double width, double dash);
  void arrow_head(const Pixel& tip, const Pixel& direction, double length, Rgb colour);
  void ring(const Pixel& centre, double radius, Rgb colour, double width);
  void disc(const Pixel& centre, double radius, Rgb colour);
  // Slanted stripes filling a box.
  void hatch(const PixelBox& box, Rgb stripe, double pitch);
  // Its lower left corner at `at`.
  void text(const Pixel& at, const std::string& text, const Lettering& lettering);
  [[nodiscard]] Pixel text_size(const std::string& text, const Lettering& lettering);
  // A box over everything so far, words included.
  void cover(const PixelBox& box, Rgb colour);
  void commit();  // after drawing, before rendering

  // Everything written since the last clear.
  [[nodiscard]] const std::vector<WrittenText>& written() const { return written_; }

 private:
  vtkRenderer* renderer_;
  vtkSmartPointer<vtkPoints> points_;
  vtkSmartPointer<vtkCellArray> faces_;
  vtkSmartPointer<vtkUnsignedCharArray> colours_;
  vtkSmartPointer<vtkActor> shapes_;
  std::vector<vtkSmartPointer<vtkTextActor>> pool_;
  std::vector<WrittenText> written_;
  int width_ = 1, height_ = 1, patches_ = 0;
};

}  // namespace coilwright::view
