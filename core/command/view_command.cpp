#include <unistd.h>

#include <algorithm>
#include <coilwright/command/answer.hpp>
#include <coilwright/command/view_command.hpp>
#include <filesystem>

namespace coilwright {
namespace {

namespace fs = std::filesystem;
constexpr const char* viewer = "coilwright-view";

void become(const std::string& program, const std::vector<std::string>& arguments) {
  std::vector<char*> argv{const_cast<char*>(viewer)};
  for (const std::string& argument : arguments) argv.push_back(const_cast<char*>(argument.c_str()));
  argv.push_back(nullptr);
  ::execvp(program.c_str(), argv.data());  // looks on PATH when the name has no slash
}

}  // namespace

int run_viewer(const std::vector<std::string>& arguments) {
  std::error_code ignored;
  const fs::path self = fs::read_symlink("/proc/self/exe", ignored);
  if (!self.empty()) become((self.parent_path() / viewer).string(), arguments);
  become(viewer, arguments);
  const bool json = std::find(arguments.begin(), arguments.end(), "--json") != arguments.end();
  return tell_faults(
      {{Level::fault, "viewer",
        "Showing a job needs the program coilwright-view, which is neither beside this program nor on PATH. "
        "It is built together with coilwright when VTK is installed (on Debian: apt-get install libvtk9-dev, "
        "then cmake --preset release && cmake --build --preset release). Everything else works without it.",
        std::nullopt}},
      json, false, exit_code::not_here);
}

}  // namespace coilwright
