// Hands on the scene: keys, the slider of the fed length and the mouse. Works with any interactor, a real
// window's or one without a display.
#pragma once

#include <functional>
#include <string>
#include <vector>
#include <viewer/scene/scene.hpp>
#include <vtkSmartPointer.h>

class vtkCallbackCommand;
class vtkRenderWindow;
class vtkRenderWindowInteractor;

namespace coilwright::view {

// One row of the list of keys: the only place that knows them, so that the list on the screen is true.
struct KeyRow {
  std::vector<std::string> keys;  // as the window system names them
  std::string shown, does;
  std::function<void()> act;
};

class Controls {
 public:
  // All must outlive this. `picture_name` starts the names of saved pictures: NAME-1.png, NAME-2.png, …
  Controls(Scene& scene, vtkRenderWindow& window, vtkRenderWindowInteractor& interactor, std::string picture_name);
  ~Controls();
  Controls(const Controls&) = delete;
  Controls& operator=(const Controls&) = delete;

  [[nodiscard]] const std::vector<KeyRow>& keys() const { return keys_; }
  [[nodiscard]] bool list_shown() const { return list_shown_; }
  [[nodiscard]] const std::string& message() const { return message_; }
  // The slider's track in pixels, as last drawn.
  [[nodiscard]] const PixelBox& track() const { return track_; }

  // What the events call.
  void press(const std::string& key);
  bool grab(const Pixel& at);  // true when the slider took the press
  void drag(const Pixel& at);
  void release();

 private:
  void make_keys();
  void feed(double fed_mm);
  void look(View view);
  void save();
  void show();
  void draw_footer(Canvas& canvas, const PixelBox& box, double scale);
  void draw_list(Canvas& canvas, const PixelBox& area, double scale) const;
  void lay_out();

  Scene& scene_;
  vtkRenderWindow& window_;
  vtkRenderWindowInteractor& interactor_;
  std::string picture_name_, message_;
  std::vector<KeyRow> keys_;
  std::vector<vtkSmartPointer<vtkCallbackCommand>> observers_;
  PixelBox track_{{0, 0}, {0, 0}};
  bool list_shown_ = false, dragging_ = false;
};

}  // namespace coilwright::view
