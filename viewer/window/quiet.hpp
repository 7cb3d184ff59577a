// Keeps VTK from writing its own complaints to the terminal: ours say what is wrong in the user's words.
#pragma once

#include <vtkOutputWindow.h>

namespace coilwright::view {

class Quiet {
 public:
  Quiet() : before_(vtkOutputWindow::GetInstance()->GetDisplayMode()) {
    vtkOutputWindow::GetInstance()->SetDisplayModeToNever();
  }
  ~Quiet() { vtkOutputWindow::GetInstance()->SetDisplayMode(before_); }
  Quiet(const Quiet&) = delete;
  Quiet& operator=(const Quiet&) = delete;

 private:
  int before_;
};

}  // namespace coilwright::view
