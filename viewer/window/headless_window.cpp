#include <vtk_glew.h>
// GLEW first: it refuses to come after any other header of GL.
#include <EGL/egl.h>
#include <EGL/eglext.h>

#include <viewer/window/headless_window.hpp>
#include <vtkObjectFactory.h>

namespace coilwright::view {

vtkStandardNewMacro(HeadlessWindow);

HeadlessWindow::HeadlessWindow() {
  SetReadyForRendering(false);
  SetOffScreenRendering(1);
}

HeadlessWindow::~HeadlessWindow() { Finalize(); }

bool HeadlessWindow::create(std::string& why) {
  const auto get_display =
      reinterpret_cast<PFNEGLGETPLATFORMDISPLAYEXTPROC>(eglGetProcAddress("eglGetPlatformDisplayEXT"));
  if (!get_display) {
    why = "this EGL cannot choose a platform";
    return false;
  }
  EGLDisplay display = get_display(EGL_PLATFORM_SURFACELESS_MESA, EGL_DEFAULT_DISPLAY, nullptr);
  if (display == EGL_NO_DISPLAY || !eglInitialize(display, nullptr, nullptr)) {
    why = "EGL finds no driver that draws without a display";
    return false;
  }
  display_ = display;
  if (!eglBindAPI(EGL_OPENGL_API)) {
    why = "this EGL offers no OpenGL";
    return false;
  }
  constexpr EGLint wanted[] = {EGL_SURFACE_TYPE, EGL_PBUFFER_BIT, EGL_RENDERABLE_TYPE, EGL_OPENGL_BIT, EGL_NONE};
  EGLConfig config = nullptr;  // none is fine too: nothing is ever shown
  EGLint found = 0;
  eglChooseConfig(display, wanted, &config, 1, &found);
  constexpr EGLint version[] = {EGL_CONTEXT_MAJOR_VERSION,
                                3,
                                EGL_CONTEXT_MINOR_VERSION,
                                2,
                                EGL_CONTEXT_OPENGL_PROFILE_MASK,
                                EGL_CONTEXT_OPENGL_CORE_PROFILE_BIT,
                                EGL_NONE};
  EGLContext context = eglCreateContext(display, found > 0 ? config : nullptr, EGL_NO_CONTEXT, version);
  if (context == EGL_NO_CONTEXT) {
    why = "EGL makes no OpenGL 3.2 context";
    return false;
  }
  context_ = context;
  SetReadyForRendering(true);
  SetOwnContext(0);
  SetMapped(false);
  MakeCurrent();
  return true;
}

void HeadlessWindow::MakeCurrent() {
  if (context_) eglMakeCurrent(display_, EGL_NO_SURFACE, EGL_NO_SURFACE, context_);
}

bool HeadlessWindow::IsCurrent() { return context_ && eglGetCurrentContext() == context_; }

void HeadlessWindow::OpenGLInitContext() {
  if (Initialized) return;
  glewExperimental = GL_TRUE;
  // Debian's GLEW asks for GLX after it has loaded every core function; without X that last step fails.
  const GLenum result = glewInit();
  if (result != GLEW_OK && result != GLEW_ERROR_NO_GLX_DISPLAY) {
    vtkErrorMacro("OpenGL functions cannot be loaded");
    return;
  }
  GlewInitValid = true;
  Initialized = true;
}

void HeadlessWindow::Finalize() {
  if (!display_) return;
  if (context_) {
    MakeCurrent();
    Superclass::Finalize();
    eglMakeCurrent(display_, EGL_NO_SURFACE, EGL_NO_SURFACE, EGL_NO_CONTEXT);
    eglDestroyContext(display_, context_);
  }
  eglTerminate(display_);
  display_ = context_ = nullptr;
}

}  // namespace coilwright::view
