#include <cstdlib>
#include <cstring>
#include <viewer/window/controls.hpp>
#include <viewer/window/quiet.hpp>
#include <viewer/window/window.hpp>
#include <vtkNew.h>
#include <vtkRenderWindow.h>
#include <vtkRenderWindowInteractor.h>
#include <vtkRenderer.h>
// Last: its macros are everybody's words.
#include <X11/Xlib.h>

namespace coilwright::view {

std::optional<std::string> no_display() {
  const std::string instead = "; 'picture -o FILE.png' draws without one";
  const char* name = std::getenv("DISPLAY");
  if (!name || !*name) return "no display: DISPLAY is not set" + instead;
  // VTK would end the program where this only says no.
  Display* display = XOpenDisplay(nullptr);
  if (!display) return "no display: nothing answers at DISPLAY=" + std::string(name) + instead;
  XCloseDisplay(display);
  return std::nullopt;
}

std::optional<std::string> show_window(Scene& scene, const std::string& title, const std::string& picture_name) {
  if (auto refused = no_display()) return refused;
  const Quiet quiet;
  const vtkNew<vtkRenderWindow> window;
  window->SetWindowName(title.c_str());
  window->SetMultiSamples(0);
  window->SetSize(1400, 900);
  scene.add_to(window);
  const vtkNew<vtkRenderWindowInteractor> interactor;
  interactor->SetRenderWindow(window);
  const Controls controls(scene, *window, *interactor, picture_name);
  // The interactor takes its display from the window, so there must be one first.
  window->Render();
  interactor->Initialize();
  if (!window->SupportsOpenGL()) return std::string("this display offers no OpenGL 3.2, which the window needs");
  // Smooth edges cost nothing on a graphics card, and most of the speed without one.
  const char* report = window->ReportCapabilities();
  if (report && !std::strstr(report, "llvmpipe") && !std::strstr(report, "softpipe")) window->SetMultiSamples(4);
  window->Render();
  interactor->Start();
  scene.remove_from(window);
  return std::nullopt;
}

}  // namespace coilwright::view
