// The window on a screen: look around, feed the part through the machine.
#pragma once

#include <optional>
#include <string>
#include <viewer/scene/scene.hpp>

namespace coilwright::view {

// Why no window can be opened here, as one line; nothing when a display answers.
std::optional<std::string> no_display();

// Opens the window and returns when it is closed; the reason when it could not be opened after all.
std::optional<std::string> show_window(Scene& scene, const std::string& title, const std::string& picture_name);

}  // namespace coilwright::view
