// A render window without any display: an EGL context on no surface (Mesa), so that a picture needs neither
// X nor a graphics card and has the same pixels everywhere.
#pragma once

#include <string>
#include <vtkGenericOpenGLRenderWindow.h>

namespace coilwright::view {

class HeadlessWindow : public vtkGenericOpenGLRenderWindow {
 public:
  static HeadlessWindow* New();
  vtkTypeMacro(HeadlessWindow, vtkGenericOpenGLRenderWindow)

  // False with the reason when this machine offers no such context.
  bool create(std::string& why);

  void MakeCurrent() override;
  bool IsCurrent() override;
  void OpenGLInitContext() override;
  void Finalize() override;

 protected:
  HeadlessWindow();
  ~HeadlessWindow() override;

 private:
  void* display_ = nullptr;
  void* context_ = nullptr;
};

}  // namespace coilwright::view
