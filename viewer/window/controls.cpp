#include <algorithm>
#include <cmath>
#include <coilwright/quantity/number_text.hpp>
#include <filesystem>
#include <viewer/scene/panel.hpp>
#include <viewer/window/controls.hpp>
#include <viewer/window/picture_file.hpp>
#include <vtkCallbackCommand.h>
#include <vtkInteractorStyleTrackballCamera.h>
#include <vtkObjectFactory.h>
#include <vtkRenderWindow.h>
#include <vtkRenderWindowInteractor.h>

namespace coilwright::view {
namespace {

constexpr double footer_height = 46.0;

// Turns, pans and zooms; its own letters (wireframe, stereo, exit …) are ours.
class Trackball : public vtkInteractorStyleTrackballCamera {
 public:
  static Trackball* New();
  vtkTypeMacro(Trackball, vtkInteractorStyleTrackballCamera)
  void OnChar() override {}
};
vtkStandardNewMacro(Trackball);

// A callback in front of the trackball; true keeps the event from it.
vtkSmartPointer<vtkCallbackCommand> observe(vtkObject& object, unsigned long event, std::function<bool()> act) {
  struct Held {
    std::function<bool()> act;
    vtkCallbackCommand* command = nullptr;
  };
  const auto command = vtkSmartPointer<vtkCallbackCommand>::New();
  command->SetClientData(new Held{std::move(act), command});
  command->SetClientDataDeleteCallback([](void* held) { delete static_cast<Held*>(held); });
  command->SetCallback([](vtkObject*, unsigned long, void* held, void*) {
    const auto* h = static_cast<Held*>(held);
    h->command->SetAbortFlag(h->act() ? 1 : 0);
  });
  object.AddObserver(event, command, 1.0F);
  return command;
}

}  // namespace

Controls::Controls(Scene& scene, vtkRenderWindow& window, vtkRenderWindowInteractor& interactor, std::string picture_name)
    : scene_(scene), window_(window), interactor_(interactor), picture_name_(std::move(picture_name)) {
  make_keys();
  const auto style = vtkSmartPointer<Trackball>::New();
  interactor_.SetInteractorStyle(style);
  const auto pointer = [this] {
    return Pixel(interactor_.GetEventPosition()[0], interactor_.GetEventPosition()[1]);
  };
  observers_ = {
      observe(interactor_, vtkCommand::KeyPressEvent,
              [this] {
                const char* key = interactor_.GetKeySym();
                press(key ? key : "");
                return true;
              }),
      observe(interactor_, vtkCommand::LeftButtonPressEvent, [this, pointer] { return grab(pointer()); }),
      observe(interactor_, vtkCommand::MouseMoveEvent,
              [this, pointer] {
                if (dragging_) drag(pointer());
                return dragging_;
              }),
      observe(interactor_, vtkCommand::LeftButtonReleaseEvent,
              [this] {
                const bool ours = dragging_;
                release();
                return ours;
              }),
      observe(window_, vtkCommand::StartEvent,
              [this] {
                lay_out();
                return false;
              }),
  };
  scene_.set_footer({footer_height, [this](Canvas& canvas, const PixelBox& box, double scale) { draw_footer(canvas, box, scale); }});
}

Controls::~Controls() {
  for (const auto& observer : observers_) {
    interactor_.RemoveObserver(observer);
    window_.RemoveObserver(observer);
  }
  scene_.set_footer({});
  scene_.set_cover(nullptr);
}

void Controls::make_keys() {
  const double whole = scene_.subject().rolled_mm;
  const auto step = [this, whole](double share) { return [this, whole, share] { feed(scene_.fed_length_mm() + share * whole); }; };
  keys_ = {
      {{"Right"}, "right", "feed on, a hundredth", step(0.01)},
      {{"Left"}, "left", "feed back", step(-0.01)},
      {{"Home"}, "home", "to the start", [this] { feed(0.0); }},
      {{"End"}, "end", "all the way through", [this, whole] { feed(whole); }},
      {{"1", "KP_1", "KP_End"}, "1", "view from above, at an angle", [this] { look(View::iso); }},
      {{"2", "KP_2", "KP_Down"}, "2", "view from above", [this] { look(View::top); }},
      {{"3", "KP_3", "KP_Next"}, "3", "view facing the rolls", [this] { look(View::front); }},
      {{"4", "KP_4", "KP_Left"}, "4", "view from where the part comes out", [this] { look(View::side); }},
      {{"o", "O"}, "o", "parallel or perspective",
       [this] {
         scene_.set_projection(scene_.projection() == Projection::orthographic ? Projection::perspective : Projection::orthographic);
       }},
      {{"l", "L"}, "l", "labels on or off",
       [this] { scene_.show_labels(scene_.labels() == Shown::yes ? Shown::no : Shown::yes); }},
      {{"m", "M"}, "m", "machine on or off",
       [this] { scene_.show_machine(scene_.machine() == Shown::yes ? Shown::no : Shown::yes); }},
      {{"s", "S"}, "s", "save what is seen as a picture", [this] { save(); }},
      {{"h", "H", "question", "F1"}, "h", "this list", [this] { list_shown_ = !list_shown_; }},
      {{"q", "Q"}, "q", "leave", [this] { interactor_.TerminateApp(); }},
  };
}

void Controls::press(const std::string& key) {
  message_.clear();
  if (key == "Escape") list_shown_ = false;
  for (const KeyRow& row : keys_)
    if (std::find(row.keys.begin(), row.keys.end(), key) != row.keys.end()) {
      row.act();
      break;
    }
  show();
}

void Controls::feed(double fed_mm) { scene_.set_fed_length(fed_mm); }

void Controls::look(View view) { scene_.set_view(view); }

// What the window shows, without its slider, under the next free name.
void Controls::save() {
  std::string name;
  for (int number = 1; name.empty() || std::filesystem::exists(name); ++number)
    name = picture_name_ + "-" + std::to_string(number) + ".png";
  scene_.set_footer({});
  const bool list = list_shown_;
  list_shown_ = false;
  window_.Render();
  const auto failed = write_png(pixels_of(window_), name);
  list_shown_ = list;
  scene_.set_footer({footer_height, [this](Canvas& canvas, const PixelBox& box, double scale) { draw_footer(canvas, box, scale); }});
  message_ = failed ? *failed : "saved " + name;
}

bool Controls::grab(const Pixel& at) {
  const double reach = 14.0 * scene_.scale();
  dragging_ = track_.grown(reach).contains(at);
  if (dragging_) drag(at);
  return dragging_;
}

void Controls::drag(const Pixel& at) {
  const double share = (at.x() - track_.low.x()) / std::max(1.0, track_.size().x());
  feed(std::clamp(share, 0.0, 1.0) * scene_.subject().rolled_mm);
  show();
}

void Controls::release() { dragging_ = false; }

void Controls::show() { window_.Render(); }

void Controls::lay_out() {
  const int* size = window_.GetSize();
  scene_.set_size(std::max(1, size[0]), std::max(1, size[1]));
  if (list_shown_)
    scene_.set_cover([this](Canvas& canvas, const PixelBox& area, double scale) { draw_list(canvas, area, scale); });
  else
    scene_.set_cover(nullptr);
  scene_.lay_out();
}

void Controls::draw_footer(Canvas& canvas, const PixelBox& box, double s) {
  const Lettering letters{letter_size(13, s)}, quiet{letter_size(13, s), soft_ink};
  canvas.box(box, mixed(paper, panel, 0.5));
  canvas.box({{box.low.x(), box.high.y() - 1.0}, box.high}, hairline);
  const double y = std::round(box.centre().y()), whole = scene_.subject().rolled_mm;
  const std::string fed = "fed " + number_text(scene_.fed_length_mm(), 0) + " of " + number_text(whole, 0) + " mm";
  const std::string hint = message_.empty() ? "h: keys" : message_;
  const Pixel fed_size = canvas.text_size("fed " + number_text(whole, 0) + " of " + number_text(whole, 0) + " mm", letters);
  const Pixel hint_size = canvas.text_size(hint, quiet);
  canvas.text({22 * s, y - 0.5 * fed_size.y()}, fed, letters);
  canvas.text({box.high.x() - 22 * s - hint_size.x(), y - 0.5 * hint_size.y()}, hint, quiet);

  track_ = {{22 * s + fed_size.x() + 26 * s, y - 3 * s}, {box.high.x() - 22 * s - hint_size.x() - 30 * s, y + 3 * s}};
  if (track_.size().x() < 40.0 || whole <= 0.0) return;
  const auto at = [&](double mm) { return track_.low.x() + track_.size().x() * std::clamp(mm / whole, 0.0, 1.0); };
  canvas.box(track_, hairline);
  const double here = at(scene_.fed_length_mm());
  canvas.box({track_.low, {here, track_.high.y()}}, mixed(ink, panel, 0.25));
  // Where the usable part begins to come out.
  const double start = at(scene_.subject().start_up_mm);
  canvas.box({{start - 1, y - 9 * s}, {start + 1, y + 9 * s}}, soft_ink);
  canvas.disc({here, y}, 10 * s, panel);
  canvas.disc({here, y}, 8.5 * s, ink);
  canvas.disc({here, y}, 3.5 * s, panel);
}

void Controls::draw_list(Canvas& canvas, const PixelBox& area, double s) const {
  const Lettering letters{letter_size(14, s)}, bold{letter_size(14, s), ink, Weight::bold};
  const double step = std::round(1.7 * letters.size), pad = std::round(20 * s);
  double first = 0.0, second = 0.0;
  for (const KeyRow& row : keys_) {
    first = std::max(first, canvas.text_size(row.shown, bold).x());
    second = std::max(second, canvas.text_size(row.does, letters).x());
  }
  const std::string mouse = "mouse: left turns, middle shifts, wheel zooms";
  second = std::max(second, canvas.text_size(mouse, letters).x() - first);
  const double gap = 18 * s;
  const Pixel size(first + gap + second + 2 * pad, step * static_cast<double>(keys_.size() + 1) + 2 * pad);
  const PixelBox sheet{area.centre() - 0.5 * size, area.centre() + 0.5 * size};
  canvas.cover(sheet, panel);
  canvas.frame(sheet, ink, std::max(1.0, 1.5 * s));
  double y = sheet.high.y() - pad - step;
  for (const KeyRow& row : keys_) {
    canvas.text({sheet.low.x() + pad, y + 0.3 * step}, row.shown, bold);
    canvas.text({sheet.low.x() + pad + first + gap, y + 0.3 * step}, row.does, letters);
    y -= step;
  }
  canvas.text({sheet.low.x() + pad, y + 0.3 * step}, mouse, letters);
}

}  // namespace coilwright::view
