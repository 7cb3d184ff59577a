#include <catch2/catch.hpp>
#include <cstdlib>
#include <viewer/window/window.hpp>

using namespace coilwright::view;

TEST_CASE("without a display there is one line that says what would do", "[input]") {
  ::unsetenv("DISPLAY");
  auto reason = no_display();
  REQUIRE(reason);
  CHECK(reason->find("DISPLAY is not set") != std::string::npos);
  CHECK(reason->find("picture") != std::string::npos);
  CHECK(reason->find('\n') == std::string::npos);
  ::setenv("DISPLAY", ":4711", 1);
  reason = no_display();
  REQUIRE(reason);
  CHECK(reason->find(":4711") != std::string::npos);
  ::unsetenv("DISPLAY");
}
