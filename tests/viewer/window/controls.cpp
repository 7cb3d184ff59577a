#include "sample_subjects.hpp"
#include "scratch_folder.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <set>
#include <viewer/window/controls.hpp>
#include <viewer/window/headless_window.hpp>
#include <vtkCamera.h>
#include <vtkGenericRenderWindowInteractor.h>
#include <vtkNew.h>

using namespace coilwright;
using namespace coilwright::view;

namespace {

// A window without a display, with hands on it.
struct Desk {
  ScratchFolder folder;
  Scene scene{samples::handrail()};
  vtkNew<HeadlessWindow> window;
  vtkNew<vtkGenericRenderWindowInteractor> interactor;
  std::unique_ptr<Controls> controls;

  Desk() {
    std::string why;
    REQUIRE(window->create(why));
    scene.add_to(window);
    window->SetSize(900, 600);
    interactor->SetRenderWindow(window);
    interactor->SetSize(900, 600);
    controls = std::make_unique<Controls>(scene, *window, *interactor,
                                          folder.path("picture"));
    interactor->Initialize();
    window->Render();
  }
  ~Desk() {
    controls.reset();
    scene.remove_from(window);
  }
  void key(const char* name) {
    interactor->SetKeyEventInformation(0, 0, 0, 0, name);
    interactor->InvokeEvent(vtkCommand::KeyPressEvent);
    interactor->InvokeEvent(vtkCommand::CharEvent);
  }
  void mouse(unsigned long event, const Pixel& at) {
    interactor->SetEventInformation(static_cast<int>(at.x()), static_cast<int>(at.y()));
    interactor->InvokeEvent(event);
  }
  [[nodiscard]] bool says(const std::string& words) const {
    const auto& written = scene.canvas().written();
    return std::any_of(written.begin(), written.end(),
                       [&](const WrittenText& w) { return !w.covered && w.text.find(words) != std::string::npos; });
  }
};

}  // namespace

TEST_CASE("keys feed the part back and forth", "[property]") {
  Desk desk;
  const double whole = desk.scene.subject().rolled_mm;
  CHECK(desk.scene.fed_length_mm() == whole);
  desk.key("Left");
  CHECK(desk.scene.fed_length_mm() == Approx(0.99 * whole));
  desk.key("Home");
  CHECK(desk.scene.fed_length_mm() == 0.0);
  desk.key("Left");
  CHECK(desk.scene.fed_length_mm() == 0.0);
  desk.key("Right");
  desk.key("Right");
  CHECK(desk.scene.fed_length_mm() == Approx(0.02 * whole));
  desk.key("End");
  CHECK(desk.scene.fed_length_mm() == whole);
}

TEST_CASE("keys choose view, projection, labels, machine", "[property]") {
  Desk desk;
  for (const auto& [key, view] : {std::pair("2", View::top), std::pair("3", View::front), std::pair("4", View::side), std::pair("1", View::iso)}) {
    desk.key(key);
    CHECK(desk.scene.view() == view);
    CHECK(desk.scene.projection() == usual_projection(view));
  }
  desk.key("o");
  CHECK(desk.scene.projection() == Projection::orthographic);
  CHECK(desk.scene.solids()->GetActiveCamera()->GetParallelProjection() == 1);
  desk.key("o");
  CHECK(desk.scene.projection() == Projection::perspective);
  desk.key("l");
  CHECK(desk.scene.labels() == Shown::no);
  desk.key("m");
  CHECK(desk.scene.machine() == Shown::no);
  desk.key("l");
  desk.key("m");
  CHECK(desk.scene.labels() == Shown::yes);
  CHECK(desk.scene.machine() == Shown::yes);
}

TEST_CASE("the list of keys names every key once, and hides what it covers", "[property]") {
  Desk desk;
  CHECK_FALSE(desk.controls->list_shown());
  desk.key("h");
  REQUIRE(desk.controls->list_shown());
  std::set<std::string> seen;
  for (const KeyRow& row : desk.controls->keys()) {
    CHECK(desk.says(row.does));
    for (const std::string& key : row.keys) CHECK(seen.insert(key).second);
  }
  desk.key("Escape");
  CHECK_FALSE(desk.controls->list_shown());
  CHECK_FALSE(desk.says("feed on, a hundredth"));
}

TEST_CASE("the slider follows the pointer, and the scene does not turn meanwhile", "[property]") {
  Desk desk;
  const PixelBox track = desk.controls->track();
  REQUIRE(track.size().x() > 100.0);
  const double whole = desk.scene.subject().rolled_mm;
  double before[3], after[3];
  desk.scene.solids()->GetActiveCamera()->GetPosition(before);
  const auto at = [&](double share) { return Pixel(track.low.x() + share * track.size().x(), track.centre().y()); };
  desk.mouse(vtkCommand::LeftButtonPressEvent, at(0.25));
  CHECK(desk.scene.fed_length_mm() == Approx(0.25 * whole).epsilon(0.01));
  desk.mouse(vtkCommand::MouseMoveEvent, at(0.75) + Pixel(0, 200));  // the hand may slip off the track
  CHECK(desk.scene.fed_length_mm() == Approx(0.75 * whole).epsilon(0.01));
  desk.mouse(vtkCommand::MouseMoveEvent, Pixel(2000, 10));
  CHECK(desk.scene.fed_length_mm() == whole);
  desk.mouse(vtkCommand::LeftButtonReleaseEvent, at(0.5));
  desk.mouse(vtkCommand::MouseMoveEvent, at(0.1));
  CHECK(desk.scene.fed_length_mm() == whole);
  desk.scene.solids()->GetActiveCamera()->GetPosition(after);
  for (int i = 0; i < 3; ++i) CHECK(before[i] == after[i]);
  CHECK(desk.says("fed "));
}

TEST_CASE("a drag beside the slider turns the scene and feeds nothing", "[property]") {
  Desk desk;
  double before[3], after[3];
  desk.scene.solids()->GetActiveCamera()->GetPosition(before);
  const double fed = desk.scene.fed_length_mm();
  desk.mouse(vtkCommand::LeftButtonPressEvent, Pixel(450, 400));
  desk.mouse(vtkCommand::MouseMoveEvent, Pixel(520, 430));
  desk.mouse(vtkCommand::LeftButtonReleaseEvent, Pixel(520, 430));
  desk.scene.solids()->GetActiveCamera()->GetPosition(after);
  CHECK(std::abs(before[0] - after[0]) + std::abs(before[1] - after[1]) > 1.0);
  CHECK(desk.scene.fed_length_mm() == fed);
}

TEST_CASE("letters that VTK gives a meaning of its own have none here", "[regression]") {
  Desk desk;
  double before[3], after[3];
  desk.scene.solids()->GetActiveCamera()->GetPosition(before);
  for (const char* key : {"w", "e", "p", "f", "r", "u", "j", "t", "a", "c", "i", "z"}) {
    desk.interactor->SetKeyEventInformation(0, 0, key[0], 0, key);
    desk.interactor->InvokeEvent(vtkCommand::KeyPressEvent);
    desk.interactor->InvokeEvent(vtkCommand::CharEvent);
  }
  desk.scene.solids()->GetActiveCamera()->GetPosition(after);
  for (int i = 0; i < 3; ++i) CHECK(before[i] == after[i]);
  CHECK(desk.window->GetStereoRender() == 0);
}

TEST_CASE("s saves what is seen, without the slider, under a free name", "[property]") {
  namespace fs = std::filesystem;
  Desk desk;
  const fs::path one = desk.folder.path("picture-1.png"), two = desk.folder.path("picture-2.png");
  desk.key("s");
  REQUIRE(fs::exists(one));
  CHECK(fs::file_size(one) > 10000);
  CHECK(desk.controls->message().find("saved") != std::string::npos);
  desk.key("s");
  CHECK(fs::exists(two));
  CHECK(desk.says("saved"));
  desk.key("Left");
  CHECK(desk.controls->message().empty());
}
